"""How hot layers get, what that does to the plan, and what is never done."""

import math
from dataclasses import replace

import pytest
from pour_boats import FOAM, LEVEL, MACHINE, SHOP, boat, box, cavity, hole, side

from flotation import plan_pours
from flotation.boat import Boat
from flotation.foamsystem import Foam, FoamHeat, MeasuredCore, Recipe
from flotation.pour.conduction import Release, first_pour
from flotation.pour.effects import Heat, HeatBasis
from flotation.pour.outlook import LiftBound
from flotation.pour.pourplan import PourPlan
from flotation.pour.remaining import replan
from flotation.pour.thermal import slab_of

SHEET = FoamHeat(adiabatic_low=110.0, adiabatic_high=125.0)
START = SHOP.temperature
# A machine so fast that no layer is divided for its mass.
FAST = replace(SHOP, mixing=replace(MACHINE, rate=1.0))


def with_heat(heat: FoamHeat, lift_limit: float | None = 0.3) -> Foam:
    return replace(FOAM, heat=heat, lift_limit=lift_limit)


def plan(foam: Foam, depth: float = 0.5) -> PourPlan:
    return plan_pours(boat(side(depth=depth), foam=foam))


def heats(foam: Foam, depth: float = 0.5) -> list[Heat]:
    found = [lift.heat for lift in plan(foam, depth).lifts]
    return [heat for heat in found if heat is not None]


def test_without_any_figure_the_range_of_the_literature_stands_in_and_is_said() -> None:
    _, closing = heats(FOAM)
    assert closing.basis is HeatBasis.LITERATURE
    assert (closing.adiabatic_low, closing.adiabatic_high) == (116.0, 192.0)
    assert closing.peak_low == pytest.approx(START + 116.0, rel=0.02)
    text = "\n".join(plan(FOAM).cautions)
    assert "no heat is stated" in text
    assert "where scorch begins (recalled): side port" in text
    assert "ask the supplier for the adiabatic rise" in text


def test_the_sheet_counts_before_the_recipe_and_a_measured_core_before_the_sheet() -> None:
    recipe = Recipe(0.31, 1.1, 0.012, None, 0.0)
    core = MeasuredCore(411.15, 295.15, 0.2, "2026-04-10")
    cases = [
        (FoamHeat(recipe=recipe), HeatBasis.RECIPE),
        (replace(SHEET, recipe=recipe), HeatBasis.SHEET),
        (replace(SHEET, recipe=recipe, measured_core=core), HeatBasis.MEASURED),
    ]
    for heat, basis in cases:
        assert heats(with_heat(heat))[0].basis is basis
        assert "no heat is stated" not in "\n".join(plan(with_heat(heat)).cautions)


def test_a_measured_core_is_found_again_in_a_block_of_its_thickness() -> None:
    core = MeasuredCore(400.15, START, 0.04, "2026-04-10")
    heat = heats(with_heat(FoamHeat(measured_core=core)))[0]
    share = first_pour(slab_of(0.04, 35.2, 0.0), _release()).peak
    assert share < 0.95
    assert heat.adiabatic_high == heat.adiabatic_low == pytest.approx(105.0 / share)


def _release() -> Release:
    return Release(FOAM.cream_time, FOAM.tack_free_time)


def test_the_thickness_is_the_local_one_of_all_the_foam_so_far() -> None:
    """0.2 m wide: layers of 0.25 m lie on hot foam, but the sides are nearer."""
    for heat in heats(with_heat(SHEET)):
        assert heat.thickness == pytest.approx(0.2, abs=1e-6)
    wide = cavity("wide", box((0.0, 0.0, 0.0), (2.0, 1.5, 0.5)), hole("F", (1.0, 0.7, 0.5)))
    found = plan_pours(boat(wide, foam=with_heat(SHEET), shop=FAST))
    lower, closing = (lift.heat for lift in found.lifts)
    assert lower is not None
    assert closing is not None
    assert lower.thickness == pytest.approx(0.25, abs=1e-6)
    assert closing.thickness == pytest.approx(0.5, abs=1e-6)


def test_a_layer_on_hot_foam_gets_hotter_and_cools_later() -> None:
    wide = cavity("wide", box((0.0, 0.0, 0.0), (2.0, 1.5, 0.5)), hole("F", (1.0, 0.7, 0.5)))
    found = plan_pours(boat(wide, foam=with_heat(SHEET), shop=FAST))
    lower, closing = (lift.heat for lift in found.lifts)
    assert lower is not None
    assert closing is not None
    assert closing.peak_high > lower.peak_high
    assert closing.cool_down > 2.0 * lower.cool_down


