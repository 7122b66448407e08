"""Volumes from stations as yards reckon them by hand, and the section areas of a solid."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from flotation.geometry.solid import Solid

Floats = NDArray[np.float64]

_EVEN = 1e-6


def trapezoidal(x: Sequence[float], areas: Sequence[float]) -> float:
    """Volume from section areas by the trapezoidal rule, m3.

    x, areas  m and m2, at least two stations, x rising
    Exact where the area changes linearly between stations. Raises ValueError for stations that
    do not rise.
    """
    at, area = _stations(x, areas)
    return float(np.sum(np.diff(at) * (area[1:] + area[:-1]) / 2.0))


def simpson(x: Sequence[float], areas: Sequence[float]) -> float | None:
    """Volume from section areas by Simpson's first rule, m3.

    x, areas  m and m2, at least two stations, x rising
    Returns None where the rule does not apply: it needs an odd number of stations, evenly
    spaced to 1e-6 of the spacing. Exact where the area is a cubic of x over each pair of
    intervals. Raises ValueError for stations that do not rise.

    spacing / 3 x (1, 4, 2, 4, ..., 4, 1) . areas; common practice, no source.
    """
    at, area = _stations(x, areas)
    step = np.diff(at)
    if len(at) % 2 == 0 or np.ptp(step) > _EVEN * step.max():
        return None
    weights = np.ones(len(at))
    weights[1:-1:2] = 4.0
    weights[2:-1:2] = 2.0
    return float((at[-1] - at[0]) / (len(at) - 1) / 3.0 * (weights @ area))


def section_areas(solid: Solid, x: ArrayLike) -> Floats:
    """How large are the sections of a solid square to x, (n,) m2?

    x  (n,) m
    Where the area jumps, as at a bulkhead, the mean of both sides; at either end of the solid
    the section just inside. Exact to rounding.
    """
    at = np.asarray(x, dtype=np.float64)
    first, last = solid.bounds[:, 0]
    corners = solid.vertices[solid.faces]
    forward = np.array([_section(corners, position, toward=1.0) for position in at])
    aft = np.array([_section(corners, position, toward=-1.0) for position in at])
    return np.where(at == first, forward, np.where(at == last, aft, (forward + aft) / 2.0))


def _section(corners: Floats, x: float, *, toward: float) -> float:
    """Area of the section just ahead of x (`toward` 1) or just aft of it (-1).

    Each triangle that crosses gives one piece of the rim, run so that the inside lies to its
    left when seen from ahead; half the sum of cross products is the area within.
    """
    beyond = toward * (corners[:, :, 0] - x) > 0.0
    crossing = corners[beyond.any(axis=1) & ~beyond.all(axis=1)]
    if not len(crossing):
        return 0.0
    beyond = toward * (crossing[:, :, 0] - x) > 0.0
    lone = beyond == (beyond.sum(axis=1) == 1)[:, None]
    turn = (np.argmax(lone, axis=1)[:, None] + np.arange(3)) % 3
    apex, right, left = np.take_along_axis(crossing, turn[:, :, None], axis=1).transpose(1, 0, 2)
    ends = []
    for other in (right, left):
        share = (x - apex[:, 0]) / (other[:, 0] - apex[:, 0])
        ends.append(apex[:, 1:] + share[:, None] * (other - apex)[:, 1:])
    start, end = ends
    middle = start.mean(axis=0)
    (ay, az), (by, bz) = (start - middle).T, (end - middle).T
    sign = np.where(np.take_along_axis(beyond, turn, axis=1)[:, 0], toward, -toward)
    return float(abs(np.sum(sign * (ay * bz - az * by)))) / 2.0


def _stations(x: Sequence[float], areas: Sequence[float]) -> tuple[Floats, Floats]:
    at, area = np.asarray(x, dtype=np.float64), np.asarray(areas, dtype=np.float64)
    if at.shape != area.shape or at.ndim != 1 or len(at) < 2:
        raise ValueError(f"{len(at)} stations with {len(area)} areas; at least two are needed")
    if not (np.diff(at) > 0.0).all():
        raise ValueError("the stations do not rise")
    return at, area
