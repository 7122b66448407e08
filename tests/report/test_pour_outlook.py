"""What the engineer is told of a pour: orders with their price, clock, sensitivity, attitudes."""

from collections.abc import Callable
from dataclasses import replace

from plan_by_hand import timed_by_hand

from flotation.boat import Boat
from flotation.pour.outlook import Attitude, AttitudeProposal, PackOrder, Sensitivity, Timetable
from flotation.pour.pourplan import PourPlan
from flotation.report.calculation import calculation_report
from flotation.report.pour_sheet import pour_sheet
from flotation.swamped.assessment import Assessment

Read = Callable[[bytes], str]
STATED = Attitude(0.0, 0.0, 12, 0.004)
BETTER = Attitude(0.0, 0.0349066, 10, 0.001)


def looking_out() -> PourPlan:
    return replace(
        timed_by_hand(),
        timetable=Timetable(2, 60.0, 13, 1280.0, 2000.0, 1520.0, ()),
        packs=(
            PackOrder("pour foam", "kit", 10.6, 9.4, 13.4, 11.9, 2, 7.8, 6.9, 368.0, "EUR", ()),
        ),
        sensitivity=(Sensitivity("pour foam", "density", 0.01, "1", 0.01, 0.224, 0.224, 6.11, ()),),
        attitudes=AttitudeProposal(STATED, BETTER, BETTER, (STATED, BETTER)),
    )


def test_the_calculation_has_it(boat: Boat, assessment: Assessment, text_of: Read) -> None:
    words = text_of(calculation_report(boat, looking_out(), assessment))
    for said in (
        "Time of the pour, min:s 21:20",
        "Lifts decided by the depth of the cavity",
        "pour foam, kit 2 13.4 kg",
        "368.00 EUR",
        "a cup 1 % heavier 1 %",
        "fewest lifts 0° 2.00° 10",
    ):
        assert said in words


def test_the_floor_is_not_told(boat: Boat, text_of: Read) -> None:
    words = text_of(pour_sheet(boat, looking_out()))
    for said in ("EUR", "a cup 1 % heavier", "fewest lifts", "Lifts decided"):
        assert said not in words


def test_a_plan_without_any_of_it_has_only_what_decides(
    boat: Boat, plan: PourPlan, assessment: Assessment, text_of: Read
) -> None:
    words = text_of(calculation_report(boat, plan, assessment))
    assert "To order, each kind" not in words
    assert "Attitude in the jig" not in words
