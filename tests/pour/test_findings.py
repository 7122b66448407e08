"""What a plan says in its own words about itself."""

import math
from dataclasses import replace

import pytest
from pour_boats import FOAM, MACHINE, SHOP, boat, box, by_hand, cavity, hole, side

from flotation import plan_pours
from flotation.boat import Boat, HoleKind, Jig
from flotation.foamsystem import Foam, Shop
from flotation.pour.outlook import LiftBound


def cautions(foam: Foam = FOAM, shop: Shop = SHOP) -> str:
    return "\n".join(plan_pours(boat(side(), foam=foam, shop=shop)).cautions)


def of(one: Boat) -> str:
    return "\n".join(plan_pours(one).cautions)


def test_without_a_cup_test_the_plan_gives_the_range_of_the_sheet() -> None:
    one = boat(side(), shop=replace(SHOP, cup_tests=()))
    plan = plan_pours(one)
    mixed = plan.pours[0].mixed_mass
    assert plan.go
    assert "no cup test is entered" in plan.cautions[0]
    values = {line.label: line.value for line in plan.lines}
    least = values["pour foam: least mass to mix within the sheet's cup limits"]
    most = values["pour foam: most mass to mix within the sheet's cup limits"]
    assert least == pytest.approx(mixed * 30.5 / 32.0)
    assert most == pytest.approx(mixed * 33.5 / 32.0)
    assert f"{least:.3g} kg" in plan.cautions[0]
    assert f"{most:.3g} kg" in plan.cautions[0]
    assert plan.cups[0].date is None


def test_with_a_cup_test_there_is_no_such_caution_and_no_range() -> None:
    assert "cup test is entered" not in cautions()
    lines = plan_pours(boat(side())).lines
    assert not any("within the sheet's cup limits" in line.label for line in lines)


@pytest.mark.parametrize("ratio", [32.0, 38.0])
def test_an_expansion_that_the_densities_bear_out_is_no_caution(ratio: float) -> None:
    assert "expansion" not in cautions(replace(FOAM, expansion_ratio=ratio))


@pytest.mark.parametrize("ratio", [25.0, 30.0, 39.0])
def test_an_expansion_that_disagrees_is_flagged_and_moves_no_quantity(ratio: float) -> None:
    stated = replace(FOAM, expansion_ratio=ratio)
    assert f"stated expansion of {ratio:g}:1" in cautions(stated)
    assert plan_pours(boat(side(), foam=stated)).pours == plan_pours(boat(side())).pours


def test_without_a_lift_limit_thickness_divides_nothing_and_no_limit_is_proposed() -> None:
    foam = replace(FOAM, lift_limit=None)
    assert "No limit is proposed here" in cautions(foam)
    plan = plan_pours(boat(side(depth=0.35), foam=foam))
    assert [lift.of for lift in plan.lifts] == [1]
    assert plan.pours[0].decides is LiftBound.DEPTH


def test_a_sheet_without_a_ratio_tolerance_gets_the_usual_one_and_a_word() -> None:
    assert "usual 2 %" in cautions(replace(FOAM, mix_tolerance=None))
    assert "tolerance" not in cautions()


def test_warm_liquids_may_cream_before_the_batch_is_out() -> None:
    """45 s at 20 °C are 27.7 s at 27 °C by the rule of thumb; a batch needs some 29 s."""
    assert "may cream after 27.7 s (10 °C warmer" in cautions()
    assert "may cream" not in cautions(shop=by_hand(mixing_time=10.0))


def test_a_cool_shop_and_cool_liquids_give_no_word_about_warm_ones() -> None:
    foam = replace(FOAM, liquid_low=None, liquid_high=None, sheet_temperature=298.15)
    assert "may cream" not in cautions(foam, by_hand(mixing_time=30.0))


def test_what_divides_a_cavity_beyond_its_thickness_is_named_with_what_helps() -> None:
    """A crew of one has 2 kg in the hole before it creams, and a layer of 5.28 kg takes three."""
    alone = replace(SHOP, crew=1)
    assert (
        "one hole takes at most 2 kg (4.41 lb) in one lift (largest batch), so these cavities "
        "are poured in more lifts than the sheet's thickness asks for: side port (6). More people"
    ) in cautions(shop=alone)
    assert "in more lifts" not in cautions()


