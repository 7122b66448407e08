"""What heat and pressure of a plan need looked at, in its own words."""

from collections.abc import Iterator, Sequence

from flotation.boat import Boat
from flotation.pour.cavity import Filled
from flotation.pour.effects import HeatBasis, PanelLoad, Pressing
from flotation.pour.pourplan import Lift
from flotation.pour.systems import System
from flotation.pour.wording import both, listed, load, percent, spell, together


def of_effects(boat: Boat, systems: Sequence[System], filled: Sequence[Filled]) -> Iterator[str]:
    """Cautions of heat, then of pressure; none where nothing is exceeded."""
    for system in systems:
        pours = [one for one in filled if one.pour.foam == system.foam.name]
        yield from _of_lowered(system)
        yield from _of_heat(system, pours)
        yield from _of_cooling(system, pours)
    pressed = [(one.pour.cavity, one.pour.pressing) for one in filled]
    known = [(cavity, pressing) for cavity, pressing in pressed if pressing is not None]
    yield from _of_lower_lifts(known)
    for cavity, pressing in known:
        for panel in pressing.panels:
            yield from _of_panel(cavity, panel, pressing)
    yield from _of_hold_down(known, boat)
    yield from _of_vents(known)


def _of_lowered(system: System) -> Iterator[str]:
    thermal, sheet = system.setting.thermal, system.foam.lift_limit
    if thermal is None or thermal.lift_limit is None or sheet is None:
        return
    yield (
        f"{system.foam.name}: the sheet allows lifts of {both(sheet, 'm')}, but with its heat a "
        f"core of that thickness would get hotter than {both(thermal.core_limit.value, 'K')}. "
        f"Cavities that are thicker are planned in lifts of at most "
        f"{both(thermal.lift_limit.value, 'm')}."
    )


def _of_heat(system: System, pours: Sequence[Filled]) -> Iterator[str]:
    """Cores that may get hotter than the limit; the worst of them in one sentence."""
    heats = [
        (one.pour.cavity, lift.heat)
        for one in pours
        for lift in one.pour.lifts
        if lift.heat is not None and lift.heat.peak_high > lift.heat.core_limit
    ]
    if not heats:
        return
    _, worst = max(heats, key=lambda found: found[1].above_limit)
    names = listed(list(dict.fromkeys(cavity for cavity, _ in heats)))
    what = "that the sheet allows" if worst.core_limit_stated else "where scorch begins (recalled)"
    reckoned = (
        f"cores of {both(min(heat.peak_low for _, heat in heats), 'K')} to "
        f"{both(worst.peak_high, 'K')}, and for up to {spell(worst.above_limit)} hotter than the "
        f"{both(worst.core_limit, 'K')} {what}: {names}"
    )
    if worst.basis is HeatBasis.LITERATURE:
        yield (
            f"{system.foam.name}: no heat is stated. By published recipes it warms by "
            f"{both(worst.adiabatic_low, 'K difference')} to "
            f"{both(worst.adiabatic_high, 'K difference')}; that gives {reckoned}. Too wide to "
            "plan by: ask the supplier for the adiabatic rise, or measure the core of a block."
        )
    else:
        yield f"{system.foam.name}: by its {worst.basis}, {reckoned}. Ask the supplier first."


def _of_cooling(system: System, pours: Sequence[Filled]) -> Iterator[str]:
    waits = {
        f"{lift.cavity} lift {lift.number} ({spell(lift.heat.before_next)})": lift.heat
        for one in pours
        for lift in (*_under(one), *one.pour.lifts)
        if lift.heat is not None and lift.heat.before_next > 0.0
    }
    if waits:
        heat = next(iter(waits.values()))
        yield (
            f"{system.foam.name}: the gel wait is not enough after {listed(list(waits))}. On foam "
            f"that hot the next lift would exceed {both(heat.core_limit, 'K')}: wait the time in "
            f"brackets, until the core is below {both(heat.cool_to, 'K')}."
        )


