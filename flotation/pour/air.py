"""Air that stays in a cavity as it is filled: taken off the foam, and vents against it."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from flotation.boat import Cavity
from flotation.boat_places import Point
from flotation.geometry.airtraps import AirTrap, caught_air, without_air
from flotation.geometry.airvents import further_vents
from flotation.geometry.solid import Floats, Solid
from flotation.pour.lifts import Layer
from flotation.pour.reached import CaughtAir, CavityAir, LiftAir, ProposedVent
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out

NOTED = 0.001
"""Share of a cavity's volume from which caught air is taken off the foam. The height of a hole
is not known better than that: its place is read to 10 mm. Common practice, no source."""

_TRAPS = Source(
    "exact volume of the solid above the level that cuts the last way out", mark=Mark.COMPUTED
)


@dataclass(frozen=True)
class Air:
    """The traps of a cavity, and what foam can fill.

    solid    the cavity, less its traps where they count; None where all of it is caught
    counted  True: they count
    total    m3 of all traps; None where there is none, or no hole to reckon from
    """

    traps: tuple[AirTrap, ...]
    solid: Solid | None
    counted: bool
    total: Line | None


def air_in(cavity: Cavity, up: Point) -> Air:
    """Where air stays as the cavity fills, straight up along `up`.

    Air leaves through fill holes and vents that foam does not stand above. Without any hole
    nothing is said: where they will be is not known.
    """
    if not cavity.holes:
        return Air((), cavity.solid, False, None)
    traps = caught_air(cavity.solid, up, [hole.at for hole in cavity.holes])
    if not traps:
        return Air((), cavity.solid, False, None)
    symbols = [f"trap_{i}" for i in range(1, len(traps) + 1)]
    total = work_out(
        f"{cavity.name}: air caught above the last open hole",
        " + ".join(symbols),
        [
            Term(symbol, trap.volume, "m3", _TRAPS)
            for symbol, trap in zip(symbols, traps, strict=True)
        ],
        unit="m3",
        source=COMPUTED,
        note="From a thousandth of the cavity on, no foam is planned there and it counts as "
        "flooded; less is below the accuracy of a hole's height.",
    )
    counted = total.value > NOTED * cavity.solid.volume
    solid = without_air(cavity.solid, up, traps) if counted else cavity.solid
    return Air(traps, solid, counted, total)


def cavity_air(
    cavity: Cavity, air: Air, up: Point, layers: Sequence[Layer], places: Floats
) -> CavityAir | None:
    """What a plan says of the air in a cavity; None where none is caught.

    layers  of the pour, heights along `up`
    places  (k, 3) m where vents may be drilled
    """
    if air.total is None:
        return None
    volume = cavity.solid.volume
    holes = np.array([hole.at for hole in cavity.holes])
    venting = further_vents(cavity.solid, up, holes, places, NOTED * volume)
    lowest = float((cavity.solid.vertices[np.unique(cavity.solid.faces)] @ np.array(up)).min())
    base = 0.0 if up == (0.0, 0.0, 1.0) else lowest
    return CavityAir(
        cavity=cavity.name,
        caught=air.total.value,
        counted=air.counted,
        traps=tuple(
            CaughtAir(trap.volume, _point(trap.top), _point(trap.centroid), trap.level - base)
            for trap in air.traps
        ),
        by_lift=_by_lift(air.traps, up, layers),
        proposed=tuple(ProposedVent(vent.at, vent.frees, vent.drillable) for vent in venting.vents),
        still_caught=venting.still_caught,
        lines=(air.total,),
    )


def _by_lift(traps: Sequence[AirTrap], up: Point, layers: Sequence[Layer]) -> tuple[LiftAir, ...]:
    """Air between the heights of each layer; what lies above the last one belongs to it."""
    curves = [trap.solid.fill_curve(up) for trap in traps]
    found = []
    for layer in layers:
        low, high = layer.low, np.inf if layer.closing else layer.high
        volume = sum(curve.volume_at(high) - curve.volume_at(low) for curve in curves)
        if volume > 0.0:
            found.append(LiftAir(layer.number, volume))
    return tuple(found)


def _point(position: Floats) -> Point:
    x, y, z = (float(value) for value in position)
    return x, y, z
