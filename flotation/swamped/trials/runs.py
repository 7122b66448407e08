"""One test of a swamped boat, run once: where it comes to rest, and how far within the limits."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from flotation.boat import Top
from flotation.boat_places import Point
from flotation.equilibrium.balance import let_go
from flotation.equilibrium.bodies import Rest, Sinks, as_point, heel_of, trim_of
from flotation.equilibrium.buoyancy import Buoyancy
from flotation.equilibrium.descent import descend
from flotation.equilibrium.immersion import MIDDLING, immersed
from flotation.equilibrium.solver import float_freely
from flotation.errors import NotSettled
from flotation.swamped.trials.cases import Case
from flotation.swamped.trials.condition import Piece
from flotation.swamped.trials.reference import Areas, reference_areas_at

_UPSIDE_DOWN = 0.5 * math.pi


@dataclass(frozen=True, eq=False)
class Ready:
    """A boat with its load, to be set afloat.

    water   density, kg/m3
    joined  what its pieces displace; None: nothing
    top     the points that its reference areas are measured at
    """

    pieces: tuple[Piece, ...]
    water: float
    joined: Buoyancy | None
    top: Top


@dataclass(frozen=True, eq=False)
class Run:
    """Where a boat came to rest, told by the water surface normal . x = offset.

    rest   as it was found from keel down; None where it was followed from a rest nearby
    """

    normal: Point
    offset: float
    areas: Areas
    rest: Rest | None

    @property
    def heel(self) -> float:
        """Rad, positive to starboard."""
        return heel_of(self.normal)

    @property
    def trim(self) -> float:
        """Rad, positive bow up."""
        return trim_of(self.normal)

    @property
    def upside_down(self) -> bool:
        """True beyond a right angle of heel."""
        return abs(self.heel) > _UPSIDE_DOWN


def from_keel_down(ready: Ready) -> Run | Sinks:
    """Let the boat go keel down and see where it comes to rest.

    Where a push to either side leads to two rests, the one with the greater heel. NotSettled
    where `float_freely` does not settle.
    """
    bodies = [piece.body for piece in ready.pieces]
    if ready.joined is None:
        return Sinks(sum(body.mass for body in bodies), 0.0)
    rest = float_freely(bodies, ready.water, joined=ready.joined)
    if isinstance(rest, Sinks):
        return rest
    return _run(ready, rest.normal, rest.offset, rest)


def from_nearby(ready: Ready, there: Run) -> Run | Sinks:
    """Follow the energy down from where another run ended, without a push to either side.

    A third of the work of `from_keel_down`; enough to tell which of two ends is worse. Where
    nothing is found from there, the boat is let go keel down.
    """
    if ready.joined is None:
        return from_keel_down(ready)
    afloat = let_go([piece.body for piece in ready.pieces], ready.water, ready.joined)
    if isinstance(afloat, Sinks):
        return afloat
    normal = np.array(there.normal)
    depth = there.offset - float(normal @ afloat.centre)
    try:
        end = descend(immersed(afloat, normal, depth, MIDDLING)).end
    except NotSettled:
        return from_keel_down(ready)
    return _run(ready, as_point(end.normal), end.offset, None)


def _run(ready: Ready, normal: Point, offset: float, rest: Rest | None) -> Run:
    return Run(normal, offset, reference_areas_at(ready.top, normal, offset), rest)


def inclination(normal: Point) -> float:
    """The larger of heel and inclination of the transverse axis, without sign, rad.

    With trim the two differ by the order of the turns: 30 degrees of heel, then 20 of trim,
    incline the transverse axis by 28.0 degrees.
    """
    transverse = math.atan2(normal[1], math.hypot(normal[0], normal[2]))
    return max(abs(heel_of(normal)), abs(transverse))


def slack(case: Case, run: Run | Sinks) -> float:
    """How far within the limits of a test: the least margin as a share of its limit.

    Negative where a limit is not met; a boat that sinks lies below all that float.
    """
    if isinstance(run, Sinks):
        return -math.inf
    heel = 1.0 - inclination(run.normal) / case.heel.value
    limit = case.depth.value
    ends: Sequence[tuple[float, float]] = (
        (run.areas.forward.highest, run.areas.aft.depth),
        (run.areas.aft.highest, run.areas.forward.depth),
    )
    depth = max(min(-shows, limit - deep) for shows, deep in ends) / limit
    return min(heel, depth)
