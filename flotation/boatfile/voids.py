"""[parts] and [[opening]]: cavities searched for between the parts, and openings closed by name.

Nothing that was found is passed over in silence: openings that stay open, cavities that no
[[cavity]] names and what the search itself cautions about come as notes.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import chain

import numpy as np

from flotation.boatfile.parts import DrawnParts
from flotation.boatfile.parts_units import check_units, check_whole
from flotation.boatfile.place import Place, metres, once_each, position
from flotation.boatfile.schema_drawn import OpeningTable, PartsTable
from flotation.boatfile.solids import read_solid
from flotation.errors import InputError, UnitError
from flotation.foundcavities import FoundCavities, Progress
from flotation.geometry.nearness import contains
from flotation.geometry.solid import Skin, Solid
from flotation.geometry.voids import OUTSIDE, CavityFinding, Closure, Gap, Void
from flotation.geometry.voids.naming import NoSuchVoid, names_by_place, void_named
from flotation.units import length, si

_NUMBER = r"-?[0-9]+\.[0-9]+"
_PLACE = re.compile(
    rf"(?P<x>{_NUMBER}) (?P<side>port|starboard|centre)(?: (?P<y>{_NUMBER}))? up (?P<z>{_NUMBER})"
)
_SHOWN = 6  # names in a message
# m by which parts may stand farther apart than the gap and still count as touching
_ROUNDED = 1e-3


@dataclass(frozen=True, eq=False)
class Opening:
    """An [[opening]] that is closed: by tape at places, or by a plug."""

    place: Place
    name: str
    tape: tuple[Closure, ...]
    plug: Solid | None


def read_found(
    file: Place, drawn: DrawnParts, progress: Progress | None = None
) -> FoundCavities | None:
    """What is found between the parts; None where the file has no [parts], and after a fault.

    file      the place of the whole file
    progress  is told how far the search is
    """
    data = file.document.data
    openings, left_open = _read_openings(file, data.get("opening", []))
    if "parts" not in data:
        for key in ("opening",) if openings or left_open else ():
            file.fault(key, "there are no [parts] to close it between", 'Add [parts] gap = "4 mm".')
        return None
    place = file.inside("parts")
    read = place.check(PartsTable, data["parts"])
    walls = [part for part in drawn.parts if part.walls]
    if read is None or openings is None or not drawn.complete:
        return None
    if not walls:
        place.fault("", "there is no part to search between", "Add each under [[part]].")
        return None
    bodies = [part.body for part in walls]
    off = read.surface_error + max(part.surface for part in walls)
    near = read.gap + 2.0 * off + _ROUNDED
    finding = None
    if check_units(walls, near) and check_whole(place, _boat_length(data), walls):
        finding = _search(place, (read, off, progress), bodies, openings)
    if finding is None:
        return None
    called, missed = _called(file, finding)
    closes = tuple(_closes(opening, finding) for opening in openings)
    return FoundCavities(
        boat=_boat_name(data),
        parts=tuple(bodies),
        finding=finding,
        called=called,
        closed=tuple(opening.name for opening in openings),
        closes=closes,
        left_open=left_open,
        surface_error=off,
        notes=(*missed, *drawn.notes),
    )


def _boat_name(data: Mapping[str, object]) -> str:
    boat = data.get("boat")
    return str(boat.get("name", "")) if isinstance(boat, dict) else ""


def _boat_length(data: Mapping[str, object]) -> float | None:
    """m; None where it is missing or wrong, which is told elsewhere."""
    boat = data.get("boat")
    try:
        return length(boat.get("length") if isinstance(boat, dict) else None)
    except UnitError:
        return None


def _search(
    place: Place,
    asked: tuple[PartsTable, float, Progress | None],
    walls: Sequence[Solid | Skin],
    openings: Sequence[Opening],
) -> CavityFinding | None:
    """The finding, or None after a fault; asked: as stated, surfaces off by so many m, progress."""
    from flotation.geometry.voids import find_cavities  # noqa: PLC0415 - few boats are of parts

    read, surface_error, progress = asked
    plugs = [opening.plug for opening in openings if opening.plug is not None]
    try:
        return find_cavities(
            [*walls, *plugs],
            gap=read.gap,
            closures=[tape for opening in openings for tape in opening.tape],
            look_to=read.look_to,
            surface_error=surface_error,
            progress=progress,
        )
    except InputError as error:
        place.refuse("", error)
        return None


def _read_openings(file: Place, raw: object) -> tuple[list[Opening] | None, tuple[str, ...]]:
    """Openings to close, None after a fault, and the names of those that stay open."""
    tables = file.tables("opening", raw)
    once_each((place, table.get("name")) for place, table in tables)
    openings, left_open, sound = [], [], True
    for place, table in tables:
        read = place.check(OpeningTable, table)
        opening = None if read is None else _opening(place, read)
        if read is None or opening is None:
            sound = False
        elif read.closed:
            openings.append(opening)
        else:
            left_open.append(read.name)
    return openings if sound else None, tuple(left_open)


def _opening(place: Place, read: OpeningTable) -> Opening | None:
    if read.mesh is not None or read.shape is not None:
        if read.at is not None or read.width is not None:
            problem = "it is closed twice: by a plug, and at a place"
            place.fault("", problem, "Keep the mesh or shape, or at and width.")
            return None
        plug = read_solid(place, read, read.name)
        return None if plug is None else Opening(place, read.name, (), plug.solid)
    if not read.at or read.width is None:
        problem = "it does not say where it is, or how wide"
        remedy = 'Write at = [["1.2 m", "0 m", "0.04 m"]] and width = "30 mm", or a plug\'s shape.'
        place.fault("", problem, remedy)
        return None
    tape = tuple(Closure(read.name, at, read.width) for at in read.at)
    return Opening(place, read.name, tape, None)


def _closes(opening: Opening, finding: CavityFinding) -> tuple[int, ...]:
    """Numbers of the voids that it keeps in; one that closes nothing is told, and why."""
    if opening.plug is not None:
        _check_plug(opening, finding)
        return tuple(n for n, void in enumerate(finding.voids) if opening.name in void.parts)
    taped = [_taped(opening, n, tape, finding) for n, tape in enumerate(opening.tape)]
    return tuple(sorted({n for gap in chain(*taped) for n in gap.between if n != OUTSIDE}))


def _check_plug(opening: Opening, finding: CavityFinding) -> None:
    adrift = {name for void in finding.voids for body in void.adrift for name in body}
    loose = adrift | {name for body in finding.apart for name in body}
    if opening.name in loose:
        remedy = "Correct its place or size; it must touch what it closes, or nearly."
        opening.place.fault("", "the plug stands free and closes nothing", remedy)


def _taped(opening: Opening, number: int, tape: Closure, finding: CavityFinding) -> list[Gap]:
    """The openings that tape at one place closes; none is told: its place or width is wrong."""
    near = [
        gap
        for gap in finding.gaps
        if finding.gap < gap.widest <= tape.width * (1.0 + 1e-6)
        and float(np.linalg.norm(gap.place - np.array(tape.at))) <= tape.width + gap.length
    ]
    if not near:
        problem = f"no opening wider than the gap and up to {metres(tape.width)} is here"
        remedy = "Correct the place, which is on its edge or in its middle, or the width."
        opening.place.inside("at", number).fault("", problem, remedy)
    return near


def _called(file: Place, finding: CavityFinding) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The name of the [[cavity]] that each void is used as, and what is said of those of none.

    Where the whole boat is read, a [[cavity]] of none is a fault of its own.
    """
    called, missed = [""] * len(finding.voids), []
    raw = file.document.data.get("cavity", [])
    for table in raw if isinstance(raw, list) else []:
        if isinstance(table, dict) and isinstance(table.get("found"), str):
            try:
                number = void_named(table["found"], finding.voids)
            except NoSuchVoid as error:
                there = _there(table["found"], finding.voids)
                missed.append(f'[[cavity]] "{table.get("name", "")}": {error}. {there}')
                continue
            called[number] = called[number] or str(table.get("name", ""))
    return tuple(called), tuple(missed)


