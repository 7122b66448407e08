"""The calculation report: what was found, what it was found from, every number line by line."""

from collections.abc import Sequence

from flotation.boat import Boat
from flotation.geometry.shapes_outline import View
from flotation.pour.pourplan import PourPlan
from flotation.report.advised import Advised, not_heeded
from flotation.report.assumed import taken_as_filled
from flotation.report.attitudes import trials_data
from flotation.report.beside import NOTHING_BESIDE, Beside
from flotation.report.blocks import chapters_data
from flotation.report.drawings import Mark, Picture, draw, shadows
from flotation.report.inputs import (
    cavity_numbers,
    cavity_rows,
    chamber_rows,
    facts,
    foam_columns,
    foam_rows,
    particulars,
    total_rows,
    weighing_rows,
    weight_rows,
)
from flotation.report.numbered import Numbering, all_chapters
from flotation.report.paper import Paper, paper_named
from flotation.report.pour_outlook import outlook
from flotation.report.printing import DIGITS, both
from flotation.report.supposed import what_if_data
from flotation.report.typesetting import typeset, typeset_page
from flotation.rulebook import Edition, editions
from flotation.swamped.assessment import Assessment, Finding, Verdict
from flotation.swamped.found_volumes import BOUNDS_OF_LIFT
from flotation.swamped.general_method import GUIDANCE, OWN_LAW
from flotation.version import VERSION

TEMPLATE = "calculation.typ"
_HASH = 16  # letters of a hash that tell one edition from another
_MARGIN = 16.0  # mm, as calculation.typ has it
_PLAN_HEIGHT, _SIDE_HEIGHT = 96.0, 78.0  # mm


def calculation_report(
    boat: Boat,
    plan: PourPlan,
    assessment: Assessment,
    paper: str = "a4",
    *,
    beside: Beside = NOTHING_BESIDE,
) -> bytes:
    """The report as PDF.

    paper   "a4" or "letter"
    beside  righting arms and what if; without them no plot and no table
    Raises ValueError for another paper.
    """
    return typeset(TEMPLATE, calculation_data(boat, plan, assessment, paper, beside))


def first_page_picture(
    boat: Boat,
    plan: PourPlan,
    assessment: Assessment,
    dots_per_inch: float,
    beside: Beside = NOTHING_BESIDE,
) -> bytes:
    """The page that decides as PNG, on A4.

    dots_per_inch  how fine; 76 is enough for a screen
    """
    data = calculation_data(boat, plan, assessment, "a4", beside)
    return typeset_page(TEMPLATE, data, dots_per_inch)


def calculation_data(
    boat: Boat,
    plan: PourPlan,
    assessment: Assessment,
    paper: str,
    beside: Beside,
) -> dict[str, object]:
    """All that the report says, as its template reads it."""
    size = paper_named(paper)
    numbering = Numbering(all_chapters(assessment, plan))
    return {
        "paper": size.name,
        "version": VERSION,
        "boat": boat.name,
        "files": [{"name": name, "hash": digest} for name, digest in boat.files],
        "rules": [_rules(edition) for edition in editions()],
        "digits": DIGITS,
        "scope": {
            "sentence": assessment.scope.sentence,
            "flotation": assessment.scope.flotation,
            "inside": assessment.scope.inside,
            "reasons": list(assessment.scope.reasons),
        },
        **_answer(assessment, numbering),
        "facts": facts(boat),
        "particulars": particulars(boat),
        "weights": weight_rows(boat),
        "weighing": weighing_rows(boat),
        "foams": foam_columns(boat, plan),
        "cavities": cavity_rows(boat, assessment),
        "chambers": chamber_rows(boat),
        "notes": list(boat.notes),
        "pictures": _pictures(boat, assessment, size),
        "chapters": chapters_data(numbering, cavity_numbers(boat, assessment)),
        "foams_in_place": foam_rows(plan, assessment),
        "totals": total_rows(plan),
        "outlook": outlook(plan),
        "stops": list(plan.stops),
        "cautions": list(plan.cautions),
        "beside": [_beside(one) for one in not_heeded(assessment.findings, open_too=True)],
        "advice": _by_advice(assessment.findings),
        "what_if": what_if_data(beside.what_if),
        "afloat": trials_data(boat, assessment, beside.righting_arms),
        "assumptions": [*assessment.assumptions, *taken_as_filled(plan)],
        "open_points": list(assessment.open_points),
        "recalled": _recalled(numbering, pours=False),
        "recalled_for_pours": _recalled(numbering, pours=True),
    }


def _rules(edition: Edition) -> dict[str, object]:
    words = ", ".join(part for part in (edition.publication, edition.edition) if part)
    said = words or "each entry says its own"
    return {"file": edition.file, "words": said, "hash": edition.sha256[:_HASH]}


