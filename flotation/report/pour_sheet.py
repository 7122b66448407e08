"""The pour sheet: what the person with the bucket needs, one page for each group of cavities."""

from collections import Counter

from flotation.boat import Boat
from flotation.foamsystem import HandMixing
from flotation.geometry.shapes_outline import View
from flotation.pour.pourplan import Check, OrderTotal, PourPlan
from flotation.report.before import beside_limits, by_cavity, for_the_boat, has_limit
from flotation.report.cards import cards, dip_tables, ladders, orders, steps_of
from flotation.report.drawings import Picture, Shadows, draw, shadows
from flotation.report.paper import Paper, paper_named
from flotation.report.printing import NOT_STATED, both, liquid, range_of
from flotation.report.room import tables_stay
from flotation.report.typesetting import typeset, typeset_page
from flotation.version import VERSION

_MARGIN = 12.0  # mm, as page.typ has it
_HEAD_AND_FOOT = 52.0  # mm, as sheet_page.typ has it
_MAP_HEIGHTS = (78.0, 66.0, 54.0, 44.0)  # mm; a page takes the largest that leaves it one page
_WHOLE_MAP_HEIGHT = 92.0  # mm
_MACHINE_STEP = 0.001  # kg; a machine's masses are shown to the gram


def pour_sheet(boat: Boat, plan: PourPlan, paper: str = "a4") -> bytes:
    """The sheet as PDF.

    paper  "a4" or "letter"
    A plan that is stopped gives one page that says why, without any quantity. Raises ValueError
    for another paper.
    """
    template, data = _template_and_data(boat, plan, paper)
    return typeset(template, data)


def group_picture(boat: Boat, plan: PourPlan, dots_per_inch: float) -> bytes:
    """The page of the group with the most steps as PNG; of a stopped plan, the page that says so.

    dots_per_inch  how fine; 76 is enough for a screen
    """
    template, data = _template_and_data(boat, plan, "a4")
    return typeset_page(template, data, dots_per_inch, at="largest group")


def _template_and_data(boat: Boat, plan: PourPlan, paper: str) -> tuple[str, dict[str, object]]:
    size = paper_named(paper)
    head = {"boat": plan.boat, "paper": size.name, "version": VERSION, "file": _file(boat)}
    if not plan.go:
        return "stop_sheet.typ", {**head, "stops": list(plan.stops)}
    return "pour_sheet.typ", {**head, **_Sheet(boat, plan, size).data()}


def _file(boat: Boat) -> dict[str, str]:
    name, digest = boat.files[0] if boat.files else (NOT_STATED, "")
    return {"name": name, "hash": digest[:12]}


class _Sheet:
    """One plan being laid out; what every part of the sheet needs."""

    def __init__(self, boat: Boat, plan: PourPlan, paper: Paper) -> None:
        mixing = boat.shop.mixing
        self.boat, self.plan, self.paper = boat, plan, paper
        self.by_hand = isinstance(mixing, HandMixing)
        self.step = mixing.scale_step if isinstance(mixing, HandMixing) else _MACHINE_STEP
        self.outlines: Shadows = shadows(boat, View.PLAN)

    def data(self) -> dict[str, object]:
        groups = list(dict.fromkeys(pour.group for pour in self.plan.pours))
        lifts = Counter(pour.group for pour in self.plan.pours for _ in pour.lifts)
        largest = max(groups, key=lambda group: lifts[group], default="")
        everything = frozenset(pour.cavity for pour in self.plan.pours)
        return {
            "by_hand": self.by_hand,
            "batch_word": "bucket" if self.by_hand else "shot",
            "measure": [self._limit(check) for check in self.plan.before if has_limit(check)],
            "checks": for_the_boat(self.plan.before),
            "cavities": by_cavity(self.boat, self.plan.before),
            "cups": [
                {
                    "foam": cup.foam,
                    "density": both(cup.density, "kg/m3"),
                    "date": cup.date or "not tested: the data sheet's figure",
                }
                for cup in self.plan.cups
            ],
            "totals": [self._total(total) for total in self.plan.totals],
            "cautions": list(self.plan.cautions),
            "safety": [caution.text for caution in self.plan.safety],
            "order": [
                {
                    "step": str(step.lift.order),
                    "hole": step.lift.hole or NOT_STATED,
                    "group": step.pour.group,
                }
                for step in steps_of(self.plan.pours)
            ],
            "map": self._map(everything, _WHOLE_MAP_HEIGHT),
            "groups": [{**self._group(group), "largest": group == largest} for group in groups],
            "if_then": [
                {"sign": answer.sign, "steps": list(answer.steps)} for answer in self.plan.if_then
            ],
            "after": [step.text for step in self.plan.after],
        }

    def _map(self, dark: frozenset[str], height: float) -> dict[str, object]:
        picture = Picture(View.PLAN, self.paper.inside(_MARGIN), height, dark)
        return draw(self.boat, self.outlines, picture)

    def _limit(self, check: Check) -> dict[str, object]:
        return {
            "quantity": check.quantity or check.text,
            "text": beside_limits(check),
            "foam": check.foam,
            "go": range_of(check.low, check.high, check.unit),
        }

    def _total(self, total: OrderTotal) -> dict[str, object]:
        return {
            "foam": total.foam,
            "a": {**both(total.mass_a, "kg"), "volume": liquid(total.volume_a, 4)},
            "b": {**both(total.mass_b, "kg"), "volume": liquid(total.volume_b, 4)},
        }

    def _group(self, group: str) -> dict[str, object]:
        pours = [pour for pour in self.plan.pours if pour.group == group]
        dark = frozenset(pour.cavity for pour in pours)
        steps = steps_of(pours)
        shown = cards(steps, self.step)
        by_cup, by_dip = ladders(pours, self.step), dip_tables(steps, self.step)
        return {
            "name": group,
            "orders": orders([step.lift.order for step in steps]),
            "foams": list(dict.fromkeys(pour.foam for pour in pours)),
            "maps": [self._map(dark, height) for height in _MAP_HEIGHTS],
            "cards": shown,
            "ladders": by_cup,
            "dips": by_dip,
            "tables_stay": tables_stay(shown, by_cup, by_dip, self.paper.height - _HEAD_AND_FOOT),
        }
