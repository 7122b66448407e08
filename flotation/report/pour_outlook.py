"""What the engineer is told of a pour beside its quantities: clock, orders, changes, the jig."""

import math

from flotation.pour.outlook import Attitude, PackOrder, Sensitivity
from flotation.pour.pourplan import PourPlan
from flotation.report.plan_text import clock
from flotation.report.printing import NOT_STATED, both, plain
from flotation.report.steps import Row


def outlook(plan: PourPlan) -> Row:
    """Times, what decides the lifts, packs, sensitivity and attitudes as rows; no row: nothing."""
    return {
        "facts": _clock(plan),
        "decided": _deciding(plan),
        "packs": [_pack(pack) for pack in plan.packs],
        "moves": [_moved(one) for one in plan.sensitivity],
        "attitudes": _attitudes(plan),
    }


def _clock(plan: PourPlan) -> list[Row]:
    found = plan.timetable
    if found is None:
        return []
    return [
        {"name": "Batches, crew", "si": f"{found.batches}, {found.crew}", "us": ""},
        {"name": "Time of the pour, min:s", "si": clock(found.total_time), "us": ""},
        {"name": "All foam tack-free, min:s", "si": clock(found.tack_free), "us": ""},
        {"name": "One cavity at a time, min:s", "si": clock(found.sequential_time), "us": ""},
    ]


def _deciding(plan: PourPlan) -> list[Row]:
    names: dict[str, list[str]] = {}
    for pour in plan.pours:
        names.setdefault(pour.decides.value, []).append(pour.cavity)
    return [{"bound": bound, "cavities": cavities} for bound, cavities in names.items()]


def _pack(pack: PackOrder) -> Row:
    return {
        "foam": pack.foam,
        "pack": pack.pack,
        "count": str(pack.count),
        "needed_a": both(pack.needed_a, "kg"),
        "needed_b": both(pack.needed_b, "kg"),
        "left_a": both(pack.left_a, "kg"),
        "left_b": both(pack.left_b, "kg"),
        "price": NOT_STATED if pack.price is None else f"{pack.price:.2f} {pack.unit}",
    }


def _moved(one: Sensitivity) -> Row:
    density = one.cause == "density"
    return {
        "foam": one.foam,
        "cause": "a cup 1 % heavier" if density else "a shop 1 \u00b0C colder",
        "share": f"{plain(100.0 * one.share, 2)} %",
        "more": both(one.more_mass, "kg", 3),
        "followed": both(one.lift_if_followed, "kg", 3),
        "not": both(one.lift_if_not, "kg", 3),
    }


def _attitudes(plan: PourPlan) -> list[Row]:
    found = plan.attitudes
    if found is None:
        return []
    named = (
        ("as stated", found.stated),
        ("least above the holes", found.least_caught),
        ("fewest lifts", found.fewest_lifts),
    )
    return [_attitude(name, one) for name, one in named]


def _attitude(name: str, one: Attitude) -> Row:
    return {
        "name": name,
        "heel": f"{plain(math.degrees(one.heel), 3)}\u00b0",
        "trim": f"{plain(math.degrees(one.trim), 3)}\u00b0",
        "lifts": str(one.lifts),
        "caught": both(one.caught, "m3", 3),
    }
