"""One cavity in the middle of its pour: the lifts that remain, so that every hole gets its own."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from flotation.boat import Hole
from flotation.pour.accounts import Account
from flotation.pour.batches import SLACK
from flotation.pour.layering import Place, Portion, Poured, lift_through
from flotation.pour.lifts import Layer, height_of
from flotation.pour.limits import Setting
from flotation.pour.pourplan import Lift
from flotation.pour.wording import both
from flotation.workings import COMPUTED, Mark, Source, Term, work_out

_LOGGED = Source("what was planned less what was poured", mark=Mark.MEASURED)


@dataclass(frozen=True)
class Refilled:
    """A lift that remains.

    after   order of the lift of the earlier plan that it takes the place of
    top_up  True: it brings up a closing lift that was short, so it waits until that has gelled; it
            counts as part of the closing layer
    """

    after: int
    top_up: bool


@dataclass(frozen=True)
class Refilling:
    """What remains of one cavity.

    lifts   where each stands in the sequence; poured  the same lifts with their amounts
    layers  that they belong to
    notes   what cannot be made good, a sentence each
    """

    lifts: tuple[Refilled, ...]
    poured: tuple[Poured, ...]
    layers: tuple[Layer, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class _Want:
    """m3 that a hole still gets in one layer; `planned` of it by the earlier plan."""

    lift: Lift
    planned: float
    volume: float
    top_up: bool = False


def refill(account: Account, place: Place, setting: Setting) -> Refilling:
    """The lifts that remain, with what the holes are owed or got too much of.

    A hole that got less than planned gets the rest with its next lift, or with one more if that
    was its last; one that got more gets so much less. What is too much and cannot be taken off
    the same hole is taken off the last layer of the others. A layer that then is thicker than the
    sheet's lift limit, or too heavy for its hole, is divided. Where everything went in as planned
    the volumes stay what they were, to the last digit.
    """
    wants, notes = _settled(account, place, setting)
    cuts = _cuts(wants, account, place, setting)
    first = cuts[0].number if cuts else 0
    last = first + max(0, sum(not cut.wants[0].top_up for cut in cuts) - 1)
    each = [(min(n, last), cut, want) for n, cut in enumerate(cuts, first) for want in cut.wants]
    return Refilling(
        tuple(Refilled(want.lift.order, want.top_up) for _, _, want in each),
        tuple(_lift(cut, want, (n, last), place, setting) for n, cut, want in each),
        tuple(
            Layer(min(n, last), last, cut.low, cut.high, cut.volume)
            for n, cut in enumerate(cuts, first)
        ),
        tuple(notes),
    )


@dataclass(frozen=True)
class _Cut:
    """A layer, or a part of one: its levels, how many such parts, and what its holes get.

    volume  m3 of the room in which a dip is measured before it
    """

    number: int
    volume: float
    low: float
    high: float
    parts: int
    wants: tuple[_Want, ...]


def _settled(account: Account, place: Place, setting: Setting) -> tuple[list[_Want], list[str]]:
    """What each lift that is left gets, and one more lift for each hole that stays short."""
    wanted = {lift.order: lift.volume for lift in account.left}
    stranded: dict[str, float] = {}
    for hole, owed in account.owing.items():
        rest = owed
        for lift in account.left:
            if lift.hole == hole and rest:
                given = wanted[lift.order] + rest
                wanted[lift.order], rest = max(given, 0.0), min(given, 0.0)
        stranded[hole] = rest
    notes = _take_off(account, wanted, -sum(min(0.0, rest) for rest in stranded.values()), setting)
    wants = [
        _Want(lift, lift.volume, wanted[lift.order])
        for lift in account.left
        if wanted[lift.order] > SLACK * lift.volume
    ]
    for hole, short in stranded.items():
        last = max(
            (lift for lift in account.done if lift.hole == hole), key=lambda lift: lift.number
        )
        allowed = (setting.today.foam.mix_tolerance or 0.0) * last.volume
        if short > max(allowed, SLACK * last.volume):
            wants.append(_Want(last, 0.0, short, top_up=True))
        elif short > SLACK * last.volume:
            kilograms = short * setting.today.minimum_fill.value
            notes.append(
                f"{place.cavity.name}: {both(kilograms, 'kg')} less than planned went through "
                f"{hole}, within the tolerance of the mix ratio. It is left so."
            )
    return wants, notes


def _take_off(
    account: Account, wanted: dict[int, float], surplus: float, setting: Setting
) -> list[str]:
    """Take what is too much off the last layer that is left; a note for what is left over."""
    last = max((lift.number for lift in account.left), default=0)
    closing = [lift.order for lift in account.left if lift.number == last]
    room = sum(wanted[order] for order in closing)
    taken = min(surplus, room)
    for order in closing:
        wanted[order] *= 1.0 - taken / room if room else 1.0
    over = (surplus - taken) * setting.today.minimum_fill.value
    if over <= SLACK:
        return []
    name = account.done[0].cavity
    return [
        f"{name}: {both(over, 'kg')} more than planned went in, and no later lift can take it off. "
        "It presses more than planned: look at the bracing first, and tell the engineer."
    ]


def _cuts(wants: Sequence[_Want], account: Account, place: Place, setting: Setting) -> list[_Cut]:
    """The layers from below, each with its levels, divided where it is too thick or too heavy."""
    curve, standing = place.curve, account.volume
    cuts: list[_Cut] = []
    ordered = sorted(wants, key=lambda want: (want.top_up, want.lift.number, want.lift.order))
    for (_, number), group in groupby(ordered, key=lambda want: (want.top_up, want.lift.number)):
        holes = tuple(group)
        volume = room = sum(want.volume for want in holes)
        if account.as_planned:
            room += sum(lift.volume for lift in account.done if lift.number == number)
            high = place.level(holes[0].lift.foam_height)
            low = high - holes[0].lift.thickness
        else:
            low = curve.height_at(min(standing, curve.volume))
            high = curve.height_at(min(standing + volume, curve.volume))
        parts = _parts(high - low, holes, setting)
        levels = [
            low,
            *(curve.height_at(min(standing + volume * i / parts, curve.volume))
              for i in range(1, parts)),
            high,
        ]  # fmt: skip
        cuts += [
            _Cut(number, room / parts, levels[i], levels[i + 1], parts, holes) for i in range(parts)
        ]
        standing += volume
    return cuts


def _parts(thickness: float, holes: Sequence[_Want], setting: Setting) -> int:
    """In how many lifts a layer is poured: by the sheet's thickness, and by what a hole takes."""
    foam, today, limit = setting.today.foam, setting.today, setting.lift_limit
    by_thickness = 1
    if limit is not None:
        by_thickness = math.ceil(thickness / limit.value - SLACK)
    heaviest = max(
        want.volume * today.minimum_fill.value * (foam.overpack if want.lift.closing else 1.0)
        for want in holes
    )
    mixed = heaviest / (1.0 - setting.shop.waste)
    return max(1, by_thickness, math.ceil(mixed / setting.capacity.mass - SLACK))