def _recalled(numbering: Numbering, *, pours: bool) -> list[dict[str, object]]:
    found = numbering.recalled(pours=pours)
    return [{"source": str(source), "lines": numbers} for source, numbers in found.items()]


def _answer(assessment: Assessment, numbering: Numbering) -> dict[str, object]:
    """The first page: each limit, and the weakest link in one sentence."""
    weakest = weakest_link(assessment.limits)
    return {
        "meets": assessment.meets,
        "verdicts": [
            {**_verdict(verdict, numbering), "and_bounds": _and_bounds(verdict, assessment)}
            for verdict in assessment.verdicts
        ],
        "weakest": "" if weakest is None else f"{weakest.name}: {weakest.sentence}.",
    }


def weakest_link(verdicts: tuple[Verdict, ...]) -> Verdict | None:
    """The limit with the least margin in proportion to what is required; None without limits.

    Limits that decide come before limits that are shown for information.
    """
    deciding = [verdict for verdict in verdicts if verdict.decides] or list(verdicts)
    return min(
        deciding,
        key=lambda verdict: verdict.margin / max(abs(verdict.required), 1e-12),
        default=None,
    )


def _verdict(verdict: Verdict, numbering: Numbering) -> dict[str, object]:
    largest = max(abs(verdict.required), abs(verdict.obtained), 1e-12)
    return {
        "name": verdict.name,
        "required": both(verdict.required, verdict.unit),
        "obtained": both(verdict.obtained, verdict.unit),
        "margin": both(verdict.margin, verdict.unit, 3),
        "spread": both(verdict.spread, verdict.unit, 3),
        "decided": verdict.decided,
        "meets": verdict.meets,
        "decides": verdict.decides,
        "sentence": verdict.sentence,
        "source": str(verdict.criterion.source),
        "rule": verdict.criterion.quote,
        "at_most": verdict.at_most,
        "required_line": numbering.of(verdict.required_line),
        "obtained_line": numbering.of(verdict.obtained_line),
        "bar": {
            "required": round(max(0.0, verdict.required) / largest, 3),
            "obtained": round(max(0.0, verdict.obtained) / largest, 3),
        },
    }


def _and_bounds(verdict: Verdict, assessment: Assessment) -> str:
    """What the spread of a verdict holds beside the tolerances of the weights."""
    counted = verdict.name in (GUIDANCE, OWN_LAW)
    if counted and any(line.label == BOUNDS_OF_LIFT for line in assessment.lines):
        return " and the bounds of found volumes"
    return ""


def _finding(found: Finding) -> dict[str, object]:
    return {
        "subject": found.subject or "whole boat",
        "advice": found.advice,
        "found": found.found,
        "heeded": {True: "as advised", False: "not as advised", None: "open"}[found.heeded],
        "source": "" if found.criterion is None else str(found.criterion.source),
    }


def _beside(one: Advised) -> dict[str, object]:
    return {
        "advice": one.advice,
        "rows": [{"subjects": subjects, "found": found} for subjects, found in one.rows],
        "shared": one.shared,
        "heeded": "open" if one.heeded is None else "not as advised",
    }


def _by_advice(findings: Sequence[Finding]) -> list[dict[str, object]]:
    """Findings about one piece of advice together, and those that say the same in one row."""
    advised: dict[tuple[object, object], dict[tuple[object, object], list[object]]] = {}
    for found in map(_finding, findings):
        rows = advised.setdefault((found["advice"], found["source"]), {})
        rows.setdefault((found["found"], found["heeded"]), []).append(found["subject"])
    return [
        {
            "advice": advice,
            "source": source,
            "rows": [
                {"subjects": subjects, "found": found, "heeded": heeded}
                for (found, heeded), subjects in rows.items()
            ],
        }
        for (advice, source), rows in advised.items()
    ]


def _pictures(boat: Boat, assessment: Assessment, size: Paper) -> list[dict[str, object]]:
    """Plan and side view with the cavities' numbers, the centres and the machinery."""
    numbers = cavity_numbers(boat, assessment)
    filled = frozenset(cavity.name for cavity in boat.cavities if cavity.foam is not None)
    balance = assessment.balance
    marks = tuple(
        Mark(f"w{place}", "item", item.at) for place, item in enumerate(boat.weights, start=1)
    )
    if balance is not None:
        marks = (
            Mark("lift", "lift", balance.lift_centre),
            Mark("weight", "weight", balance.weight_centre),
            *marks,
        )
    found = []
    for view, height in ((View.PLAN, _PLAN_HEIGHT), (View.SIDE, _SIDE_HEIGHT)):
        picture = Picture(view, size.inside(_MARGIN), height, filled, False, numbers, marks)
        found.append(draw(boat, shadows(boat, view), picture))
    return found
