"""[[part]], [[tank]], [top] and [hull]: what the boat's tests in the water need of it.

Sheets carry the masses of the weight list; tanks have an outside; the reference areas have points
on the real top of hull or deck; the intact hull is a closed solid.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from flotation.boat import Cavity, IntactHull, Part, Role, TakenOut, Tank, Top, Weight
from flotation.boat_places import Point
from flotation.boatfile.findings import nearest
from flotation.boatfile.hull import Hull
from flotation.boatfile.parts import DrawnPart
from flotation.boatfile.place import Place, metres, once_each, position
from flotation.boatfile.schema_drawn import HullTable, TankTable, TopTable
from flotation.boatfile.solids import read_solid
from flotation.boatfile.weights import WeightList
from flotation.geometry.solid import Skin, Solid
from flotation.rulebook import load_rulebook

_NEAR = 1e-3  # m; a point is on the centreline, or like its twin, within this


@dataclass(frozen=True)
class Known:
    """What was read before: hull and weights, if they could be, cavities and drawn parts."""

    hull: Hull | None
    weights: WeightList | None
    cavities: Sequence[Cavity]
    parts: Sequence[DrawnPart]

    @property
    def items(self) -> Mapping[str, Weight]:
        """The weight list by item."""
        return {} if self.weights is None else {one.item: one for one in self.weights.weights}


@dataclass(frozen=True)
class DrawnBoat:
    """What can be used; the rest has left its faults. The fields are those of Boat."""

    parts: tuple[Part, ...]
    tanks: tuple[Tank, ...]
    top: Top | None
    intact_hull: IntactHull | None
    notes: tuple[str, ...]


def read_afloat(file: Place, known: Known) -> DrawnBoat:
    """Every [[part]] that has a weight, every [[tank]], [top] and [hull].

    file  the place of the whole file
    """
    data = file.document.data
    notes: list[str] = []
    made = [_part(drawn, known) for drawn in known.parts]
    parts = tuple(part for part in made if part is not None)
    tanks = _tanks(file, data.get("tank", []), known, notes)
    top = _top(file.inside("top"), data["top"], known.hull) if "top" in data else None
    hull = _intact_hull(file.inside("hull"), data["hull"], notes) if "hull" in data else None
    return DrawnBoat(parts, tanks, top, hull, tuple(notes))


def _part(drawn: DrawnPart, known: Known) -> Part | None:
    """A sheet that carries an item of the weight list; None for one that only walls cavities."""
    place, name = drawn.place, drawn.weight
    if name is None:
        return None
    weight = _listed(place, "weight", name, known)
    if weight is not None and weight.material is None:
        problem = f'"{name}" has no material, so what the sheet displaces is not known'
        place.fault("weight", problem, "State its material in the weight list.")
    if weight is not None and weight.size is not None:
        problem = f'"{name}" has a box of its own in the weight list'
        place.fault("weight", problem, "Take the size out there, or this part.")
    if not isinstance(drawn.body, Skin):
        problem = "a weight is spread over a sheet, and this part is a closed solid"
        remedy = "State its thickness if it is a sheet; else take the weight out."
        place.fault("weight", problem, remedy)
        return None
    return Part(drawn.name, drawn.body, name, place.entry)


def _listed(place: Place, key: str, item: str, known: Known) -> Weight | None:
    """The item of the weight list; None after a fault, or where there is no list."""
    if known.weights is None:
        return None
    if item not in known.items:
        place.fault(key, f'"{item}" is not in the weight list', nearest(item, list(known.items)))
        return None
    return known.items[item]


def _tanks(file: Place, raw: object, known: Known, notes: list[str]) -> tuple[Tank, ...]:
    tables = file.tables("tank", raw)
    once_each((place, table.get("name")) for place, table in tables)
    found = [_tank(place, table, known, notes) for place, table in tables]
    used = Counter(item for tank in found if tank for item in (tank.shell, tank.contents))
    for (place, _), tank in zip(tables, found, strict=True):
        for key in ("shell", "contents") if tank is not None else ():
            item = str(getattr(tank, key))
            if used[item] > 1:
                problem = f'"{item}" is named twice among the tanks'
                place.fault(key, problem, "Give each tank its own entries of the weight list.")
    return tuple(tank for tank in found if tank is not None)


def _tank(place: Place, table: Mapping[str, object], known: Known, notes: list[str]) -> Tank | None:
    read = place.check(TankTable, table)
    if read is None:
        return None
    shell = _listed(place, "shell", read.shell, known)
    contents = _listed(place, "contents", read.contents, known)
    if contents is not None and contents.role is not Role.PERMANENT_TANK:
        problem = f'"{read.contents}" has the role {contents.role}'
        place.fault("contents", problem, 'Give it role = "permanent tank" in the weight list.')
    if shell is not None and shell.material is None:
        problem = f'"{read.shell}" has no material'
        place.fault("shell", problem, "State its material in the weight list.")
    if read.restraint is not None and not read.sealed:
        problem = "the tank is not sealed, so it fills and has no lift to be held"
        place.fault("restraint", problem, "Take it out, or write sealed = true.")
    solid = _tank_solid(place, read, known, notes)
    if solid is None:
        return None
    return Tank(
        read.name, solid, read.shell, read.contents, read.sealed, read.restraint or "", place.entry
    )


def _tank_solid(place: Place, read: TankTable, known: Known, notes: list[str]) -> Solid | None:
    """The outside of a tank: what a cavity leaves out for it, or drawn for itself."""
    if read.left_out is None:
        drawn = read_solid(place, read, read.name)
        notes += drawn.notes if drawn is not None else ()
        return drawn.solid if drawn is not None else None
    if read.mesh is not None or read.shape is not None:
        problem = "it is drawn twice: by itself, and as what a cavity leaves out"
        place.fault("left_out", problem, "Keep one of them.")
        return None
    things: list[TakenOut] = [thing for cavity in known.cavities for thing in cavity.taken_out]
    named = [thing for thing in things if thing.name == read.left_out]
    if len(named) != 1:
        count = "no" if not named else "more than one"
        problem = f'{count} cavity leaves out something called "{read.left_out}"'
        remedy = nearest(read.left_out, sorted({thing.name for thing in things}))
        place.fault("left_out", problem, remedy if not named else "Give each its own name.")
        return None
    return named[0].solid


def _top(place: Place, raw: object, hull: Hull | None) -> Top | None:
    read = place.check(TopTable, raw)
    if read is None:
        return None
    reach = load_rulebook("us_33cfr183").number("reference_length").value
    length = hull.length if hull is not None else None
    for key, points in (("forward", read.forward), ("aft", read.aft)):
        if not points:
            place.fault(key, "it has no points", "Write at least one, on the top of hull or deck.")
        ahead = (
            None if length is None else (0.0, reach) if key == "aft" else (length - reach, length)
        )
        for number in range(len(points)):
            _check_top_point(place.inside(key), number, points, ahead)
    return Top(read.forward, read.aft)


def _check_top_point(
    place: Place, number: int, points: Sequence[Point], between: tuple[float, float] | None
) -> None:
    """A point lies in its reference area, and on the centreline or like one on the other side."""
    point = points[number]
    if between is not None and not between[0] - _NEAR <= point[0] <= between[1] + _NEAR:
        problem = (
            f"x = {metres(point[0])} lies outside the reference area, from {metres(between[0])} to"
            f" {metres(between[1])}"
        )
        remedy = "It is the outermost 2 ft of the hull's length, measured from its end."
        place.inside(number).fault("", problem, remedy)
    like = np.array([point[0], -point[1], point[2]])
    if float(np.abs(np.array(points) - like).max(axis=1).min()) > _NEAR:
        problem = "it lies off the centreline and none like it lies on the other side"
        place.inside(number).fault("", problem, f"Add {position(like.tolist())}.")


def _intact_hull(place: Place, raw: object, notes: list[str]) -> IntactHull | None:
    read = place.check(HullTable, raw)
    if read is None:
        return None
    if not read.openings:
        problem = "no place is stated where water would come aboard"
        place.fault("openings", problem, "Write the lowest points of the sheer or of a cut-out.")
    drawn = read_solid(place, read, "hull")
    if drawn is None:
        return None
    notes += drawn.notes
    return IntactHull(drawn.solid, read.openings)
