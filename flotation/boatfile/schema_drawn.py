"""Tables of what is drawn beside the cavities: parts, openings, tanks, top and hull."""

from typing import Annotated

from flotation.boatfile.entries import Example, Flag, Length, Name, Point, Thickness, Words
from flotation.boatfile.schema import MeshUnit, Raw, Table


class PartsTable(Table):
    """[parts], how the cavities between the parts are searched for."""

    gap: Annotated[Thickness, Example('"4 mm"')]
    surface_error: Thickness = 0.0
    look_to: Length | None = None


class PartTable(Table):
    """[[part]]: a sheet with its thickness, or a closed solid with its real one."""

    name: Name
    mesh: Name | None = None
    unit: MeshUnit | None = None
    shape: Raw | None = None
    thickness: Length | None = None
    weight: Name | None = None
    walls: Flag = True


class TankTable(Table):
    """[[tank]]; its solid is a mesh, a shape, or what a cavity leaves out for it."""

    name: Name
    mesh: Name | None = None
    unit: MeshUnit | None = None
    shape: Raw | None = None
    left_out: Name | None = None
    shell: Name
    contents: Name
    sealed: Flag
    restraint: Words | None = None


Points = Annotated[tuple[Point, ...], Example('[["4.3 m", "0 m", "0.78 m"], ...]')]


class TopTable(Table):
    """[top]."""

    forward: Points
    aft: Points


class OpeningTable(Table):
    """[[opening]], closed by tape at places, or by a plug that is a mesh or a shape."""

    name: Name
    at: Points | None = None
    width: Length | None = None
    mesh: Name | None = None
    unit: MeshUnit | None = None
    shape: Raw | None = None
    closed: Flag = True


class HullTable(Table):
    """[hull], the watertight outside."""

    mesh: Name | None = None
    unit: MeshUnit | None = None
    shape: Raw | None = None
    openings: Points
