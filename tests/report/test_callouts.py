"""Names beside crowded points: none covers a name, a point or a line, and none leaves its frame."""

from collections.abc import Sequence
from itertools import combinations, permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from flotation.report.callouts import Box, place_callouts, place_in_rows, rows_below
from flotation.report.labels import Label, Place

FRAME = Place(208.0, 70.0)
HALF = 3.0  # mm, half the height of a box as it is drawn


def apart(labels: Sequence[Label], spots: Sequence[Place]) -> None:
    """No two boxes meet, as drawn."""
    for (one, at), (other, there) in combinations(zip(labels, spots, strict=True), 2):
        across = 0.5 * (one.width + other.width)
        assert abs(at.x - there.x) >= across or abs(at.y - there.y) >= 2.0 * HALF, (one, other)


def holds(label: Label, spot: Place, points: np.ndarray) -> np.ndarray:
    """Which of the points (n, 2) the box of a name covers."""
    return (np.abs(points[:, 0] - spot.x) < 0.5 * label.width) & (
        np.abs(points[:, 1] - spot.y) < HALF
    )


def line(label: Label, spot: Place) -> np.ndarray:
    """Points along the line to a name, closer than anything that is drawn is thick."""
    share = np.linspace(0.0, 1.0, 1500)[:, None]
    return (1.0 - share) * (label.at.x, label.at.y) + share * (spot.x, spot.y)


def clear(labels: Sequence[Label], spots: Sequence[Place]) -> None:
    """No box covers a box, a point, or the line to another name."""
    apart(labels, spots)
    points = np.array([(label.at.x, label.at.y) for label in labels])
    placed = list(zip(labels, spots, strict=True))
    for label, spot in placed:
        assert not holds(label, spot, points).any(), label
    for (label, spot), (other, there) in permutations(placed, 2):
        assert not holds(label, spot, line(other, there)).any(), (label, other)


def crowded(seed: int) -> list[Label]:
    """Eighteen names of which most lie along two heights, as in a side view of a boat."""
    chance = np.random.default_rng(seed)
    heights = np.where(chance.random(18) < 0.4, 40.0, chance.uniform(18.0, 66.0, 18))
    across = np.sort(chance.uniform(20.0, 190.0, 18))
    names = chance.choice(["P1", "C12", "P10 S10"], 18)
    return [
        Label(str(name), "fill", Place(float(x), float(y)))
        for name, x, y in zip(names, across, heights, strict=True)
    ]


@pytest.mark.parametrize("seed", range(12))
def test_crowded_names_cover_nothing_and_keep_to_their_frame(seed: int) -> None:
    labels = crowded(seed)
    spots = place_callouts(labels, FRAME)
    assert spots is not None
    clear(labels, spots)
    for label, spot in zip(labels, spots, strict=True):
        assert 0.5 * label.width <= spot.x + 1e-6
        assert spot.x <= FRAME.x - 0.5 * label.width + 1e-6
        assert HALF <= spot.y <= FRAME.y - HALF


def test_a_dozen_names_on_one_line_find_their_places() -> None:
    labels = [Label(f"P{i} S{i}", "fill", Place(40.0 + 9.0 * i, 40.0)) for i in range(12)]
    spots = place_callouts(labels, FRAME)
    assert spots is not None
    clear(labels, spots)


def test_a_name_alone_stands_beside_its_point() -> None:
    label = Label("P1", "fill", Place(50.0, 50.0))
    (spot,) = place_callouts([label], FRAME) or ()
    beside = max(abs(spot.x - 50.0) - 0.5 * label.width, abs(spot.y - 50.0) - HALF)
    assert 1.0 < beside < 4.0


def test_a_taken_corner_stays_free() -> None:
    label = Label("P1", "fill", Place(4.0, 8.0))
    corner = Box(0.0, 0.0, 60.0, 8.0)
    (spot,) = place_callouts([label], FRAME, [corner]) or ()
    assert spot.y - HALF >= corner.bottom
    assert (place_callouts([label], FRAME) or [spot])[0].y < spot.y


def test_too_small_a_frame_is_told() -> None:
    labels = [Label(f"P{i}", "fill", Place(10.0 + i, 10.0)) for i in range(30)]
    assert place_callouts(labels, Place(40.0, 20.0)) is None


@given(
    st.lists(st.tuples(st.floats(0.0, 90.0), st.integers(1, 30)), max_size=30),
    st.floats(75.0, 270.0),
)
def test_names_in_rows_never_meet_and_keep_to_their_width(places, width: float) -> None:
    labels = [Label("W" * long, "fill", Place(x, 10.0)) for x, long in places]
    spots = place_in_rows(labels, 40.0, width)
    apart(labels, spots)
    for label, spot in zip(labels, spots, strict=True):
        assert 0.5 * label.width - 1e-9 <= spot.x <= width - 0.5 * label.width + 1e-9
        assert 40.0 + HALF <= spot.y <= 40.0 + rows_below(spots, 40.0) - HALF


@pytest.mark.parametrize("nudge", [1e-12, -1e-12])
def test_names_lie_alike_whatever_the_last_digit_of_a_float(nudge: float) -> None:
    places = [(20.0 + 7.0 * i, 30.0 + 7.0 * j) for i in range(6) for j in (0, 1)]
    labels = [Label("P1", "fill", Place(x, y)) for x, y in places]
    nudged = [Label("P1", "fill", Place(x + nudge, y - nudge)) for x, y in places]
    assert place_callouts(labels, FRAME) == place_callouts(nudged, FRAME)
