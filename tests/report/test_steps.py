"""Steps: where foam should stop, and what gets the same at another cup or dip is told once."""

from dataclasses import replace

import pytest

from flotation.pour.pourplan import PourPlan
from flotation.report.steps import counted, dip_tables, ladders, orders, steps_of, stop

STEP = 0.005


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


def test_numbers_of_batches_are_drawn_together_from_three_on() -> None:
    assert counted([1, 2]) == "1, 2"
    assert counted([5, 1, 2, 3]) == "1\u20133, 5"
