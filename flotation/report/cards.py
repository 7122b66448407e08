"""The steps of one group of cavities as cards: holes that get the same stand on one of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from flotation.pour.pourplan import CavityPour, DipRung, Lift
from flotation.report.buckets import alike, numbers
from flotation.report.printing import NOT_STATED, both, liquid, minutes, on_scale, plain, tape

Row = dict[str, object]


@dataclass(frozen=True)
class Pour:
    """One step: a lift, and the cavity that it goes into."""

    pour: CavityPour
    lift: Lift


def steps_of(pours: Sequence[CavityPour]) -> list[Pour]:
    """Every lift of the cavities in the pouring order of the boat."""
    steps = [Pour(pour, lift) for pour in pours for lift in pour.lifts]
    return sorted(steps, key=lambda step: step.lift.order)


def cards(steps: Sequence[Pour], scale_step: float) -> list[Row]:
    """Steps that follow each other and are alike, as one card with a row for each hole.

    steps       in pouring order
    scale_step  kg that the scale shows
    """
    placed = [((*_like(step), step.lift.order - place), step) for place, step in enumerate(steps)]
    return [
        _card([step for _, step in found], scale_step)
        for _, found in groupby(placed, key=lambda pair: pair[0])
    ]


def _like(step: Pour) -> tuple[object, ...]:
    """What the holes of one card have in common."""
    lift = step.lift
    amounts = tuple((shot.weigh_a, shot.weigh_b, shot.seconds) for shot in lift.shots)
    return step.pour.foam, lift.number, lift.of, lift.wait, bool(lift.by_dip), amounts


def _card(steps: list[Pour], scale_step: float) -> Row:
    first = steps[0].lift
    return {
        "lift": f"{first.number} of {first.of}",
        "batches": [
            {
                "count": str(batch.count),
                "numbers": numbers(batch),
                "a": on_scale(batch.shot.weigh_a, scale_step),
                "b": on_scale(batch.shot.weigh_b, scale_step),
                "volume_a": liquid(batch.shot.volume_a),
                "volume_b": liquid(batch.shot.volume_b),
                "seconds": "" if batch.shot.seconds is None else plain(batch.shot.seconds),
            }
            for batch in alike(first)
        ],
        "shots": len(first.shots),
        "wait": minutes(first.wait),
        "more": first.number < first.of,
        "by_dip": bool(first.by_dip),
        "rows": [
            {
                "order": str(step.lift.order),
                "hole": step.lift.hole or NOT_STATED,
                "cavity": step.pour.cavity,
                "stop": stop(step.lift),
            }
            for step in steps
        ],
    }


def stop(lift: Lift) -> Row:
    """Where foam should stop: the nearer end of the range first; at the rim from zero down."""
    if lift.dip is None:
        return {"kind": "none"}
    if lift.dip <= 0.0:
        return {"kind": "rim"}
    nearest = lift.dip if lift.dip_least is None else max(0.0, min(lift.dip_least, lift.dip))
    return {"kind": "dip", "from": tape(nearest), "to": tape(lift.dip)}


def ladders(pours: Sequence[CavityPour], scale_step: float) -> list[Row]:
    """For each foam, what its steps get at another cup test; steps that get the same together."""
    foams = dict.fromkeys(pour.foam for pour in pours)
    found = (
        _ladder([pour for pour in pours if pour.foam == foam and pour.ladder], scale_step)
        for foam in foams
    )
    return [ladder for ladder in found if ladder["columns"]]


def _ladder(pours: Sequence[CavityPour], scale_step: float) -> Row:
    columns: dict[str, tuple[list[Row], list[Lift]]] = {}
    places = [(pour, place) for pour in pours for place in range(len(pour.lifts))]
    for pour, place in sorted(places, key=lambda step: step[0].lifts[step[1]].order):
        cells = [_amount(r.shots[place], r.seconds[place], scale_step) for r in pour.ladder]
        columns.setdefault(str(cells), (cells, []))[1].append(pour.lifts[place])
    return {
        "foam": pours[0].foam if pours else "",
        "columns": [{**_named(lifts), "cells": cells} for cells, lifts in columns.values()],
        "rows": [both(rung.density, "kg/m3", 3) for rung in (pours[0].ladder if pours else ())],
    }


def dip_tables(steps: Sequence[Pour], scale_step: float) -> list[Row]:
    """For each closing lift, its amounts by measured dip; those that read the same together."""
    found: dict[str, tuple[list[Row], list[Lift]]] = {}
    for step in steps:
        rows = [_rung(rung, scale_step) for rung in step.lift.by_dip]
        if rows:
            found.setdefault(str(rows), (rows, []))[1].append(step.lift)
    return [{**_named(lifts), "rows": rows} for rows, lifts in found.values()]


def _rung(rung: DipRung, scale_step: float) -> Row:
    return {"dip": tape(rung.dip), **_amount(rung.shots, rung.seconds, scale_step)}


def _named(lifts: Sequence[Lift]) -> dict[str, object]:
    holes = dict.fromkeys(lift.hole or NOT_STATED for lift in lifts)
    return {"orders": orders([lift.order for lift in lifts]), "holes": list(holes)}


def _amount(
    shots: tuple[int, float, float], seconds: float | None, scale_step: float
) -> dict[str, object]:
    count, weigh_a, weigh_b = shots
    return {
        "count": str(count),
        "a": on_scale(weigh_a, scale_step),
        "b": on_scale(weigh_b, scale_step),
        "seconds": "" if seconds is None else plain(seconds),
    }


def orders(places: Sequence[int]) -> str:
    """Steps as they are called out.

    >>> orders([3]), orders([3, 4, 7, 8, 9])
    ('step 3', 'steps 3, 4, 7\u20139')
    """
    runs: list[list[int]] = []
    for order in sorted(places):
        if runs and order == runs[-1][-1] + 1:
            runs[-1].append(order)
        else:
            runs.append([order])
    words = [
        f"{run[0]}\u2013{run[-1]}" if len(run) > 2 else ", ".join(str(order) for order in run)
        for run in runs
    ]
    return f"{'step' if len(places) == 1 else 'steps'} {', '.join(words)}"
