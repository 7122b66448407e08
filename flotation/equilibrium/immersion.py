"""How deep a boat floats at a given attitude."""

from collections.abc import Sequence

import numpy as np

from flotation.boat_places import Point
from flotation.equilibrium.balance import Afloat, Attitude, Floats, Valley, let_go, turned
from flotation.equilibrium.bodies import Body, Sinks
from flotation.equilibrium.buoyancy import Buoyancy
from flotation.errors import NotSettled

# Shares of the weight within which lift balances it. A coarse depth serves on the way down: what
# it is off by enters the energy to second order, and the next step mends it. 600 boats came to the
# same rests with 1e-4, 3e-2 and 0.3, with 61, 37 and 36 queries on average. A middling one serves
# where slope and stiffness are read off, which are then right to its square.
COARSE = 3e-2
MIDDLING = 1e-5
FINE = 1e-12

_ROUNDS = 200


def immersion(
    bodies: Sequence[Body],
    water_density: float,
    normal: Point,
    *,
    joined: Buoyancy | None = None,
) -> float | Sinks:
    """How deep does a boat float if it is held at this attitude?

    normal  the upward direction in the boat's axes; `up(heel, trim)` makes it
    Other arguments and errors as for `float_freely`. Returns the offset of the water surface
    {normal . x = offset}, normal made a unit, m; or Sinks. Lift equals weight within 1e-12.
    """
    afloat = let_go(bodies, water_density, joined)
    return afloat if isinstance(afloat, Sinks) else set_afloat(afloat, normal, FINE).offset


def set_afloat(afloat: Afloat, start: Point, tolerance: float = MIDDLING) -> Attitude:
    """The boat this way up, floating its weight; ValueError if `start` is no direction."""
    direction = np.asarray(start, dtype=float)
    length = float(np.linalg.norm(direction))
    if direction.shape != (3,) or not np.isfinite(length) or length == 0.0:
        raise ValueError(f"an upward direction has three numbers, not {start!r}")
    return immersed(afloat, direction / length, None, tolerance)


def immersed(
    afloat: Afloat, normal: Floats, depth: float | None = None, tolerance: float = FINE
) -> Attitude:
    """The attitude at which the lift balances the weight, with the upward direction held.

    depth      m, a first guess; None: none at hand
    tolerance  share of the weight
    The boat must float: its lift must exceed its mass. Lift grows with depth, so Newton's
    method is kept inside a bracket and halves it where the step would leave it or gains little.
    Where rounding ends the search first, the attitude with the depth known to its last digit is
    given back. Raises NotSettled if neither happens.
    """
    low, high = afloat.depths(normal)
    guess = low + (high - low) * afloat.mass / afloat.lift if depth is None else depth
    wanted = max(tolerance, 1e-14 * afloat.lift / afloat.mass) * afloat.mass
    before = float("inf")
    for _ in range(_ROUNDS):
        if not low < guess < high:
            guess = 0.5 * (low + high)
        attitude = afloat.at(normal, guess)
        excess = attitude.excess
        if abs(excess) <= wanted or not low < 0.5 * (low + high) < high:
            return attitude
        low, high = (low, guess) if excess > 0.0 else (guess, high)
        slope = afloat.water_density * attitude.plane.area
        slow = abs(excess) > 0.5 * before
        before = abs(excess)
        guess = 0.5 * (low + high) if slow or slope <= 0.0 else guess - excess / slope
    raise NotSettled(
        f"no depth found at which {afloat.mass:.6g} kg float: at the upward direction "
        f"{normal.tolist()} the lift is off by {before:.3g} kg"
    )


def moved(here: Attitude, model: Valley, turn: Floats, tolerance: float) -> Attitude:
    """The attitude after a turn along the directions of the model, rad, floating its weight."""
    depth = here.depth + model.sink + float(model.follow @ turn)
    normal = turned(here.normal, turn @ model.directions)
    return immersed(here.afloat, normal, depth, tolerance)
