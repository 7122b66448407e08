"""Peaks of a surface, each with the level at which what lies around it joins something higher.

The part of a surface above a level falls into pieces. As the level sinks, a piece begins at every
peak, and where two pieces meet the one with the lower peak ends. So each peak lasts down to one
level: the join tree of the height over the edges of a mesh (H. Carr, J. Snoeyink and U. Axen,
Computing contour trees in all dimensions, Computational Geometry 24, 2003; recalled from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]


@dataclass(frozen=True)
class Peak:
    """A peak.

    vertex  number of its vertex
    lasts   level down to which nothing higher and no way out joins it; minus infinity for the
            highest of a surface without a way out
    roofed  no less than the volume that its piece of the surface encloses above that level
    """

    vertex: int
    lasts: float
    roofed: float


def lasting_peaks(
    height: Floats, faces: Integers, roof: Floats, out: Sequence[tuple[float, int]]
) -> list[Peak]:
    """Every peak of a closed surface, the highest first.

    height  (n,) m, of every vertex
    faces   (m, 3)
    roof    (m,) m2, of each triangle that faces upward, seen from above; 0 for the others
    out     ways out: the height of each, and a vertex no lower that it joins

    What a piece of surface encloses lies under its roof, so the space between roof and level is
    no less; of a triangle that the level cuts, the mean of its corners' heights above the level,
    none taken below it, is no less than that of all its points.
    """
    used = np.unique(faces)
    highest_first = used[np.argsort(-height[used], kind="stable")]
    rank = np.full(len(height), len(height), dtype=np.intp)
    rank[highest_first] = np.arange(len(highest_first))
    edges = np.concatenate([faces[:, (0, 1)], faces[:, (1, 2)], faces[:, (2, 0)]])
    peak = _peak_above(rank, edges, highest_first)
    top_corner = np.take_along_axis(faces, rank[faces].argmin(axis=1)[:, None], axis=1)[:, 0]
    under = _Roofs(height[faces], roof, peak[top_corner])
    pieces = _Pieces(rank, np.unique(peak[used]))
    for low, one, other in _meetings(height, rank, edges, peak, out):
        pieces.meet(low, one, other)
    found = [
        Peak(top, lasts, under.space(members, lasts)) for top, lasts, members in pieces.ended()
    ]
    return sorted(found, key=lambda one: int(rank[one.vertex]))


def _peak_above(rank: Integers, edges: Integers, highest_first: Integers) -> Integers:
    """(n,) the peak that each vertex leads to, every step to its highest neighbour."""
    step = np.arange(len(rank))
    best = rank.copy()
    for near, far in (edges.T, edges.T[::-1]):
        np.minimum.at(best, near, rank[far])
    step[highest_first] = highest_first[best[highest_first]]
    while True:
        further = step[step]
        if (further == step).all():
            return step
        step = further


def _meetings(
    height: Floats,
    rank: Integers,
    edges: Integers,
    peak: Integers,
    out: Sequence[tuple[float, int]],
) -> list[tuple[float, int, int]]:
    """Where pieces of two peaks meet, or a piece and a way out (-1): level and the two."""
    across = edges[peak[edges[:, 0]] != peak[edges[:, 1]]]
    low = np.where(rank[across[:, 0]] > rank[across[:, 1]], across[:, 0], across[:, 1])
    pair = np.sort(peak[across], axis=1)
    order = np.lexsort((rank[low], pair[:, 1], pair[:, 0]))
    pair, low = pair[order], low[order]
    first = np.ones(len(pair), dtype=bool)
    first[1:] = (pair[1:] != pair[:-1]).any(axis=1)
    met = [
        (float(height[at]), int(one), int(other))
        for at, (one, other) in zip(low[first], pair[first], strict=True)
    ]
    met += [(level, int(peak[vertex]), -1) for level, vertex in out]
    return sorted(met, key=lambda meeting: -meeting[0])


class _Pieces:
    """Pieces of the surface above a level that sinks, by their highest peaks."""

    def __init__(self, rank: Integers, peaks: Integers) -> None:
        self._rank = rank
        self._home: dict[int, int] = {}
        self._members: dict[int, list[int]] = {-1: [], **{int(top): [int(top)] for top in peaks}}
        self._ended: list[tuple[int, float, list[int]]] = []

    def meet(self, level: float, one: int, other: int) -> None:
        """Let two pieces meet; the one with the lower peak ends, and any that meets a way out."""
        tops = {self._top(one), self._top(other)}
        if len(tops) < 2:
            return
        stays, ends = sorted(tops, key=lambda top: -1 if top < 0 else int(self._rank[top]))
        members = self._members.pop(ends)
        self._ended.append((ends, level, members))
        if stays >= 0:
            self._members[stays] += members
        self._home[ends] = stays

    def ended(self) -> list[tuple[int, float, list[int]]]:
        """Each peak, the level at which its piece ended, and the peaks in that piece.

        Call it once everything has met; what is left then ends nowhere.
        """
        left = [(top, -np.inf, peaks) for top, peaks in self._members.items() if top >= 0]
        return self._ended + left

    def _top(self, peak: int) -> int:
        """The highest peak of the piece that a peak is in now; -1 once that has a way out."""
        path = []
        while peak in self._home:
            path.append(peak)
            peak = self._home[peak]
        for passed in path:
            self._home[passed] = peak
        return peak


class _Roofs:
    """Triangles of a surface by the peak that they lead to."""

    def __init__(self, heights: Floats, roof: Floats, peak: Integers) -> None:
        order = np.argsort(peak, kind="stable")
        self._heights, self._roof = heights[order], roof[order]
        self._peaks, self._first = np.unique(peak[order], return_index=True)
        self._last = np.r_[self._first[1:], len(order)]

    def space(self, peaks: Sequence[int], level: float) -> float:
        """m3 between the roofs of some peaks and a level."""
        if level == -np.inf:
            return np.inf
        total = 0.0
        for at in np.searchsorted(self._peaks, peaks):
            rows = slice(self._first[at], self._last[at])
            above = np.maximum(self._heights[rows] - level, 0.0).mean(axis=1)
            total += float(self._roof[rows] @ above)
        return total
