"""What a plan says beside its quantities, for a terminal: clock, limits, orders, attitudes."""

import math

from flotation.pour.outlook import Attitude, PackOrder, Sensitivity
from flotation.pour.pourplan import PourPlan
from flotation.report.printing import plain, si, us
from flotation.report.terminal import item, table, wrapped


def clock(seconds: float) -> str:
    """A time on the clock of the pour, rounded up to the second.

    >>> clock(0.0), clock(75.2), clock(4000.0)
    ('0:00', '1:16', '1:06:40')
    """
    whole = math.ceil(seconds - 1e-6)
    hours, rest = divmod(whole, 3600)
    ends = f"{rest % 60:02d}"
    return f"{hours}:{rest // 60:02d}:{ends}" if hours else f"{rest // 60}:{ends}"


def plan_parts(plan: PourPlan) -> list[str]:
    """Timetable, what decides the lifts, packs to order, sensitivity, proposed attitude."""
    return [
        *_timetable(plan),
        *_done(plan),
        *_decided(plan),
        *_packs(plan),
        *_sensitivity(plan),
        *_attitude(plan),
        "",
    ]


def _timetable(plan: PourPlan) -> list[str]:
    found = plan.timetable
    if found is None:
        return []
    rows = [
        (
            str(lift.order),
            lift.hole,
            lift.cavity,
            _batches([shot.batch for shot in lift.shots]),
            clock(lift.start),
            clock(lift.end),
            clock(lift.next_after),
        )
        for lift in plan.lifts
    ]
    head = ("", "hole", "cavity", "batch", "start", "out by", "next after")
    words = (
        f"Timetable for a crew of {found.crew}: {found.batches} batches in "
        f"{clock(found.total_time)} (min:s from the first stir or shot), tack-free after "
        f"{clock(found.tack_free)}; cavity after cavity it would take "
        f"{clock(found.sequential_time)}."
    )
    if found.turnaround == 0.0:
        words += " No turnaround between batches is stated."
    parts = ["", wrapped(words), table(head, rows, right=(0, 3, 4, 5, 6), stretch=2)]
    if found.flushes:
        mass = sum(flush.mass_a + flush.mass_b for flush in found.flushes)
        after = ", ".join(str(flush.after) for flush in found.flushes)
        parts.append(
            wrapped(f"Flush the mixing head after step {after}: {si(mass, 'kg')} of A and B.")
        )
    return parts


def _batches(numbers: list[int]) -> str:
    if not numbers:
        return ""
    low, high = min(numbers), max(numbers)
    if high - low + 1 == len(numbers) > 1:
        return f"{low}\u2013{high}"
    return ", ".join(str(number) for number in numbers)


def _done(plan: PourPlan) -> list[str]:
    if not plan.done:
        return []
    mass = sum(lift.mixed_mass for lift in plan.done)
    return [wrapped(f"Poured before: {len(plan.done)} lifts, {si(mass, 'kg')} of A and B.")]


def _decided(plan: PourPlan) -> list[str]:
    """What bounds the lifts, with the cavities that it bounds."""
    names: dict[str, list[str]] = {}
    for pour in plan.pours:
        names.setdefault(pour.decides.value, []).append(pour.cavity)
    parts = ["", "What decides the lifts:"] if names else []
    return parts + [item(f"{bound}: {', '.join(cavities)}") for bound, cavities in names.items()]


def _packs(plan: PourPlan) -> list[str]:
    parts = ["", "To order, each kind by itself (cup tests come on top):"] if plan.packs else []
    return parts + [item(_pack(pack)) for pack in plan.packs]


def _pack(pack: PackOrder) -> str:
    left = [
        f"{side} {si(mass, 'kg')} ({us(mass, 'kg')})"
        for side, mass in (("A", pack.left_a), ("B", pack.left_b))
        if mass is not None
    ]
    price = "" if pack.price is None else f", {pack.price:.2f} {pack.unit}"
    return f"{pack.foam}: {pack.count} x {pack.pack}{price}; left over {', '.join(left)}"


def _sensitivity(plan: PourPlan) -> list[str]:
    parts = ["", "What a small change does:"] if plan.sensitivity else []
    return parts + [item(_moved(one)) for one in plan.sensitivity]


def _moved(one: Sensitivity) -> str:
    density = one.cause == "density"
    share = f"(foam {plain(100.0 * one.share, 2)} % heavier by the gas alone, and more in truth)"
    cause = "a cup 1 % heavier" if density else f"a shop 1 °C colder {share}"
    return (
        f"{one.foam}: {cause} takes {si(one.more_mass, 'kg', 3)} more foam, which is that much "
        f"less lift; with the quantities left as they are {si(one.lift_if_not, 'kg', 3)} of lift "
        "is lost"
    )


def _attitude(plan: PourPlan) -> list[str]:
    found = plan.attitudes
    if found is None:
        return []
    parts = ["", "Attitude in the jig, a proposal only:", item(f"as stated: {_of(found.stated)}")]
    if found.least_caught == found.fewest_lifts == found.stated:
        return [*parts, item(f"none of the {len(found.tried)} attitudes tried is better")]
    if found.least_caught == found.fewest_lifts:
        return [*parts, item(f"better in both: {_of(found.least_caught)}")]
    return [
        *parts,
        item(f"least above the holes: {_of(found.least_caught)}"),
        item(f"fewest lifts: {_of(found.fewest_lifts)}"),
    ]


def _of(one: Attitude) -> str:
    heel, trim = (plain(math.degrees(angle), 3) for angle in (one.heel, one.trim))
    return (
        f"heel {heel}°, trim {trim}°: {one.lifts} lifts, {si(one.caught, 'm3', 3)} above the "
        "highest hole of its cavity"
    )
