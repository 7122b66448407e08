"""The pour sheet: what the person with the bucket needs, every pour in its order."""

from collections.abc import Sequence

from flotation.boat import Boat
from flotation.foamsystem import HandMixing
from flotation.geometry.shapes_outline import View
from flotation.pour.pourplan import Caution, Check, OrderTotal, PourPlan, ShownAt
from flotation.report.before import beside_limits, by_cavity, for_the_boat, has_limit
from flotation.report.drawings import Picture, draw, shadows
from flotation.report.paper import Paper, paper_named
from flotation.report.pour_rows import pour_rows, weighed
from flotation.report.printing import NOT_STATED, both, liquid, range_of
from flotation.report.steps import dip_tables, ladders, orders, steps_of
from flotation.report.typesetting import typeset, typeset_page
from flotation.version import VERSION

_MARGIN = 12.0  # mm, as page.typ has it
_MAP_HEIGHT = 92.0  # mm
_MACHINE_STEP = 0.001  # kg; a machine's masses are shown to the gram


def pour_sheet(boat: Boat, plan: PourPlan, paper: str = "a4") -> bytes:
    """The sheet as PDF.

    paper  "a4" or "letter"
    A plan that is stopped gives one page that says why, without any quantity. Raises ValueError
    for another paper.
    """
    template, data = _template_and_data(boat, plan, paper)
    return typeset(template, data)


def pours_picture(boat: Boat, plan: PourPlan, dots_per_inch: float) -> bytes:
    """The first page of pours as PNG; of a stopped plan, the page that says so.

    dots_per_inch  how fine; 76 is enough for a screen
    """
    template, data = _template_and_data(boat, plan, "a4")
    return typeset_page(template, data, dots_per_inch, at="pours")


def _template_and_data(boat: Boat, plan: PourPlan, paper: str) -> tuple[str, dict[str, object]]:
    size = paper_named(paper)
    head = sheet_head(boat, plan, size, "Pour sheet")
    if not plan.go:
        return "stop_sheet.typ", {**head, "stops": list(plan.stops)}
    return "pour_sheet.typ", {**head, **_Sheet(boat, plan, size).data()}


def sheet_head(boat: Boat, plan: PourPlan, paper: Paper, document: str) -> dict[str, object]:
    """What the bar and the foot of every page for the floor say.

    document  what the paper is called; one for what remains of a pour says so
    """
    name, digest = boat.files[0] if boat.files else (NOT_STATED, "")
    document = f"{document} of what remains" if plan.done else document
    return {
        "boat": plan.boat,
        "paper": paper.name,
        "version": VERSION,
        "document": document,
        "file": {"name": name, "hash": digest[:12]},
    }


def scale_step(boat: Boat) -> float:
    """What masses are shown to, kg: the step of the shop's scale, or the gram of a machine."""
    mixing = boat.shop.mixing
    return mixing.scale_step if isinstance(mixing, HandMixing) else _MACHINE_STEP


def shown_at(cautions: Sequence[Caution], place: ShownAt) -> list[str]:
    """The cautions that belong to one place."""
    return [caution.text for caution in cautions if place in caution.at]


def limit_rows(checks: Sequence[Check], foams: Sequence[str]) -> list[dict[str, object]]:
    """Measurements of these foam systems with the limits within which foam is poured."""
    return [
        {
            "quantity": check.quantity or check.text,
            "text": beside_limits(check),
            "foam": check.foam,
            "go": range_of(check.low, check.high, check.unit),
        }
        for check in checks
        if has_limit(check) and check.foam in ("", *foams)
    ]


