"""The simulated tests in the water for a terminal of 80 columns."""

from collections.abc import Sequence

from flotation.report.printing import plain, si, us
from flotation.report.terminal import heading, item, joined, table, wrapped
from flotation.swamped.assessment import Assessment, Outcome, Trial
from flotation.swamped.trials.beyond import Beyond, Threshold
from flotation.swamped.trials.intact import Afloat
from flotation.swamped.trials.swamp_test import SwampTest
from flotation.swamped.trials.varied import Varied
from flotation.workings import Mark

_SHORT = {Outcome.FLOATS: "", Outcome.TURTLE: "bottom up", Outcome.SINKS: "sinks"}


def trials_parts(assessment: Assessment) -> list[str]:
    """The tests, what was assumed in each, why one is not met and what would mend it."""
    if not assessment.trials:
        return []
    parts = [wrapped(assessment.remember), ""] if assessment.remember else []
    parts += ["Tests in the water, by calculation; depths are negative above water:"]
    head = ("", "test", "heel", "trim", "forward", "aft", "N m/deg", "")
    rows = [_trial(trial) for trial in assessment.trials]
    parts += [table(head, rows, right=(2, 3, 4, 5, 6), stretch=1), ""]
    parts += [item(f"{one.name}: {one.assumed}") for one in assessment.trials]
    recalled = [
        trial.name
        for trial in assessment.trials
        if any(verdict.criterion.source.mark is Mark.RECALLED for verdict in trial.verdicts)
    ]
    if recalled:
        names = "; ".join(recalled)
        parts.append(item(f"limits recalled, compare with the current text: {names}"))
    explained = {told.trial for told in assessment.explanations}
    for trial in assessment.trials:
        if trial.name not in explained:
            parts += [item(f"{trial.name}: {note}") for note in trial.notes]
    for told in assessment.explanations:
        parts += [item(f"{told.trial} {told.sentence}")]
    if assessment.mending:
        parts += ["", "What would mend it:", *(item(text) for text in assessment.mending)]
    return [*parts, ""]


def _trial(trial: Trial) -> tuple[str, ...]:
    undecided = "" if all(one.decided for one in trial.verdicts) else "not decided"
    return (
        "meets" if trial.meets else "SHORT",
        trial.name,
        _angle(trial.heel),
        _angle(trial.trim),
        _depth(trial.forward_depth),
        _depth(trial.aft_depth),
        "" if trial.heel_stiffness is None else plain(trial.heel_stiffness, 3),
        _SHORT[trial.outcome] or undecided,
    )


def _angle(value: float | None) -> str:
    return "" if value is None else si(round(value, 4), "rad", 3)


def _depth(value: float | None) -> str:
    return "" if value is None else f"{plain(round(1000.0 * value) + 0.0)} mm"


def beyond_text(name: str, found: Beyond | None) -> str:
    """The tests with one thing changed, what they bear, and the intact boat.

    name   of the boat
    found  None: nothing was run
    """
    parts = [heading(f"Beyond the regulation: {name}")]
    if found is None:
        parts.append("Not run: the boat file lacks what the tests need, or the rule has no limits.")
        return joined(parts)
    parts += [wrapped("Each line: all tests, as stated but for one change; the worst of them."), ""]
    rows = [_varied(one) for one in (found.as_stated, *found.rows)]
    head = ("", "change", "worst in", "heel", "depth", "")
    parts.append(table(head, rows, right=(3, 4), stretch=1))
    if not found.as_stated.meets:
        parts += ["", wrapped("The tests are not met as stated, so nothing was changed.")]
    parts += ["", *(item(_threshold(one)) for one in found.thresholds)]
    if found.intact is not None:
        parts += ["", "Before it is swamped:", *(item(_intact(one)) for one in found.intact.states)]
        opening = found.intact.to_opening
        text = f"water reaches the lowest opening at {si(opening, 'kg')} ({us(opening, 'kg')})"
        if found.intact.stated is not None:
            text += f" upright; the boat file states {si(found.intact.stated, 'kg')} at most"
        parts.append(item(text))
    return joined(parts)


def _varied(one: Varied) -> tuple[str, ...]:
    name = ": ".join(part for part in (one.group, one.change) if part)
    sign = "meets" if one.meets else "SHORT"
    return sign, name, one.worst, _angle(one.heel), _depth(one.depth), _SHORT[one.outcome]


def _threshold(one: Threshold) -> str:
    if one.value is None:
        return f"{one.what}: not even without any"
    value = f"{plain(100.0 * one.value, 3)} %" if one.unit == "1" else plain(one.value, 3)
    how = f" ({_SHORT[one.outcome]})" if _SHORT[one.outcome] else ""
    tail = "" if one.all_the_way else f"; beyond it {one.first} is not met{how}"
    return f"{one.what}: every limit is met up to {value}{tail}"


def _intact(one: Afloat) -> str:
    weight = f"{si(one.mass, 'kg')} ({us(one.mass, 'kg')})"
    if one.draught is None or one.freeboard is None:
        return f"{one.name}: {weight}, sinks"
    return (
        f"{one.name}: {weight}, draught {_depth(one.draught)}, trim {_angle(one.trim)}, heel "
        f"{_angle(one.heel)}, least freeboard {_depth(one.freeboard)}"
    )


def swamp_tests_text(name: str, sheets: Sequence[SwampTest]) -> str:
    """The sheets of the tests in real water, one after another."""
    parts = [heading(f"Tests in real water: {name}")]
    for sheet in sheets:
        foretold = f"heel {_angle(sheet.heel)}, trim {_angle(sheet.trim)} foretold"
        parts += [f"{sheet.name}: {foretold}", ""]
        parts += ["Before:", *(item(text) for text in sheet.before), ""]
        head = ("weights", "x m", "y m", "z m", "under water", f"{sheet.material}, dry", "")
        rows = [
            (
                put.stands_for,
                *(f"{value:.2f}" for value in put.at),
                si(put.submerged, "kg", 3),
                si(put.dry, "kg", 3),
                us(put.dry, "kg", 3),
            )
            for put in sheet.weights
        ]
        if rows:
            parts += [table(head, rows, right=(1, 2, 3, 4, 5, 6), stretch=0), ""]
        of_marks = ("mark", "x m", "y m", "z m", "depth foretold", "measured")
        marks = [
            (mark.name, *(f"{value:.3f}" for value in mark.at), _depth(mark.depth), "________")
            for mark in sheet.marks
        ]
        parts += [table(of_marks, marks, right=(1, 2, 3, 4), stretch=0), ""]
        parts += ["Stop when", *(item(text) for text in sheet.stop), ""]
    return joined(parts)
