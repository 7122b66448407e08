"""Boat files whose cavities lie between parts: a box of plates, with a web and a hole in it."""

from pathlib import Path

import pytest
from boatfile_writing import write

from flotation.boatfile import read_found_cavities
from flotation.errors import BoatFileError
from flotation.geometry.cavities import take_out
from flotation.geometry.shapes import box
from flotation.report.stl import binary_stl

WALL, LENGTH, BREADTH, HEIGHT = 0.01, 1.0, 0.6, 0.3  # m, of the box inside
WEB, HOLE = (0.60, 0.61), 0.020  # the web between its two chambers, and the hole in it


def plate(name: str, corner: tuple[float, ...], size: tuple[float, ...], more: str = "") -> str:
    """A [[part]] that is a box."""
    listed = ["[" + ", ".join(f'"{value:.4f} m"' for value in row) + "]" for row in (corner, size)]
    shape = f'{{ kind = "box", corner = {listed[0]}, size = {listed[1]} }}'
    return f'[[part]]\nname = "{name}"\nshape = {shape}\n{more}\n'


def chest() -> str:
    """Six plates round a box of which y runs from 0.1 m: it lies to port."""
    w, (x, y, z) = WALL, (LENGTH, BREADTH, HEIGHT)
    return "".join(
        [
            plate("bottom", (-w, 0.1 - w, -w), (x + 2 * w, y + 2 * w, w)),
            plate("top", (-w, 0.1 - w, z), (x + 2 * w, y + 2 * w, w)),
            plate("aft", (-w, 0.1 - w, 0), (w, y + 2 * w, z)),
            plate("forward", (x, 0.1 - w, 0), (w, y + 2 * w, z)),
            plate("starboard", (0, 0.1 - w, 0), (x, w, z)),
            plate("port", (0, 0.1 + y, 0), (x, w, z)),
        ]
    )


def web(folder: Path) -> str:
    """A web across the box with a square hole in it, written into the folder."""
    start, end = WEB
    solid = box((start, 0.1, 0.0), (end - start, BREADTH, HEIGHT), name="web")
    hole = box((start - 0.01, 0.4 - HOLE / 2, 0.04), (0.03, HOLE, HOLE), name="hole")
    (folder / "web.stl").write_bytes(binary_stl(take_out(solid, [hole])))
    return '[[part]]\nname = "web"\nmesh = "web.stl"\nunit = "mm"\n'


TAPE = """
[[opening]]
name = "limber hole"
at = [["0.605 m", "0.4 m", "0.05 m"]]
width = "25 mm"
"""
PLUG = """
[[opening]]
name = "limber hole"
shape = { kind = "cone", start = ["600 mm", "0.4 m", "50 mm"], end = ["610 mm", "0.4 m", "50 mm"],\
 start_diameter = "40 mm", end_diameter = "40 mm" }
"""
SEARCH = '[parts]\ngap = "3 mm"\n'


def parts_file(folder: Path, *tables: str) -> Path:
    """A boat file that has parts and nothing else."""
    file = folder / "parts.toml"
    file.write_text("format = 1\n" + "".join(tables))
    return file


def faults_of(file: Path) -> list[str]:
    with pytest.raises(BoatFileError) as caught:
        read_found_cavities(file)
    return [str(fault) for fault in caught.value.faults]


CAVITY = """
[[cavity]]
name = "locker"
found = "0.50 port 0.40 up 0.15"
foam = "pour foam 2 lb"
exposure = "none"

[[cavity.hole]]
name = "P1"
kind = "fill"
at = ["0.5 m", "0.4 m", "0.3 m"]
diameter = "30 mm"
"""


def whole_boat(folder: Path, *tables: str) -> Path:
    """The commented boat file with parts in place of its cavities."""
    file = write(folder, cavities=False)
    file.write_text(file.read_text() + "".join(tables))
    return file
