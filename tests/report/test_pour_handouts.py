"""Sheet and card of what remains say so, and never take the place of those of the whole pour."""

import csv
import io
from collections.abc import Callable
from dataclasses import replace

import pytest
from plan_by_hand import timed_by_hand

from flotation.boat import Boat
from flotation.pour.pourplan import PourPlan
from flotation.report.pour_handouts import pour_handouts
from flotation.report.pour_sheet import pour_sheet

Read = Callable[[bytes], str]


def remaining(plan: PourPlan, done: int) -> PourPlan:
    """The same plan after its first steps."""
    pours = tuple(
        replace(pour, lifts=tuple(lift for lift in pour.lifts if lift.order > done))
        for pour in plan.pours
    )
    left = tuple(pour for pour in pours if pour.lifts)
    return replace(plan, pours=left, done=plan.lifts[:done])


@pytest.fixture(scope="module")
def rest() -> PourPlan:
    return remaining(timed_by_hand(), 4)


def test_a_whole_pour_has_the_names_of_the_report(boat: Boat, plan: PourPlan) -> None:
    found = pour_handouts(boat, plan)
    assert list(found) == ["pour_sheet.pdf", "mixing_card.pdf", "pour.csv"]
    assert found["pour_sheet.pdf"] == pour_sheet(boat, plan)


def test_what_remains_has_names_of_its_own_and_says_what_is_done(
    boat: Boat, rest: PourPlan, text_of: Read
) -> None:
    found = pour_handouts(boat, rest, paper="letter")
    assert list(found) == [
        "remaining_pour_sheet.pdf", "remaining_mixing_card.pdf", "remaining_pour.csv",
    ]  # fmt: skip
    sheet = text_of(found["remaining_pour_sheet.pdf"])
    assert "Poured already: steps 1\u20134. Never pour them again." in sheet
    assert "This sheet begins with step 5" in sheet
    assert "cross it out" in sheet
    assert "Pour sheet of what remains, page 1" in sheet
    assert "Mixing card of what remains" in text_of(found["remaining_mixing_card.pdf"])
    rows = list(csv.DictReader(io.StringIO(found["remaining_pour.csv"].decode())))
    assert sorted({int(row["order"]) for row in rows}) == [5, 6, 7, 8, 9, 10]


def test_the_sheet_of_a_whole_pour_speaks_of_nothing_that_remains(
    boat: Boat, plan: PourPlan, text_of: Read
) -> None:
    sheet = text_of(pour_sheet(boat, plan))
    assert "Poured already" not in sheet
    assert "what remains" not in sheet


def test_where_nothing_remains_there_is_no_card(boat: Boat, text_of: Read) -> None:
    plan = timed_by_hand()
    found = pour_handouts(boat, remaining(plan, len(plan.lifts)))
    assert list(found) == ["remaining_pour_sheet.pdf", "remaining_pour.csv"]
    assert "Nothing remains to be poured." in text_of(found["remaining_pour_sheet.pdf"])


def test_a_stopped_rest_gives_its_reasons_and_no_quantity(
    boat: Boat, rest: PourPlan, text_of: Read
) -> None:
    found = pour_handouts(boat, replace(rest, stops=("The cup is too heavy.",)))
    for name in ("remaining_pour_sheet.pdf", "remaining_mixing_card.pdf"):
        words = text_of(found[name])
        assert "DO NOT POUR" in words
        assert " kg" not in words
