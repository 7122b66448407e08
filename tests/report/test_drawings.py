"""Drawings fit their paper, labels keep clear of each other, outlines lie where the solids lie."""

from dataclasses import replace
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from flotation.boat import Boat, Kind
from flotation.geometry.shapes_outline import View
from flotation.report.drawings import Mark, Picture, draw, hull_outline, shadows
from flotation.report.labels import Label, Place, place_labels

FRAME = Place(186.0, 100.0)


@pytest.mark.parametrize("view", list(View))
@pytest.mark.parametrize("size", [(186.0, 50.0), (60.0, 100.0)])
def test_a_drawing_keeps_to_its_size(boat: Boat, view: View, size: tuple[float, float]) -> None:
    names = frozenset(cavity.name for cavity in boat.cavities)
    marks = (Mark("lift", "lift", (1.9, 0.0, 0.36)), Mark("w3", "item", (-0.15, 0.0, 0.55)))
    drawing = draw(boat, shadows(boat, view), Picture(view, *size, names, marks=marks))
    assert drawing["width"] <= size[0] + 0.01
    assert drawing["height"] <= size[1] + 0.01
    assert max(drawing["width"] / size[0], drawing["height"] / size[1]) > 0.99
    points = [point for shape in drawing["outlines"] for ring in shape["rings"] for point in ring]
    for x, y in points:
        assert 0.0 <= x <= drawing["width"]
        assert 0.0 <= y <= drawing["height"]


def test_port_is_up_and_the_bow_is_right(boat: Boat) -> None:
    picture = Picture(View.PLAN, 186.0, 60.0, frozenset({"side port", "side starboard"}))
    drawing = draw(boat, shadows(boat, View.PLAN), picture)
    at = {label["text"]: label["at"] for label in drawing["labels"]}
    assert at["P1"][1] < at["S1"][1]
    assert at["P1"][0] < at["P2"][0]


def test_distances_are_to_scale(boat: Boat) -> None:
    picture = Picture(View.PLAN, 186.0, 60.0, frozenset({"side port"}))
    drawing = draw(boat, shadows(boat, View.PLAN), picture)
    at = {label["text"]: label["at"] for label in drawing["labels"]}
    scale = (drawing["ruler"]["to"] - drawing["ruler"]["from"]) / boat.length
    assert at["P2"][0] - at["P1"][0] == pytest.approx(1.3 * scale, abs=0.02)
    metres = [x for x, _ in drawing["ruler"]["metres"]]
    assert metres[1] - metres[0] == pytest.approx(scale, abs=0.02)


def test_only_the_dark_cavities_have_their_holes_named(boat: Boat) -> None:
    picture = Picture(View.PLAN, 186.0, 60.0, frozenset({"stringer grid"}))
    drawing = draw(boat, shadows(boat, View.PLAN), picture)
    assert [label["text"] for label in drawing["labels"]] == ["G1", "G2", "G3"]
    assert [label["kind"] for label in drawing["labels"]] == ["fill", "fill", "vent"]
    assert len(drawing["dots"]) == 7
    styles = [shape["style"] for shape in drawing["outlines"]]
    assert sorted(styles) == ["dark", "empty", "hull", "pale", "pale", "people"]
    assert styles[-1] == "dark"


def test_the_hull_holds_its_cavities(boat: Boat) -> None:
    cavities = shadows(boat, View.PLAN)
    hull = hull_outline(boat, cavities)
    assert np.ptp(hull, axis=0) == pytest.approx([boat.length, boat.beam])
    for rings in cavities.values():
        for ring in rings:
            for x, y in ring:
                assert abs(y) <= np.interp(x, hull[: len(hull) // 2, 0], -hull[: len(hull) // 2, 1])


def test_a_multihull_is_a_rectangle(boat: Boat) -> None:
    hull = hull_outline(replace(boat, kind=Kind.MULTIHULL), shadows(boat, View.PLAN))
    assert len(hull) == 4


def test_a_boat_without_cavities_is_drawn(boat: Boat) -> None:
    bare = replace(boat, cavities=())
    for view in View:
        drawing = draw(bare, {}, Picture(view, 186.0, 60.0, frozenset()))
        assert drawing["labels"] == []


def clear(one: tuple[Label, Place], other: tuple[Label, Place]) -> bool:
    """True if two boxes of the drawing do not meet: 6 mm high and as wide as their labels."""
    (first, at), (second, there) = one, other
    return abs(at.x - there.x) >= 0.5 * (first.width + second.width) or abs(at.y - there.y) >= 6.0


def test_a_label_alone_stands_on_its_point() -> None:
    label = Label("P1", "fill", Place(50.0, 50.0))
    assert place_labels([label], FRAME) == [(label, label.at)]


def test_a_label_leaves_an_obstacle_free() -> None:
    label = Label("P1", "fill", Place(50.0, 50.0))
    ((_, spot),) = place_labels([label], FRAME, [Place(50.0, 50.0)])
    assert abs(spot.x - 50.0) > 0.5 * label.width or abs(spot.y - 50.0) > 3.0


def test_labels_stay_inside_their_frame() -> None:
    labels = [Label("P1", "fill", Place(1.0, 1.0)), Label("P2", "vent", Place(185.5, 99.5))]
    for label, spot in place_labels(labels, FRAME):
        assert 0.5 * label.width <= spot.x <= FRAME.x - 0.5 * label.width
        assert 3.2 <= spot.y <= FRAME.y - 3.2


@given(
    st.lists(
        st.tuples(st.floats(10.0, 170.0), st.floats(10.0, 90.0)),
        min_size=2,
        max_size=12,
        unique=True,
    )
)
def test_a_dozen_labels_never_cover_each_other(points: list[tuple[float, float]]) -> None:
    labels = [Label(f"P{i}", "fill", Place(*point)) for i, point in enumerate(points)]
    placed = place_labels(labels, FRAME)
    assert [label for label, _ in placed] == labels
    assert all(clear(one, other) for one, other in combinations(placed, 2))
    assert all(one is not other for one, other in pairwise(placed))


def test_labels_that_just_touch_lie_alike_whatever_the_last_digit_of_a_float() -> None:
    labels = [
        Label("P1", "fill", Place(20.0 + 7.2 * i, 30.0 + 6.8 * j)) for i in range(6) for j in (0, 1)
    ]
    nudged = [replace(one, at=Place(one.at.x + 1e-12, one.at.y - 1e-12)) for one in labels]
    obstacles = [Place(20.0 + 3.6 * i, 33.4) for i in range(8)]
    spots = [spot for _, spot in place_labels(labels, FRAME, obstacles)]
    assert spots == [spot for _, spot in place_labels(nudged, FRAME, obstacles)]