def _lift(cut: _Cut, want: _Want, count: tuple[int, int], place: Place, setting: Setting) -> Poured:
    number, last = count
    label = f"{place.cavity.name}, lift {number} of {last}"
    if want.lift.hole:
        label += f", hole {want.lift.hole}"
    if want.top_up:
        label += ", topping up"
    volume = work_out(
        f"{label}: volume",
        "(planned + owed) / parts",
        [
            Term("planned", want.planned, "m3", COMPUTED),
            Term("owed", want.volume - want.planned, "m3", _LOGGED),
            Term("parts", cut.parts, "1", COMPUTED),
        ],
        unit="m3",
        source=COMPUTED,
    )
    hole = next((one for one in place.cavity.holes if one.name == want.lift.hole), None)
    layer = Layer(number, last, cut.low, cut.high, cut.volume)
    stop = _drowned(label, hole, cut.low, place)
    return lift_through(Portion(label, layer, hole, volume), place, setting, stop)


def _drowned(label: str, hole: Hole | None, low: float, place: Place) -> str:
    """Why a hole takes no more; "" where it is open."""
    if hole is None or height_of(hole.at, place.up) > low - SLACK:
        return ""
    return (
        f"{label}: foam stands above this hole already; pour its share through another one, or "
        "drill one higher up"
    )
