"""What the boat itself weighs under water, entry by entry."""

from dataclasses import replace

import pytest
from small_boats import FRESH, HULL, RAIL, SOLE, material, shop_laminate, skiff, weight

from flotation.boat import Role, Weight
from flotation.rulebook import load_rulebook
from flotation.swamped.burdens import number_weights
from flotation.swamped.factors import submergence_factor
from flotation.swamped.structure import Structure, structure
from flotation.workings import COMPUTED, Term

GUIDE = load_rulebook("us_boatbuilders_handbook")
WATER = Term("water", FRESH, "kg/m3", COMPUTED)
SAFE = skiff().method
PHYSICAL = replace(SAFE, wood_lifts=True)


def worked(*weights: Weight, method=SAFE) -> Structure:
    return structure(number_weights(weights), WATER, method, GUIDE)


def factor(stuff, method=SAFE) -> float:
    return submergence_factor(stuff, WATER, method, GUIDE).value


def test_published_factor_and_own_density() -> None:
    assert factor(material("aluminium")) == 0.63
    assert factor(shop_laminate(1620.0)) == pytest.approx(1.0 - FRESH / 1620.0)


def test_the_largest_published_factor_is_the_default_and_the_handbooks_an_option() -> None:
    laminate = material("fibreglass laminate")
    assert factor(laminate) == 0.375
    assert factor(laminate, replace(SAFE, material_factor="handbook")) == 0.33


def test_a_material_that_the_handbook_leaves_out_keeps_its_only_factor() -> None:
    assert factor(material("steel"), replace(SAFE, material_factor="handbook")) == 0.87


def test_a_factor_of_the_shops_own_counts_as_stated() -> None:
    own = replace(shop_laminate(1.0), density=None, submergence=0.4)
    assert factor(own) == 0.4


def test_a_material_without_a_number_is_a_mistake_of_the_caller() -> None:
    with pytest.raises(ValueError, match="neither a factor nor a density"):
        factor(replace(shop_laminate(1.0), density=None))


@pytest.mark.parametrize("name", ["fir plywood", "balsa", "Douglas-fir"])
def test_wood_gives_no_lift_unless_the_boat_file_chooses_its_physical_sign(name: str) -> None:
    assert factor(material(name)) == 0.0
    assert factor(material(name), PHYSICAL) < 0.0


def test_wood_that_is_heavier_than_water_weighs_either_way() -> None:
    ironwood = replace(shop_laminate(1100.0), is_wood=True)
    assert factor(ironwood) == factor(ironwood, PHYSICAL) > 0.0


def test_a_light_core_that_is_no_wood_lifts() -> None:
    assert factor(shop_laminate(80.0)) < 0.0


def test_entries_of_one_material_are_summed_and_the_rest_counts_in_full() -> None:
    deck = weight("deck", 60.0, material("fibreglass laminate"))
    anchor = weight("anchor", 9.0, role=Role.EQUIPMENT)
    found = worked(HULL, SOLE, RAIL, deck, anchor)
    lines = {line.label: line.value for line in found.section.lines}
    assert lines["fibreglass laminate, under water"] == pytest.approx((180.0 + 60.0) * 0.375)
    assert lines["Counted in full"] == 12.0 + 9.0
    assert found.total.value == pytest.approx(240.0 * 0.375 + 21.0)
    assert any(
        "Without a stated material" in text and "anchor" in text for text in found.assumptions
    )


def test_what_lies_above_the_waterline_counts_in_full() -> None:
    above = replace(HULL, below_water=False)
    assert worked(above).total.value == HULL.mass
    assert worked(HULL).total.value == pytest.approx(HULL.mass * 0.375)


def test_machinery_and_portable_tanks_are_no_part_of_the_boat() -> None:
    others = [
        weight(str(role), 50.0, role=role)
        for role in (Role.MOTOR, Role.CONTROLS, Role.BATTERY, Role.PORTABLE_TANK)
    ]
    assert worked(HULL, *others).total.value == worked(HULL).total.value


def test_a_permanent_tank_weighs_and_never_lifts() -> None:
    petrol = weight("tank", 60.0, shop_laminate(740.0), role=Role.PERMANENT_TANK)
    assert worked(HULL, petrol).total.value == worked(HULL).total.value
    steel = weight("tank", 60.0, material("steel"), role=Role.PERMANENT_TANK)
    assert worked(steel).total.value == pytest.approx(60.0 * 0.87)


def test_the_report_says_which_way_wood_was_taken() -> None:
    assert any(
        "need not be the safe side for stability" in text for text in worked(SOLE).assumptions
    )
    assert any("an option" in text for text in worked(SOLE, method=PHYSICAL).assumptions)
    assert not any("Wood" in text for text in worked(HULL).assumptions)


def test_a_tolerance_counts_as_much_as_its_weight_does_under_water() -> None:
    found = worked(replace(HULL, tolerance=10.0), replace(RAIL, tolerance=1.0), SOLE)
    assert [burden.spread for burden in found.burdens] == [pytest.approx(3.75), None, 1.0]


def test_the_report_says_which_published_factor_was_taken() -> None:
    (told,) = (text for text in worked(HULL).assumptions if "Publications" in text)
    assert "fibreglass laminate as 0.33, 0.375; the largest counts" in told
    handbook = replace(SAFE, material_factor="handbook")
    (told,) = (text for text in worked(HULL, method=handbook).assumptions if "Publ" in text)
    assert "the handbook's, an option, counts" in told
    assert not any("Publications" in text for text in worked(RAIL, SOLE).assumptions)
