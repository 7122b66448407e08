"""Why a test in the water is not met: what each weight and each cavity does to the boat.

The boat is held at the limit on the heel, to the side to which it went, with trim and depth left
free. Each weight and each lift has a lever there, measured level and across the boat from the line
where its centreline plane meets the water. The moments of all of them add up to what turns the
boat back; the choice of that line moves moments between weights and lifts, never their sum.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.boat import Top
from flotation.boat_places import Point
from flotation.equilibrium.balance import tangents
from flotation.equilibrium.bodies import GRAVITY, Sinks, as_point, trim_of, up
from flotation.equilibrium.righting import righting_arms
from flotation.errors import NotSettled
from flotation.geometry.solid import Solid
from flotation.swamped.assessment import Contribution, Explanation, Outcome, Trial
from flotation.swamped.trials.immersed import Immersed, immersed
from flotation.swamped.trials.level_tests import Basin, Simulated
from flotation.swamped.trials.runs import Ready
from flotation.swamped.wording import both
from flotation.units import number

Floats = NDArray[np.float64]

_ALIKE = 0.01  # m, and share of the volume, within which two cavities are a pair


@dataclass(frozen=True, eq=False)
class Held:
    """A boat held at an attitude, and the level axis about which moments are told.

    lever   unit vector along which levers count: a lift at a positive lever turns the boat the
            way that `sense` calls positive
    origin  from where levers are measured, m
    """

    parts: tuple[Immersed, ...]
    normal: Point
    offset: float
    lever: Floats
    origin: Floats
    water: float

    def moments(self) -> tuple[Contribution, ...]:
        """Of every piece, N m; those of one item together, the largest first."""
        found: dict[tuple[str, str], list[float]] = {}
        for part in self.parts:
            own = found.setdefault((part.piece.item, str(part.piece.kind)), [0.0, 0.0])
            own[0] -= GRAVITY * part.piece.body.mass * self.at(part.piece.body.at)
            own[1] += GRAVITY * self.water * part.volume * self.at(part.centre)
        listed = [Contribution(*key, *values) for key, values in found.items()]
        return tuple(sorted(listed, key=lambda one: -abs(one.moment)))

    def at(self, point: Point) -> float:
        """Lever of a point, m."""
        return float(self.lever @ (np.array(point) - self.origin))


@dataclass(frozen=True, eq=False)
class Explained:
    """A test that is not met, why, and the boat held where its moments are told.

    held   None where it sinks
    mends  1.0 where a moment that turns the boat back, or its bow up, mends it; else -1.0
    """

    trial: Trial
    told: Explanation
    held: Held | None
    mends: float


def explain(basin: Basin, simulated: Simulated) -> Explained:
    """What a test that is not met has to do with each piece of the boat."""
    trial = simulated.trial
    if trial.outcome is Outcome.SINKS:
        told = Explanation(trial.name, trial.notes[0], None, None, trial.lacking, "kg", ())
        return Explained(trial, told, None, 1.0)
    ready = basin.ready(simulated.case, simulated.choice)
    if not trial.verdicts[0].meets:
        held = held_at_heel(ready, trial, simulated.case.heel.value)
        if held is not None:
            return Explained(trial, _of_heel(held, simulated), held, 1.0)
    held = held_at_rest(ready, trial)
    bow_up = -1.0 if aft_is_deeper(trial) else 1.0
    return Explained(trial, _of_trim(held, trial, basin.top), held, bow_up)


def held_at_heel(ready: Ready, trial: Trial, limit: float) -> Held | None:
    """The boat held at the limit on the heel, to the side to which it went; positive rights it.

    None where it does not keep that heel but trims over its end.
    """
    side = -1.0 if (trial.heel or 0.0) < 0.0 else 1.0
    bodies = [piece.body for piece in ready.pieces]
    try:
        curve = righting_arms(bodies, ready.water, [side * limit], joined=ready.joined)
    except NotSettled:
        return None
    if isinstance(curve, Sinks):
        return None
    normal = up(side * limit, float(curve.trims[0]))
    offset = float(curve.offsets[0])
    middle = _centre_of_gravity(ready)
    origin = np.array([middle[0], 0.0, (offset - normal[0] * middle[0]) / normal[2]])
    parts = immersed(ready.pieces, normal, offset)
    # To starboard of the centreline a lift turns a boat that heels to starboard back.
    lever = -side * tangents(np.array(normal))[1]
    return Held(parts, normal, offset, lever, origin, ready.water)


def held_at_rest(ready: Ready, trial: Trial) -> Held:
    """The boat at its rest, levers along it from its centre of flotation; positive is bow up."""
    assert trial.normal is not None  # it floats, so it has a surface
    assert trial.offset is not None
    parts = immersed(ready.pieces, trial.normal, trial.offset)
    volume = sum(part.volume for part in parts)
    centre = [sum(p.volume * p.centre[axis] for p in parts) / volume for axis in range(3)]
    lever = tangents(np.array(trial.normal))[0]
    return Held(parts, trial.normal, trial.offset, lever, np.array(centre), ready.water)


def _centre_of_gravity(ready: Ready) -> Point:
    bodies = [piece.body for piece in ready.pieces]
    mass = sum(body.mass for body in bodies)
    return as_point(np.array([sum(b.mass * b.at[i] for b in bodies) / mass for i in range(3)]))


def _of_heel(held: Held, simulated: Simulated) -> Explanation:
    trial, limit = simulated.trial, simulated.case.heel.value
    heel = trial.heel or 0.0
    contributions = held.moments()
    missing = -math.fsum(one.moment for one in contributions)
    what = (
        "turns over and floats bottom up"
        if trial.outcome is Outcome.TURTLE
        else f"comes to rest at a heel of {both(abs(heel), 'rad')}"
    )
    side = "port" if heel < 0.0 else "starboard"
    words = (
        f"{number(missing, 3)} N m are missing to turn it back"
        if missing > 0.0
        else f"{number(-missing, 3)} N m still turn it back, too little on the way there"
    )
    sentence = f"{what}; held at {both(limit, 'rad')} to {side}, {words}"
    sentence += _most("; what turns it over most", _pairs(held, contributions), sign=-1.0)
    held_heel = math.copysign(limit, heel)
    trim = trim_of(held.normal)
    return Explanation(trial.name, f"{sentence}.", held_heel, trim, missing, "N m", contributions)


def _of_trim(held: Held, trial: Trial, top: Top) -> Explanation:
    """A reference area too deep, or both under water: what pulls that end down."""
    contributions = held.moments()
    end, sign, points = (
        ("aft", 1.0, top.aft) if aft_is_deeper(trial) else ("forward", -1.0, top.forward)
    )
    short = [verdict for verdict in trial.verdicts if not verdict.meets]
    sentence = "; ".join(f"{verdict.name} {verdict.sentence}" for verdict in short)
    sentence += _most(f"; what pulls the {end} end down most", contributions, sign=sign)
    deep = max((-verdict.margin for verdict in short if verdict.unit == "m"), default=0.0)
    reach = sum(abs(held.at(point)) for point in points) / len(points)
    missing = (trial.trim_stiffness or 0.0) * math.degrees(deep / reach)
    return Explanation(
        trial.name, f"{sentence}.", trial.heel, trial.trim, missing, "N m", contributions
    )


def _pairs(held: Held, contributions: Sequence[Contribution]) -> list[Contribution]:
    """The same with pairs of cavities together: one of them rights what the other turns over."""
    solids = {
        part.piece.item: part.piece.body.displaces
        for part in held.parts
        if isinstance(part.piece.body.displaces, Solid)
    }
    left, found = list(contributions), []
    while left:
        one = left.pop(0)
        twin = next((o for o in left if opposite(solids.get(one.item), solids.get(o.item))), None)
        if twin is not None:
            left.remove(twin)
            one = Contribution(
                f"{one.item} with {twin.item}",
                one.kind,
                one.weight_moment + twin.weight_moment,
                one.lift_moment + twin.lift_moment,
            )
        found.append(one)
    return sorted(found, key=lambda one: -abs(one.moment))


def opposite(one: Solid | None, other: Solid | None) -> bool:
    """True if two solids lie opposite each other, alike in volume and place within 1 % and 1 cm."""
    if one is None or other is None:
        return False
    there = one.centroid * np.array([1.0, -1.0, 1.0])
    near = float(np.abs(there - other.centroid).max()) < _ALIKE
    return near and math.isclose(one.volume, other.volume, rel_tol=_ALIKE)


def aft_is_deeper(trial: Trial) -> bool:
    """True if the aft reference area lies deeper than the forward one."""
    return (trial.aft_depth or 0.0) > (trial.forward_depth or 0.0)


def _most(lead: str, contributions: Sequence[Contribution], *, sign: float) -> str:
    """The three pieces that do most in one direction, by name."""
    found = [one for one in contributions if sign * one.moment > 0.0][:3]
    return f"{lead}: {', '.join(one.item for one in found)}" if found else ""
