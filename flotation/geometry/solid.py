"""Solid and Skin: surfaces that keep their promise, and what is asked of them.

A Solid is finite, closed, consistently wound and outward, or it is not made. A Skin is a sheet
with a thickness and need not be closed.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike, NDArray

from flotation.errors import Fault, MeshError
from flotation.geometry.below import Below, Sums, Waterplane, sums_below
from flotation.geometry.closed import check_closed, check_outward, check_surface
from flotation.geometry.filling import FillCurve, fill_curve
from flotation.geometry.grouping import GroupedTriangles, group_triangles
from flotation.geometry.meshfile import read_mesh
from flotation.geometry.origin import extent_of, local_origin, offset_from

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Solid:
    """A closed body, outward, in metres.

    vertices  (n, 3) m
    faces     (m, 3) rows of `vertices`, counterclockwise seen from outside
    name      where it came from, for messages

    Several bodies may stand side by side in one Solid, and a hollow is a surface inside, wound
    inward. Triangles without area are allowed. Raises MeshError naming the triangles when a
    coordinate is not finite, an edge lacks its second triangle, a triangle is flipped or there
    twice, or a body is inside out or inside another. That surfaces do not cross is not checked
    here, because it takes longer than all else; `find_overlap` does, for every file read.
    """

    vertices: Floats
    faces: Integers
    name: str = ""

    def __post_init__(self) -> None:
        _freeze(self)
        check_surface(self.vertices, self.faces, self.name)
        check_closed(self.vertices, self.faces, self.name)
        check_outward(self.vertices, self.faces, self.name)

    @classmethod
    def read(cls, path: str | Path, *, unit: str | None = None) -> "Solid":
        """The solid in a mesh file; `unit` is the file's length unit where the file has none."""
        mesh = read_mesh(path, unit=unit)
        return cls(mesh.vertices, mesh.faces, name=Path(path).name)

    @property
    def volume(self) -> float:
        """m3."""
        return self._joined.volume

    @property
    def centroid(self) -> Floats:
        """(3,) m, of the volume."""
        return self._joined.centroid

    @cached_property
    def area(self) -> float:
        """m2 of surface."""
        return _area(self.vertices, self.faces)

    @cached_property
    def bounds(self) -> Floats:
        """(2, 3) m, lowest and highest corner."""
        bounds = extent_of(self.vertices, self.faces)
        bounds.flags.writeable = False
        return bounds

    def below(self, normal: ArrayLike, offset: float) -> Below:
        """The part where normal . x <= offset; `normal` of any length above zero."""
        return self._joined.below(normal, offset)

    def fill_curve(self, up: ArrayLike = (0.0, 0.0, 1.0)) -> FillCurve:
        """Volume against height along `up`, and back."""
        return fill_curve(self.vertices, self.faces, up)

    @cached_property
    def _joined(self) -> "Joined":
        return Joined(self.vertices, self.faces)


@dataclass(frozen=True, eq=False)
class SkinBelow(Below):
    """The part of a skin at and below a plane; `area` is m2 of skin, its volume over thickness."""

    area: float


@dataclass(frozen=True, eq=False)
class Skin:
    """A sheet of constant thickness, half of it on either side of the triangles.

    vertices   (n, 3) m
    faces      (m, 3) rows of `vertices`; it need not be closed or consistently wound
    thickness  m

    Every triangle stands for the straight prism of its thickness, so that a level sheet goes
    under water gradually. At a fold the prisms overlap inside and gape outside by as much.
    Volumes are right to some 1e-16 of size over thickness. Triangles without area count for
    nothing. Raises MeshError naming the triangles when a coordinate is not finite, a vertex is
    not there, or no triangle has an area.
    """

    vertices: Floats
    faces: Integers
    thickness: float
    name: str = ""

    def __post_init__(self) -> None:
        _freeze(self)
        check_surface(self.vertices, self.faces, self.name)
        if not self.area > 0.0:
            raise MeshError(Fault(self.name, "no triangle has an area", "Make the mesh anew."))
        if not 0.0 < self.thickness < float("inf"):
            raise ValueError(f"thickness must be above zero, got {self.thickness!r}")

    @property
    def volume(self) -> float:
        """m3."""
        return self.area * self.thickness

    @property
    def centroid(self) -> Floats:
        """(3,) m."""
        return self._joined.centroid

    @cached_property
    def area(self) -> float:
        """m2 of one side."""
        return _area(self.vertices, self.faces)

    def below(self, normal: ArrayLike, offset: float) -> SkinBelow:
        """The part where normal . x <= offset; `normal` of any length above zero."""
        part = self._joined.below(normal, offset)
        return SkinBelow(part.volume, part.centroid, part.waterplane, part.volume / self.thickness)

    @cached_property
    def _joined(self) -> "Joined":
        return Joined(*self.prisms)

    @cached_property
    def prisms(self) -> tuple[Floats, Integers]:
        """Vertices and faces of the closed prisms, one a triangle; none for zero area."""
        a, b, c = (self.vertices[self.faces[:, i]] for i in range(3))
        normal = np.cross(b - a, c - a)
        length = np.linalg.norm(normal, axis=1)
        real = length > 0.0
        half = 0.5 * self.thickness * normal[real] / length[real, None]
        a, b, c = a[real], b[real], c[real]
        corners = np.stack([a - half, b - half, c - half, a + half, b + half, c + half], axis=1)
        one = np.array(
            [[0, 2, 1], [3, 4, 5], [0, 1, 4], [0, 4, 3], [1, 2, 5], [1, 5, 4], [2, 0, 3], [2, 3, 5]]
        )
        faces = one[None] + 6 * np.arange(len(a))[:, None, None]
        return corners.reshape(-1, 3), faces.reshape(-1, 3)


