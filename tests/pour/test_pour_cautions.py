"""Cautions, checks, responses and last steps: each shown when it matters, and only then."""

from dataclasses import replace

import pytest
from pour_boats import FOAM, MACHINE, SHOP, boat, side

from flotation import plan_pours
from flotation.boat import Cavity, TakenOut
from flotation.pour.cautions import Fact, Situation, _entries, checks, last_steps, responses, safety
from flotation.pour.figures import _figures
from flotation.pour.pourplan import Check, CheckKind, PourPlan
from flotation.workings import Mark


def with_tank(tank: str | None, sole_support: bool = False) -> Cavity:
    port = side()
    out = TakenOut("fuel tank" if tank else "rigging tube", port.solid, 0.01, tank, sole_support)
    return replace(port, taken_out=(out,))


def texts(plan: PourPlan) -> str:
    parts = [caution.text for caution in plan.safety]
    parts += [check.text for check in plan.before]
    parts += [word for response in plan.if_then for word in (response.sign, *response.steps)]
    return "\n".join([*parts, *(str(step) for step in plan.after)])


def check(plan: PourPlan, quantity: str) -> Check:
    (found,) = [one for one in plan.before if one.quantity == quantity]
    return found


def test_every_entry_has_a_source_and_a_mark() -> None:
    assert len(_entries()) > 30
    for entry in _entries():
        assert entry.source.publication
        assert entry.source.mark in Mark
        assert all(text[0].isupper() or text[0] == "{" for text in entry.texts)
        assert (entry.kind is not None) == (entry.table == "check")


def test_every_number_of_foam_practice_has_a_source_and_a_unit() -> None:
    assert _figures()
    for term in _figures().values():
        assert term.source is not None
        assert term.source.publication
        assert term.unit


def test_every_text_finds_its_words() -> None:
    """With every fact true at once, nothing is left in braces."""
    plan = plan_pours(boat(with_tank("metallic"), with_tank("plastic", sole_support=True)))
    assert "{" not in texts(plan)


def test_an_entry_is_shown_only_when_all_that_it_asks_for_is_true() -> None:
    nothing = Situation("", frozenset(), {})
    assert (safety(nothing), responses(nothing), last_steps(nothing)) == ((), (), ())
    assert checks(nothing, [nothing]) == ()


@pytest.mark.parametrize("fact", list(Fact))
def test_every_fact_is_asked_for_by_some_entry(fact: Fact) -> None:
    assert any(fact in entry.when for entry in _entries())


def test_tanks_are_warned_of_only_where_there_are_some() -> None:
    assert "183.550" not in texts(plan_pours(boat(side())))
    assert "metal fuel tank (fuel tank)" in texts(plan_pours(boat(with_tank("metallic"))))
    plastic = texts(plan_pours(boat(with_tank("plastic", sole_support=True))))
    assert "183.516(b) or (c)" in plastic
    assert "183.516" not in texts(plan_pours(boat(with_tank("plastic"))))
    assert "brace fuel tank against floating up" in plastic


def test_the_source_of_the_tank_rule_is_the_regulation() -> None:
    plan = plan_pours(boat(with_tank("metallic")))
    (rule,) = [one for one in plan.safety if "metal fuel tank" in one.text]
    assert str(rule.source) == "33 CFR, 183.550(f), 183.552"


def test_buckets_and_machines_have_their_own_words() -> None:
    hand = texts(plan_pours(boat(side())))
    machine = texts(plan_pours(boat(side(), shop=replace(SHOP, mixing=MACHINE))))
    assert "never more than 2 kg (4.41 lb) in one bucket" in hand
    assert "bucket" not in machine.replace("A smoking bucket", "")
    assert "Machine calibrated" in machine
    assert "Machine calibrated" not in hand


def test_dips_and_waits_are_spoken_of_only_where_there_are_several_lifts() -> None:
    assert "gel wait" not in texts(plan_pours(boat(side(depth=0.3))))
    several = texts(plan_pours(boat(side(depth=0.6))))
    assert "The wait of 4 min between lifts lets the foam gel" in several
    assert "The dip is smaller than planned" in several


def test_nothing_presses_without_overpack() -> None:
    foam = replace(FOAM, overpack=1.0)
    plan = plan_pours(boat(side(), foam=foam))
    assert "presses" not in texts(plan)
    assert not any(one.kind is CheckKind.BRACE for one in plan.before)


def test_bracing_names_the_load_of_the_closing_lift() -> None:
    """5227 Pa over 9.80665 m/s2 are 533 kg on a square metre; heating comes on top."""
    plan = plan_pours(boat(side()))
    (brace,) = [one for one in plan.before if one.kind is CheckKind.BRACE]
    assert brace.cavity == "side port"
    assert "at least 533 kg on each square metre (109 lb on each square foot)" in brace.text


def test_plugs_name_what_passes_through_and_are_pulled_again() -> None:
    plan = plan_pours(boat(with_tank(None)))
    (plug,) = [one for one in plan.before if one.kind is CheckKind.PLUG]
    assert "open ends of rigging tube" in plug.text
    assert any(
        "rigging tube" in step.text and "Pull every plug" in step.text for step in plan.after
    )


def test_holes_to_keep_open_and_to_seal_are_counted() -> None:
    plan = plan_pours(boat(side()))
    (keep,) = [one for one in plan.before if one.kind is CheckKind.OPEN]
    assert "fill hole F and vent hole V" in keep.text
    assert any("all 2 holes" in step.text for step in plan.after)


def test_go_limits_are_the_sheets() -> None:
    plan = plan_pours(boat(side()))
    liquids, hull, cup = (check(plan, name) for name in ("liquids", "hull", "cup test"))
    assert (liquids.low, liquids.high, liquids.unit) == (294.15, 300.15, "K")
    assert (hull.low, hull.high) == (289.15, 311.15)
    assert (cup.low, cup.high, cup.unit) == (30.5, 33.5, "kg/m3")
    assert cup.source.mark is Mark.STATED
    assert cup.foam == FOAM.name


def test_the_cup_must_not_cream_before_the_largest_bucket_is_out() -> None:
    plan = plan_pours(boat(side()))
    largest = max(shot.mass for lift in plan.lifts for shot in lift.shots)
    cream = check(plan, "cream time")
    assert cream.low == pytest.approx(25.0 + largest / 0.5)
    assert cream.high is None


def test_the_hot_watch_lasts_until_every_core_is_cool_enough_to_be_covered() -> None:
    """Longer than to half of the heat: 0.379 * 0.1**2 * 36.08 * 1500 / 0.026 = 7889 s, 2.5 h."""
    plan = plan_pours(boat(side()))
    longest = max(lift.heat.cool_down for lift in plan.lifts)
    assert longest > 7889.0
    (step,) = (step for step in plan.after if "Hot watch" in step.text)
    hours = float(step.text.split(" h after")[0].split()[-1])
    assert longest <= hours * 3600.0 < longest + 1800.0


def test_it_never_says_that_a_sheet_is_approved() -> None:
    words = texts(plan_pours(boat(with_tank("metallic")))).lower()
    for word in ("approved", "certified", "compliant", "guarantee", "safe to "):
        assert word not in words
