"""Peaks of rough ceilings and the air under them, beside the widest ways over a grid."""

import heapq
import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from flotation.geometry.airtraps import caught_air
from flotation.geometry.peaks import lasting_peaks
from flotation.geometry.solid import Solid

Floats = NDArray[np.float64]
UP = (0.0, 0.0, 1.0)
SIDE = 5


def under_roof(heights: Floats) -> tuple[Solid, NDArray[np.intp]]:
    """A room of 1 m squares under a roof of triangles, and the roof's triangles, (m, 3).

    heights  (SIDE, SIDE) m, of the roof's corners above the floor; corner (i, j) has number
             SIDE * i + j, and stands at x = i, y = j
    """
    x, y = np.divmod(np.arange(SIDE * SIDE), SIDE)
    roof = np.column_stack([x, y, heights.ravel()])
    vertices = np.concatenate([roof, roof * (1.0, 1.0, 0.0)])
    square = np.array([SIDE * i + j for i in range(SIDE - 1) for j in range(SIDE - 1)])
    upper = np.concatenate(
        [
            square[:, None] + (0, SIDE, SIDE + 1),
            square[:, None] + (0, SIDE + 1, 1),
        ]
    )
    below = SIDE * SIDE
    line = np.arange(SIDE)
    rim = [SIDE * line, SIDE * (SIDE - 1) + line, (SIDE * line + SIDE - 1)[::-1], line[::-1]]
    walls = [
        face
        for side in rim
        for a, b in pairwise(side)
        for face in ((a, a + below, b), (b, a + below, b + below))
    ]
    faces = np.concatenate([upper, upper[:, ::-1] + below, np.array(walls)])
    return Solid(vertices, faces.astype(np.intp), "room"), upper.astype(np.intp)


def ways_out(heights: Floats, roof: NDArray[np.intp], holes: list[int]) -> Floats:
    """(n,) of every corner the lowest place of the best way to a hole: a search from the holes."""
    level = np.full(heights.size, -np.inf)
    height = heights.ravel()
    beside: dict[int, set[int]] = {corner: set() for corner in range(heights.size)}
    for a, b, c in roof.tolist():
        for one, other in ((a, b), (b, c), (c, a)):
            beside[one].add(other)
            beside[other].add(one)
    queue = [(-height[hole], hole) for hole in holes]
    heapq.heapify(queue)
    while queue:
        lowest, at = heapq.heappop(queue)
        if level[at] == -np.inf:
            level[at] = -lowest
            for near in beside[at]:
                heapq.heappush(queue, (-min(-lowest, height[near]), near))
    return level


def above(corners: Floats, level: float) -> float:
    """Between a triangle of projected area 0.5 m2 and a level below part of it, in closed form."""
    low, middle, high = np.sort(corners - level)
    if low >= 0.0:
        return float(0.5 * (low + middle + high) / 3.0)
    if middle <= 0.0:
        cap = high**3 / ((high - low) * (high - middle)) if high > 0.0 else 0.0
        return float(0.5 * cap / 3.0)
    cap = -(low**3) / ((middle - low) * (high - low))
    return float(0.5 * ((low + middle + high) / 3.0 + cap / 3.0))


def air_under(heights: Floats, roof: NDArray[np.intp], holes: list[int]) -> float:
    """m3 that no way leads out of: each triangle above the level of its highest corner."""
    level, height = ways_out(heights, roof, holes), heights.ravel()
    return math.fsum(above(height[face], level[face[height[face].argmax()]]) for face in roof)


HEIGHT = st.builds(
    lambda metres, crumb: metres + crumb,
    st.sampled_from([0.5, 0.6, 0.75, 0.8, 1.0]),
    st.sampled_from([0.0, 0.0, 1e-9, 3e-8, 1e-6, 2e-5, 0.01]),
)
ROOFS = st.lists(HEIGHT, min_size=SIDE * SIDE, max_size=SIDE * SIDE)
HOLES = st.lists(st.integers(0, SIDE * SIDE - 1), min_size=1, max_size=4, unique=True)


@settings(max_examples=60)
@given(corners=ROOFS, holes=HOLES)
def test_under_any_roof_the_air_is_caught_that_no_way_leads_out_of(
    corners: list[float], holes: list[int]
) -> None:
    heights = np.array(corners).reshape(SIDE, SIDE)
    room, roof = under_roof(heights)
    caught = caught_air(room, UP, room.vertices[holes])
    expected = air_under(heights, roof, holes)
    assert math.fsum(trap.volume for trap in caught) == pytest.approx(expected, abs=1e-7)


@settings(max_examples=60)
@given(corners=ROOFS)
def test_without_a_way_out_only_the_highest_peak_lasts(corners: list[float]) -> None:
    heights = np.array(corners).reshape(SIDE, SIDE)
    room, _ = under_roof(heights)
    height = room.vertices[:, 2]
    first, *others = lasting_peaks(height, room.faces, np.ones(len(room.faces)), [])
    assert first.lasts == -np.inf
    assert height[first.vertex] == heights.max()
    assert all(0.0 <= peak.lasts <= height[peak.vertex] for peak in others)


def test_two_peaks_last_to_the_saddle_and_to_the_way_out() -> None:
    """Pyramids of 4 m2 on a ceiling at 1 m: 0.5 and 0.3 m high, the second open at 1.1 m."""
    heights = np.ones((SIDE, SIDE))
    heights[1, 1], heights[3, 3] = 1.5, 1.3
    room, roof = under_roof(heights)
    seen = np.r_[np.full(len(roof), 0.5), np.zeros(len(room.faces) - len(roof))]
    high, low = (SIDE * corner + corner for corner in (1, 3))
    peaks = lasting_peaks(room.vertices[:, 2], room.faces, seen, [(1.1, low)])
    assert [(peak.vertex, peak.lasts) for peak in peaks[:2]] == [(high, 1.0), (low, 1.1)]
    # Six triangles of half a square metre meet in each: a third of their height.
    assert peaks[0].roofed == pytest.approx(6 * 0.5 * 0.5 / 3.0)
    assert peaks[1].roofed == pytest.approx(6 * 0.5 * 0.2 / 3.0)


def test_over_a_saddle_the_higher_peak_takes_the_roof_of_the_lower() -> None:
    """As above, with a corner 0.2 m high between the two: each corner's own roof is 1 m2 x rise."""
    heights = np.ones((SIDE, SIDE))
    heights[1, 1], heights[2, 2], heights[3, 3] = 1.5, 1.2, 1.3
    room, roof = under_roof(heights)
    seen = np.r_[np.full(len(roof), 0.5), np.zeros(len(room.faces) - len(roof))]
    peaks = lasting_peaks(room.vertices[:, 2], room.faces, seen, [(1.0, 0)])
    assert [peak.lasts for peak in peaks[:2]] == [1.0, 1.2]
    assert peaks[0].roofed == pytest.approx(0.5 + 0.2 + 0.3)
    assert peaks[1].roofed == pytest.approx(0.1)
