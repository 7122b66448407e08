"""The lifts of a cavity with the heat of their layers."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from flotation.pour.batches import SLACK
from flotation.pour.effects import Heat
from flotation.pour.filling import Filling
from flotation.pour.heat import Thick, heat_of_layers
from flotation.pour.layering import Place, Poured
from flotation.pour.limits import Setting
from flotation.pour.pourplan import Lift
from flotation.pour.widest import Widest
from flotation.workings import Term

_Key = tuple[int, bool]
"""Number of a layer, and whether it is what tops it up."""


def with_heat(filling: Filling, widest: Widest, density: Term, setting: Setting) -> Filling:
    """Each lift with the heat of its whole layer: one layer through several holes is one mass.

    density  kg/m3 in place
    The wait after it is longer than the gel wait where heat asks for that. The lifts stay as they
    are where heat is not asked for, or the shop is hotter than a core may be, which is a stop. A
    lift that stands already keeps its heat unless what was really poured, or what now comes on
    it, changes that.
    """
    thermal, foam = setting.thermal, setting.today.foam
    if thermal is None or thermal.start.value >= min(
        thermal.core_limit.value, thermal.cool_to.value
    ):
        return filling
    tiers = tuple(_tiers(filling))
    # The largest ball is that of the whole cavity, not of the part that foam fills: it is the
    # larger of the two, and what stays empty there is air, through which less heat leaves than
    # through a laminate. Both are on the hot side.
    solid = filling.cavity.solid
    thick = [Thick(one.label, one.thickness, widest.of(solid, one.top)) for one in tiers]
    wait = max(foam.tack_free_time, foam.lift_wait or 0.0)
    heats = heat_of_layers(filling.cavity, thick, density, wait, thermal)
    of = {one.key: heat for one, heat in zip(tiers, heats, strict=True)}
    return replace(
        filling,
        poured=tuple(
            _with(one, of[one.lift.number, i in filling.toppings])
            for i, one in enumerate(filling.poured)
        ),
        done=tuple(_standing(lift, of[lift.number, False], setting) for lift in filling.done),
    )


@dataclass(frozen=True)
class _Tier:
    """A layer of foam, m thick, that is poured without a wait in it, and up to where it stands."""

    key: _Key
    label: str
    thickness: float
    top: float


def _tiers(filling: Filling) -> Iterator[_Tier]:
    """The layers from below, those that stand already first: theirs are the heights they have."""
    place, level = filling.place, filling.place.curve.bottom
    lifts: dict[_Key, list[Lift]] = {}
    for lift in filling.done:
        lifts.setdefault((lift.number, False), []).append(lift)
    stand = frozenset(lifts)
    for i, one in enumerate(filling.poured):
        lifts.setdefault((one.lift.number, i in filling.toppings), []).append(one.lift)
    for key in sorted(lifts):
        high = max(place.level(lift.foam_height) for lift in lifts[key])
        planned = max(lift.thickness for lift in lifts[key])
        thickness = high - level if key in stand else planned
        last = lifts[key][-1]
        label = f"{last.cavity}, lift {last.number} of {last.of}"
        label += ", topping up" if key[1] else ""
        yield _Tier(key, label, thickness, _up_to(high, place))
        level = high


def _up_to(high: float, place: Place) -> float:
    """Infinite where the cavity is full."""
    return math.inf if high >= place.curve.top - SLACK else high


def _with(one: Poured, heat: Heat) -> Poured:
    wait = max(one.lift.wait, heat.before_next)
    return replace(one, lift=replace(one.lift, heat=heat, wait=wait))


def _standing(lift: Lift, heat: Heat, setting: Setting) -> Lift:
    """A lift that was poured; its wait still runs, and follows its heat."""
    was, foam = lift.heat, setting.today.foam
    if was is not None and all(
        math.isclose(now, before, rel_tol=1e-9)
        for now, before in (
            (heat.thickness, was.thickness),
            (heat.peak_high, was.peak_high),
            (heat.before_next, was.before_next),
        )
    ):
        return lift
    wait = max(foam.tack_free_time, heat.before_next)
    after = lift.end + max(wait, foam.lift_wait or 0.0)
    return replace(lift, heat=heat, wait=wait, next_after=after)