class _Sheet:
    """One plan being laid out; what every part of the sheet needs."""

    def __init__(self, boat: Boat, plan: PourPlan, paper: Paper) -> None:
        self.boat, self.plan, self.paper = boat, plan, paper
        self.by_hand = isinstance(boat.shop.mixing, HandMixing)
        self.step = scale_step(boat)

    def data(self) -> dict[str, object]:
        plan = self.plan
        groups = list(dict.fromkeys(pour.group for pour in plan.pours))
        foams = list(dict.fromkeys(pour.foam for pour in plan.pours))
        tables = [self._group(group) for group in groups]
        return {
            "goes_on": goes_on(plan),
            "by_hand": self.by_hand,
            "batch_word": "batch" if self.by_hand else "shot",
            "batches_word": "batches" if self.by_hand else "shots",
            "several_foams": len(foams) > 1,
            "measure": limit_rows(plan.before, [check.foam for check in plan.before]),
            "checks": for_the_boat(plan.before),
            "cavities": by_cavity(self.boat, plan.before),
            "cups": [
                {
                    "foam": cup.foam,
                    "density": both(cup.density, "kg/m3"),
                    "date": cup.date or "not tested: the data sheet's figure",
                }
                for cup in plan.cups
            ],
            "totals": [self._total(total) for total in plan.totals],
            "cautions": list(plan.cautions),
            "danger": {place.value: shown_at(plan.safety, place) for place in ShownAt},
            "order": [
                {"step": str(step.lift.order), "hole": step.lift.hole or NOT_STATED}
                for step in steps_of(plan.pours)
            ],
            "map": self._map(),
            "how_to": how_to(self.boat, plan),
            "rows": pour_rows(plan, self.step),
            "weighed": weighed(plan, self.step),
            "groups": tables,
            "has_tables": any(group["dips"] or group["ladders"] for group in tables),
            "if_then": [
                {"sign": answer.sign, "steps": list(answer.steps)}
                for answer in plan.if_then
                if ShownAt.WHEN in answer.at
            ],
            "after": [step.text for step in plan.after],
        }

    def _map(self) -> dict[str, object]:
        dark = frozenset(pour.cavity for pour in self.plan.pours)
        picture = Picture(View.PLAN, self.paper.inside(_MARGIN), _MAP_HEIGHT, dark)
        return draw(self.boat, shadows(self.boat, View.PLAN), picture)

    def _total(self, total: OrderTotal) -> dict[str, object]:
        """What to bring out of one foam: what is poured and wasted, and what flushes take."""
        timetable = self.plan.timetable
        flushes = [f for f in timetable.flushes if f.foam == total.foam] if timetable else []
        flush_a = sum(flush.mass_a for flush in flushes)
        flush_b = sum(flush.mass_b for flush in flushes)
        volume_a = total.volume_a * (1.0 + flush_a / total.mass_a)
        volume_b = total.volume_b * (1.0 + flush_b / total.mass_b)
        return {
            "foam": total.foam,
            "a": {**both(total.mass_a + flush_a, "kg"), "volume": liquid(volume_a, 4)},
            "b": {**both(total.mass_b + flush_b, "kg"), "volume": liquid(volume_b, 4)},
            "flushed": both(flush_a + flush_b, "kg") if flushes else None,
        }

    def _group(self, group: str) -> dict[str, object]:
        pours = [pour for pour in self.plan.pours if pour.group == group]
        steps = steps_of(pours)
        return {
            "name": group,
            "orders": orders([step.lift.order for step in steps]),
            "ladders": ladders(pours, self.step),
            "dips": dip_tables(steps, self.step),
        }


def goes_on(plan: PourPlan) -> str:
    """Which steps are done, and where this sheet goes on; "" for the sheet of a whole pour."""
    if not plan.done:
        return ""
    done = orders([lift.order for lift in plan.done])
    if not plan.lifts:
        return f"Poured: {done}. Nothing remains to be poured."
    return (
        f"Poured already: {done}. Never pour them again. This sheet begins with step "
        f"{plan.lifts[0].order}, its times from the first stir of the whole pour. The sheet before "
        "it no longer counts: cross it out."
    )


def how_to(boat: Boat, plan: PourPlan) -> list[str]:
    """How the rows are followed, and what to do between two of them."""
    mixing = boat.shop.mixing
    by_hand = isinstance(mixing, HandMixing)
    word, begins = ("batch", "stir") if by_hand else ("shot", "open the head")
    stands = not isinstance(mixing, HandMixing) and mixing.idle_limit is not None
    crew = 1 if plan.timetable is None else plan.timetable.crew
    alone = "Row after row, from the top."
    together = f"Row after row. {crew} at a time: whoever is free takes the next row."
    between = (
        f"After each {word}: write the clock and what really went in. Scrape the bucket out over "
        "the hole; the next batch goes into a clean one. Used buckets stay open, outdoors, apart."
        if by_hand
        else f"After each {word}: write the clock and what the timer and the machine show."
        + (" On to the next hole at once: a head that stands must be flushed." if stands else "")
    )
    return [
        together if crew > 1 else alone,
        f"The big time is when you {begins}: minutes:seconds after the first. "
        "Late? Keep the order and the waits; everything after moves back as much.",
        between,
        "When the foam at a hole has stopped and is no longer tacky, write its dip: from the rim "
        "straight down. A dip outside the figures, or no foam at a vent: see WHAT TO DO WHEN.",
    ]
