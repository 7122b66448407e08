"""[[cavity]]: closed spaces, what is taken out of them, their holes, their mirrored twins.

A cavity is drawn as the inside of its laminate or as its moulded face, which is then moved in, or
it is found between the parts, inside their laminate.
A hole lies on the surface as drawn or on what is left for foam. Nothing may stick out of a
cavity unless it is said to pass through, and no two cavities may share space.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from flotation.boat import Cavity
from flotation.boatfile.contents import (
    SHARED,
    Thing,
    check_hold_down,
    check_holes,
    read_holes,
    read_things,
    taken_out,
)
from flotation.boatfile.drilling import check_drill, read_drill
from flotation.boatfile.foams import chosen_foam
from flotation.boatfile.hull import Hull
from flotation.boatfile.place import Place, metres, once_each
from flotation.boatfile.schema import CavityTable
from flotation.boatfile.schema_parts import FoundTable
from flotation.boatfile.solids import Drawn, read_solid
from flotation.boatfile.twins import read_twin
from flotation.boatfile.voids import found_void
from flotation.errors import InputError
from flotation.foundcavities import FoundCavities
from flotation.geometry.cavities import overlap_volume, pieces
from flotation.geometry.cavities_laminate import moved_in
from flotation.geometry.solid import Solid
from flotation.units import si

_BEYOND = 0.1
"""Share of the boat's length and beam by which a cavity may lie outside them."""
_SMALLEST = 0.02
"""m, below which the largest side of a cavity is no place for foam: a unit is wrong."""


