"""The tables of a boat file that say what cavities are searched for between, and which are used."""

from typing import Annotated

from flotation.boat import Exposure
from flotation.boatfile.entries import Example, Flag, Force, Length, Name, Thickness, Words
from flotation.boatfile.schema import MeshUnit, Points, Raw, Table


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


class OpeningTable(Table):
    """[[opening]], closed by tape at places, or by a plug that is a mesh or a shape."""

    name: Name
    at: Points | None = None
    width: Length | None = None
    mesh: Name | None = None
    unit: MeshUnit | None = None
    shape: Raw | None = None
    closed: Flag = True


class FoundTable(Table):
    """[[cavity]] that is found between the parts."""

    name: Name
    found: Name
    group: Name | None = None
    foam: Name | None = None
    exposure: Exposure
    hold_down: Force | None = None
    hold_down_by: Words | None = None
