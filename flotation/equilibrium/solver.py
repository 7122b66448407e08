"""Where a boat comes to rest when it is let go in the water."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from flotation.boat_places import Point
from flotation.equilibrium.balance import Attitude, Floats, let_go, tangents, valley
from flotation.equilibrium.bodies import (
    GRAVITY,
    KEEL_DOWN,
    Body,
    Rest,
    Sinks,
    Stability,
    Waypoint,
    as_point,
)
from flotation.equilibrium.buoyancy import Buoyancy
from flotation.equilibrium.descent import MARGINAL, Descent, descend
from flotation.equilibrium.immersion import COARSE, MIDDLING, moved, set_afloat
from flotation.errors import NotSettled
from flotation.geometry.below import Waterplane

PUSH = math.radians(0.1)

_NUDGE = 1e-4  # rad, by which a rest is tried on either side
_KINK = 0.01  # share by which the two sides may differ from the waterplane's own stiffness
_NUDGES = 12
_SAME_ANGLE = 1e-5  # rad; Newton has brought both far below it


def float_freely(
    bodies: Sequence[Body],
    water_density: float,
    *,
    start: Point = KEEL_DOWN,
    joined: Buoyancy | None = None,
) -> Rest | Sinks:
    """Where does a boat come to rest when it is let go in this attitude?

    bodies         what weighs and what displaces; what is above the water only weighs
    water_density  kg/m3
    start          the upward direction in the boat's axes at the start; `up(heel, trim)` makes it
    joined         what `buoyancy` made of the same bodies, to save joining them again; masses
                   and places of what displaces nothing may differ
    Returns a Rest, or Sinks where all of it under water lifts no more than it weighs, within 1e-9.

    The start is pushed by 0.1 degree to starboard and to port, and each way the potential energy
    of boat and water is followed down to where it has a floor: lift equals weight within 1e-9 of
    the weight and no moment is left within 1e-9 of weight x length, the length being the
    diagonal of the box around all that displaces. Where the two ways end in two rests, the one
    with the greater heel (then trim; a tie goes to starboard) is returned and holds the other as
    `.other`: a limit must be met by both. Each rest is tried 0.0001 rad to both sides of both its
    axes, so that a level face in the water surface does not pass for stiffness.

    Raises ValueError for bodies that weigh nothing or displace nothing, or a `joined` of other
    bodies; NotSettled if the tolerance is not reached. A still, endless water is assumed; what
    touches the ground or swings in waves is not considered.
    """
    afloat = let_go(bodies, water_density, joined)
    if isinstance(afloat, Sinks):
        return afloat
    first = set_afloat(afloat, start)
    starboard = settle(_pushed(first, PUSH))
    port = settle(_pushed(first, -PUSH), known=(starboard,))
    rest = as_rest(starboard, first)
    if port.descent.end is starboard.descent.end:
        return rest
    second = as_rest(port, first)
    if same_rest(rest, second):
        return rest
    worse, better = sorted((rest, second), key=_inclination, reverse=True)
    return replace(worse, other=better)


@dataclass(frozen=True, eq=False)
class Settled:
    """A way down to a rest, and the least metacentric height there, m, tried on both sides."""

    descent: Descent
    gm: float


def settle(start: Attitude, known: Sequence[Settled] = ()) -> Settled:
    """Descend from a floating attitude, and go on wherever the end gives way to a nudge.

    known  rests already found, in which the way may end early
    """
    way: tuple[Attitude, ...] = ()
    for _ in range(_NUDGES):
        down = descend(start, known=[rest.descent for rest in known])
        way = (*way, *down.way)
        for rest in known:
            if rest.descent.end is down.end:
                return Settled(replace(down, way=way), rest.gm)
        gm, weaker_side = _nudged(down)
        if gm >= -MARGINAL * start.afloat.buoyancy.length:
            return Settled(replace(down, way=way), gm)
        start = weaker_side
    raise NotSettled(f"no floor found after {len(way)} attitudes: each end gives way to a nudge")


def _nudged(down: Descent) -> tuple[float, Attitude]:
    """Least metacentric height and the side on which it was found, both axes tried both ways.

    Where no face lies in the surface the sides agree with the waterplane's own stiffness, which
    is then the answer; else that of the weakest side. A nudge across both axes at once, to either
    side, tells whether they agree: whatever part of a level face it wets or bares adds to the
    slope along it. Half the questions, as long as nothing is amiss.
    """
    boat, model = down.end.afloat, down.valley
    heights, axes = np.linalg.eigh(model.curvature / boat.mass)
    across = axes.sum(axis=1) * math.sqrt(0.5)
    if heights[0] > 0.0 and all(_smooth(down, nudge * across) for nudge in (_NUDGE, -_NUDGE)):
        return float(heights[0]), down.end
    gm, weaker_side = math.inf, down.end
    for height, axis in zip(heights.tolist(), axes.T, strict=True):
        for nudge in (_NUDGE, -_NUDGE):
            side = moved(down.end, model, nudge * axis, MIDDLING)
            onward = axis @ model.directions * math.cos(nudge) - down.end.normal * math.sin(nudge)
            tried = float(valley(side, onward[None]).slope[0]) / (boat.mass * nudge)
            if abs(tried - height) <= _KINK * abs(height) + MARGINAL * boat.buoyancy.length:
                tried = height
            if tried < gm:
                gm, weaker_side = tried, side
    return gm, weaker_side


def _smooth(down: Descent, nudge: Floats) -> bool:
    """True if the slopes after a nudge are what the waterplane's stiffness says of both axes."""
    boat, model = down.end.afloat, down.valley
    side = moved(down.end, model, nudge, MIDDLING)
    directions = model.directions - np.outer(nudge, down.end.normal)
    off = valley(side, directions).slope - model.curvature @ nudge
    allowed = _KINK * np.abs(model.curvature @ nudge)
    allowed += MARGINAL * boat.buoyancy.length * boat.mass * _NUDGE
    return bool((np.abs(off) <= allowed).all())


