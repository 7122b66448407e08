"""Solids without a drawing: boxes and prisms; mirrored, moved and turned solids."""

from math import cos, sin

import numpy as np
from numpy.typing import ArrayLike, NDArray

from flotation.errors import Fault, MeshError
from flotation.geometry.shapes_loft import check_simple, lies_on_a_line, loft, plane_frame
from flotation.geometry.solid import Solid

Floats = NDArray[np.float64]

_FLAT = 1e-6


def box(corner: ArrayLike, size: ArrayLike, *, name: str = "") -> Solid:
    """A box along the axes: its lowest corner and its size along x, y, z, (3,) m each."""
    low, sides = _point(corner), _point(size)
    if not (sides > 0.0).all():
        raise MeshError(
            Fault(name, f"a side of the box is {sides.min():g} m", "Give sides above zero.")
        )
    floor = np.array([(0, 0, 0), (1, 0, 0), (1, 1, 0), (0, 1, 0)]) * sides
    top = floor + np.array([0.0, 0.0, sides[2]])
    return loft(low + np.stack([floor, top]), name)


def prism(outline: ArrayLike, along: ArrayLike, *, name: str = "") -> Solid:
    """A flat outline pushed along a direction: a block, a tank end, a locker.

    outline  (n, 3) m, corners in order either way round, in one plane
    along    (3,) m, how far and where the outline is pushed; it may be oblique
    Volume: area of the outline x what of `along` stands square to it. Raises MeshError for an
    outline that is not flat to 1e-6 of its size, crosses itself, or is pushed along its plane.
    """
    ring, push = np.asarray(outline, dtype=np.float64), _point(along)
    if ring.ndim != 2 or ring.shape[1] != 3:
        raise ValueError(f"an outline has three columns, got shape {ring.shape}")
    if len(ring) < 3:
        raise MeshError(Fault(name, "the outline has fewer than three corners", "Add corners."))
    frame = plane_frame(ring)
    reach = float(np.ptp(ring, axis=0).max())
    normal = np.cross(*frame)
    off = np.abs((ring - ring[0]) @ normal)
    if off.max() > _FLAT * reach:
        problem = f"corner {off.argmax() + 1} of the outline is {off.max():.3g} m out of its plane"
        raise MeshError(Fault(name, problem, "Give corners that lie in one plane."))
    if lies_on_a_line(ring) or abs(push @ normal) <= _FLAT * reach:
        problem = "the prism has no volume: its outline is a line, or is pushed along its own plane"
        raise MeshError(Fault(name, problem, "Correct the outline or the direction."))
    check_simple(ring @ frame.T, "outline", name)
    return loft(np.stack([ring, ring + push]), name)


def mirrored(solid: Solid, *, name: str = "") -> Solid:
    """The twin on the other side of the boat: y becomes -y. Exact."""
    return Solid(solid.vertices * (1.0, -1.0, 1.0), solid.faces[:, ::-1], name or solid.name)


def moved(solid: Solid, shift: ArrayLike, rotation: ArrayLike | None = None) -> Solid:
    """The solid turned about the origin, then shifted.

    shift     (3,) m
    rotation  (3, 3) proper rotation, as `rotation_about` gives it; None: not turned
    Raises ValueError for a matrix that stretches or mirrors.
    """
    vertices = solid.vertices
    if rotation is not None:
        matrix = np.asarray(rotation, dtype=np.float64)
        proper = np.allclose(matrix @ matrix.T, np.eye(3), rtol=0.0, atol=1e-12)
        if not proper or np.linalg.det(matrix) < 0.0:
            raise ValueError("the matrix is no rotation")
        vertices = vertices @ matrix.T
    return Solid(vertices + _point(shift), solid.faces, solid.name)


def rotation_about(axis: ArrayLike, angle: float) -> Floats:
    """The rotation (3, 3) by `angle` rad about an axis through the origin, right-handed.

    Rodrigues' formula; common practice, no source.
    """
    direction = _point(axis)
    x, y, z = direction / np.linalg.norm(direction)
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    turn: Floats = np.eye(3) + sin(angle) * cross + (1.0 - cos(angle)) * cross @ cross
    return turn


def _point(position: ArrayLike) -> Floats:
    point = np.asarray(position, dtype=np.float64)
    if point.shape != (3,):
        raise ValueError(f"a position or direction has three numbers, got shape {point.shape}")
    return point
