"""[[part]]: what the boat is made of, as sheets with a thickness or as closed solids.

One table serves two ends: a sheet may carry an item of the weight list, and every part may wall
the cavities that are searched for where the file has [parts].
"""

from collections.abc import Mapping
from dataclasses import dataclass

from flotation.boatfile.place import Place, once_each
from flotation.boatfile.schema_drawn import PartTable
from flotation.boatfile.solids import read_solid
from flotation.errors import InputError
from flotation.geometry.meshfile import read_sheet
from flotation.geometry.solid import Skin, Solid

_IF_SHEET = 'Or, if it is drawn as a skin, write thickness = "4 mm" with it.'


@dataclass(frozen=True, eq=False)
class DrawnPart:
    """A part as its table declares it.

    weight   the item of the weight list that it carries; None: none
    walls    whether cavities are searched for between it and the others
    notes    what the reader of a report should know about its file
    surface  m by which its surface may be off, from the chords of a curved face
    unit     unit that the boat file gives its mesh; None where the mesh has its own, or a shape
    """

    place: Place
    name: str
    body: Solid | Skin
    weight: str | None
    walls: bool
    notes: tuple[str, ...]
    surface: float = 0.0
    unit: str | None = None


@dataclass(frozen=True)
class DrawnParts:
    """The parts that can be used, and whether that is all of them."""

    parts: tuple[DrawnPart, ...]
    complete: bool

    @property
    def notes(self) -> tuple[str, ...]:
        """What the reader of a report should know of their files."""
        return tuple(note for part in self.parts for note in part.notes)


def read_parts(file: Place) -> DrawnParts:
    """Every [[part]] that can be used; the others have left their faults.

    file  the place of the whole file
    """
    searched = "parts" in file.document.data
    tables = file.tables("part", file.document.data.get("part", []))
    once_each((place, table.get("name")) for place, table in tables)
    found = [_part(place, table, searched=searched) for place, table in tables]
    usable = tuple(part for part in found if part is not None)
    return DrawnParts(usable, len(usable) == len(found))


def _part(place: Place, table: Mapping[str, object], *, searched: bool) -> DrawnPart | None:
    read = place.check(PartTable, table)
    if read is None:
        return None
    if read.weight is None and not (searched and read.walls):
        place.fault("", '"weight" is missing', "Name the item of the weight list that it carries.")
    if read.thickness is None:
        drawn = read_solid(place, read, read.name, if_sheet=_IF_SHEET)
        if drawn is None:
            return None
        kept = (read.weight, read.walls, drawn.notes, drawn.surface, read.unit)
        return DrawnPart(place, read.name, drawn.solid, *kept)
    if read.mesh is None or read.shape is not None:
        problem = "a part with a thickness is a sheet, and a sheet is a mesh"
        place.fault("thickness", problem, "Name its mesh, or take the thickness out.")
        return None
    try:
        path = place.folder.find(read.mesh)
        mesh = read_sheet(path, unit=read.unit, name=read.mesh)
        skin = Skin(mesh.vertices, mesh.faces, read.thickness, read.name)
    except InputError as error:
        place.refuse("mesh", error, read.name)
        return None
    place.folder.note(read.mesh, path.read_bytes())
    notes = tuple(f"{read.mesh}: {note}" for note in mesh.notes)
    kept = (read.weight, read.walls, notes, mesh.surface_error, read.unit)
    return DrawnPart(place, read.name, skin, *kept)