@dataclass(frozen=True)
class Cavities:
    """The cavities that can be used, and what the reader of a report should know of them."""

    cavities: tuple[Cavity, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Surroundings:
    """What a cavity is compared with, as far as it could be read.

    hull    the boat itself
    foams   the foam systems by name
    voids   what is found between the parts; None where nothing is searched for
    """

    hull: Hull | None
    foams: Sequence[str]
    voids: FoundCavities | None = None


@dataclass(frozen=True)
class _Found:
    """One table: its cavity, if it can be used, and its holes with where each is told of."""

    cavity: Cavity | None
    holes: tuple[tuple[Place, str], ...]
    notes: tuple[str, ...] = ()


def read_cavities(file: Place, raw: object, around: Surroundings) -> Cavities:
    """Every [[cavity]] that can be used, twins included; the others have left their faults.

    file  the place of the whole file
    """
    tables = file.tables("cavity", raw)
    once_each((place, table.get("name")) for place, table in tables)
    found: dict[Place, _Found] = {}
    originals: dict[str, Cavity | None] = {}
    for place, table in tables:
        if "mirror" not in table:
            found[place] = _read_cavity(place, table, around)
            originals[str(table.get("name"))] = found[place].cavity
    for place, table in tables:
        if "mirror" in table:
            twin = read_twin(place, table, originals, around.foams)
            holes = twin.holes if twin is not None else ()
            found[place] = _Found(twin, tuple((place, hole.name) for hole in holes))
    ordered = [(place, found[place]) for place, _ in tables]
    once_each(hole for _, one in ordered for hole in one.holes)
    usable = [(place, one.cavity) for place, one in ordered if one.cavity is not None]
    _check_shared_space(usable)
    notes = tuple(note for _, one in ordered for note in one.notes)
    return Cavities(tuple(cavity for _, cavity in usable), notes)


def _read_cavity(place: Place, table: Mapping[str, object], around: Surroundings) -> _Found:
    head = {key: value for key, value in table.items() if key not in ("hole", "out", "drill")}
    model: type[CavityTable] | type[FoundTable] = FoundTable if "found" in head else CavityTable
    read = place.check(model, head)
    holes = read_holes(place, table.get("hole", []))
    things = read_things(place, table.get("out", []))
    drill = read_drill(place, table.get("drill", []))
    named = tuple((own, hole.name) for own, hole in holes)
    if read is None:
        return _Found(None, named)
    check_hold_down(place, read.hold_down, read.hold_down_by)
    foam = chosen_foam(place, read.foam, around.foams)
    laminate = _laminate(place, read) if isinstance(read, CavityTable) else 0.0
    drawn = _drawn(place, read, around)
    if drawn is None or laminate is None:
        return _Found(None, named)
    if not _fits(place, drawn.solid, around.hull):
        return _Found(None, named)
    gross = _inside_laminate(place, drawn.solid, laminate)
    if gross is None:
        return _Found(None, named)
    left, out = taken_out(place, drawn.solid, gross, things)
    check_holes(holes, (drawn.solid, gross), left)
    check_drill(drill, drawn.solid)
    cavity = Cavity(
        name=read.name,
        group=read.group or read.name,
        solid=left,
        gross_volume=gross.volume,
        moved_in=laminate,
        taken_out=out,
        foam=foam,
        holes=tuple(hole for _, hole in holes),
        exposure=read.exposure,
        hold_down=read.hold_down,
        hold_down_by=read.hold_down_by or "",
        hand_check=drawn.by_hand,
        entry=place.entry,
        drill=tuple(box for _, box in drill),
        found=drawn.found,
    )
    return _Found(cavity, named, _notes(read.name, drawn, things, left))


def _drawn(place: Place, read: CavityTable | FoundTable, around: Surroundings) -> Drawn | None:
    """The solid of a mesh or shape, or the void that is meant; None after a fault."""
    if isinstance(read, CavityTable):
        return read_solid(place, read, read.name)
    number = found_void(place, read.found, around.voids)
    if number is None or around.voids is None:
        return None
    void = around.voids.voids[number]
    solid = Solid(void.solid.vertices, void.solid.faces, read.name)
    return Drawn(solid, found=around.voids.between(number))


def _inside_laminate(place: Place, drawn: Solid, laminate: float) -> Solid | None:
    """The cavity inside its laminate; None after a fault."""
    if 2.0 * laminate >= float(np.ptp(drawn.bounds, axis=0).min()):
        problem = f"a laminate of {metres(laminate)} on all sides fills the cavity"
        place.fault("laminate", problem, "Look at the thickness and its unit.")
        return None
    try:
        return moved_in(drawn, laminate)
    except InputError as error:
        place.refuse("laminate", error, drawn.name)
        return None


def _laminate(place: Place, read: CavityTable) -> float | None:
    """By how much the surface is moved in, m; None after a fault."""
    if read.face == "laminate":
        if read.laminate is not None:
            problem = "the surface is the inside of the laminate already"
            place.fault("laminate", problem, 'Take it out, or write face = "moulded".')
        return 0.0
    if not read.laminate:
        problem = "the thickness of the laminate is not stated"
        remedy = 'Write laminate = "5 mm": the moulded face is moved in by it.'
        place.fault("laminate" if read.laminate == 0.0 else "", problem, remedy)
        return None
    return read.laminate


def _fits(place: Place, solid: Solid, hull: Hull | None) -> bool:
    """A cavity lies within the boat and can be filled, or its unit or place is wrong.

    Where it does not, its holes and what is taken out are not compared with it.
    """
    (low_x, low_y, low_z), (high_x, high_y, high_z) = solid.bounds
    size = max(high_x - low_x, high_y - low_y, high_z - low_z)
    if size < _SMALLEST:
        problem = f"it measures {1000.0 * size:.2g} mm at most"
        place.fault("", problem, "Look at its unit.")
        return False
    if hull is None:
        return True
    beyond, half, tall = _BEYOND * hull.length, (0.5 + _BEYOND) * hull.beam, 2.0 * hull.beam
    along = -beyond <= low_x and high_x <= hull.length + beyond
    if along and max(-low_y, high_y) <= half and max(-low_z, high_z) <= tall:
        return True
    problem = (
        f"it lies outside the boat: x from {metres(low_x)} to {metres(high_x)},"
        f" y from {metres(low_y)} to {metres(high_y)}, z from {metres(low_z)} to {metres(high_z)}"
    )
    remedy = "Look at its unit, and at the origin: transom, centreline, baseline."
    place.fault("", problem, remedy)
    return False


def _notes(name: str, drawn: Drawn, things: Sequence[Thing], left: Solid) -> tuple[str, ...]:
    notes = [*drawn.notes, *(note for thing in things for note in thing.notes)]
    parts = pieces(left)
    if len(parts) > 1:
        volumes = ", ".join(str(si(part.volume, "m3")) for part in parts)
        notes.append(
            f"{name}: what is taken out leaves {len(parts)} pieces ({volumes}); foam poured into"
            " one does not reach the others."
        )
    return tuple(notes)


def _check_shared_space(usable: Sequence[tuple[Place, Cavity]]) -> None:
    """No two cavities share space: foam would be counted twice."""
    for (_, one), (place, other) in combinations(usable, 2):
        try:
            shared = overlap_volume(one.solid, other.solid)
        except InputError as error:
            place.refuse("", error, other.name)
            continue
        if shared > SHARED * min(one.solid.volume, other.solid.volume):
            problem = f'it shares {si(shared, "m3")} with the cavity "{one.name}"'
            place.fault("", problem, "Correct one of the two: foam would be counted twice.")
