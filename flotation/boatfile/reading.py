"""boat.toml -> Boat, or everything that is wrong with it, each with file, line and entry.

The file is TOML of format 1; `flotation new` writes one with every entry explained. Every
quantity is text with its unit, files are named relative to the boat file and stay in its folder,
and a name that is not known is an error. What was read is checked as a whole: nobody checks a
Boat again.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from typing import TypeVar

from flotation.boat import Boat
from flotation.boatfile.afloat import Known, read_afloat
from flotation.boatfile.cavities import Cavities, Surroundings, read_cavities
from flotation.boatfile.document import MAX_BYTES, Folder, text_of, toml_document, unreadable
from flotation.boatfile.drilling import read_keep_out
from flotation.boatfile.findings import Document, Findings, nearest
from flotation.boatfile.foams import foam_names, read_foams
from flotation.boatfile.hull import (
    Hull,
    read_capacity,
    read_chambers,
    read_hull,
    read_method,
    read_passenger_area,
)
from flotation.boatfile.parts import DrawnPart, read_parts
from flotation.boatfile.place import Place
from flotation.boatfile.shop import check_time_to_pour, read_jig, read_shop
from flotation.boatfile.voids import read_found, search_notes
from flotation.boatfile.weights import read_materials, read_weighing, read_weights
from flotation.errors import BoatFileError, Fault
from flotation.foundcavities import FoundCavities, Progress

Read = TypeVar("Read")

FORMAT = 1
_REQUIRED = ("boat", "capacity", "passenger_area", "weights", "shop", "jig")
_OPTIONAL = ("weighing", "material", "foam", "method", "cavity", "chamber", "keep_out")
_SEARCHED = ("parts", "part", "opening")
_AFLOAT = ("tank", "top", "hull")
_KNOWN = ("format", *_REQUIRED, *_OPTIONAL, *_SEARCHED, *_AFLOAT)


def read_boat(path: str | Path, *, progress: Progress | None = None) -> Boat:
    """The boat that a boat file describes.

    path      the boat file; meshes and a weight list in CSV stand in its folder
    progress  is told how far the search between parts is
    Returns a Boat. Raises BoatFileError with every fault found, in the order of the file: what
    is wrong at which line, and what to write instead.
    """
    file = Path(path)
    folder = Folder(file)
    place = Place(_document(file, folder), (), folder, Findings())
    _check_format(place)
    boat = _boat(place, progress)
    if boat is None or place.findings.faults:
        raise BoatFileError(place.findings.in_order(file.name))
    return boat


def read_found_cavities(path: str | Path, *, progress: Progress | None = None) -> FoundCavities:
    """What is found between the parts of a boat file, whatever else stands in it or is missing.

    path      as for `read_boat`; only [parts], [[part]] and [[opening]] are read, and which
              [[cavity]] uses what is found
    progress  is told how far the search is
    Raises BoatFileError with every fault of these, and where the file has no [parts].
    """
    file = Path(path)
    folder = Folder(file)
    place = Place(_document(file, folder), (), folder, Findings())
    _check_own_format(place)
    if "parts" not in place.document.data:
        remedy = 'Add [parts] gap = "4 mm", and each part under [[part]].'
        place.fault("", "[parts] is missing, so there is nothing to search between", remedy)
    found = read_found(place, read_parts(place), progress)
    if found is None or place.findings.faults:
        raise BoatFileError(place.findings.in_order(file.name))
    return found


def template() -> str:
    """A boat file to start from: every entry explained, shapes instead of meshes."""
    return files("flotation").joinpath("data", "new_boat.toml").read_text("utf-8")


def write_template(path: str | Path) -> None:
    """Write the boat file to start from; BoatFileError where a file stands already."""
    file = Path(path)
    try:
        with file.open("x", encoding="utf-8", newline="\n") as stream:
            stream.write(template())
    except FileExistsError:
        remedy = "Give another name; nothing is written over."
        raise BoatFileError(Fault(str(path), "there is a file of this name", remedy)) from None
    except OSError as error:
        problem = f"it cannot be written: {error.strerror}"
        raise BoatFileError(Fault(str(path), problem, "Look at the folder.")) from None


def _document(file: Path, folder: Folder) -> Document:
    """The file's entries; a slip in its syntax hides everything else, so it comes alone."""
    try:
        if not file.is_file():
            problem = "this is a folder" if file.is_dir() else "there is no such file"
            remedy = "Name a boat file, for example boat.toml."
            raise BoatFileError(Fault(str(file), problem, remedy))
        data = file.read_bytes()
    except OSError as error:
        raise unreadable(str(file), "it", error) from None
    if len(data) > MAX_BYTES:
        problem = f"has more than {MAX_BYTES // 10**6} MB"
        raise BoatFileError(Fault(str(file), problem, "Name a boat file, for example boat.toml."))
    folder.note(file.name, data)
    return toml_document(text_of(data, file.name), file.name)