def test_the_two_waits_are_apart() -> None:
    lift = plan(with_heat(SHEET)).lifts[0]
    assert lift.wait == FOAM.tack_free_time
    assert lift.heat is not None
    assert lift.heat.cool_down > 10.0 * lift.wait
    assert lift.heat.before_next == 0.0


def test_the_lines_give_the_fields() -> None:
    heat = heats(FOAM)[0]
    low, high, above, cool = heat.lines
    fields = (heat.peak_low, heat.peak_high, heat.above_limit, heat.cool_down)
    assert tuple(line.value for line in (low, high, above, cool)) == fields
    assert heat.above_limit > 0.0


def test_without_a_lift_limit_heat_proposes_none() -> None:
    """A core limit that any thick layer would exceed."""
    hot = with_heat(replace(SHEET, core_limit=START + 60.0), lift_limit=None)
    found = plan_pours(boat(side(), foam=hot, shop=FAST))
    assert [lift.of for lift in found.lifts] == [1]
    assert not any("lift limit" in line.label for line in found.lines)
    assert "No limit is proposed here" in "\n".join(found.cautions)
    assert found.go


def test_heat_lowers_the_lift_limit_until_the_core_keeps_within() -> None:
    limit = START + 100.0
    foam = with_heat(replace(SHEET, core_limit=limit))
    found = plan(foam)
    lowered = next(line for line in found.lines if "lowered" in line.label)
    assert 0.025 < lowered.value < 0.06
    assert found.lifts[0].of == math.ceil(0.5 / lowered.value)
    assert found.lifts[0].thickness <= lowered.value
    assert all(heat.peak_high <= limit for heat in heats(foam))
    assert "planned in lifts of at most" in "\n".join(found.cautions)
    assert [pour.decides for pour in found.pours] == [LiftBound.HEAT]


def test_lowered_layers_wait_until_the_foam_below_has_cooled() -> None:
    found = plan(with_heat(replace(SHEET, core_limit=START + 100.0, cool_to=START + 30.0)))
    first, last = found.lifts[0].heat, found.lifts[-1].heat
    assert first is not None
    assert last is not None
    assert first.before_next == max(first.cool_down, FOAM.tack_free_time) > FOAM.tack_free_time
    assert last.before_next == 0.0
    assert found.lifts[0].wait == first.before_next
    below, above = found.lifts[:2]
    assert below.next_after == below.end + first.before_next <= above.start
    assert found.lifts[-1].wait == FOAM.tack_free_time
    assert "the gel wait is not enough after side port lift 1" in "\n".join(found.cautions)


@pytest.mark.parametrize("core_limit", [START + 126.0, START + 200.0])
def test_heat_never_raises_the_lift_limit(core_limit: float) -> None:
    foam = with_heat(replace(SHEET, core_limit=core_limit))
    assert [lift.of for lift in plan(foam).lifts] == [2, 2]
    assert [pour.decides for pour in plan(foam).pours] == [LiftBound.THICKNESS]
    assert not any("lowered" in line.label for line in plan(foam).lines)


def test_the_range_of_the_literature_lowers_nothing() -> None:
    """Not even beside a stated core limit: it is far too wide to plan by."""
    for limit in (60.0, 150.0):
        found = plan(with_heat(FoamHeat(core_limit=START + limit)))
        assert found.go
        assert [lift.of for lift in found.lifts] == [2, 2]
        assert all(lift.heat.before_next == 0.0 for lift in found.lifts if lift.heat)


def test_a_cavity_narrower_than_the_lowered_limit_keeps_the_sheets_lifts() -> None:
    foam = with_heat(replace(SHEET, core_limit=START + 120.0))
    lowered = next(line for line in plan(foam).lines if "lowered" in line.label).value
    slit = cavity("slit", box((0, 0, 0), (1.0, 0.9 * lowered, 0.5)), hole("F", (0.5, 0.02, 0.5)))
    assert [lift.of for lift in plan_pours(boat(slit, foam=foam)).lifts] == [2, 2]


def test_a_sheet_whose_own_heat_allows_no_layer_stops_the_pour() -> None:
    found = plan(with_heat(replace(SHEET, core_limit=START + 25.0)))
    assert not found.go
    assert "Ask the supplier" in "\n".join(found.stops)


def test_a_shop_hotter_than_a_core_may_be_stops_the_pour_and_gives_no_heat() -> None:
    foam = replace(with_heat(replace(SHEET, cool_to=320.0)), liquid_high=None, hull_high=None)
    foam = replace(foam, liquid_low=None, hull_low=None)
    found = plan_pours(boat(side(), foam=foam, shop=replace(SHOP, temperature=321.0)))
    assert any("no cooler than a core may be" in stop for stop in found.stops)
    assert all(lift.heat is None for lift in found.lifts)


