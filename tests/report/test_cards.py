"""Cards: holes that get the same are together, and the pouring order is kept."""

from dataclasses import replace

import pytest
from plan_by_hand import plan_by_hand

from flotation.pour.pourplan import CavityPour, PourPlan
from flotation.report.cards import cards, dip_tables, ladders, orders, steps_of, stop

STEP = 0.005


def rows(pours: list[CavityPour]) -> list[list[str]]:
    return [[row["order"] for row in card["rows"]] for card in cards(steps_of(pours), STEP)]


def test_steps_that_differ_in_amount_or_lift_have_cards_of_their_own(plan: PourPlan) -> None:
    assert rows([plan.pours[0]]) == [["1", "2"]]
    assert rows([plan.pours[1]]) == [["3"], ["4"], ["7"], ["8"]]


def test_a_step_elsewhere_between_two_alike_parts_their_cards() -> None:
    pour = plan_by_hand().pours[0]
    first, second = pour.lifts
    apart = replace(pour, lifts=(first, replace(second, order=3)))
    assert rows([apart]) == [["1"], ["3"]]


def test_every_lift_has_one_row(plan: PourPlan) -> None:
    found = [order for card in rows(list(plan.pours)) for order in card]
    assert found == [str(lift.order) for lift in plan.lifts]


@pytest.mark.parametrize(
    ("dip", "least", "kind"), [(0.0, 0.0, "rim"), (-0.06, -0.07, "rim"), (None, None, "none")]
)
def test_a_dip_of_nothing_or_less_is_the_rim(
    plan: PourPlan, dip: float | None, least: float | None, kind: str
) -> None:
    assert stop(replace(plan.lifts[0], dip=dip, dip_least=least)) == {"kind": kind}


def test_a_dip_begins_no_nearer_than_the_rim(plan: PourPlan) -> None:
    found = stop(replace(plan.lifts[0], dip=0.02, dip_least=-0.01))
    assert (found["from"]["si"], found["to"]["si"]) == ("0 mm", "20 mm")


def test_ladders_and_dips_that_read_the_same_are_one(plan: PourPlan) -> None:
    (ladder,) = ladders(plan.pours, STEP)
    assert [column["holes"] for column in ladder["columns"]] == [
        ["G1", "G2"],
        ["P1", "P2", "S1", "S2"],
        ["P2"],
    ]
    assert ladder["columns"][1]["orders"] == "steps 3\u20137, 9, 10"
    (dips,) = dip_tables(steps_of(plan.pours), STEP)
    assert dips["orders"] == "steps 7\u201310"
    assert dips["holes"] == ["P1", "P2", "S1", "S2"]


def test_steps_are_called_out_in_runs() -> None:
    assert orders([5]) == "step 5"
    assert orders([4, 3]) == "steps 3, 4"
