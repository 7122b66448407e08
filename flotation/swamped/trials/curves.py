"""Righting arms of the swamped boat, trim left free."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from flotation.equilibrium.bodies import Sinks
from flotation.equilibrium.righting import RightingArms, righting_arms
from flotation.errors import NotSettled
from flotation.swamped.trials.cases import Case
from flotation.swamped.trials.level_tests import Basin
from flotation.swamped.trials.runs import Ready

_REACHES = (90.0, 60.0, 30.0)  # degrees
_STEP = 10.0


@dataclass(frozen=True)
class ArmCurve:
    """Righting arms of one test, as stated.

    name    of the test
    heels   rad, positive to starboard
    arms    m; at a heel to starboard a positive one turns the boat back
    moments N m
    limit   rad, the test's limit on the heel
    """

    name: str
    heels: tuple[float, ...]
    arms: tuple[float, ...]
    moments: tuple[float, ...]
    limit: float


def arm_curves(basin: Basin, tests: Sequence[Case]) -> tuple[ArmCurve, ...]:
    """Of each test with its load on the centreline, up to 90 degrees to either side.

    A boat that trims over its end at some heel has no arms beyond it: the curve then stops at 60
    or 30 degrees, and is left out where it does not reach those. None for a boat that sinks.
    """
    found = []
    for case in tests:
        if not case.side:
            curve = _curve(basin.ready(case, basin.swamped.stated))
            if curve is not None:
                found.append(_named(case, curve))
    return tuple(found)


def _curve(ready: Ready) -> RightingArms | None:
    if ready.joined is None:
        return None
    bodies = [piece.body for piece in ready.pieces]
    for reach in _REACHES:
        heels = np.radians(np.arange(-reach, reach + 0.5 * _STEP, _STEP))
        try:
            curve = righting_arms(bodies, ready.water, heels.tolist(), joined=ready.joined)
        except NotSettled:
            continue
        return None if isinstance(curve, Sinks) else curve
    return None


def _named(case: Case, curve: RightingArms) -> ArmCurve:
    return ArmCurve(
        case.name,
        tuple(curve.heels.tolist()),
        tuple(curve.arms.tolist()),
        tuple(curve.moments.tolist()),
        case.heel.value,
    )
