"""Tables for the floor: amounts for another cup test, and for the dip that was measured."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from flotation.geometry.filling import FillCurve
from flotation.pour.amounts import amount_for
from flotation.pour.batches import SLACK, alike, mixture
from flotation.pour.foam import foam_with_cup
from flotation.pour.lifts import EXACT_VOLUME, Layer
from flotation.pour.limits import Setting
from flotation.pour.pourplan import CupUsed, DipRung, Rung
from flotation.workings import Term

RUNGS = 7
MOST_DIPS = 8
# Share by which a lift rounded to the scale may be over what it was before.
_ROUNDED = 0.02
_STICK = (0.005, 0.01, 0.02, 0.05, 0.1, 0.2)


@dataclass(frozen=True)
class Part:
    """A volume, m3, that goes through one hole, and whether it closes the cavity."""

    volume: float
    closing: bool


def ladder(parts: Sequence[Part], setting: Setting) -> tuple[Rung, ...]:
    """The shots of every part for cup tests from the sheet's low to its high limit.

    Seven densities, evenly spaced; the volumes stay, the masses follow the cup.
    """
    foam = setting.today.foam
    low, high = foam.free_rise_low, foam.free_rise_high
    count = RUNGS if high > low else 1
    cups = [low + (high - low) * i / max(count - 1, 1) for i in range(count)]
    return tuple(_rung(cup, parts, setting) for cup in cups)


def _rung(cup: float, parts: Sequence[Part], setting: Setting) -> Rung:
    foam = setting.today.foam
    used = CupUsed(foam.name, cup, None, foam.free_rise_low, foam.free_rise_high)
    for_cup = replace(setting, today=foam_with_cup(foam, used))
    rows = [_row(part, for_cup) for part in parts]
    return Rung(
        cup,
        math.fsum(mass for mass, _, _ in rows),
        tuple(shots for _, shots, _ in rows),
        tuple(seconds for _, _, seconds in rows),
    )


def _row(part: Part, setting: Setting) -> tuple[float, tuple[int, float, float], float | None]:
    """Mass into the cavity, and the shots that are all alike with their opening time."""
    volume = Term("volume", part.volume, "m3", EXACT_VOLUME)
    amount = amount_for("table", volume, setting, part.closing)
    mix = mixture(setting.today)
    shots, seconds = alike(amount.mixed.value, mix, setting.shop.mixing, setting.limit.mass)
    return amount.mass.value, shots, seconds


@dataclass(frozen=True)
class Opening:
    """The hole of a closing layer: height of its rim along `up`, m, and its share of the layer."""

    rim: float
    share: float


def by_dip(
    layer: Layer, curve: FillCurve, opening: Opening, level_free: float, setting: Setting
) -> tuple[DipRung, ...]:
    """Amounts of a closing layer for the dip that is measured before it.

    level_free  how high the foam below stands if it rose freely, m along `up`
    From that dip, or a little less, down to as much foam missing as there may be too much of it,
    as far as the closing layer stays within the sheet's lift limit and what a hole takes before
    the foam creams. A dip between two rows takes
    the smaller one, which is less foam.
    """
    limit = None if setting.lift_limit is None else setting.lift_limit.value
    spread = max(level_free - layer.low, _STICK[0])
    deepest = max(layer.low - spread, layer.high - (math.inf if limit is None else limit))
    least, most = opening.rim - level_free, opening.rim - deepest
    stick = next((step for step in _STICK if (most - least) / step < MOST_DIPS - 1), _STICK[-1])
    first, last = math.floor(least / stick + SLACK), math.floor(most / stick + SLACK)
    rungs: list[DipRung] = []
    for i in range(first, last + 1):
        dip = i * stick
        room = curve.volume - curve.volume_at(opening.rim - dip)
        if room > SLACK * curve.volume:
            part = Part(room * opening.share, closing=True)
            mass, shots, seconds = _row(part, setting)
            count, weigh_a, weigh_b = shots
            too_much = count * (weigh_a + weigh_b) > setting.capacity.mass * (1.0 + _ROUNDED)
            if rungs and too_much:
                break
            rungs.append(DipRung(dip, mass, shots, seconds))
    return tuple(rungs)