@dataclass(frozen=True, eq=False)
class Joined:
    """Closed triangles that one query immerses together, about a local origin.

    Displaced volumes add up, so the solids and skins of a whole boat share one; make it with
    `join`. `sums` is the cheap question for a search of equilibrium, `below` the worked-out one.
    """

    vertices: Floats
    faces: Integers

    @cached_property
    def origin(self) -> Floats:
        """(3,) m, the local origin near the middle."""
        return local_origin(self.vertices, self.faces)

    @cached_property
    def grouped(self) -> GroupedTriangles:
        """The triangles in groups, about the local origin; made when first asked for."""
        return group_triangles(self.vertices - self.origin, self.faces)

    @property
    def volume(self) -> float:
        """m3."""
        return float(self.grouped.total[0]) / 6.0

    @property
    def centroid(self) -> Floats:
        """(3,) m."""
        centroid: Floats = self.origin + self.grouped.total[4:7] / (4.0 * self.grouped.total[0])
        return centroid

    def sums(self, normal: Floats, offset: float) -> Sums:
        """Integrals below normal . (x - origin) = offset, for a unit normal; all about `origin`."""
        return sums_below(self.grouped, normal, offset)

    def below(self, normal: ArrayLike, offset: float) -> Below:
        """The part where normal . x <= offset; `normal` of any length above zero."""
        direction = np.asarray(normal, dtype=float)
        length = float(np.linalg.norm(direction))
        if direction.shape != (3,) or not np.isfinite(length) or length == 0.0:
            raise ValueError(f"normal must be a direction of three numbers, got {normal!r}")
        if np.isnan(offset):
            raise ValueError("offset is not a number")
        local = offset_from(self.origin, direction, offset) / length
        return _located(self.sums(direction / length, local), self.origin)


def join(parts: Sequence[Solid | Skin]) -> Joined:
    """Solids and skins as one; where two of them overlap, the overlap counts twice."""
    if not parts:
        raise ValueError("nothing to join")
    pieces = [
        (part.vertices, part.faces) if isinstance(part, Solid) else part.prisms for part in parts
    ]
    before = np.cumsum([0] + [len(vertices) for vertices, _ in pieces])
    return Joined(
        np.concatenate([vertices for vertices, _ in pieces]),
        np.concatenate([faces + int(n) for (_, faces), n in zip(pieces, before, strict=False)]),
    )


def _located(sums: Sums, origin: Floats) -> Below:
    """Centroids, and second moments about the waterplane's own, in the caller's coordinates."""
    nowhere = np.full(3, np.nan)
    centroid = origin + sums.moment / sums.volume if sums.volume > 0.0 else nowhere
    middle, second = nowhere, np.zeros((3, 3))
    if sums.area > 0.0:
        middle = sums.area_moment / sums.area
        second = sums.area_second_moments - sums.area * np.outer(middle, middle)
    centre = origin + middle
    for array in (centroid, centre, second):
        array.flags.writeable = False
    return Below(sums.volume, centroid, Waterplane(sums.area, centre, second))


def _freeze(part: Solid | Skin) -> None:
    """Read-only copies of the arrays, float and integer, of the right shape."""
    vertices = np.array(part.vertices, dtype=np.float64, order="C")
    faces = np.array(part.faces, order="C")
    if faces.size and not np.issubdtype(faces.dtype, np.integer):
        raise TypeError(f"faces must be whole numbers, got {faces.dtype}")
    faces = faces.astype(np.intp, copy=False)
    for array, what in ((vertices, "vertices"), (faces, "faces")):
        if array.ndim != 2 or array.shape[1] != 3:
            raise ValueError(f"{what} must have three columns, got shape {array.shape}")
        array.flags.writeable = False
    object.__setattr__(part, "vertices", vertices)
    object.__setattr__(part, "faces", faces)


def _area(vertices: Floats, faces: Integers) -> float:
    a, b, c = (vertices[faces[:, i]] for i in range(3))
    return 0.5 * float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum())
