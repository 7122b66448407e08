"""The rows of the pour sheet: every lift in pouring order, with every batch on the clock."""

from collections.abc import Sequence

from flotation.pour.outlook import Flush
from flotation.pour.pourplan import Lift, PourPlan, Shot
from flotation.report.plan_text import clock
from flotation.report.printing import NOT_STATED, cup_mark, minutes, on_scale, plain
from flotation.report.steps import Pour, Row, steps_of, stop


def pour_rows(plan: PourPlan, scale_step: float) -> list[Row]:
    """A row for each lift as it comes, with a line for each of its batches.

    scale_step  kg that the scale shows
    The lift into a cavity that already has some says from when on, and which dips to measure
    first. Times are of the plan's clock, 0:00 at the first batch.
    """
    steps = steps_of(plan.pours)
    flushes = {} if plan.timetable is None else {one.after: one for one in plan.timetable.flushes}
    return [_row(step, steps, scale_step, flushes.get(step.lift.order)) for step in steps]


def _row(step: Pour, steps: Sequence[Pour], scale_step: float, flush: Flush | None) -> Row:
    lift = step.lift
    under = [other.lift for other in steps if _lies_under(other.lift, lift)]
    return {
        "order": str(lift.order),
        "hole": lift.hole or NOT_STATED,
        "cavity": step.pour.cavity,
        "foam": step.pour.foam,
        "layers": lift.of > 1,
        "lift": f"{lift.number} of {lift.of}",
        "batches": [batch_line(shot, scale_step) for shot in lift.shots],
        "stop": stop(lift),
        "from": clock(max((one.next_after for one in under), default=0.0)) if under else "",
        "measure": bool(lift.by_dip),
        "more": lift.number < lift.of,
        "next": clock(lift.next_after),
        "wait": minutes(lift.next_after - lift.end),
        "flush": None if flush is None else _flush(flush, scale_step),
    }


def _lies_under(one: Lift, other: Lift) -> bool:
    return one.cavity == other.cavity and one.number == other.number - 1


def batch_line(shot: Shot, scale_step: float) -> Row:
    """One bucket or shot: its number over the boat, its start, masses and cup marks."""
    return {
        "number": str(shot.batch),
        "start": clock(shot.start),
        "a": on_scale(shot.weigh_a, scale_step),
        "b": on_scale(shot.weigh_b, scale_step),
        "mixed": on_scale(shot.mass, scale_step),
        "cup_a": cup_mark(shot.volume_a),
        "cup_b": cup_mark(shot.volume_b),
        "seconds": "" if shot.seconds is None else plain(shot.seconds),
    }


def _flush(flush: Flush, scale_step: float) -> Row:
    return {
        "a": on_scale(flush.mass_a, scale_step),
        "b": on_scale(flush.mass_b, scale_step),
    }


def weighed(plan: PourPlan, scale_step: float) -> list[Row]:
    """What all batches of each foam come to as they are weighed, for the end of the sheet."""
    found: list[Row] = []
    for foam in dict.fromkeys(pour.foam for pour in plan.pours):
        own = [pour for pour in plan.pours if pour.foam == foam]
        shots = [shot for pour in own for lift in pour.lifts for shot in lift.shots]
        found.append(
            {
                "foam": foam,
                "batches": str(len(shots)),
                "a": on_scale(sum(shot.weigh_a for shot in shots), scale_step),
                "b": on_scale(sum(shot.weigh_b for shot in shots), scale_step),
                "mixed": on_scale(sum(shot.mass for shot in shots), scale_step),
            }
        )
    return found