def found_void(place: Place, name: str, found: FoundCavities | None) -> int | None:
    """The number of the void that `found = name` means; None after a fault."""
    if found is None:
        if "parts" not in place.document.data:
            problem = "there are no [parts] in which a cavity could be found"
            place.fault("found", problem, 'Add [parts] gap = "4 mm" and each [[part]].')
        return None
    try:
        return void_named(name, found.voids)
    except NoSuchVoid as error:
        look = "`flotation cavities` tells what leaks and what is joined."
        place.fault("found", str(error), f"{_there(name, found.voids)} {look}")
        return None


def _there(name: str, voids: Sequence[Void]) -> str:
    """Of a name that means no void: what holds its place now, or lies nearest."""
    names = names_by_place(voids)
    match = _PLACE.match(name)
    if match is None or not voids:
        known = ", ".join(f'"{one}"' for one in names[:_SHOWN]) or "none"
        return f"Found are: {known}."
    across = {"port": 1.0, "starboard": -1.0}.get(match["side"], 0.0)
    at = np.array([[float(match["x"]), across * float(match["y"] or 0.0), float(match["z"])]])
    for number, void in enumerate(voids):
        if contains(void.solid, at)[0]:
            size = si(void.volume, "m3")
            return f'That place lies in "{names[number]}", which holds {size}.'
    away = [float(np.linalg.norm(void.centroid - at[0])) for void in voids]
    return f'The nearest is "{names[int(np.argmin(away))]}".'


def search_notes(found: FoundCavities | None) -> tuple[str, ...]:
    """What the reader of a report should know of the search; nothing where there was none."""
    if found is None:
        return ()
    finding = found.finding
    notes = list(finding.cautions)
    for number, void in enumerate(found.voids):
        if not found.called[number]:
            notes.append(
                f"The cavity found at {found.names[number]} ({si(void.volume, 'm3')}) is not used"
                " as a [[cavity]]: it counts as open to water."
            )
    for leak in finding.leaks:
        what = "an opening" if leak.cavity != OUTSIDE or leak.to != OUTSIDE else "a leak"
        notes.append(
            f"At {position(leak.place.tolist())} there is {what} of up to {metres(leak.widest)},"
            f" wider than the gap: foam goes {found.leads(leak)}."
        )
    notes += [f"{text[:1].upper()}{text[1:]}." for text in found.asides]
    return tuple(notes)
