"""Round solids without a drawing: tubes, cones, balls.

A circle is a polygon here, of the circle's area, so that no volume is lost in its corners. With
32 sides the corners stand 0.32 % of the radius outside the circle, the sides 0.16 % inside.
"""

from math import cos, pi, sin, sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray

from flotation.errors import Fault, MeshError
from flotation.geometry.shapes_loft import loft
from flotation.geometry.solid import Solid

Floats = NDArray[np.float64]

SIDES = 32
_STRAIGHT_BACK = 1e-6


def tube(path: ArrayLike, diameter: float, *, sides: int = SIDES, name: str = "") -> Solid:
    """A round tube, rod or hose along straight pieces with mitred bends and square ends.

    path      (k, 3) m, points of its axis
    diameter  m, outside, if it is taken out of a cavity
    sides     of the polygon that stands for the circle, with the circle's area
    Volume: pi/4 x diameter^2 x length of the path, exactly. Raises MeshError for a bend too
    sharp for the diameter.
    """
    axis = np.asarray(path, dtype=np.float64)
    if axis.ndim != 2 or axis.shape[1] != 3:
        raise ValueError(f"a path has three columns, got shape {axis.shape}")
    if len(axis) < 2:
        raise MeshError(Fault(name, "the path has fewer than two points", "Add its end."))
    _positive(diameter, "diameter", name)
    pieces = np.diff(axis, axis=0)
    lengths = np.linalg.norm(pieces, axis=1)
    if not lengths.all():
        where = int(np.argmin(lengths))
        problem = f"points {where + 1} and {where + 2} of the path are the same"
        raise MeshError(Fault(name, problem, "Leave one of them out."))
    unit = _circle(pieces[0] / lengths[0], sides)
    return loft(_mitred(axis, pieces / lengths[:, None], 0.5 * diameter * unit, name), name)


def frustum(
    start: ArrayLike,
    end: ArrayLike,
    diameters: tuple[float, float],
    *,
    sides: int = SIDES,
    name: str = "",
) -> Solid:
    """A round cone cut square at both ends, or a whole one where a diameter is zero.

    start, end  (3,) m, ends of its axis
    diameters   m, at the start and at the end
    Volume: pi/12 x length x (d1^2 + d1 d2 + d2^2), exactly.
    """
    foot, head = _point(start), _point(end)
    length = float(np.linalg.norm(head - foot))
    if length == 0.0 or min(diameters) < 0.0 or max(diameters) == 0.0:
        raise MeshError(Fault(name, "the cone has no size", "Give it a length and a diameter."))
    unit = _circle((head - foot) / length, sides)
    rings = [foot + 0.5 * diameters[0] * unit, head + 0.5 * diameters[1] * unit]
    return loft(np.stack(rings), name)


def sphere(centre: ArrayLike, diameter: float, *, sides: int = SIDES, name: str = "") -> Solid:
    """A ball, as a polyhedron scaled to the ball's volume, pi/6 x diameter^3."""
    _positive(diameter, "diameter", name)
    angle = np.linspace(0.0, pi, sides // 2 + 1)
    unit = _circle(np.array([0.0, 0.0, 1.0]), sides)
    rings = [sin(a) * unit - (0.0, 0.0, cos(a)) for a in angle]
    rings[0][:], rings[-1][:] = (0.0, 0.0, -1.0), (0.0, 0.0, 1.0)
    plain = loft(np.stack(rings), name)
    scale = (pi / 6.0 * diameter**3 / plain.volume) ** (1.0 / 3.0)
    return Solid(plain.vertices * scale + _point(centre), plain.faces, name)


def _mitred(axis: Floats, ahead: Floats, section: Floats, name: str) -> Floats:
    """Rings of a tube: square to the path at its ends, in the bisecting plane at each bend."""
    rings = [axis[0] + section]
    for bend in range(1, len(axis)):
        before = ahead[bend - 1]
        plane = before + (ahead[bend] if bend < len(ahead) else before)
        steep = before @ plane
        reach = (axis[bend] - rings[-1]) @ plane / steep if steep > _STRAIGHT_BACK else np.zeros(1)
        if reach.min() <= 0.0:
            problem = f"the bend at point {bend + 1} of the path is too sharp for the diameter"
            remedy = "Move the points of the path further apart or make the bend in several steps."
            raise MeshError(Fault(name, problem, remedy))
        rings.append(rings[-1] + reach[:, None] * before)
    return np.stack(rings)


def _circle(along: Floats, sides: int) -> Floats:
    """A polygon (sides, 3) round the origin, square to a unit vector, with the area pi."""
    across = np.cross(along, np.eye(3)[np.argmin(np.abs(along))])
    across /= np.linalg.norm(across)
    up = np.cross(along, across)
    angle = 2.0 * pi * np.arange(sides) / sides
    radius = sqrt(2.0 * pi / (sides * sin(2.0 * pi / sides)))
    polygon: Floats = radius * (np.outer(np.cos(angle), across) + np.outer(np.sin(angle), up))
    return polygon


def _positive(value: float, what: str, name: str) -> None:
    if not value > 0.0:
        raise MeshError(Fault(name, f"the {what} is {value:g} m", "Give one above zero."))


def _point(position: ArrayLike) -> Floats:
    point = np.asarray(position, dtype=np.float64)
    if point.shape != (3,):
        raise ValueError(f"a position has three numbers, got shape {point.shape}")
    return point