def _under(one: Filled) -> Iterator[Lift]:
    """Lifts that stand already, on which the next one comes or beside which it goes in."""
    lowest = min(lift.number for lift in one.pour.lifts)
    return (lift for lift in one.done if lift.number >= lowest - 1)


def _of_lower_lifts(known: Sequence[tuple[str, Pressing]]) -> Iterator[str]:
    """Closing lifts that press harder than they are braced for if the lower ones rise freely."""
    harder, full = [], []
    for cavity, pressing in known:
        free = pressing.lower_free
        if free is None:
            continue
        if free.pressure is None:
            full.append((cavity, f"{both(free.planned_mass, 'kg')} planned"))
        elif free.pressure > pressing.packing_pressure:
            said = (
                f"{both(free.pressure, 'Pa')}, {load(free.pressure)}, instead of the "
                f"{both(pressing.packing_pressure, 'Pa')} that it is braced for; as planned with "
                f"{both(free.reduced_mass, 'kg')} instead of {both(free.planned_mass, 'kg')}"
            )
            harder.append((cavity, said))
    if harder:
        yield (
            "If the lower lifts rise freely to the density of the cup, the closing lift presses "
            f"with: {together(harder)}. Measure the dip before it and take the amount from the "
            "table of dips; or trim the foam down to the planned dip."
        )
    if full:
        yield (
            "If the lower lifts rise freely to the density of the cup, no room is left for the "
            f"closing lift: {together(full)}. Trim the foam down to the planned dip first, and "
            "take the amount from the table of dips."
        )


def _of_panel(cavity: str, panel: PanelLoad, pressing: Pressing) -> Iterator[str]:
    if panel.within or panel.largest_overpack is None:
        return
    beside = [
        f"{what} {both(value, unit)} against {both(limit, unit)}"
        for what, value, limit, unit in (
            ("bends by", panel.deflection, panel.deflection_limit, "m"),
            ("is stressed to", panel.stress, panel.strength, "Pa"),
            ("pulls on its flange with", panel.edge_load, panel.peel_strength, "N/m"),
        )
        if limit is not None and value > limit
    ]
    if panel.largest_overpack > 1.0:
        remedy = (
            f"brace it, or overpack by at most {percent(panel.largest_overpack - 1.0)} instead of "
            "what is planned"
        )
    else:
        remedy = "brace it: what heating may add is too much for it even without any overpack"
    yield (
        f"{cavity}: under {both(pressing.pressure, 'Pa')} (closing lift "
        f"{both(pressing.packing_pressure, 'Pa')}, heating {both(pressing.heating_pressure, 'Pa')},"
        f" vents shut; an estimate) the panel {panel.panel} {listed(beside)}; {remedy}."
    )


def _of_hold_down(known: Sequence[tuple[str, Pressing]], boat: Boat) -> Iterator[str]:
    lifted = [
        (
            cavity,
            f"{both(pressing.uplift, 'N')} against {both(pressing.hold_down, 'N')} "
            f"({boat.cavity(cavity).hold_down_by})",
        )
        for cavity, pressing in known
        if pressing.hold_down is not None and pressing.uplift > pressing.hold_down
    ]
    if lifted:
        yield (
            "With heating and vents shut the foam may lift what is above it harder than it is held "
            f"down: {together(lifted)}. Weights and braces must carry the difference."
        )


def _of_vents(known: Sequence[tuple[str, Pressing]]) -> Iterator[str]:
    small = [
        (
            cavity,
            f"{_square_millimetres(pressing.open_area)} of "
            f"{_square_millimetres(pressing.fill_area)}",
        )
        for cavity, pressing in known
        if pressing.open_area < pressing.fill_area
    ]
    if small:
        yield (
            "Common practice leaves as much open for air as the hole that foam goes through "
            f"measures, because foam soon closes a small vent: {together(small)}. Widen the vents "
            "or drill more."
        )


def _square_millimetres(area: float) -> str:
    return f"{1e6 * area:.0f} mm²"
