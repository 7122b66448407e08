"""How hard a boat turns back at each heel: the righting arm, trim left free."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from flotation.equilibrium.balance import Attitude, Floats, let_go, tangents
from flotation.equilibrium.bodies import (
    GRAVITY,
    KEEL_DOWN,
    Body,
    Sinks,
    as_point,
    heel_of,
    trim_of,
    up,
)
from flotation.equilibrium.buoyancy import Buoyancy
from flotation.equilibrium.descent import descend
from flotation.equilibrium.immersion import COARSE, immersed, set_afloat
from flotation.errors import NotSettled

_STRIDE = math.radians(5.0)


@dataclass(frozen=True, eq=False)
class RightingArms:
    """The curve of righting arms. Read-only arrays, one value for each heel asked for.

    heels    rad, positive to starboard, as they were given
    arms     m; positive turns the boat to port, so at a heel to starboard it rights
    trims    rad, that the boat takes at this heel, positive bow up
    offsets  m, of the water surface normal . x = offset with normal = up(heel, trim)
    mass     kg; mass x gravity x arm is the moment, N m, about the level longitudinal axis
    """

    heels: Floats
    arms: Floats
    trims: Floats
    offsets: Floats
    mass: float

    @property
    def moments(self) -> Floats:
        """N m."""
        return GRAVITY * self.mass * self.arms


def righting_arms(
    bodies: Sequence[Body],
    water_density: float,
    heels: Iterable[float],
    *,
    joined: Buoyancy | None = None,
) -> RightingArms | Sinks:
    """With which arm does the boat turn back, held at each of these heels, trim left free?

    heels  rad, from -pi to pi, in any order
    Other arguments as for `float_freely`. Returns RightingArms, or Sinks.

    The boat is let go at no heel and walked outward to either side, at most 5 degrees at a time;
    at each stop trim and depth follow the energy down to balance within 1e-9. With B the centre
    of buoyancy, G that of gravity and e the level transverse axis to port, arm = e . (G - B);
    it is the slope of the energy over heel, less a factor cos(trim):
    dE / d heel = mass x gravity x arm x cos(trim).

    Raises ValueError for a heel beyond half a turn; NotSettled where the boat does not keep the
    heel but trims over its end.
    """
    wanted = np.array(list(heels), dtype=float)
    if not (np.abs(wanted) <= math.pi).all():
        raise ValueError("heels are angles from -pi to pi")
    afloat = let_go(bodies, water_density, joined)
    if isinstance(afloat, Sinks):
        return afloat
    level = descend(set_afloat(afloat, KEEL_DOWN), heel_held=True).end
    stops: dict[float, Attitude] = {}
    for side in (wanted[wanted >= 0.0], wanted[wanted < 0.0]):
        here, heel = level, 0.0
        for target in sorted(set(side.tolist()), key=abs):
            here = _walked(here, heel, target)
            stops[target], heel = here, target
    return _curve(wanted, [stops[heel] for heel in wanted.tolist()], afloat.mass)


def _walked(here: Attitude, heel: float, target: float) -> Attitude:
    """From one heel to another in strides, trim following."""
    count = max(1, math.ceil(abs(target - heel) / _STRIDE))
    for stop in np.linspace(heel, target, count + 1)[1:].tolist():
        trim = trim_of(as_point(here.normal))
        normal = np.array(up(stop, trim))
        here = descend(immersed(here.afloat, normal, here.depth, COARSE), heel_held=True).end
        off = heel_of(as_point(here.normal)) - stop
        if abs(math.remainder(off, 2.0 * math.pi)) > 1e-6:
            raise NotSettled(
                f"at a heel of {math.degrees(stop):.4g} degrees the boat trims over its end: "
                "it has no righting arm there"
            )
    return here


def _curve(heels: Floats, stops: Sequence[Attitude], mass: float) -> RightingArms:
    arms = [
        -stop.afloat.water_density * float(stop.moment @ tangents(stop.normal)[1]) / mass
        for stop in stops
    ]
    trims = [trim_of(as_point(stop.normal)) for stop in stops]
    offsets = [stop.offset for stop in stops]
    curve = RightingArms(heels, np.array(arms), np.array(trims), np.array(offsets), mass)
    for column in (curve.heels, curve.arms, curve.trims, curve.offsets):
        column.flags.writeable = False
    return curve
