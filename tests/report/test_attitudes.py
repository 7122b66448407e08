"""Pictures of the tests in the water: drawn to scale, as the boat lies."""

import math
from dataclasses import replace

import numpy as np
import pytest
from afloat_boats import SLAB, afloat_skiff, low_skiff, raft
from pytest import approx
from small_boats import skiff_foam

from flotation.equilibrium.bodies import up
from flotation.geometry.shapes_outline import outline_along
from flotation.report.attitudes import trials_data
from flotation.swamped.afloat import righting_curves
from flotation.swamped.assess import assess


def data(boat, foam, curves=()):
    return trials_data(boat, assess(boat, foam), curves)


def test_an_outline_along_the_axes_of_a_heeled_box_is_the_heeled_box() -> None:
    heel = math.radians(30.0)
    normal = np.array(up(heel, 0.0))
    port = np.array([0.0, normal[2], -normal[1]])
    (ring,) = outline_along(SLAB, -port, normal)
    across = 1.6 * math.cos(heel) + 0.5 * math.sin(heel)
    high = 1.6 * math.sin(heel) + 0.5 * math.cos(heel)
    assert np.ptp(ring, axis=0) == approx([across, high])


def test_both_views_of_a_raft_are_to_one_scale_about_the_surface() -> None:
    boat, foam = raft(700.0, 0.3)
    test = data(boat, foam)["trials"][3]
    assert test["name"] == "183.235"
    side, end = test["pictures"]
    assert side["metre"] == end["metre"]
    for view, breadth in ((side, 4.0), (end, 1.6)):
        (ring,) = next(one for one in view["outlines"] if one["style"] == "dark")["rings"]
        points = np.array(ring)
        assert np.ptp(points, axis=0) == approx(
            [breadth * view["metre"], 0.5 * view["metre"]], abs=0.02
        )
        # the surface cuts it at its draught
        mass = 700.0 + foam[0].mass + 20.0 * SLAB.volume
        draught = mass / 999.552 / (4.0 * 1.6)
        assert points[:, 1].max() - view["water"] == approx(draught * view["metre"], abs=0.03)
        assert view["width"] >= points[:, 0].max()
        assert points[:, 1].min() >= 0.0
        assert points[:, 1].max() <= view["height"]


def test_a_load_to_port_lies_left_of_the_middle_seen_from_aft() -> None:
    boat, foam = raft(700.0, 0.3)
    port, starboard = (data(boat, foam)["trials"][place] for place in (1, 2))
    for test, sign in ((port, -1.0), (starboard, 1.0)):
        end = test["pictures"][1]
        (axis,) = [one for one in end["limits"] if one["kind"] == "axis"]
        (load, *_) = [one for one in end["loads"] if one["name"] == "persons"]
        assert sign * (load["at"][0] - axis["from"][0]) > 3.0
        assert sign * (axis["to"][0] - axis["from"][0]) > 0.0  # it leans to the load


def test_what_lies_to_port_is_drawn_left_of_the_middle_seen_from_aft() -> None:
    """Outlines and points are seen from the same side."""
    end = data(afloat_skiff(), skiff_foam())["trials"][3]["pictures"][1]
    (axis,) = [one for one in end["limits"] if one["kind"] == "axis"]
    port, starboard = (np.array(end["outlines"][place]["rings"][0]) for place in (0, 1))
    assert port[:, 0].max() < axis["from"][0] < starboard[:, 0].min()
    assert end["tops"][0][0] < axis["from"][0] < end["tops"][1][0]


def test_limits_are_drawn_where_they_are() -> None:
    boat, foam = raft(700.0, 0.3)
    side, end = data(boat, foam)["trials"][0]["pictures"]
    lines = [one for one in side["limits"] if one["kind"] == "limit"]
    assert len(lines) == 2
    for one in lines:
        assert one["from"][1] - side["water"] == approx(0.1524 * side["metre"], abs=0.02)
    assert lines[1]["label"] == "at most 152 mm deep"
    rays = [one for one in end["limits"] if one["kind"] == "limit"]
    for ray in rays:
        across, rise = np.array(ray["to"]) - np.array(ray["from"])
        assert math.degrees(math.atan2(abs(across), -rise)) == approx(10.0, abs=0.1)


def test_rows_say_what_happens_under_what() -> None:
    found = data(*low_skiff())
    port = next(row for row in found["trials"] if row["name"] == "183.230, port")
    assert port["outcome"] == "floats bottom up"
    assert not port["meets"]
    assert port["recalled"]
    assert port["limit"] == "30°"
    assert len(port["verdicts"]) == 3
    assert port["assumed"].startswith("foam as dense")
    assert found["remember"].startswith("Enough foam")
    assert found["explanations"][0]["rows"][0][0] == "persons"
    assert len(found["mending"]) == 2


def test_a_boat_that_sinks_has_a_row_and_no_picture() -> None:
    row = data(*raft(4000.0, 0.3))["trials"][0]
    assert row["pictures"] == []
    assert row["outcome"] == "sinks"
    assert row["heel"] == "—"


def test_without_trials_there_is_nothing() -> None:
    boat = replace(afloat_skiff(), top=None)
    assert data(boat, skiff_foam())["trials"] == []


def test_righting_arms_are_drawn_between_their_axes() -> None:
    boat, foam = raft(700.0, 0.3)
    curves = righting_curves(boat, foam)
    plot = data(boat, foam, curves)["curves"]
    assert [one["name"] for one in plot["curves"]] == ["183.225", "183.235"]
    for one, curve in zip(plot["curves"], curves, strict=True):
        points = np.array(one["points"])
        assert points[:, 0].min() == 0.0
        assert points[:, 0].max() == plot["width"]
        assert (points[:, 1] >= 0.0).all()
        assert (points[:, 1] <= plot["height"]).all()
        zero = 0.5 * plot["height"]
        assert ((points[:, 1] < zero - 0.05) <= (np.array(curve.arms) > 0.0)).all()
    assert plot["heels"][3] == [0.5 * plot["width"], "0°"]
    left, right = plot["limits"]
    assert right - left == approx(20.0 / 180.0 * plot["width"], abs=0.02)
    assert plot["limit"] == "10°"


@pytest.mark.parametrize("heel", [0.0, 0.4, 2.9])
def test_an_outline_keeps_the_area_of_the_shadow(heel: float) -> None:
    """A box seen along its length, however it lies."""
    normal = np.array(up(heel, 0.0))
    port = np.array([0.0, normal[2], -normal[1]])
    (ring,) = outline_along(SLAB, -port, normal)
    x, y = ring.T
    area = 0.5 * float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
    assert area == approx(1.6 * 0.5)
