"""Down the energy from an attitude to the floor of its valley.

A trust region on the two turns, the depth following so that the weight floats: each step goes to
the least energy of the second-order model within a radius, and is taken only if the true energy
falls about as the model says. So the way down does not leap over a ridge that the model cannot
see; it is the way of a boat that turns slowly in thick water.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from flotation.equilibrium.balance import (
    TOLERANCE,
    Attitude,
    Floats,
    Valley,
    tangents,
    valley,
)
from flotation.equilibrium.immersion import COARSE, FINE, moved
from flotation.errors import NotSettled

MARGINAL = 1e-6  # of the length: a metacentric height below this has no sign

_FIRST_RADIUS = math.radians(4.0)
_LARGEST_RADIUS = math.radians(8.0)
_SMALLEST_RADIUS = 1e-12
_LEAST_GAIN = 1e-3  # of the fall in energy that the model foretells
_NOISE = 1e-12  # of mass x length: energies closer than this are not told apart
_AIM = 1e-12
_STEPS = 400
_SHORT = 1e-5  # rad: the depth foretold for a shorter turn is right to its last digits


@dataclass(frozen=True, eq=False)
class Descent:
    """Where a way down ended, the valley there, and the attitudes on the way."""

    end: Attitude
    valley: Valley
    way: tuple[Attitude, ...]


def descend(start: Attitude, *, heel_held: bool = False, known: Sequence[Descent] = ()) -> Descent:
    """Follow the energy down from a floating attitude.

    heel_held  True: only trim and depth are free
    known      rests already found: the descent ends in one of them once it is so near that the
               energy is that rest's own valley
    Returns a Descent whose end balances within TOLERANCE and is left only uphill, as far as the
    steps tell: where a face lies in the surface the curvature there may mislead either way, so
    try the sides. Raises NotSettled if no end balances.
    """
    here, model = start, _model(start, heel_held)
    way, radius = [start], _FIRST_RADIUS
    scale = start.afloat.mass * start.afloat.buoyancy.length
    for _ in range(_STEPS):
        left = _left(here, model)
        settled = left <= _AIM and _floor(model) >= -MARGINAL * scale
        if settled or radius < _SMALLEST_RADIUS:
            break
        rest = next((rest for rest in known if _inside(model, here, rest)), None)
        if rest is not None:
            return Descent(rest.end, rest.valley, (*way, rest.end))
        turn = bounded_step(model.slope, model.curvature, radius)
        length = float(np.linalg.norm(turn))
        there = moved(here, model, turn, FINE if length < _SHORT else COARSE)
        beyond = _model(there, heel_held)
        expected = -float(model.slope @ turn + 0.5 * turn @ model.curvature @ turn)
        if expected <= _NOISE * scale:
            after = _left(there, beyond)
            if after >= 0.5 * left and left <= TOLERANCE:
                break
            taken = after < left
            ratio = 1.0 if taken else 0.0
        else:
            ratio = (model.energy - beyond.energy) / expected
            taken = ratio >= _LEAST_GAIN and (ratio <= 3.0 or length <= math.radians(0.5))
        radius = _next_radius(radius, length, ratio, taken)
        if taken:
            here, model = there, beyond
            way.append(here)
    if not _left(here, model) <= TOLERANCE:
        raise NotSettled(
            f"no rest found after {len(way)} attitudes: force is off by {here.force_residual:.2g} "
            f"of the weight, moment by {here.moment_residual(model.directions):.2g} of weight x "
            f"length"
        )
    return Descent(here, model, tuple(way))


def _model(attitude: Attitude, heel_held: bool) -> Valley:
    directions = tangents(attitude.normal)
    return valley(attitude, directions[:1] if heel_held else directions)


def _floor(model: Valley) -> float:
    return float(np.linalg.eigvalsh(model.curvature)[0])


def _left(attitude: Attitude, model: Valley) -> float:
    """What does not balance in the free directions: the greater share, of force or of moment."""
    return max(attitude.force_residual, attitude.moment_residual(model.directions))


def _next_radius(radius: float, length: float, ratio: float, taken: bool) -> float:
    if not taken:
        return 0.25 * length if ratio < 0.1 else 0.5 * length
    if 0.7 <= ratio <= 1.5 and length > 0.9 * radius:
        return min(2.0 * radius, _LARGEST_RADIUS)
    return 0.5 * radius if ratio < 0.3 else radius


def _inside(model: Valley, here: Attitude, rest: Descent) -> bool:
    """True if the energy here is what the rest's own valley says, within a tenth of it."""
    away = here.normal - rest.end.normal
    if float(np.linalg.norm(away)) > math.radians(1.0):
        return False
    turn = rest.valley.directions @ away
    if _floor(rest.valley) <= MARGINAL * here.afloat.mass * here.afloat.buoyancy.length:
        return False
    lift = 0.5 * float(turn @ rest.valley.curvature @ turn)
    return abs(model.energy - rest.valley.energy - lift) <= 0.1 * lift


def bounded_step(slope: Floats, curvature: Floats, radius: float) -> Floats:
    """The turn of least second-order energy within a radius, rad.

    Where the curvature bends down or the free step is too long it ends on the rim: then
    (curvature + shift) turn = -slope with the one shift that gives that length. On a ridge without
    slope it goes bow up, or to starboard.
    """
    stiffness, axes = np.linalg.eigh(curvature)
    axes = axes * np.where(axes[np.abs(axes).argmax(axis=0), range(len(slope))] < 0.0, -1.0, 1.0)
    along = axes.T @ slope
    size = float(np.linalg.norm(along))

    def length(shift: float) -> float:
        return float(np.linalg.norm(along / (stiffness + shift)))

    if stiffness[0] > 0.0 and length(0.0) <= radius:
        return np.asarray(-axes @ (along / stiffness))
    low = max(0.0, -float(stiffness[0]))
    high = low + size / radius
    for _ in range(80):
        middle = 0.5 * (low + high)
        if not low < middle < high:
            break
        low, high = (middle, high) if length(middle) > radius else (low, middle)
    shifted = stiffness + high
    turn = np.where(shifted > 0.0, -along / np.where(shifted > 0.0, shifted, 1.0), 0.0)
    rest = radius**2 - float(turn @ turn)
    if stiffness[0] < 0.0 and rest > (0.1 * radius) ** 2:
        turn[0] += math.copysign(math.sqrt(rest), turn[0])
    return np.asarray(axes @ turn)
