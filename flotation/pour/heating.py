"""The lifts of a cavity with the heat of their layers."""

import math
from collections.abc import Sequence
from dataclasses import replace

from flotation.pour.effects import Heat
from flotation.pour.heat import Thick, heat_of_layers
from flotation.pour.layering import Place, Poured
from flotation.pour.limits import Setting
from flotation.pour.widest import Widest
from flotation.workings import Term


def with_heat(
    poured: Sequence[Poured], place: Place, widest: Widest, density: Term, setting: Setting
) -> tuple[Poured, ...]:
    """Each lift with the heat of its whole layer: one layer through several holes is one mass.

    density  kg/m3 in place
    The wait after it is longer than the gel wait where heat asks for that. The lifts stay as they
    are where heat is not asked for, or the shop is hotter than a core may be, which is a stop.
    """
    thermal = setting.thermal
    if thermal is None or thermal.start.value >= min(
        thermal.core_limit.value, thermal.cool_to.value
    ):
        return tuple(poured)
    layers = {one.lift.number: one.lift for one in poured}
    level, thick = place.curve.bottom, []
    for number in sorted(layers):
        level += layers[number].thickness
        top = math.inf if layers[number].closing else level
        thick.append(Thick(layers[number].thickness, widest.of(place.cavity.solid, top)))
    wait = setting.today.foam.tack_free_time
    heats = heat_of_layers(place.cavity, thick, density, wait, thermal)
    of = dict(zip(sorted(layers), heats, strict=True))
    return tuple(_with(one, of[one.lift.number]) for one in poured)


def _with(one: Poured, heat: Heat) -> Poured:
    wait = max(one.lift.wait, heat.before_next)
    return replace(one, lift=replace(one.lift, heat=heat, wait=wait))
