"""The bodies of a boat as a browser draws them: corners on a grid, triangles, base64.

A picture needs no micrometres: corners are rounded to a grid of 0.1 mm, coarser where the boat is
long or its meshes are so fine that the page would grow too large. Triangles that the grid makes
empty are left out. Every number of the page comes from the calculation, none from the picture.
"""

from base64 import b64encode
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.boat import Boat
from flotation.boat_places import Point
from flotation.geometry.solid import Skin, Solid

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

_FINEST = 1e-4  # m
_MOST_STEPS = 65_000  # along the longest side: two bytes hold 65 535
_COARSER = 2.0**0.5
# Corners of a drawn boat lie on round millimetres and their halves. The grid is shifted so that
# none of them lies midway between two of its points, where the last digit of a float would decide.
_SHIFT = 0.37
_CORNERS = np.array([(x, y, z) for x in (0, 1) for y in (0, 1) for z in (0, 1)], dtype=float)
_FACES = np.array(
    [
        *([0, 1, 3], [0, 3, 2], [4, 6, 7], [4, 7, 5], [0, 4, 5], [0, 5, 1]),
        *([2, 3, 7], [2, 7, 6], [0, 2, 6], [0, 6, 4], [1, 5, 7], [1, 7, 3]),
    ]
)


@dataclass(frozen=True, eq=False)
class Shape:
    """Something to draw.

    kind      "cavity", "out", "part", "hull", "tank" or "chamber"
    vertices  (n, 3) m; faces: (m, 3) rows of them
    """

    kind: str
    name: str
    vertices: Floats
    faces: Integers


@dataclass(frozen=True)
class Grid:
    """Where corners may lie: low + step * (i, j, k), m, with whole numbers below 65 536."""

    low: Point
    step: float


@dataclass(frozen=True, eq=False)
class OnGrid:
    """A shape on a grid: (n, 3) whole numbers, and (m, 3) rows of them."""

    shape: Shape
    corners: NDArray[np.uint16]
    faces: Integers

    @property
    def wide(self) -> bool:
        """True if a row needs four bytes."""
        return len(self.corners) > 65_536

    @property
    def letters(self) -> int:
        """About how many letters of base64 it takes."""
        return (6 * len(self.corners) + (12 if self.wide else 6) * len(self.faces)) * 4 // 3 + 8


def shapes(boat: Boat) -> tuple[Shape, ...]:
    """All that a boat file draws: cavities, what they leave out, sheets, hull, tanks, chambers.

    A tank that a cavity leaves out is drawn once.
    """
    left_out = [out.solid for cavity in boat.cavities for out in cavity.taken_out]
    found = [_shape("cavity", cavity.name, cavity.solid) for cavity in boat.cavities]
    found += [
        _shape("out", f"{out.name} in {cavity.name}", out.solid)
        for cavity in boat.cavities
        for out in cavity.taken_out
    ]
    found += [_shape("part", part.name, part.skin) for part in boat.parts]
    if boat.intact_hull is not None:
        found.append(_shape("hull", "watertight hull", boat.intact_hull.solid))
    found += [
        _shape("tank", tank.name, tank.solid)
        for tank in boat.tanks
        if not any(np.array_equal(tank.solid.vertices, solid.vertices) for solid in left_out)
    ]
    found += [
        Shape("chamber", one.name, (_CORNERS - 0.5) * np.array(one.size) + np.array(one.at), _FACES)
        for one in boat.chambers
        if one.size is not None
    ]
    return tuple(found)


def _shape(kind: str, name: str, drawn: Solid | Skin) -> Shape:
    return Shape(kind, name, drawn.vertices, drawn.faces)


def on_grid(drawn: Sequence[Shape], most_letters: int) -> tuple[Grid, tuple[OnGrid, ...]]:
    """The shapes on the finest grid on which all of them together take so many letters at most.

    drawn  at least one. No corner moves by more than half the grid's step along an axis.
    """
    points = np.concatenate([shape.vertices for shape in drawn])
    low, high = points.min(axis=0), points.max(axis=0)
    step = max(_FINEST, float((high - low).max()) / _MOST_STEPS)
    while True:
        grid = Grid(_point(low - _SHIFT * step), step)
        placed = tuple(_placed(shape, grid) for shape in drawn)
        if sum(one.letters for one in placed) <= most_letters:
            return grid, placed
        step *= _COARSER


def _point(values: Floats) -> Point:
    x, y, z = (round(float(value), 9) for value in values)
    return x, y, z


def _placed(shape: Shape, grid: Grid) -> OnGrid:
    steps = np.rint((shape.vertices - np.array(grid.low)) / grid.step).astype(np.int64)
    # One number a corner: sorting rows of three would take ten times as long.
    keys, rows = np.unique(steps @ (1 << 32, 1 << 16, 1), return_inverse=True)
    corners = np.column_stack([keys >> 32, keys >> 16 & 0xFFFF, keys & 0xFFFF]).astype(np.uint16)
    faces = rows.reshape(-1)[shape.faces]
    a, b, c = faces.T
    return OnGrid(shape, corners, faces[(a != b) & (b != c) & (c != a)])


def letters_of(placed: OnGrid) -> dict[str, object]:
    """Corners and triangles as base64 of little-endian whole numbers of two or four bytes."""
    faces = placed.faces.astype("<u4" if placed.wide else "<u2")
    return {
        "corners": b64encode(placed.corners.astype("<u2").tobytes()).decode(),
        "triangles": b64encode(faces.tobytes()).decode(),
        "wide": placed.wide,
    }