def test_a_core_within_its_limit_is_no_caution() -> None:
    quiet = plan(with_heat(replace(SHEET, core_limit=START + 200.0)))
    assert not any("hotter" in text for text in quiet.cautions)


def test_port_and_starboard_are_alike_and_a_heeled_jig_takes_each_for_itself() -> None:
    both = (side("port", 1.0), side("starboard", -1.0))
    for jig in (LEVEL, replace(LEVEL, heel=0.1)):
        found = plan_pours(boat(*both, foam=with_heat(SHEET), jig=jig)).pours
        assert len({one.lifts[-1].heat.thickness for one in found if one.lifts[-1].heat}) == 1


def _wide() -> tuple[Boat, PourPlan]:
    """0.12 m deep, 1 m wide, two holes; its core limit lowers the lift limit and makes it wait."""
    holes = (hole("F", (0.5, 0.2, 0.12)), hole("G", (0.5, 0.8, 0.12)))
    wide = cavity("wide", box((0.0, 0.0, 0.0), (1.0, 1.0, 0.12)), *holes)
    foam = with_heat(replace(SHEET, core_limit=START + 100.0, cool_to=START + 30.0))
    one = boat(wide, foam=foam, shop=FAST)
    return one, plan_pours(one)


def test_both_holes_of_a_layer_share_its_heat() -> None:
    _, found = _wide()
    for number in {lift.number for lift in found.lifts}:
        first, second = (lift for lift in found.lifts if lift.number == number)
        assert first.heat == second.heat
        assert first.hole != second.hole


def test_what_remains_keeps_its_heat_where_all_went_in_as_planned() -> None:
    one, found = _wide()
    for count in (1, 2, 3):
        rest = replan(found, one, [(lift.order, lift.mixed_mass) for lift in found.lifts[:count]])
        assert rest.done == found.lifts[:count]
        for now, before in zip(rest.lifts, found.lifts[count:], strict=True):
            assert now.heat is not None
            assert before.heat is not None
            assert now.heat.peak_high == pytest.approx(before.heat.peak_high)
            assert now.wait == pytest.approx(before.wait)
            assert now.start == pytest.approx(before.start)


def test_a_layer_that_got_too_much_is_hotter_and_is_waited_for_longer() -> None:
    one, found = _wide()
    rest = replan(found, one, [(lift.order, 1.3 * lift.mixed_mass) for lift in found.lifts[:2]])
    below, planned = rest.done[-1], found.lifts[1]
    assert below.heat is not None
    assert planned.heat is not None
    assert below.heat.thickness == pytest.approx(1.3 * planned.heat.thickness)
    assert below.heat.peak_high > planned.heat.peak_high
    assert below.next_after == below.end + below.wait > planned.next_after
    assert rest.lifts[0].start >= below.next_after
    limit = next(line.value for line in found.lines if "lowered" in line.label)
    assert all(lift.thickness <= limit * (1.0 + 1e-9) for lift in rest.lifts)
    assert "the gel wait is not enough after wide lift 1" in "\n".join(rest.cautions)


def test_a_finished_cavity_that_got_too_much_tells_its_heat_too() -> None:
    one, found = _wide()
    over = [(lift.order, (1.3 if lift.number == 1 else 1.0) * lift.mixed_mass)
            for lift in found.lifts]  # fmt: skip
    rest = replan(found, one, over)
    first, planned = rest.done[0].heat, found.lifts[0].heat
    assert rest.lifts == ()
    assert first is not None
    assert planned is not None
    assert first.peak_high > planned.peak_high


def test_what_tops_up_a_closing_layer_is_a_layer_of_its_own_on_it() -> None:
    one, found = _wide()
    log = [(lift.order, (0.6 if lift.closing else 1.0) * lift.mixed_mass) for lift in found.lifts]
    rest = replan(found, one, log)
    first, second = (lift.heat for lift in rest.lifts)
    closing = rest.done[-1].heat
    assert first is not None
    assert first == second
    assert "topping up" in first.lines[0].label
    assert closing is not None
    assert first.peak_high != closing.peak_high
    assert min(lift.start for lift in rest.lifts) >= rest.done[-1].next_after


def test_the_wait_of_the_sheet_lets_foam_cool_before_the_next_layer() -> None:
    wide = cavity("wide", box((0.0, 0.0, 0.0), (1.0, 1.0, 0.5)), hole("F", (0.5, 0.5, 0.5)))
    soon, late = (
        plan_pours(boat(wide, foam=replace(with_heat(SHEET), lift_wait=wait), shop=FAST)).lifts[-1]
        for wait in (None, 36000.0)
    )
    assert soon.heat is not None
    assert late.heat is not None
    assert late.heat.peak_high < soon.heat.peak_high