def test_lifts_whose_last_bucket_lands_on_creamed_foam_are_named() -> None:
    """Seven buckets would do, but rounded to 20 g eight are needed, and there are seven people."""
    shop = replace(by_hand(batch_limit=0.924, scale_step=0.02), crew=7)
    assert "lands on foam that has creamed: side port lift 1 (8)" in cautions(shop=shop)
    assert "that has creamed" not in cautions(shop=replace(shop, crew=9))


def test_machine_shots_that_outlast_the_cream_are_poured_as_more_lifts() -> None:
    """5.6 kg at 0.2 kg/s take 28 s: too long for 25 s of cream, in time for 45 s."""
    quick = replace(FOAM, cream_time=25.0)
    small = replace(SHOP, mixing=replace(MACHINE, shot_limit=3.0))
    assert "machine rate against the cream time" in cautions(quick, small)
    assert "in more lifts" not in cautions(FOAM, small)


def test_missing_holes_are_named() -> None:
    bare = cavity("bare", box((0.0, 0.0, 0.0), (1.0, 0.2, 0.2)))
    plan = plan_pours(boat(bare))
    assert "No fill hole is stated for bare: the sheet cannot say where to pour." in plan.cautions
    assert any("No vent hole is stated for bare" in text for text in plan.cautions)
    assert plan.go
    (lift,) = plan.lifts
    assert (lift.hole, lift.dip, lift.dip_least) == ("", None, None)


def test_holes_are_not_missed_where_they_are() -> None:
    assert "hole is stated for" not in cautions()


def test_what_foam_does_not_get_to_is_named_with_its_price_and_the_holes_that_help() -> None:
    """From the middle of 3 m, 1 m each way is reached; the two ends are a third of 300 L."""
    text = cautions()
    assert "side port: foam that flows 1 m (3.28 ft) along the cavity does not get to" in text
    assert "of lift. The flow length is recalled, not stated, so it is filled on paper" in text
    assert "2 further fill holes, the fewest of the places tried: (" in text
    near = cavity("near", box((0.0, 0.0, 0.0), (0.8, 0.2, 0.2)), hole("F", (0.4, 0.1, 0.2)))
    assert "does not get to" not in of(boat(near))


def test_a_stated_flow_length_counts_what_it_does_not_get_to_as_flooded() -> None:
    text = cautions(replace(FOAM, flow_length=1.2))
    assert "side port: foam that flows 1.2 m (3.94 ft) along the cavity does not get to" in text
    assert "That counts as flooded" in text
    assert "recalled, not stated" not in text
    assert "does not get to" not in cautions(replace(FOAM, flow_length=1.7))


def test_where_nothing_may_be_drilled_another_way_in_is_asked_for() -> None:
    shut = replace(side(), drill=(((9.0, 9.0, 9.0), (9.1, 9.1, 9.1)),))
    assert "No place on its top that may be drilled reaches more" in of(boat(shut))


def test_what_lies_above_every_hole_is_air() -> None:
    """A cavity 0.5 m deep whose holes are 0.1 m below its top: 3 x 0.2 x 0.1 m."""
    port = side()
    low = replace(
        port, holes=(hole("F", (1.5, 0.6, 0.5)), hole("V", (2.9, 0.6, 0.4), HoleKind.VENT))
    )
    assert "side port: 60.0 L" in of(boat(low))
    assert "it counts as flooded. To fill it, drill a vent at (1.4" in of(boat(low))
    assert "higher than every hole" not in cautions()


def test_a_trimmed_hull_catches_air_at_its_high_end() -> None:
    """Bow down by 5 degrees, the stern end is 1.5 m from the nearest hole."""
    wedge = 0.5 * 1.5 * (1.5 * math.tan(math.radians(5.0))) * 0.2 * 1000.0
    assert f"side port: {wedge:.3g} L" in of(boat(side(), jig=Jig(0.0, math.radians(-5.0))))


def test_lower_lifts_that_rise_freely_make_the_closing_lift_press() -> None:
    text = cautions()
    assert "If the lower lifts rise freely" in text
    assert "table of dips" in text
    assert "If the lower lifts" not in of(boat(side(depth=0.3)))
