"""plan_pours: quantities, sums and laws."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pour_boats import (
    FOAM,
    MACHINE,
    SHOP,
    TOP,
    boat,
    box,
    by_hand,
    cavity,
    hole,
    interrupted,
    lines_of,
    side,
)

from flotation import plan_pours
from flotation.boat import Boat, HoleKind, Jig
from flotation.foamsystem import Basis, CupTest, MixRatio
from flotation.geometry.shapes import mirrored
from flotation.pour.pourplan import CavityPour, PourPlan

VENT_FORE = hole("V", (3.0, 0.0, 0.2), HoleKind.VENT)


def pour_of(plan: PourPlan, name: str) -> CavityPour:
    (pour,) = [pour for pour in plan.pours if pour.cavity == name]
    return pour


def test_one_lift_takes_the_overpack_whole() -> None:
    """0.3 m3 at 35.2 kg/m3 and 5 % over: 3 x 0.2 x 0.3 m within the lift limit of 0.3 m."""
    (pour,) = plan_pours(boat(side(depth=0.3))).pours
    (lift,) = pour.lifts
    assert pour.volume == pytest.approx(0.18)
    assert lift.mass == pour.mass == pytest.approx(0.18 * 35.2 * 1.05)
    assert pour.density == pytest.approx(36.96)
    assert lift.mixed_mass == pytest.approx(lift.mass / 0.95)
    assert lift.mass_a == pytest.approx(lift.mixed_mass * 113.0 / 213.0)
    assert lift.volume_b == pytest.approx(lift.mass_b / 1090.0)
    assert (lift.number, lift.of, lift.closing, lift.order) == (1, 1, True, 1)
    assert lift.wait == FOAM.tack_free_time
    assert lift.by_dip == ()


def test_of_several_lifts_only_the_closing_one_is_overpacked() -> None:
    (pour,) = plan_pours(boat(side(depth=0.6))).pours
    lower, closing = pour.lifts
    assert lower.mass == pytest.approx(0.18 * 35.2)
    assert closing.mass == pytest.approx(0.18 * 35.2 * 1.05)
    assert [lower.closing, closing.closing] == [False, True]
    assert pour.density == pytest.approx(35.2 * 1.025)


def test_dips_and_heights_of_a_box() -> None:
    (pour,) = plan_pours(boat(side(depth=0.6))).pours
    lower, closing = pour.lifts
    assert lower.thickness == pytest.approx(0.3)
    assert lower.foam_height == pytest.approx(TOP - 0.3)
    assert lower.dip == pytest.approx(0.3)
    assert lower.dip_least == pytest.approx(0.6 - 0.3 * 1.1)
    assert closing.foam_height == pytest.approx(TOP)
    assert closing.dip == closing.dip_least == pytest.approx(0.0, abs=1e-12)


def test_in_a_tilted_jig_heights_count_from_the_lowest_point() -> None:
    jig = Jig(0.0, math.radians(3.0))
    (pour,) = plan_pours(boat(side(depth=0.3), jig=jig)).pours
    depth = 3.0 * math.sin(jig.trim) + 0.3 * math.cos(jig.trim)
    assert pour.lifts[-1].foam_height == pytest.approx(depth)
    assert pour.lifts[0].foam_height == pytest.approx(depth / len(pour.lifts))


def test_a_layer_is_shared_out_by_what_each_hole_is_nearest_to_the_lowest_first() -> None:
    """The stern is lowest in a hull that stands bow up. The border is half-way, at 1.5 m."""
    holes = (hole("fore", (2.5, 0.0, 0.2)), hole("aft", (0.5, 0.0, 0.2)), VENT_FORE)
    grid = cavity("grid", box((0.0, -0.1, 0.0), (3.0, 0.1, 0.2)), *holes)
    (pour,) = plan_pours(boat(grid, jig=Jig(0.0, math.radians(0.5)))).pours
    assert [lift.hole for lift in pour.lifts] == ["aft", "fore"]
    assert [lift.number for lift in pour.lifts] == [1, 1]
    assert pour.lifts[0].mass == pytest.approx(pour.mass / 2.0, rel=0.01)
    assert [lift.order for lift in pour.lifts] == [1, 2]


def test_a_cavity_without_foam_is_not_poured_and_said_to_be_empty() -> None:
    empty = replace(side("bow"), foam=None)
    plan = plan_pours(boat(side(), empty))
    assert [pour.cavity for pour in plan.pours] == ["side port"]
    assert [foam.cavity for foam in plan.foam] == ["side port"]
    assert any("No foam is named for bow" in text for text in plan.cautions)


def test_a_boat_without_foam_has_an_empty_plan() -> None:
    plan = plan_pours(boat(replace(side(), foam=None)))
    assert (plan.pours, plan.totals, plan.foam, plan.go) == ((), (), (), True)
    assert plan.cautions == (
        "No foam is named for side port: left empty, and flooded when swamped.",
    )


def test_foam_in_place_carries_mass_density_solid_and_uptake() -> None:
    port = side()
    (foam,) = plan_pours(boat(port)).foam
    assert foam.solid is port.solid
    assert foam.mass == pytest.approx(foam.density * port.solid.volume)
    assert foam.uptake == pytest.approx(20.0)


def test_totals_to_order_are_the_sums_of_every_foam_system() -> None:
    dense = replace(FOAM, name="dense", free_rise_density=64.0, free_rise_low=62.0,
                    free_rise_high=66.0, minimum_fill_density=68.0)  # fmt: skip
    bow = replace(side("bow"), foam="dense")
    whole = replace(boat(side(), side("side starboard", -1.0), bow), foams=(FOAM, dense))
    plan = plan_pours(whole)
    assert [total.foam for total in plan.totals] == ["pour foam", "dense"]
    light = [pour for pour in plan.pours if pour.foam == "pour foam"]
    assert plan.totals[0].mass_a == pytest.approx(sum(pour.mass_a for pour in light))
    assert plan.totals[1].volume_b == pytest.approx(pour_of(plan, "bow").volume_b)


def test_a_foam_system_that_no_cavity_names_is_left_out() -> None:
    other = replace(FOAM, name="unused foam", lift_limit=None)
    plan = plan_pours(replace(boat(side()), foams=(FOAM, other)))
    assert [total.foam for total in plan.totals] == ["pour foam"]
    assert not any("unused foam" in text for text in plan.cautions)


cavity_sizes = st.tuples(st.floats(0.3, 4.0), st.floats(0.1, 0.6), st.floats(0.05, 1.0))


def box_boat(size: tuple[float, float, float], holes: int = 1) -> Boat:
    length, width, depth = size
    drilled = tuple(
        hole(f"F{i + 1}", (length * (i + 0.5) / holes, width / 2.0, depth)) for i in range(holes)
    )
    return boat(cavity("box", box((0.0, 0.0, 0.0), size), *drilled))


@settings(max_examples=30)
@given(size=cavity_sizes, holes=st.integers(0, 3), waste=st.floats(0.0, 0.3))
def test_every_sum_closes(size: tuple[float, float, float], holes: int, waste: float) -> None:
    one = box_boat(size, holes)
    one = replace(one, shop=replace(one.shop, waste=waste))
    (pour,) = (plan := plan_pours(one)).pours
    exact = {"rel": 1e-9}
    assert math.fsum(lift.mass for lift in pour.lifts) == pytest.approx(pour.mass, **exact)
    assert math.fsum(lift.volume for lift in pour.lifts) == pytest.approx(pour.volume, **exact)
    assert pour.mass_a + pour.mass_b == pytest.approx(pour.mixed_mass, **exact)
    assert pour.mixed_mass * (1.0 - waste) == pytest.approx(pour.mass, **exact)
    step = 0.005 * 1.000001
    for lift in pour.lifts:
        assert lift.mass_a + lift.mass_b == pytest.approx(lift.mixed_mass, **exact)
        assert sum(s.weigh_a for s in lift.shots) == pytest.approx(lift.mass_a, abs=step)
        assert sum(s.weigh_b for s in lift.shots) == pytest.approx(lift.mass_b, abs=step)
    assert plan.totals[0].mass_a == pytest.approx(pour.mass_a, **exact)
    closing = [lift.volume for lift in pour.lifts if lift.closing]
    surplus = 35.2 * 0.05 * math.fsum(closing)
    assert pour.mass == pytest.approx(35.2 * pour.volume + surplus, **exact)


@settings(max_examples=20)
@given(low=st.floats(30.5, 33.5), more=st.floats(0.01, 1.0), size=cavity_sizes)
def test_a_heavier_cup_takes_more_mass_in_proportion(
    low: float, more: float, size: tuple[float, float, float]
) -> None:
    """As long as no lift is too heavy for its hole, which would divide it otherwise."""
    roomy = replace(SHOP, mixing=replace(SHOP.mixing, batch_limit=500.0, pouring_rate=50.0))

    def mass(cup: float) -> float:
        shop = replace(roomy, cup_tests=(CupTest(FOAM.name, cup, "2026-04-14"),))
        return plan_pours(replace(box_boat(size), shop=shop)).pours[0].mass

    assert mass(low + more) == pytest.approx(mass(low) * (low + more) / low)
    assert mass(low + more) > mass(low)


@settings(max_examples=20)
@given(heel=st.floats(-0.2, 0.2), trim=st.floats(-0.1, 0.1))
def test_a_mirrored_cavity_takes_the_same_in_a_mirrored_jig(heel: float, trim: float) -> None:
    port = side()
    turned = tuple(replace(h, at=(h.at[0], -h.at[1], h.at[2])) for h in port.holes)
    twin = replace(port, name="twin", solid=mirrored(port.solid), holes=turned)
    (one,) = plan_pours(boat(port, jig=Jig(heel, trim))).pours
    (other,) = plan_pours(boat(twin, jig=Jig(-heel, trim))).pours
    assert other.mass == pytest.approx(one.mass, rel=1e-12)
    assert [lift.dip for lift in other.lifts] == pytest.approx([lift.dip for lift in one.lifts])


@settings(max_examples=20)
@given(x=st.floats(-50.0, 50.0), z=st.floats(-5.0, 5.0))
def test_moving_the_origin_changes_no_quantity(x: float, z: float) -> None:
    here = side(depth=0.6)
    shift = np.array([x, 0.0, z])
    moved = replace(
        here,
        solid=type(here.solid)(here.solid.vertices + shift, here.solid.faces),
        holes=tuple(replace(h, at=(h.at[0] + x, h.at[1], h.at[2] + z)) for h in here.holes),
    )
    (one,), (other,) = plan_pours(boat(here)).pours, plan_pours(boat(moved)).pours
    assert other.mass == pytest.approx(one.mass, rel=1e-9)
    assert [lift.dip for lift in other.lifts] == pytest.approx(
        [lift.dip for lift in one.lifts], abs=1e-9
    )


def test_every_printed_quantity_has_its_line() -> None:
    plan = plan_pours(boat(side(depth=0.6)))
    (pour,) = plan.pours
    values = {line.label: line.value for line in (*plan.lines, *pour.lines)}
    assert values["side port: mass into the cavity"] == pour.mass
    assert values["side port: mass to mix"] == pour.mixed_mass
    assert values["side port: density in place"] == pour.density
    assert values["pour foam: A to order"] == plan.totals[0].mass_a
    for lift in pour.lifts:
        label = f"side port, lift {lift.number} of {lift.of}"
        lines = {line.label: line.value for line in lift.lines}
        assert lines[f"{label}: volume"] == lift.volume
        assert lines[f"{label}: mass into the cavity"] == lift.mass
        assert lines[f"{label}: A"] == lift.mass_a
        assert lines[f"{label}: B by volume"] == lift.volume_b


def test_every_line_that_a_term_refers_to_is_in_the_plan() -> None:
    whole = plan_pours(boat(side(depth=0.6), side("side starboard", -1.0, 0.6)))
    divided = plan_pours(boat(side(), shop=replace(SHOP, crew=1)))
    for plan in (whole, divided, interrupted()):
        lines = lines_of(plan)
        labels = {line.label for line in lines}
        assert len(labels) == len(lines)
        assert {term.of for line in lines for term in line.terms if term.of} <= labels


def test_a_machine_plan_gives_seconds_for_every_shot_and_every_table() -> None:
    plan = plan_pours(boat(side(depth=0.6), shop=replace(SHOP, mixing=MACHINE)))
    for lift in plan.lifts:
        assert all(shot.seconds == pytest.approx(shot.mass / 0.2) for shot in lift.shots)
        assert all(rung.seconds is not None for rung in lift.by_dip)
    assert all(None not in rung.seconds for rung in plan.pours[0].ladder)


def test_a_ratio_by_volume_is_poured_with_equal_volumes() -> None:
    foam = replace(FOAM, mix=MixRatio(1.0, 1.0, Basis.VOLUME))
    (lift,) = plan_pours(boat(side(depth=0.3), foam=foam)).lifts
    assert lift.volume_a == pytest.approx(lift.volume_b)
    assert lift.mass_a / lift.mass_b == pytest.approx(1230.0 / 1090.0)


def test_buckets_keep_the_batch_limit_over_the_whole_plan() -> None:
    plan = plan_pours(boat(side(depth=0.6), shop=by_hand(batch_limit=1.25)))
    assert max(shot.mass for lift in plan.lifts for shot in lift.shots) <= 1.25
    assert [len(lift.shots) for lift in plan.lifts] == [6, 6]
