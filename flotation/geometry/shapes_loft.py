"""A solid between rings of points: what most shapes without a drawing come down to."""

import numpy as np
from numpy.typing import NDArray

from flotation.errors import Fault, MeshError
from flotation.geometry.meshfile_checks import join_corners
from flotation.geometry.overlap import find_overlap
from flotation.geometry.solid import Solid

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

_FLAT = 1e-12
_LINE = 1e-9


def loft(rings: Floats, name: str) -> Solid:
    """The solid whose sides are ruled from ring to ring and whose ends are flat.

    rings  (k, n, 3) m, k and n at least 2 and 3: corresponding points of all rings have the
           same number; the first and the last ring lie each in a plane; points may coincide
    name   for messages
    Returns a Solid. Raises MeshError where the rings bound none.

    Four corners that lie in no plane get their mean as a fifth point and four triangles. The
    volume is then exactly that of the ruled surface, which halves the difference between the
    two ways of splitting the four into two triangles, and a mirrored shape keeps mirrored
    triangles. (Both enclose, against any apex o, the mean of the tetrahedra of the two splits.)
    """
    count = rings.shape[1]
    start = count * np.arange(len(rings) - 1)[:, None] + np.arange(count)
    ahead = count * np.arange(len(rings) - 1)[:, None] + np.roll(np.arange(count), -1)
    quads = np.stack([start, ahead, ahead + count, start + count], axis=2).reshape(-1, 4)
    vertices, faces = _split_quads(rings.reshape(-1, 3), quads)
    first = _cap(rings[0])[:, ::-1]
    last = _cap(rings[-1]) + count * (len(rings) - 1)
    return solid_of(vertices, np.concatenate([faces, first, last]), name)


def solid_of(vertices: Floats, faces: Integers, name: str) -> Solid:
    """Join corners at one position, drop what has no area, turn outward, and check.

    Raises MeshError where the faces enclose nothing, or go through one another.
    """
    joined, used, _ = join_corners(vertices, faces)
    if not len(used):
        raise MeshError(Fault(name, "the shape encloses no volume", "Give it a size."))
    a, b, c = (joined[used[:, i]] - joined[0] for i in range(3))
    if np.einsum("ij,ij->", a, np.cross(b, c)) < 0.0:
        used = used[:, ::-1]
    solid = Solid(joined, used, name)
    crossing = find_overlap(solid.vertices, solid.faces)
    if len(crossing):
        x, y, z = solid.vertices[solid.faces[crossing[0]]].mean(axis=(0, 1))
        problem = f"the shape goes through itself near ({x:.4g}, {y:.4g}, {z:.4g}) m"
        raise MeshError(Fault(name, problem, "Correct its stations or points there."))
    return solid


def plane_frame(points: Floats) -> Floats:
    """Two unit vectors, (2, 3), along the plane that points (n, 3) lie nearest to.

    The ring that the points form runs counterclockwise in the two, if it encloses anything.
    """
    frame: Floats = np.linalg.svd(points - points.mean(axis=0))[2][:2]
    return frame if enclosed_area(points @ frame.T) >= 0.0 else frame[::-1]


def enclosed_area(ring: Floats) -> float:
    """Area of an outline (n, 2), m2: positive counterclockwise."""
    (ay, az), (by, bz) = (ring - ring[0]).T, (np.roll(ring, -1, axis=0) - ring[0]).T
    return float((ay * bz - az * by).sum()) / 2.0


def lies_on_a_line(points: Floats) -> bool:
    """True if the points (n, 2) or (n, 3) are collinear, or all the same."""
    size = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
    return bool(size[1] <= _LINE * size[0])


def _split_quads(points: Floats, quads: Integers) -> tuple[Floats, Integers]:
    p, q, r, s = (points[quads[:, i]] for i in range(4))
    normal = np.cross(r - p, s - q)
    length = np.linalg.norm(normal, axis=1)
    size = np.linalg.norm(np.stack([q - p, r - q, s - r, p - s]), axis=2).max(axis=0)
    off = np.abs(np.einsum("ij,ij->i", normal, q - p))
    twisted = off > _FLAT * size * length
    flat = quads[~twisted]
    bent = quads[twisted]
    middle = len(points) + np.arange(len(bent))
    fans = [np.column_stack([bent[:, i], bent[:, (i + 1) % 4], middle]) for i in range(4)]
    faces = np.concatenate([flat[:, [0, 1, 2]], flat[:, [0, 2, 3]], *fans])
    return np.concatenate([points, points[bent].mean(axis=1)]), faces


def _cap(ring: Floats) -> Integers:
    """Triangles over a flat ring, in its own direction; none where the ring encloses nothing."""
    from manifold3d import triangulate  # noqa: PLC0415 - loaded only where a shape is made

    if lies_on_a_line(ring):
        return np.empty((0, 3), dtype=np.intp)
    fresh = np.flatnonzero((ring != np.roll(ring, 1, axis=0)).any(axis=1))
    flat = (ring[fresh] - ring[0]) @ plane_frame(ring).T
    return fresh[np.asarray(triangulate([flat]), dtype=np.intp)]


def check_simple(ring: Floats, what: str, name: str) -> None:
    """Raise MeshError where an outline (n, 2) crosses or touches itself.

    Points that repeat their neighbour are allowed.
    """
    fresh = (ring != np.roll(ring, 1, axis=0)).any(axis=1)
    start, number = ring[fresh], np.flatnonzero(fresh) + 1
    side = np.roll(start, -1, axis=0) - start
    count = len(start)
    for one in range(count):
        for other in range(one + 1, count):
            beside = other == one + 1 or (one == 0 and other == count - 1)
            meet = _folded_back if beside else _meet
            if meet(start[one], side[one], start[other], side[other]):
                places = f"{number[one]} and {number[other]}"
                problem = f"the {what} meets itself on the sides after points {places}"
                raise MeshError(Fault(name, problem, "Give its corners in order, one way round."))


def _meet(a: Floats, along_a: Floats, b: Floats, along_b: Floats) -> bool:
    """Do two pieces of a line have a point in common?"""
    turn = along_a[0] * along_b[1] - along_a[1] * along_b[0]
    apart = b - a
    if turn == 0.0:
        if apart[0] * along_a[1] != apart[1] * along_a[0]:
            return False
        from_b = apart @ along_a, (apart + along_b) @ along_a
        return bool(max(from_b) >= 0.0 and min(from_b) <= along_a @ along_a)
    on_a = (apart[0] * along_b[1] - apart[1] * along_b[0]) / turn
    on_b = (apart[0] * along_a[1] - apart[1] * along_a[0]) / turn
    return bool(0.0 <= on_a <= 1.0 and 0.0 <= on_b <= 1.0)


def _folded_back(_a: Floats, along_a: Floats, _b: Floats, along_b: Floats) -> bool:
    """Does one of two neighbouring sides lie along the other, instead of going on from it?"""
    turn = along_a[0] * along_b[1] - along_a[1] * along_b[0]
    return bool(turn == 0.0 and along_a @ along_b < 0.0)
