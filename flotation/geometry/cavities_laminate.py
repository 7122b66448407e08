"""From the moulded face of a cavity to the inside of its laminate.

First every corner is moved to where the planes of its faces, each moved in by the laminate,
meet. That keeps the mesh as it was and is exact for flat-sided cavities. Where it folds the
mesh (a fillet tighter than the laminate, a tip that closes) or does not hit the thickness, the
laminate itself is built, one block a triangle, and cut out of the cavity instead.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from flotation.errors import Fault, MeshError
from flotation.geometry.cavities import checked, pieces, to_manifold, to_solid
from flotation.geometry.overlap import find_overlap
from flotation.geometry.solid import Solid

if TYPE_CHECKING:
    from manifold3d import Manifold

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

SMALLEST_BEND = 0.01
"""Tangent of the half bend below which faces count as one; see tests/studies/study_moved_in.py."""
_NEEDLE = 1e-3  # height of a triangle, in thicknesses, below which its direction is rounding
_NEEDLES_IN_A_ROW = 100
_TURNED = 0.9  # cosine by which a triangle may turn while its corners move
_THICKNESS_ERROR = 0.005  # of the laminate's volume, while the mesh is kept
_THINNEST = 0.9  # of the thickness, anywhere
_MOST_BLOCKS = 5_000  # about half a minute
_CRUMBS = 1e-6  # share of the cavity that rounding may leave beside it
_STANDS_OUT = 0.1  # thicknesses by which a block stands out of the moulded face
_OVERLAP = 1.0 + 1e-5  # blocks are this much larger, so that neighbours leave no film
_OVERLAP_GAP = 1e-6  # thicknesses between two mitres that need no wedge
_SMOOTHED = 0.01  # thicknesses by which the steps between blocks are smoothed


def moved_in(solid: Solid, thickness: float) -> Solid:
    """Which space is left inside a laminate of even thickness behind a moulded face?

    solid      its surface is the moulded face
    thickness  m, of the laminate on all its sides; zero gives the solid itself
    Returns a Solid in one piece. Raises ValueError for a negative thickness, MeshError where the
    laminate fills the cavity, closes it off into pieces, or the mesh is too fine to be treated.

    Faces move in by the thickness, and edges and corners follow from the faces: sharp ones stay
    sharp, also where they point into the cavity. Volume error for flat-sided cavities with three
    planes at a corner: rounding. For curved ones below 0.5 % of the laminate's own volume, which
    is checked; so about 0.05 % of a side box of which 5 mm of laminate take a tenth.
    The laminate is nowhere thinner than 90 % of the thickness, which is checked too.
    Time: milliseconds, where the mesh folds about 3 ms a triangle.
    """
    if not thickness >= 0.0:
        raise ValueError(f"thickness must not be negative, got {thickness!r}")
    if thickness == 0.0:
        return solid
    shell = _Shell.of(solid, thickness)
    inside = shell.shrunk()
    if inside is not None and _thinnest(solid, inside, thickness) >= _THINNEST * thickness:
        return inside
    inside = _carved(solid, shell)
    if _thinnest(solid, inside, thickness) < _THINNEST * thickness:
        raise MeshError(
            Fault(
                solid.name,
                f"the moulded face cannot be moved in by {1000.0 * thickness:g} mm evenly",
                "Export the inside of the laminate and state face = 'laminate'.",
            )
        )
    return inside


@dataclass(frozen=True)
class _Shell:
    """A moulded face and how its corners move.

    normals   (m, 3) unit, outward
    needle    (m,) too thin to have a direction of its own; it has that of its neighbour
    known     (m,) False for needles among needles, which have no direction at all
    inward    (n, 3) m, from each vertex to the inside of the laminate
    """

    solid: Solid
    thickness: float
    normals: Floats
    needle: NDArray[np.bool_]
    known: NDArray[np.bool_]
    inward: Floats

    @classmethod
    def of(cls, solid: Solid, thickness: float) -> "_Shell":
        corners = solid.vertices[solid.faces]
        normals, areas = _normals(corners)
        sides = np.linalg.norm(np.roll(corners, -1, axis=1) - corners, axis=2)
        needle = 2.0 * areas <= _NEEDLE * thickness * sides.max(axis=1)
        beyond = _across(solid.faces, len(solid.vertices))[np.arange(len(sides)), sides.argmax(1)]
        normals, known = _borrowed(normals, ~needle, beyond // 3)
        weights = np.where(known[:, None], _angles(corners), 0.0)
        direction = _meeting_planes(solid.faces, len(solid.vertices), normals, weights)
        return cls(solid, thickness, normals, needle, known, thickness * direction)

    def mitred(self) -> Floats:
        """Where each corner of each triangle ends, (m, 3, 3) m, at just the thickness under it.

        That is where the vertex ends, but for a step along the normal at vertices where more
        planes meet than one point can satisfy.
        """
        corners, inward = self.solid.vertices[self.solid.faces], self.inward[self.solid.faces]
        depth = -np.einsum("mij,mj->mi", inward, self.normals)
        step = (depth - self.thickness)[:, :, None] * self.normals[:, None]
        ends: Floats = corners + inward + step
        return ends

    def folds(self) -> bool:
        """True where moving the corners turns a triangle that is no needle."""
        moved = self.solid.vertices + self.inward
        normals, _ = _normals(moved[self.solid.faces])
        turned = np.einsum("ij,ij->i", normals, self.normals) < _TURNED
        return bool((turned & ~self.needle).any())

    def shrunk(self) -> Solid | None:
        """The same mesh with its corners moved; None where that folds it or misses the thickness.

        Volume between two parallel surfaces is the mean of their areas over the thickness; the
        area of moving planes is a quadratic, so Simpson's rule over start, middle and end gives
        it exactly, and what it leaves over is the error of the thickness.
        """
        if self.folds():
            return None
        solid, depth = self.solid, self.thickness
        try:
            inside = Solid(solid.vertices + self.inward, solid.faces, solid.name)
            halfway = Solid(solid.vertices + 0.5 * self.inward, solid.faces, solid.name)
        except MeshError:
            return None
        if len(find_overlap(inside.vertices, inside.faces)):
            return None
        laminate = depth / 6.0 * (solid.area + 4.0 * halfway.area + inside.area)
        error = abs(solid.volume - inside.volume - laminate)
        return inside if error <= _THICKNESS_ERROR * laminate else None


def _carved(solid: Solid, shell: _Shell) -> Solid:
    """The solid less the laminate, which is built of blocks.

    Each triangle gives one, straight down to the thickness and out to the mitres with its
    neighbours. Where the surface bends into the cavity and the mitres of two neighbours differ,
    a wedge fills the gap.
    """
    from manifold3d import Manifold, OpType  # noqa: PLC0415 - loaded only where it is needed

    if len(solid.faces) > _MOST_BLOCKS:
        problem = (
            f"with {len(solid.faces)} triangles the mesh is too fine to be moved in where it folds"
        )
        remedy = "Export the inside of the laminate, or a mesh with fewer triangles in its fillets."
        raise MeshError(Fault(solid.name, problem, remedy))
    laminate = _blocks(shell)
    while len(laminate) > 1:  # in pairs of neighbours, so that few triangles meet few
        pairs = [laminate[i : i + 2] for i in range(0, len(laminate), 2)]
        laminate = [Manifold.batch_boolean(pair, OpType.Add) for pair in pairs]
    left = checked(to_manifold(solid) - laminate[0], solid.name)
    left = left.as_original().simplify(_SMOOTHED * shell.thickness)
    crumb = _CRUMBS * solid.volume
    if left.volume() <= crumb:
        problem = f"a laminate of {1000.0 * shell.thickness:g} mm fills the cavity"
        raise MeshError(Fault(solid.name, problem, "Correct the thickness, or the unit."))
    inside = to_solid(left, solid.name, crumb=crumb)
    found = pieces(inside)
    if len(found) > 1:
        volumes = ", ".join(f"{1000.0 * piece.volume:.3g} L" for piece in found[:4])
        problem = (
            f"a laminate of {1000.0 * shell.thickness:g} mm closes the cavity off into "
            f"{len(found)} pieces ({volumes})"
        )
        raise MeshError(Fault(solid.name, problem, "Describe each piece as a cavity of its own."))
    return inside


def _blocks(shell: _Shell) -> "list[Manifold]":
    """The laminate in convex blocks; see `_carved`.

    They stand out a little beyond the moulded face, lest a film be left on it.
    """
    from manifold3d import Manifold  # noqa: PLC0415 - loaded only for booleans

    rows = np.flatnonzero(shell.known)
    corners = shell.solid.vertices[shell.solid.faces[rows]]
    straight = shell.thickness * shell.normals[rows, None]
    to_mitre = shell.mitred()[rows]
    points = [*np.concatenate([corners + _STANDS_OUT * straight, corners - straight, to_mitre], 1)]
    points += _wedges(shell)
    middles = np.array([block.mean(axis=0) for block in points])
    return [
        Manifold.hull_points(middles[row] + _OVERLAP * (points[row] - middles[row]))
        for row in _side_by_side(middles)
    ]


def _wedges(shell: _Shell) -> list[Floats]:
    """Corners of the blocks between two triangles at an edge that points into the cavity, and
    between all triangles at the ends of such an edge.

    Needed only where their two blocks do not end in the same two points: at corners of more than
    three planes.
    """
    faces, vertices = shell.solid.faces, shell.solid.vertices
    mitred = shell.mitred()
    start, end = faces.ravel(), np.roll(faces, -1, axis=1).ravel()
    other = _across(faces, len(vertices)).ravel()
    one, two = np.arange(len(start)) // 3, other // 3
    far = vertices[faces[two, (other % 3 + 2) % 3]]
    points_in = np.einsum("ij,ij->i", far - vertices[start], shell.normals[one]) > 0.0
    here = np.stack([mitred.reshape(-1, 3), np.roll(mitred, -1, axis=1).reshape(-1, 3)], axis=1)
    there = here[other][:, ::-1]
    apart = np.linalg.norm(here - there, axis=2).max(axis=1) > _OVERLAP_GAP * shell.thickness
    known = shell.known[one] & shell.known[two]
    wanted = np.flatnonzero(points_in & apart & known & (one < two))
    ends = np.stack([vertices[start], vertices[end]], axis=1)
    wedges = [*np.concatenate([ends[wanted], here[wanted], there[wanted]], axis=1)]
    for vertex in np.unique([start[wanted], end[wanted]]):
        around = (faces == vertex) & shell.known[:, None]
        wedges.append(np.concatenate([vertices[vertex][None], mitred[around]]))
    return wedges


def _across(faces: Integers, count: int) -> Integers:
    """For each side (m, 3) of a closed surface, the side that runs along its edge the other way.

    Sides are numbered 3 x triangle + place; side i runs from corner i to the next.
    """
    start, end = faces.ravel(), np.roll(faces, -1, axis=1).ravel()
    other = np.empty(len(start), dtype=np.intp)
    other[np.argsort(start * count + end)] = np.argsort(end * count + start)
    return other.reshape(faces.shape)


def _borrowed(
    normals: Floats, known: NDArray[np.bool_], beyond: Integers
) -> tuple[Floats, NDArray[np.bool_]]:
    """Normals with those of needles taken from beyond their longest side, and which are known.

    A needle lies flat against that neighbour, which may be a needle again.
    """
    normals, known = normals.copy(), known.copy()
    for _ in range(_NEEDLES_IN_A_ROW):
        lent = ~known & known[beyond]
        if not lent.any():
            break
        normals[lent] = normals[beyond[lent]]
        known |= lent
    return normals, known


def _side_by_side(points: Floats) -> Integers:
    """An order of points (n, 3) in which neighbours in the list are neighbours in space.

    Along Morton's curve: the binary digits of x, y and z taken in turns.
    """
    cell = (points - points.min(axis=0)) / max(float(np.ptp(points, axis=0).max()), 1e-9)
    digits = (cell * 1023.0).astype(np.int64)
    key = np.zeros(len(points), dtype=np.int64)
    for bit in range(10):
        for axis in range(3):
            key |= ((digits[:, axis] >> bit) & 1) << (3 * bit + axis)
    return np.argsort(key, kind="stable")


def _thinnest(solid: Solid, inside: Solid, thickness: float) -> float:
    """Least distance from the inside of the laminate to the moulded face, at most 2 thickness."""
    from manifold3d import Manifold  # noqa: PLC0415 - loaded only for booleans

    low, high = solid.bounds
    around = Manifold.cube((high - low + 2.0).tolist()).translate((low - 1.0).tolist())
    return float((around - to_manifold(solid)).min_gap(to_manifold(inside), 2.0 * thickness))


def _meeting_planes(faces: Integers, count: int, normals: Floats, weights: Floats) -> Floats:
    """Where the planes round each vertex meet after all moved in by one metre, (count, 3).

    Least squares of normal . d = -1 over the faces of a vertex, weighted by their angle there,
    so that the way in which a flat face is split into triangles does not count; of all solutions
    the shortest. Directions in which the normals hardly differ (SMALLEST_BEND) are left out:
    there nearly equal planes would meet far away for no reason but rounding or facets.
    """
    matrix = np.zeros((count, 3, 3))
    right = np.zeros((count, 3))
    outer = normals[:, :, None] * normals[:, None, :]
    for corner in range(3):
        np.add.at(matrix, faces[:, corner], weights[:, corner, None, None] * outer)
        np.add.at(right, faces[:, corner], weights[:, corner, None] * normals)
    value, vector = np.linalg.eigh(matrix)
    counts = value > SMALLEST_BEND**2 * value[:, 2:]
    inverse = np.where(counts, 1.0 / np.where(counts, value, 1.0), 0.0)
    along = np.einsum("nji,nj->ni", vector, right)
    moved: Floats = -np.einsum("nij,nj->ni", vector, inverse * along)
    return moved


def _normals(corners: Floats) -> tuple[Floats, Floats]:
    """Unit normals (m, 3), and areas (m,), of triangles (m, 3, 3)."""
    a, b, c = corners.transpose(1, 0, 2)
    cross = np.cross(b - a, c - a)
    length = np.linalg.norm(cross, axis=1)
    return cross / np.where(length > 0.0, length, 1.0)[:, None], length / 2.0


def _angles(corners: Floats) -> Floats:
    """Angles (m, 3) of triangles at their corners, rad."""
    ahead = np.roll(corners, -1, axis=1) - corners
    back = np.roll(corners, 1, axis=1) - corners
    sine = np.linalg.norm(np.cross(ahead, back), axis=2)
    angle: Floats = np.arctan2(sine, np.einsum("mij,mij->mi", ahead, back))
    return angle
