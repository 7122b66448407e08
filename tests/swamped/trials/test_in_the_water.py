"""What the simulated tests add to an assessment: findings, what is open, what is refused."""

from dataclasses import replace

from afloat_boats import FUEL, HELD_TANK, PARTS, SHELL, afloat_skiff, low_skiff, worked
from small_boats import RAIL, skiff, skiff_foam

from flotation.swamped.assess import assess
from flotation.swamped.trials import in_the_water


def findings(boat, foam=None):
    found = in_the_water(worked(boat, skiff_foam() if foam is None else foam)).findings
    return {(one.subject, one.advice): one for one in found}


def found_of(boat, subject: str, words: str):
    return [one for (who, says), one in findings(boat).items() if who == subject and words in says]


def test_a_boat_file_that_lacks_something_gets_no_simulation_and_says_what() -> None:
    given = assess(skiff(), skiff_foam())
    assert given.trials == ()
    (said,) = [text for text in given.open_points if text.startswith("The tests in the water")]
    assert "rail: the size of its box, or a sheet" in said
    assert "[top]" in said
    assert any("Enough lift does not make a boat float level" in one for one in given.open_points)


def test_the_tests_enter_the_assessment() -> None:
    good = assess(afloat_skiff(), skiff_foam())
    assert good.trials[0].name == "183.225"
    assert good.meets
    assert len(good.limits) == len(good.verdicts) + 12
    assert not any("Enough lift does not make" in text for text in good.open_points)
    low = assess(*low_skiff())
    assert all(one.meets for one in low.verdicts)
    assert not low.meets
    assert low.remember.startswith("Enough foam in the wrong place")
    assert [one.trial for one in low.explanations] == ["183.230, port", "183.230, starboard"]
    assert any("Recalled" in text and "183.230" in text for text in low.open_points)


def test_a_sheet_of_another_weight_is_told() -> None:
    boat = afloat_skiff()
    hull = boat.weights[0]
    (said,) = found_of(boat, "hull laminate", "the sheets weigh")
    assert said.heeded is None  # no tolerance is stated
    near = replace(boat, weights=(replace(hull, mass=158.0, tolerance=5.0), *boat.weights[1:]))
    (said,) = found_of(near, "hull laminate", "the sheets weigh")
    assert said.heeded is True
    far = replace(boat, weights=(replace(hull, tolerance=5.0), *boat.weights[1:]))
    (said,) = found_of(far, "hull laminate", "the sheets weigh")
    assert said.heeded is False
    assert "less than listed" in said.found


def test_a_sheet_elsewhere_than_listed_is_told() -> None:
    boat = afloat_skiff()
    assert len(found_of(boat, "hull laminate", "lies where the weight list")) == 1
    x, y, z = PARTS[0].skin.centroid.tolist()
    hull = replace(boat.weights[0], at=(x, y, z + 0.04))
    there = replace(boat, weights=(hull, *boat.weights[1:]))
    assert found_of(there, "hull laminate", "lies where the weight list") == []


def test_an_item_on_the_other_side_of_the_water_is_told() -> None:
    boat = afloat_skiff()
    rule = "below the swamped waterline while"
    assert found_of(boat, "rail", rule) == []
    flagged = replace(boat.weights[2], below_water=True)
    assert flagged.item == RAIL.item
    boat = replace(boat, weights=(*boat.weights[:2], flagged, *boat.weights[3:]))
    (said,) = found_of(boat, "rail", rule)
    assert said.found.startswith("0 % of what it displaces is under water in 183.225")


def test_a_sealed_tank_without_restraint_is_told() -> None:
    loose = replace(HELD_TANK, restraint="")
    boat = replace(afloat_skiff(SHELL, FUEL), tanks=(loose,))
    said = in_the_water(worked(boat, skiff_foam())).assumptions
    assert "tank: sealed, and no restraint is stated; its lift is not counted." in said
