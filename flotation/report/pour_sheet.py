"""The pour sheet: what the person with the bucket needs, one page for each group of cavities."""

from collections.abc import Iterable

from flotation.boat import Boat, HandMixing
from flotation.geometry.shapes_outline import View
from flotation.pour.pourplan import (
    CavityPour,
    Check,
    CheckKind,
    DipRung,
    Lift,
    OrderTotal,
    PourPlan,
)
from flotation.report.buckets import Alike, alike
from flotation.report.drawings import Picture, Shadows, draw, shadows
from flotation.report.paper import Paper, paper_named
from flotation.report.printing import (
    NOT_STATED,
    both,
    liquid,
    minutes,
    on_scale,
    plain,
    range_of,
    tape,
)
from flotation.report.typesetting import typeset
from flotation.version import VERSION

_MARGIN = 12.0  # mm, as page.typ has it
_MAP_HEIGHT = 50.0  # mm
_WIDE_MAP_HEIGHT = 72.0  # mm
_HOLES_ON_A_SMALL_MAP = 8
_WHOLE_MAP_HEIGHT = 84.0  # mm
_LIFTS_A_LADDER, _MACHINE_LIFTS_A_LADDER = 6, 8
_MACHINE_STEP = 0.001  # kg; a machine's masses are shown to the gram


def pour_sheet(boat: Boat, plan: PourPlan, paper: str = "a4") -> bytes:
    """The sheet as PDF.

    paper  "a4" or "letter"
    A plan that is stopped gives one page that says why, without any quantity. Raises ValueError
    for another paper.
    """
    size = paper_named(paper)
    head = {"boat": plan.boat, "paper": size.name, "version": VERSION, "file": _file(boat)}
    if not plan.go:
        return typeset("stop_sheet.typ", {**head, "stops": list(plan.stops)})
    outlines = shadows(boat, View.PLAN)
    step = (
        boat.shop.mixing.scale_step if isinstance(boat.shop.mixing, HandMixing) else _MACHINE_STEP
    )
    sheet = _Sheet(boat, plan, size, outlines, step)
    return typeset("pour_sheet.typ", {**head, **sheet.data()})


def _file(boat: Boat) -> dict[str, str]:
    name, digest = boat.files[0] if boat.files else (NOT_STATED, "")
    return {"name": name, "hash": digest[:12]}


