"""[shop] and [jig]: how foam is mixed and poured, and how the hull stands meanwhile."""

from collections.abc import Sequence
from math import pi

from flotation.boat import Jig
from flotation.boatfile.findings import nearest
from flotation.boatfile.place import Place, once_each
from flotation.boatfile.schema import CupTestTable, HandTable, JigTable, MachineTable, ShopTable
from flotation.foamsystem import CupTest, Foam, HandMixing, MachineMixing, Shop

_STEEPEST = pi / 4
_BUCKET = 0.01
"""kg, the least that is worth a bucket."""


def read_shop(place: Place, raw: object, foams: Sequence[str]) -> Shop | None:
    """[shop]; None after a fault that leaves nothing to build.

    foams  names of the foam systems, for the cup tests
    """
    if not isinstance(raw, dict):
        place.fault("", "is no table", "Write its entries under [shop].")
        return None
    read = place.check(ShopTable, {key: raw[key] for key in raw if key != "cup_test"})
    cup_tests = _cup_tests(place, raw.get("cup_test", []), foams)
    if read is None:
        return None
    mixing = _mixing(read.hand, read.machine)
    if mixing is None:
        problem = "has both hand and machine" if read.hand else "has neither hand nor machine"
        place.fault("", problem, "Write either [shop.hand] or [shop.machine].")
        return None
    return Shop(read.temperature, cup_tests, mixing, read.waste)


def _mixing(
    hand: HandTable | None, machine: MachineTable | None
) -> HandMixing | MachineMixing | None:
    """The one that is stated; None for both or neither."""
    if hand is not None and machine is None:
        return HandMixing(
            hand.batch_limit,
            hand.mixing_time,
            hand.carrying_time,
            hand.pouring_rate,
            hand.scale_step,
        )
    if machine is not None and hand is None:
        return MachineMixing(machine.rate, machine.shot_limit, machine.timer_step)
    return None


def _cup_tests(place: Place, raw: object, foams: Sequence[str]) -> tuple[CupTest, ...]:
    found = []
    tables = place.tables("cup_test", raw)
    once_each((own, table.get("foam")) for own, table in tables)
    for own, table in tables:
        read = own.check(CupTestTable, table)
        if read is None:
            continue
        if read.foam not in foams:
            own.fault("foam", f'"{read.foam}" is no foam of this file', nearest(read.foam, foams))
        found.append(CupTest(read.foam, read.density, read.date))
    return tuple(found)


def check_time_to_pour(place: Place, shop: Shop | None, foams: Sequence[Foam]) -> None:
    """The cream time leaves enough time to pour out a bucket, or none at all.

    place  of [shop]
    With no time left the plan stops the pour; with the last drop of it the plan would be one of
    thousands of buckets.
    """
    if shop is None or not isinstance(shop.mixing, HandMixing):
        return
    for foam in foams:
        left = foam.cream_time - shop.mixing.mixing_time - shop.mixing.carrying_time
        poured = left * shop.mixing.pouring_rate
        if 0.0 < poured < _BUCKET:
            problem = f"{foam.name}: {left:.2g} s of the cream time are left to pour, too few"
            remedy = "Look at mixing_time, carrying_time, pouring_rate and the foam's cream_time."
            place.inside("hand").fault("carrying_time", problem, remedy)


def read_jig(place: Place, raw: object) -> Jig | None:
    """[jig]."""
    read = place.check(JigTable, raw)
    if read is None:
        return None
    for key, angle in (("heel", read.heel), ("trim", read.trim)):
        if abs(angle) >= _STEEPEST:
            problem = "the jig leans by 45 degrees or more"
            place.fault(key, problem, "Look at the angle and its unit.")
    return Jig(read.heel, read.trim)
