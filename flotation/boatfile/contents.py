"""What is in a cavity: things that no foam goes into, and the holes in its top."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from flotation.boat import Hole, TakenOut
from flotation.boatfile.place import Place, metres, once_each, position
from flotation.boatfile.schema import HoleTable, OutTable
from flotation.boatfile.solids import read_solid
from flotation.errors import InputError
from flotation.geometry.cavities import overlap_volume, part_outside, take_out, volume_inside
from flotation.geometry.nearness import contains, distance_to_surface, nearest_on_surface
from flotation.geometry.solid import Solid
from flotation.units import si

NEAR = 0.010
"""m within which a hole lies on a surface, and by which a thing may stick out of a sloping wall:
what a tape in a moulding is read to. Common practice, no source."""

SHARED = 1e-3
"""Share of the smaller of two solids that may overlap: facets of a common curved wall."""


@dataclass(frozen=True)
class Thing:
    """Something that no foam goes into, as its table declares it."""

    place: Place
    read: OutTable
    solid: Solid
    notes: tuple[str, ...]


def check_hold_down(place: Place, force: float | None, by: str | None) -> None:
    """What holds a lid down is stated with its force, or not at all."""
    if (force is None) != (by is None):
        key, other = ("hold_down", "hold_down_by") if by is None else ("hold_down_by", "hold_down")
        example = '"bonded flange, 60 mm all round"' if by is None else '"4 kN"'
        place.fault(key, f"it is stated without {other}", f"Write {other} = {example} too.")


def read_holes(place: Place, raw: object) -> list[tuple[Place, Hole]]:
    """The holes of a cavity that can be used, and where each stands."""
    found = [(own, own.check(HoleTable, table)) for own, table in place.tables("hole", raw)]
    return [
        (own, Hole(read.name, read.kind, read.at, read.diameter))
        for own, read in found
        if read is not None
    ]


def read_things(place: Place, raw: object) -> list[Thing]:
    """What is taken out of a cavity, as far as it can be used."""
    things = []
    tables = place.tables("out", raw)
    once_each((own, table.get("name")) for own, table in tables)
    for own, table in tables:
        read = own.check(OutTable, table)
        if read is None:
            continue
        if read.sole_support and read.tank is None:
            remedy = 'Write tank = "metallic" or "non-metallic", or take it out.'
            own.fault("sole_support", "it is stated for something that is no tank", remedy)
        drawn = read_solid(own, read, read.name)
        if drawn is not None:
            things.append(Thing(own, read, drawn.solid, drawn.notes))
    return things


def taken_out(
    place: Place, drawn: Solid, gross: Solid, things: Sequence[Thing]
) -> tuple[Solid, tuple[TakenOut, ...]]:
    """What is left of a cavity, and what each thing takes out of it.

    drawn   the cavity as its file or shape gives it; a thing may reach to there
    gross   the cavity inside its laminate
    Things that do not fit leave their faults and are not taken out.
    """
    fitting = [thing for thing in things if _fits(thing, drawn, gross)]
    _check_shared_space(fitting)
    try:
        left = take_out(gross, [thing.solid for thing in fitting])
    except InputError as error:
        place.refuse("out", error, gross.name)
        return gross, ()
    return left, tuple(
        TakenOut(
            thing.read.name,
            thing.solid,
            volume_inside(thing.solid, gross),
            thing.read.tank,
            thing.read.sole_support,
        )
        for thing in fitting
    )


def _fits(thing: Thing, drawn: Solid, gross: Solid) -> bool:
    """Does it lie in the cavity, or pass through it as it says?"""
    try:
        inside = volume_inside(thing.solid, gross)
        outside = part_outside(thing.solid, drawn)
    except InputError as error:
        thing.place.refuse("", error, thing.read.name)
        return False
    if inside <= SHARED * thing.solid.volume and outside is not None:
        thing.place.fault("", "it lies outside the cavity", "Correct its place or its size.")
        return False
    if outside is not None and outside.reach > NEAR and not thing.read.passes_through:
        problem = (
            f"it is too long or too large: it sticks out of the cavity by {metres(outside.reach)}"
            f" at {position(outside.furthest)}"
        )
        remedy = "End it at the wall, or write passes_through = true if it goes on outside."
        thing.place.fault("", problem, remedy)
        return False
    return True


def _check_shared_space(things: Sequence[Thing]) -> None:
    for one, other in combinations(things, 2):
        try:
            shared = overlap_volume(one.solid, other.solid)
        except InputError as error:
            other.place.refuse("", error, other.read.name)
            continue
        if shared > SHARED * min(one.solid.volume, other.solid.volume):
            problem = f'it shares {si(shared, "m3")} with "{one.read.name}"'
            other.place.fault("", problem, "Correct one of the two: both cannot be there.")


def check_holes(
    holes: Sequence[tuple[Place, Hole]], surfaces: tuple[Solid, Solid], left: Solid
) -> None:
    """Each hole lies on the cavity's surface, and foam can get in under it.

    surfaces  the cavity as drawn, and inside its laminate
    left      what is left for foam
    """
    if not holes:
        return
    drawn, gross = surfaces
    at = np.array([hole.at for _, hole in holes])
    off_drawn, off_gross = distance_to_surface(drawn, at), distance_to_surface(gross, at)
    off = np.minimum(off_drawn, off_gross)
    nearest = nearest_on_surface(drawn, at)
    within = contains(drawn, at)
    reach = np.maximum(off_gross, off_drawn) + NEAR
    closed = distance_to_surface(left, at) > reach
    for number, (place, _) in enumerate(holes):
        if off[number] > NEAR:
            where = "inside the cavity, away from its surface" if within[number] else "outside it"
            problem = f"the hole lies {metres(float(off[number]))} {where}"
            remedy = f"The nearest point of the surface is {position(nearest[number])}."
            place.fault("at", problem, remedy)
        elif closed[number]:
            problem = "no foam gets in here: something that is taken out stands under the hole"
            place.fault("at", problem, "Move the hole, or correct what is taken out.")
