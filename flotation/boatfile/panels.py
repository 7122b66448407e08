"""[[cavity.panel]]: flat panels of a cavity that the foam presses on."""

from flotation.boat_panels import Panel
from flotation.boatfile.place import Place, metres, once_each
from flotation.boatfile.schema_effects import PanelTable


def read_panels(place: Place, raw: object) -> tuple[Panel, ...]:
    """The panels of a cavity that can be used; the others have left their faults."""
    tables = place.tables("panel", raw)
    once_each((own, table.get("name")) for own, table in tables)
    found = []
    for own, table in tables:
        read = own.check(PanelTable, table)
        if read is None:
            continue
        _check(own, read)
        found.append(
            Panel(
                name=read.name,
                short_span=read.short_span,
                long_span=read.long_span,
                thickness=read.thickness,
                modulus=read.modulus,
                strength=read.strength,
                deflection_limit=read.deflection_limit,
                flange_width=read.flange_width,
                peel_strength=read.peel_strength,
                entry=own.entry,
            )
        )
    return tuple(found)


def _check(place: Place, read: PanelTable) -> None:
    if read.short_span > read.long_span:
        problem = f"it is longer than long_span, {metres(read.long_span)}"
        place.fault("short_span", problem, "Exchange the two.")
    if read.thickness >= 0.2 * read.short_span:
        problem = f"it is more than a fifth of short_span, {metres(read.short_span)}: no plate"
        place.fault("thickness", problem, "Look at the units of both.")
    if (read.flange_width is None) != (read.peel_strength is None):
        stated, other, example = ("flange_width", "peel_strength", '"4 kN/m"')
        if read.flange_width is None:
            stated, other, example = ("peel_strength", "flange_width", '"50 mm"')
        place.fault(stated, f"it is stated without {other}", f"Write {other} = {example} too.")