class _Sheet:
    """One plan being laid out; what every part of the sheet needs."""

    def __init__(
        self, boat: Boat, plan: PourPlan, paper: Paper, outlines: Shadows, step: float
    ) -> None:
        self.boat, self.plan, self.paper = boat, plan, paper
        self.outlines, self.step = outlines, step
        self.by_hand = isinstance(boat.shop.mixing, HandMixing)
        self.groups = list(dict.fromkeys(pour.group for pour in plan.pours))

    def data(self) -> dict[str, object]:
        everything = frozenset(pour.cavity for pour in self.plan.pours)
        return {
            "by_hand": self.by_hand,
            "batch_word": "bucket" if self.by_hand else "shot",
            "measure": [self._limit(check) for check in self.plan.before if _has_limit(check)],
            "before": [
                {"kind": kind.value, "texts": [check.text for check in self._checks(kind)]}
                for kind in CheckKind
                if self._checks(kind)
            ],
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
                {"step": str(lift.order), "hole": lift.hole or NOT_STATED, "group": pour.group}
                for pour, lift in sorted(self._lifts(), key=lambda pair: pair[1].order)
            ],
            "map": self._map(everything, _WHOLE_MAP_HEIGHT),
            "groups": [self._group(group) for group in self.groups],
            "if_then": [
                {"sign": answer.sign, "steps": list(answer.steps)} for answer in self.plan.if_then
            ],
            "after": [step.text for step in self.plan.after],
        }

    def _checks(self, kind: CheckKind) -> list[Check]:
        """Checks of one kind that are ticked off; those with limits have a table of their own."""
        return [check for check in self.plan.before if check.kind is kind and not _has_limit(check)]

    def _lifts(self) -> Iterable[tuple[CavityPour, Lift]]:
        return ((pour, lift) for pour in self.plan.pours for lift in pour.lifts)

    def _map(self, dark: frozenset[str], height: float) -> dict[str, object]:
        picture = Picture(View.PLAN, self.paper.inside(_MARGIN), height, dark)
        return draw(self.boat, self.outlines, picture)

    def _limit(self, check: Check) -> dict[str, object]:
        return {
            "quantity": check.quantity or check.text,
            "text": check.text if check.quantity else "",
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
        steps = [(pour, lift) for pour in pours for lift in pour.lifts]
        holes = sum(len(cavity.holes) for cavity in self.boat.cavities if cavity.name in dark)
        return {
            "name": group,
            "orders": _orders([lift.order for _, lift in steps]),
            "foams": list(dict.fromkeys(pour.foam for pour in pours)),
            "wide_map": holes > _HOLES_ON_A_SMALL_MAP,
            "map": self._map(
                dark, _WIDE_MAP_HEIGHT if holes > _HOLES_ON_A_SMALL_MAP else _MAP_HEIGHT
            ),
            "steps": [
                self._step(pour, lift) for pour, lift in sorted(steps, key=lambda s: s[1].order)
            ],
            "ladders": [
                ladder
                for foam in dict.fromkeys(pour.foam for pour in pours)
                for ladder in self._ladders([pour for pour in pours if pour.foam == foam])
            ],
        }

    def _step(self, pour: CavityPour, lift: Lift) -> dict[str, object]:
        return {
            "order": str(lift.order),
            "hole": lift.hole or NOT_STATED,
            "cavity": pour.cavity,
            "lift": f"{lift.number} of {lift.of}",
            "closing": lift.closing,
            "batches": [
                {
                    "count": str(batch.count),
                    "numbers": _numbers(batch),
                    "a": on_scale(batch.shot.weigh_a, self.step),
                    "b": on_scale(batch.shot.weigh_b, self.step),
                    "volume_a": liquid(batch.shot.volume_a),
                    "volume_b": liquid(batch.shot.volume_b),
                    "seconds": "" if batch.shot.seconds is None else plain(batch.shot.seconds),
                }
                for batch in alike(lift)
            ],
            "shots": len(lift.shots),
            "stop": _stop(lift),
            "wait": minutes(lift.wait),
            "more": lift.number < lift.of,
            "by_dip": [self._rung(rung, tape(rung.dip)) for rung in lift.by_dip],
        }

    def _ladders(self, pours: list[CavityPour]) -> list[dict[str, object]]:
        """The ladder of cavities with one foam, as few tables as their width allows."""
        steps = sorted(
            ((pour, place) for pour in pours if pour.ladder for place in range(len(pour.lifts))),
            key=lambda step: step[0].lifts[step[1]].order,
        )
        widest = _LIFTS_A_LADDER if self.by_hand else _MACHINE_LIFTS_A_LADDER
        tables = -(-len(steps) // widest)
        wide = -(-len(steps) // max(tables, 1))
        return [self._ladder(steps[i * wide : (i + 1) * wide]) for i in range(tables)]

    def _ladder(self, steps: list[tuple[CavityPour, int]]) -> dict[str, object]:
        first = steps[0][0]
        lifts = [pour.lifts[place] for pour, place in steps]
        return {
            "foam": first.foam,
            "columns": [
                {"order": str(lift.order), "hole": lift.hole or NOT_STATED} for lift in lifts
            ],
            "rows": [
                {
                    "density": both(rung.density, "kg/m3", 3),
                    "cells": [
                        self._amount(pour.ladder[row].shots[place], pour.ladder[row].seconds[place])
                        for pour, place in steps
                    ],
                }
                for row, rung in enumerate(first.ladder)
            ],
        }

    def _rung(self, rung: DipRung, dip: dict[str, str]) -> dict[str, object]:
        return {"dip": dip, **self._amount(rung.shots, rung.seconds)}

    def _amount(self, shots: tuple[int, float, float], seconds: float | None) -> dict[str, object]:
        count, weigh_a, weigh_b = shots
        return {
            "count": str(count),
            "a": on_scale(weigh_a, self.step),
            "b": on_scale(weigh_b, self.step),
            "seconds": "" if seconds is None else plain(seconds),
        }


def _orders(orders: list[int]) -> str:
    """Steps as they are called out: "step 3", "steps 3, 4, 7\u201310"."""
    runs: list[list[int]] = []
    for order in sorted(orders):
        if runs and order == runs[-1][-1] + 1:
            runs[-1].append(order)
        else:
            runs.append([order])
    words = [
        f"{run[0]}\u2013{run[-1]}" if len(run) > 2 else ", ".join(str(order) for order in run)
        for run in runs
    ]
    return f"{'step' if len(orders) == 1 else 'steps'} {', '.join(words)}"


def _has_limit(check: Check) -> bool:
    return check.low is not None or check.high is not None


def _numbers(batch: Alike) -> str:
    """Which buckets of the lift these are: "2", "2\u20134"."""
    first = batch.shot.number
    return str(first) if batch.count == 1 else f"{first}\u2013{first + batch.count - 1}"


def _stop(lift: Lift) -> dict[str, object]:
    """Where foam should stop: the nearer end of the range first."""
    if lift.dip is None:
        return {"kind": "none"}
    if lift.dip <= 0.0:
        return {"kind": "rim"}
    nearest = lift.dip if lift.dip_least is None else max(0.0, min(lift.dip_least, lift.dip))
    return {"kind": "dip", "from": tape(nearest), "to": tape(lift.dip)}
