"""The integrals below a plane once more, plainly and with more digits.

Every triangle is cut into the triangles of its part below, and these are summed over the columns
that they stand on in the plane's own axes, in 80-bit floats. Nothing is grouped, no apex is used
and the waterplane is the sum of the projections, not of segments: another way to the same
numbers.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Long = NDArray[np.longdouble]


@dataclass(frozen=True)
class Exact:
    """As `flotation.geometry.below.Sums`, about the point that was asked for."""

    volume: np.longdouble
    moment: Long
    area: np.longdouble
    area_moment: Long
    area_second_moments: Long


def brute_force(
    vertices: NDArray[np.float64],
    faces: NDArray[np.intp],
    normal: tuple[float, float, float],
    offset: float,
    about: NDArray[np.float64],
) -> Exact:
    """Integrals of the part where normal . x <= offset, about a point, in the caller's axes."""
    assert np.finfo(np.longdouble).nmant >= 63, "these checks need 80-bit floats"
    up = np.array(normal, dtype=np.longdouble)
    length = np.sqrt((up * up).sum())
    up = up / length
    axes = _axes(up)
    place = vertices.astype(np.longdouble) - about.astype(np.longdouble)
    depth = np.longdouble(offset) / length - axes[2] @ about.astype(np.longdouble)
    seen = place @ axes.T - np.array([0, 0, depth], dtype=np.longdouble)
    return _moved_back(_columns(_cut(seen[faces])), axes, depth)


def _axes(up: Long) -> Long:
    helper = np.eye(3, dtype=np.longdouble)[np.abs(up).argmin()]
    across = np.cross(helper, up)
    across /= np.sqrt((across * across).sum())
    return np.stack([across, np.cross(up, across), up])


def _cut(corners: Long) -> Long:
    """(k, 3, 3) triangles that make up the parts below z = 0 of (m, 3, 3) triangles."""
    below = corners[:, :, 2] <= 0
    pieces = [corners[below.all(axis=1)]]
    for turn in range(3):
        a, b, c = (np.roll(corners, -turn, axis=1)[:, i] for i in range(3))
        a_in, b_in, c_in = (np.roll(below, -turn, axis=1)[:, i] for i in range(3))
        tip = a_in & ~b_in & ~c_in
        pieces.append(np.stack([a, _at_surface(a, b), _at_surface(a, c)], axis=1)[tip])
        rest = ~a_in & b_in & c_in
        on_ab, on_ac = _at_surface(b, a), _at_surface(c, a)
        pieces += [
            np.stack([on_ab, b, c], axis=1)[rest],
            np.stack([on_ab, c, on_ac], axis=1)[rest],
        ]
    return np.concatenate(pieces)


def _at_surface(inside: Long, outside: Long) -> Long:
    fall = inside[:, 2] - outside[:, 2]
    share = np.where(fall != 0, inside[:, 2] / np.where(fall != 0, fall, 1), 0)
    point = inside + share[:, None] * (outside - inside)
    point[:, 2] = 0
    return point


def _columns(pieces: Long) -> tuple[np.longdouble, Long, np.longdouble, Long, Long]:
    """Integrals in the plane's axes over the columns between the pieces and the plane."""
    a, b, c = pieces.transpose(1, 0, 2)
    ground = ((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]) / 2
    total = a + b + c
    squares = sum(p[:, :, None] * p[:, None, :] for p in (a, b, c))
    products = (squares + total[:, :, None] * total[:, None, :]) / 12
    volume = (ground * total[:, 2]).sum() / 3
    moment = (ground[:, None] * products[:, :, 2]).sum(axis=0)
    moment[2] /= 2
    flat = np.array([1, 1, 0], dtype=np.longdouble)
    first = -(ground[:, None] * total).sum(axis=0) / 3 * flat
    second = -(ground[:, None, None] * products).sum(axis=0) * flat * flat[:, None]
    return volume, moment, -ground.sum(), first, second


def _moved_back(
    sums: tuple[np.longdouble, Long, np.longdouble, Long, Long], axes: Long, depth: np.longdouble
) -> Exact:
    volume, moment, area, first, second = sums
    shift = np.array([0, 0, depth], dtype=np.longdouble)
    second = second + np.outer(first, shift) + np.outer(shift, first)
    second = second + area * np.outer(shift, shift)
    return Exact(
        volume,
        (moment + volume * shift) @ axes,
        area,
        (first + area * shift) @ axes,
        axes.T @ second @ axes,
    )