def as_rest(settled: Settled, first: Attitude) -> Rest:
    """The rest that a way down from `first` ended in, for the caller."""
    end, boat = settled.descent.end, settled.descent.end.afloat
    heights = settled.descent.valley.curvature / boat.mass
    reach = boat.buoyancy.length
    start_heights = np.linalg.eigvalsh(valley(first, tangents(first.normal)).curvature)
    fixed = settled.gm > MARGINAL * reach and end.plane.area > 0.0
    return Rest(
        normal=as_point(end.normal),
        offset=end.offset,
        stability=Stability.STABLE if fixed else Stability.MARGINAL,
        mass=boat.mass,
        displaced_volume=end.volume,
        centre_of_gravity=as_point(boat.centre),
        centre_of_buoyancy=as_point(boat.centre + end.moment / end.volume),
        waterplane=_waterplane(end),
        gm_transverse=float(heights[1, 1]),
        gm_longitudinal=float(heights[0, 0]),
        gm=settled.gm,
        force_residual=end.force_residual,
        moment_residual=end.moment_residual(settled.descent.valley.directions),
        length=reach,
        energy=GRAVITY * end.energy,
        start=as_point(first.normal),
        start_gm=float(start_heights[0]) / boat.mass,
        path=_path((first, *settled.descent.way)),
    )


def same_rest(one: Rest, other: Rest) -> bool:
    """True if two rests are the same attitude, or belong to one band of indifferent ones.

    A round log rests at every angle: marginal rests of the same energy count as one.
    """
    alike = abs(one.energy - other.energy) <= 1e-7 * GRAVITY * one.mass * one.length
    if alike and not one.stable and not other.stable:
        return True
    return alike and math.dist(one.normal, other.normal) <= _SAME_ANGLE


def _pushed(first: Attitude, heel: float) -> Attitude:
    return moved(first, valley(first, tangents(first.normal)), np.array([0.0, heel]), COARSE)


def _inclination(rest: Rest) -> tuple[float, float, bool]:
    """Orders rests by heel, then trim, both to a millionth of a degree, then starboard first."""
    step = math.radians(1e-6)
    return round(abs(rest.heel) / step), round(abs(rest.trim) / step), rest.heel > 0.0


def _waterplane(end: Attitude) -> Waterplane:
    area = end.plane.area
    if area <= 0.0:
        return Waterplane(0.0, np.full(3, np.nan), np.zeros((3, 3)))
    middle = end.plane.first / area
    second = end.plane.second - area * np.outer(middle, middle)
    return Waterplane(area, end.afloat.centre + middle, second)


def _path(way: Sequence[Attitude]) -> tuple[Waypoint, ...]:
    floor = way[-1].energy
    return tuple(
        Waypoint(as_point(step.normal), step.offset, GRAVITY * (step.energy - floor))
        for step in way
    )
