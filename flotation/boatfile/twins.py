"""A cavity that is the mirrored twin of another one, across the centreline.

The twin has the other's shape, what is taken out and holes. What it states itself (group, foam,
exposure, what holds it down) replaces the other's. Holes P1, P2, ... become S1, S2, ... and the
other way round; holes of other names need `hole_names`.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from flotation.boat import Cavity, Hole
from flotation.boat_places import Point
from flotation.boatfile.contents import check_hold_down
from flotation.boatfile.drilling import other_side
from flotation.boatfile.findings import nearest
from flotation.boatfile.foams import chosen_foam
from flotation.boatfile.place import Place
from flotation.boatfile.schema import TwinTable
from flotation.geometry.shapes import mirrored

_NUMBERED = re.compile(r"(?P<side>[PS])(?P<number>[ -]?[0-9].*)")
_OTHER_SIDE = {"P": "S", "S": "P"}


def read_twin(
    place: Place,
    table: Mapping[str, object],
    originals: Mapping[str, Cavity | None],
    foams: Sequence[str],
) -> Cavity | None:
    """The twin of a cavity; None after a fault, or where the other cavity has one.

    originals  the cavities that are no twins, by name; None for one that cannot be used
    foams      names of the foam systems
    """
    read = place.check(TwinTable, table)
    if read is None:
        return None
    if read.mirror not in originals:
        remedy = f"{nearest(read.mirror, list(originals))} It must not be a twin itself."
        place.fault("mirror", f'"{read.mirror}" is no cavity to mirror', remedy)
        return None
    check_hold_down(place, read.hold_down, read.hold_down_by)
    foam = chosen_foam(place, read.foam, foams)
    other = originals[read.mirror]
    if other is None:
        return None
    holes = _twin_holes(place, read, other.holes)
    own_hold = read.hold_down is not None
    return replace(
        other,
        name=read.name,
        group=read.group or read.name,
        solid=mirrored(other.solid, name=read.name),
        taken_out=tuple(replace(thing, solid=mirrored(thing.solid)) for thing in other.taken_out),
        foam=other.foam if read.foam is None else foam,
        holes=holes,
        exposure=read.exposure or other.exposure,
        hold_down=read.hold_down if own_hold else other.hold_down,
        hold_down_by=read.hold_down_by or other.hold_down_by,
        entry=place.entry,
        drill=tuple(other_side(box) for box in other.drill),
        found=None
        if other.found is None
        else replace(other.found, by_place=f"mirror of {other.name}"),
    )


def _twin_holes(place: Place, read: TwinTable, holes: Sequence[Hole]) -> tuple[Hole, ...]:
    """The holes on the other side; none after a fault."""
    names = read.hole_names
    if names is None:
        matches = [_NUMBERED.fullmatch(hole.name) for hole in holes]
        odd = [hole.name for hole, match in zip(holes, matches, strict=True) if match is None]
        if odd:
            problem = f'its hole "{odd[0]}" has no name on the other side: only P1 and S1 swap'
            place.fault("", problem, 'Write hole_names = ["...", ...], one for each hole.')
            return ()
        names = tuple(_OTHER_SIDE[m["side"]] + m["number"] for m in matches if m is not None)
    if len(names) != len(holes):
        problem = f"names {len(names)} holes, and {read.mirror} has {len(holes)}"
        place.fault("hole_names", problem, "Name each of them, in the same order.")
        return ()
    return tuple(
        replace(hole, name=name, at=_other_side(hole.at))
        for hole, name in zip(holes, names, strict=True)
    )


def _other_side(at: Point) -> Point:
    return at[0], 0.0 - at[1], at[2]
