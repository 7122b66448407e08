"""Placement advice, cavity by cavity, and the lesson of enough foam in the wrong place."""

from dataclasses import replace

import pytest
from many_assessments import low_in_the_grid
from small_boats import SIDE, SIDE_STARBOARD, SOLIDS, cavity, poured, skiff, skiff_foam

from flotation.boat import Propulsion
from flotation.geometry.shapes import box
from flotation.geometry.solid import Solid
from flotation.swamped.assess import assess
from flotation.swamped.assessment import Assessment, Finding
from flotation.swamped.open_points import WRONG_PLACE

PLANE = 0.78 - 6.0 * 0.0254


def placed(**solids: Solid) -> Assessment:
    named = {name.replace("_", " "): solid for name, solid in solids.items()}
    boat = replace(skiff(), cavities=tuple(cavity(n, s) for n, s in named.items()))
    return assess(boat, [poured(n, s) for n, s in named.items()])


def finding(result: Assessment, words: str, subject: str = "") -> Finding:
    (found,) = (f for f in result.findings if words in f.advice and f.subject == subject)
    return found


def value(result: Assessment, label: str) -> float:
    (line,) = (line for line in result.lines if line.label == label)
    return line.value


def test_foam_at_the_sides_and_above_the_sole_is_as_advised() -> None:
    result = assess(skiff(), skiff_foam())
    assert finding(result, "outside a plane").heeded
    assert finding(result, "as high", "side port").heeded
    assert "100 %" in finding(result, "as high", "side port").found
    assert WRONG_PLACE not in result.open_points


def test_enough_foam_low_on_the_centreline_meets_the_total_and_is_flagged() -> None:
    result = low_in_the_grid()
    assert result.meets
    assert result.open_points[0] == WRONG_PLACE
    assert finding(result, "outside a plane").heeded is False
    grid = finding(result, "as high", "grid")
    assert grid.heeded is False
    assert "0 %" in grid.found
    assert "below the sole" in grid.found


def test_too_little_foam_is_not_called_enough() -> None:
    result = placed(grid=box((0.3, -0.5, 0.02), (1.0, 1.0, 0.14)))
    assert not result.meets
    assert WRONG_PLACE not in result.open_points
    assert finding(result, "outside a plane").heeded is False


def test_a_grid_beside_full_sides_carries_the_boat_and_is_no_fault() -> None:
    grid = finding(assess(skiff(), skiff_foam()), "as high", "grid")
    assert grid.heeded
    assert "carries the boat" in grid.found


@pytest.mark.parametrize("inboard", [0.0, 0.05, 0.10])
def test_only_the_part_outboard_of_the_plane_counts(inboard: float) -> None:
    width = 0.22 + inboard
    solid = box((0.2, PLANE - inboard, 0.35), (3.4, width, 0.30))
    result = placed(side_port=solid)
    lift = result.cavities[0].net_lift
    assert value(result, "c1 side port, lift, outboard") == pytest.approx(lift * 0.22 / width)


def test_foam_mostly_inboard_of_the_plane_does_not_count() -> None:
    solid = box((0.2, PLANE - 0.3, 0.35), (3.4, 0.5, 0.30))
    result = placed(side_port=solid)
    assert value(result, "Persons flotation") == 0.0
    assert "40 %" in finding(result, "as high", "side port").found


def test_side_foam_below_the_sole_does_not_count() -> None:
    result = placed(side_port=box((0.2, 0.64, 0.05), (3.4, 0.22, 0.20)))
    assert value(result, "Persons flotation") == 0.0
    assert "below the sole" in finding(result, "as high", "side port").found


def test_a_cavity_across_the_boat_counts_with_both_ends() -> None:
    solid = box((1.5, -0.9, 0.35), (0.5, 1.8, 0.3))
    result = placed(thwart=solid)
    share = 2.0 * (0.9 - PLANE) / 1.8
    lift = result.cavities[0].net_lift
    assert value(result, "c1 thwart, lift, outboard") == pytest.approx(lift * share)


def test_one_side_alone_is_not_symmetrical() -> None:
    assert finding(placed(side_port=SIDE), "symmetrical").heeded is False
    assert "to port" in finding(placed(side_port=SIDE), "symmetrical").found
    starboard = finding(placed(side_starboard=SIDE_STARBOARD), "symmetrical")
    assert "to starboard" in starboard.found
    both = placed(side_port=SIDE, side_starboard=SIDE_STARBOARD)
    assert finding(both, "symmetrical").heeded is True


@pytest.mark.parametrize(("shift", "heeded"), [(0.0, True), (0.19, True), (0.21, False)])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_balance_about_the_middle_of_the_passenger_area(
    shift: float, heeded: bool, sign: float
) -> None:
    """The area is 2 m long, its middle at 1.9 m, a tenth of it is 0.2 m."""
    middle = 1.9 + sign * shift
    sides = {
        f"side_{i}": box((middle - 1.0, y, 0.35), (2.0, 0.2, 0.3))
        for i, y in enumerate((0.65, -0.85))
    }
    assert finding(placed(**sides), "balanced fore and aft").heeded is heeded


def test_machinery_flotation_is_held_against_the_lift_aft_of_the_passenger_area() -> None:
    """The area begins at 0.9 m; motor and battery weigh 73 kg under water."""
    near = placed(grid=box((0.0, -0.5, 0.3), (0.9, 1.0, 0.1)))
    assert finding(near, "beside the motor").heeded is True
    assert value(near, "Lift aft of the passenger area") == pytest.approx(near.cavities[0].net_lift)
    forward = placed(grid=box((0.9, -0.5, 0.3), (0.9, 1.0, 0.1)))
    assert value(forward, "Lift aft of the passenger area") == 0.0
    assert finding(forward, "beside the motor").heeded is False
    astride = placed(grid=box((0.4, -0.5, 0.3), (1.0, 1.0, 0.1)))
    half = value(astride, "Lift aft of the passenger area")
    assert half == pytest.approx(astride.cavities[0].net_lift / 2.0)


def test_for_basic_flotation_the_place_does_not_matter_to_the_rule() -> None:
    boat = replace(skiff(), propulsion=Propulsion.INBOARD)
    result = assess(boat, (poured("grid", SOLIDS["grid"]),))
    assert finding(result, "does not matter").heeded is True
    assert not any("outside a plane" in f.advice for f in result.findings)
    assert WRONG_PLACE not in result.open_points


def test_without_foam_the_persons_have_no_flotation() -> None:
    result = assess(skiff(), ())
    assert finding(result, "outside a plane").heeded is False
    assert finding(result, "beside the motor").heeded is False


def test_foam_that_serves_persons_and_machinery_alike_is_told() -> None:
    motor = "machinery flotation"
    result = assess(skiff(), skiff_foam())
    assert "as well is in it: side port, side starboard" in finding(result, motor).found
    apart = {"side port": box((1.0, 0.64, 0.35), (1.6, 0.22, 0.30)), "grid": SOLIDS["grid"]}
    found = finding(placed(**{name.replace(" ", "_"): s for name, s in apart.items()}), motor).found
    assert found.endswith("lb)")


def test_the_persons_finding_claims_no_more_than_was_looked_at() -> None:
    """Most of this side lies above the sole, some of it below: all of it is counted."""
    deep = box((0.9, 0.64, 0.20), (2.0, 0.22, 0.30))
    found = finding(placed(side_port=deep), "outside a plane").found
    assert "with its middle above the sole" in found