def _check_format(file: Place) -> None:
    _check_own_format(file)
    for key in _REQUIRED:
        if key not in file.document.data:
            remedy = "Copy it from the file that `flotation new` writes, and change it to the boat."
            file.fault("", f"[{key}] is missing", remedy)


def _check_own_format(file: Place) -> None:
    """The format is known, and so is each table."""
    given = file.document.data.get("format")
    if given is None:
        file.fault("", '"format" is missing', f"Write format = {FORMAT} at the top.")
    elif given != FORMAT or isinstance(given, bool):
        problem = f"format {given!r} is not known to this version, which reads {FORMAT}"
        file.fault("format", problem, f"Write format = {FORMAT}.")
    for key in file.document.data:
        if key not in _KNOWN:
            file.fault(key, f'"{key}" is not known here', nearest(key, _KNOWN))


def _boat(file: Place, progress: Progress | None) -> Boat | None:
    """Every table in turn, as far as each can be read; None if one of them cannot."""
    data = file.document.data
    names, made_of = foam_names(data.get("foam")), read_materials(file, data.get("material", []))
    hull = _given(file, "boat", read_hull)
    capacity = _given(file, "capacity", read_capacity)
    area = _given(file, "passenger_area", lambda at, raw: read_passenger_area(at, raw, hull))
    weights = _given(file, "weights", lambda at, raw: read_weights(at, raw, made_of, hull))
    weighing = _given(file, "weighing", read_weighing)
    foams = read_foams(file, data.get("foam", []))
    shop = _given(file, "shop", lambda at, raw: read_shop(at, raw, names))
    check_time_to_pour(file.inside("shop"), shop, foams)
    jig = _given(file, "jig", read_jig)
    method = read_method(file.inside("method"), data.get("method", {}))
    sheets, found = _spaces(file, hull, names, progress)
    keep_out = read_keep_out(file, data.get("keep_out", []))
    chambers = read_chambers(file, data.get("chamber", []), hull)
    drawn = read_afloat(file, Known(hull, weights, found.cavities, sheets))
    if hull is None or capacity is None or area is None or weights is None:
        return None
    if shop is None or jig is None or method is None:
        return None
    return Boat(
        name=hull.name,
        kind=hull.kind,
        length=hull.length,
        beam=hull.beam,
        propulsion=hull.propulsion,
        rated_power=hull.rated_power,
        capacity=capacity,
        water=hull.water,
        water_name=hull.water_name,
        weights=weights.weights,
        hull_has_foam=weights.hull_has_foam,
        weighing=weighing,
        foams=foams,
        shop=shop,
        cavities=found.cavities,
        chambers=chambers,
        passenger_area=area,
        jig=jig,
        method=method,
        files=file.folder.files,
        notes=(*found.notes, *drawn.notes),
        parts=drawn.parts,
        tanks=drawn.tanks,
        top=drawn.top,
        intact_hull=drawn.intact_hull,
        entries=file.findings.entries(file.document.file),
        keep_out=keep_out,
    )


def _spaces(
    file: Place, hull: Hull | None, foams: Sequence[str], progress: Progress | None
) -> tuple[tuple[DrawnPart, ...], Cavities]:
    """The parts as they are drawn, and every cavity, with the notes of both and of the search."""
    sheets = read_parts(file)
    voids = read_found(file, sheets, progress)
    raw = file.document.data.get("cavity", [])
    found = read_cavities(file, raw, Surroundings(hull, foams, voids))
    return sheets.parts, replace(found, notes=(*found.notes, *sheets.notes, *search_notes(voids)))


def _given(file: Place, key: str, reader: Callable[[Place, object], Read | None]) -> Read | None:
    """A table that the file has; a missing one was told before."""
    data = file.document.data
    return reader(file.inside(key), data[key]) if key in data else None
