"""The solid of a cavity or of something in it: from a mesh, or from a shape."""

from dataclasses import dataclass, replace
from typing import Protocol

from flotation.boat import HandCheck
from flotation.boatfile.place import Place
from flotation.boatfile.shapes import AreasTable, OffsetsTable, read_shape
from flotation.errors import Fault, InputError
from flotation.foundbetween import FoundBetween
from flotation.geometry.meshfile import read_mesh, read_sheet
from flotation.geometry.solid import Solid


@dataclass(frozen=True)
class Drawn:
    """A solid as its file or shape gives it.

    by_hand       volumes from its stations, for a shape that has stations
    notes         what the reader of a report should know about it
    surface       m by which its surface may stand off the drawing's, where the file's reader says
    found         how it was found between the parts; None for one that was drawn
    """

    solid: Solid
    by_hand: HandCheck | None = None
    notes: tuple[str, ...] = ()
    surface: float = 0.0
    found: FoundBetween | None = None


class Declared(Protocol):
    """A table that declares a solid: a mesh with its unit, or a shape."""

    @property
    def mesh(self) -> str | None:
        """File of the mesh."""

    @property
    def unit(self) -> str | None:
        """Unit of the mesh."""

    @property
    def shape(self) -> object | None:
        """The table of a shape."""


def read_solid(place: Place, read: Declared, name: str, *, if_sheet: str = "") -> Drawn | None:
    """The solid that a table declares, or None after its faults were added.

    name      what the solid is called in messages
    if_sheet  what else can be done where the mesh is a sound sheet, but not closed
    """
    if (read.mesh is None) == (read.shape is None):
        both = read.mesh is not None
        problem = "has both a mesh and a shape" if both else "has neither a mesh nor a shape"
        place.fault("", problem, 'Write either mesh = "..." with its unit, or shape = { ... }.')
        return None
    if read.mesh is not None:
        return _from_mesh(place, (read.mesh, read.unit), name, if_sheet)
    if read.unit is not None:
        place.fault("unit", "a shape has no unit of its own", "Take it out; each length has one.")
    return _from_shape(place, read.shape, name)


def _from_mesh(place: Place, of: tuple[str, str | None], name: str, if_sheet: str) -> Drawn | None:
    file, unit = of
    try:
        path = place.folder.find(file)
        mesh = read_mesh(path, unit=unit, name=file)
        solid = Solid(mesh.vertices, mesh.faces, name)
    except InputError as error:
        if if_sheet and _is_sheet(place, file, unit):
            error = InputError([_with_advice(one, if_sheet) for one in error.faults])
        place.refuse("mesh", error, name)
        return None
    place.folder.note(file, path.read_bytes())
    notes = tuple(f"{file}: {note}" for note in mesh.notes)
    return Drawn(solid, notes=notes, surface=mesh.surface_error)


def _with_advice(fault: Fault, advice: str) -> Fault:
    """The same, where it says that a surface is open."""
    is_open = fault.problem.startswith("the surface is open")
    return replace(fault, remedy=f"{fault.remedy} {advice}") if is_open else fault


def _is_sheet(place: Place, file: str, unit: str | None) -> bool:
    try:
        read_sheet(place.folder.find(file), unit=unit, name=file)
    except InputError:
        return False
    return True


def _from_shape(place: Place, raw: object, name: str) -> Drawn | None:
    shape = read_shape(place.inside("shape"), raw)
    if shape is None:
        return None
    try:
        solid = shape.solid(name)
    except InputError as error:
        place.refuse("shape", error, name)
        return None
    by_hand = shape.by_hand(solid) if isinstance(shape, AreasTable | OffsetsTable) else None
    return Drawn(solid, by_hand)
