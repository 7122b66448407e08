"""Layers of foam in the jig's attitude: how many, how high, and through which holes.

Heights here are coordinates along `up`, m: straight up as the hull stands in its jig.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from flotation.boat import Hole, HoleKind, Jig
from flotation.boat_places import Point
from flotation.foamsystem import Foam
from flotation.geometry.filling import FillCurve
from flotation.pour.batches import SLACK
from flotation.pour.foam import stated
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out

EXACT_VOLUME = Source("exact volume of the solid", "straight up in the jig", mark=Mark.COMPUTED)


@dataclass(frozen=True)
class Layer:
    """One layer of a cavity: which of how many, from which height to which, and its volume, m3."""

    number: int
    of: int
    low: float
    high: float
    volume: float

    @property
    def closing(self) -> bool:
        """True for the layer that fills the cavity."""
        return self.number == self.of


def up_in_jig(jig: Jig) -> Point:
    """Straight up, in the boat's frame, when the hull stands in its jig.

    Trim bow up by t, then heel to starboard by h about the boat's own length:
    (sin t, cos t sin h, cos t cos h). A bow-up hull is filled from the stern, a hull heeled to
    starboard from starboard.
    """
    return (
        math.sin(jig.trim),
        math.cos(jig.trim) * math.sin(jig.heel),
        math.cos(jig.trim) * math.cos(jig.heel),
    )


def height_of(point: Point, up: Point) -> float:
    """Height of a point along `up`, m."""
    return sum(p * u for p, u in zip(point, up, strict=True))


def number_of_lifts(
    cavity: str, curve: FillCurve, foam: Foam, lowered: Term | None = None
) -> Line | None:
    """How many layers of equal thickness keep within the sheet's lift limit.

    lowered  m, the lift limit where heat lowers it; None: the sheet's
    None where the sheet gives no limit: there is one lift then, and no limit is proposed.
    """
    if foam.lift_limit is None:
        return None
    return work_out(
        f"{cavity}: number of lifts",
        f"ceil(depth / lift_limit - {SLACK!r})",
        [
            Term("depth", curve.top - curve.bottom, "m", EXACT_VOLUME),
            lowered or Term("lift_limit", foam.lift_limit, "m", stated(foam, "lift_limit")),
        ],
        unit="1",
        source=COMPUTED,
        note="A quotient that is whole but for its rounding makes no extra lift.",
    )


def layers(curve: FillCurve, count: int) -> tuple[Layer, ...]:
    """So many layers of equal thickness, from the lowest point up; they add up to the volume.

    A layer with nothing in it (a level gap between two bodies) is no layer.
    """
    depth = curve.top - curve.bottom
    levels = [curve.bottom + depth * i / count for i in range(count)] + [curve.top]
    below = [0.0, *(curve.volume_at(level) for level in levels[1:-1]), curve.volume]
    spans = [
        (levels[i], levels[i + 1], below[i + 1] - below[i])
        for i in range(count)
        if below[i + 1] - below[i] > SLACK * curve.volume
    ]
    return tuple(Layer(i, len(spans), *span) for i, span in enumerate(spans, 1))


def holes_for(layer: Layer, holes: Sequence[Hole], up: Point) -> tuple[Hole, ...]:
    """The fill holes that a layer is poured through, the lowest first; empty if none is left open.

    A lower layer goes through every fill hole whose rim its foam leaves open; if there is none,
    through those that the foam before it left open. The closing layer goes through every one
    that is still open.
    """
    fill = sorted(
        (hole for hole in holes if hole.kind is HoleKind.FILL),
        key=lambda hole: height_of(hole.at, up),
    )
    still_open = tuple(hole for hole in fill if height_of(hole.at, up) > layer.low + SLACK)
    stays_open = tuple(hole for hole in fill if height_of(hole.at, up) > layer.high + SLACK)
    return still_open if layer.closing or not stays_open else stays_open


def level_if_free(level: float, curve: FillCurve, packing: float) -> float:
    """How high the foam stands if what was planned to reach `level` rises freely, m along `up`.

    packing  minimum fill over free rise, by which its volume is then larger. At most the top:
    what does not fit comes out of the holes.
    """
    below = curve.volume_at(level) * packing
    return curve.top if below >= curve.volume else curve.height_at(below)
