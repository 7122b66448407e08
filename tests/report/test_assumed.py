"""What the plan takes for granted and the margin rests on stands on the page that decides."""

from collections.abc import Callable
from dataclasses import replace

from plan_by_hand import proposing

from flotation.boat import Boat
from flotation.pour.pourplan import PourPlan
from flotation.report.assumed import taken_as_filled
from flotation.report.calculation import calculation_report
from flotation.swamped.assessment import Assessment

WORDS = (
    "Foam is taken to get everywhere, because no flow length is stated. By a recalled one it does "
    "not, and this lift is missing: side port 6.3 kg (13.9 lb)."
)


def test_foam_that_is_filled_on_paper_only_is_told_with_its_lift(plan: PourPlan) -> None:
    assert taken_as_filled(proposing(plan)) == (WORDS,)  # the flow length of starboard is stated


def test_what_is_counted_as_empty_or_is_a_crumb_is_no_assumption(plan: PourPlan) -> None:
    gaps = proposing(plan)
    counted = tuple(replace(one, counted=True) for one in gaps.reach)
    crumbs = tuple(replace(one, unreached=0.0001) for one in gaps.reach)
    for reach in ((), counted, crumbs):
        assert taken_as_filled(replace(gaps, reach=reach)) == ()
    assert taken_as_filled(plan) == ()


def test_it_stands_in_the_report(
    boat: Boat, plan: PourPlan, assessment: Assessment, text_of: Callable[[bytes], str]
) -> None:
    words = text_of(calculation_report(boat, proposing(plan), assessment))
    assert words.index("What was assumed") < words.index(WORDS) < words.index("What was put in")
