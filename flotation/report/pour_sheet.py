"""The pour sheet: what the person with the bucket needs, one page for each group of cavities."""

from flotation.boat import Boat
from flotation.pour.pourplan import PourPlan
from flotation.report.paper import paper_named
from flotation.report.typesetting import typeset, typeset_picture
from flotation.version import VERSION

_MARGIN = 12.0  # mm, as page.typ has it
_MAP_HEIGHTS = (78.0, 66.0, 54.0, 44.0)  # mm; a page takes the largest that leaves it one page
_WHOLE_MAP_HEIGHT = 92.0  # mm
_MACHINE_STEP = 0.001  # kg; a machine's masses are shown to the gram
_STOPPED, _SHEET = "stop_sheet.typ", "pour_sheet.typ"


def pour_sheet(boat: Boat, plan: PourPlan, paper: str = "a4") -> bytes:
    """The sheet as PDF.

    paper  "a4" or "letter"
    A plan that is stopped gives one page that says why, without any quantity. Raises ValueError
    for another paper.
    """
    template, data = sheet_data(boat, plan, paper)
    return typeset(template, data)


def group_picture(boat: Boat, plan: PourPlan, dots_per_inch: float) -> bytes:
    """The page of the group with the most steps as PNG; of a stopped plan, the page that says so.

    dots_per_inch  how fine; 80 is enough for a screen
    """
    template, data = sheet_data(boat, plan, "a4")
    if template == _STOPPED:
        return typeset_picture(template, data, "DO NOT POUR", dots_per_inch)
    largest = max(
        dict.fromkeys(pour.group for pour in plan.pours),
        key=lambda group: sum(len(p.lifts) for p in plan.pours if p.group == group),
    )
    return typeset_picture(template, {**data, "only": largest}, dots_per_inch)


def sheet_data(boat: Boat, plan: PourPlan, paper: str) -> tuple[str, dict[str, object]]:
    """The template that the plan needs, and its data."""
    size = paper_named(paper)
    head = {"boat": plan.boat, "paper": size.name, "version": VERSION, "file": _file(boat)}
    if not plan.go:
        return _STOPPED, {**head, "stops": list(plan.stops)}
    return _SHEET, {**head, "only": "", **_Sheet(boat, plan, size).data()}
