"""What floats and how it came to rest: the values that `float_freely` takes and gives. SI.

Frame: x forward from the transom, y to port, z up, fixed in the boat. The water surface turns:
it is the plane {normal . x = offset}, and `normal` is the upward direction in the boat's axes.

Heel and trim are two turns, in this order, that bring a level boat to its attitude: first heel,
about the boat's own x axis, positive to starboard; then trim, about the transverse horizontal
axis, positive bow up:

    normal = (sin trim, sin heel cos trim, cos heel cos trim)

So trim is the inclination of the x axis. The transverse axis inclines by asin(sin heel cos
trim), which is less than the heel where there is trim.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from flotation.boat_places import Point
from flotation.geometry.below import Floats, Waterplane
from flotation.geometry.solid import Skin, Solid

GRAVITY = 9.80665  # m/s2, the standard value
KEEL_DOWN: Point = (0.0, 0.0, 1.0)

_UPRIGHT_END = 1e-12


def up(heel: float, trim: float) -> Point:
    """The upward direction in the boat's axes at this heel and trim, rad.

    >>> up(0.0, 0.0)
    (0.0, 0.0, 1.0)
    """
    return (
        math.sin(trim),
        math.sin(heel) * math.cos(trim),
        math.cos(heel) * math.cos(trim),
    )


def as_point(values: Floats) -> Point:
    """Three numbers of an array as a Point."""
    x, y, z = values.tolist()
    return x, y, z


def heel_of(normal: Point) -> float:
    """Heel of an upward direction, rad in (-pi, pi]; 0 for a boat that stands on its end."""
    if math.hypot(normal[1], normal[2]) < _UPRIGHT_END:
        return 0.0
    heel = math.atan2(normal[1], normal[2])
    return math.pi if heel == -math.pi else heel


def trim_of(normal: Point) -> float:
    """Trim of an upward direction, rad in [-pi/2, pi/2]."""
    return math.atan2(normal[0], math.hypot(normal[1], normal[2]))


@dataclass(frozen=True)
class Box:
    """A lump's displaced volume: a box along the boat's axes about the place of its body.

    size  length, breadth and height, m
    """

    size: Point

    def __post_init__(self) -> None:
        if not all(math.isfinite(edge) and edge > 0.0 for edge in self.size):
            raise ValueError(f"a box needs three positive edges, not {self.size}")


@dataclass(frozen=True)
class Body:
    """A mass at a place, and what it displaces where that is under water.

    mass       kg; negative for a correction that takes weight away
    at         centre of gravity, m
    displaces  a closed solid, a skin with thickness or a box about `at`; None: it only weighs, as
               foam's water uptake does, or a weight that is stated as it weighs under water
    name       for messages
    """

    mass: float
    at: Point
    displaces: Solid | Skin | Box | None = None
    name: str = ""

    def __post_init__(self) -> None:
        if not math.isfinite(self.mass) or not all(math.isfinite(value) for value in self.at):
            raise ValueError(f"body {self.name!r}: mass {self.mass} at {self.at} is not finite")


class Stability(StrEnum):
    """What a rest does when it is disturbed. An unstable attitude is never a rest."""

    STABLE = "stable"
    MARGINAL = "marginal"


@dataclass(frozen=True)
class Waypoint:
    """An attitude passed through on the way to rest, floating its weight.

    energy  J above the rest that the way leads to
    """

    normal: Point
    offset: float
    energy: float

    @property
    def heel(self) -> float:
        """Rad, positive to starboard."""
        return heel_of(self.normal)

    @property
    def trim(self) -> float:
        """Rad, positive bow up."""
        return trim_of(self.normal)


@dataclass(frozen=True, eq=False)
class Rest:
    """An attitude in which weight and lift balance, and which a small push does not leave.

    normal, offset       the water surface normal . x = offset in the boat's axes, m
    stability            stable; marginal where the least metacentric height is zero within one
                         millionth of the length, or the immersion is undetermined
    mass, displaced_volume, centre_of_gravity, centre_of_buoyancy   kg, m3, m, m
    waterplane           the section of everything that crosses the surface
    gm_transverse        m, metacentric height for a turn about the level longitudinal axis
    gm_longitudinal      m, the same about the transverse horizontal axis; both for the waterplane
                         as it lies, which counts a face that lies in the surface or leaves it out
    gm                   m, the least about any horizontal axis; where a face lies in the surface,
                         by the moment that turns the boat back from its weaker side. It decides
                         the stability
    force_residual       |lift - weight| / weight
    moment_residual      moment left over / (weight x length), length as `length`
    length               m, diagonal of the box around all that displaces
    energy               J of boat and water; zero with the whole mass at the surface and no water
                         displaced. Lower is deeper in the valley
    start                the attitude from which it came; `start_gm` is the least metacentric
                         height there, and negative where the start was unstable
    path                 attitudes passed through, from the start to here
    other                the rest on the other side, where a push to either side of the start
                         leads to two; this one has the greater heel. None where both lead here
    """

    normal: Point
    offset: float
    stability: Stability
    mass: float
    displaced_volume: float
    centre_of_gravity: Point
    centre_of_buoyancy: Point
    waterplane: Waterplane
    gm_transverse: float
    gm_longitudinal: float
    gm: float
    force_residual: float
    moment_residual: float
    length: float
    energy: float
    start: Point
    start_gm: float
    path: tuple[Waypoint, ...]
    other: "Rest | None" = None

    @property
    def heel(self) -> float:
        """Rad in (-pi, pi], positive to starboard: the first of the two turns."""
        return heel_of(self.normal)

    @property
    def trim(self) -> float:
        """Rad, positive bow up: the inclination of the longitudinal axis."""
        return trim_of(self.normal)

    @property
    def transverse_inclination(self) -> float:
        """Rad, asin(sin heel cos trim): the inclination of the transverse axis."""
        return math.atan2(self.normal[1], math.hypot(self.normal[0], self.normal[2]))

    @property
    def stable(self) -> bool:
        """True if it is stable; a marginal rest is not called stable."""
        return self.stability is Stability.STABLE

    @property
    def heel_stiffness(self) -> float:
        """N m per degree of heel, at constant displacement."""
        return self._per_degree(self.gm_transverse)

    @property
    def trim_stiffness(self) -> float:
        """N m per degree of trim, at constant displacement."""
        return self._per_degree(self.gm_longitudinal)

    @property
    def stiffness(self) -> float:
        """N m per degree about the weakest horizontal axis."""
        return self._per_degree(self.gm)

    def _per_degree(self, height: float) -> float:
        return GRAVITY * self.mass * height * math.radians(1.0)


@dataclass(frozen=True)
class Sinks:
    """All of it under water lifts no more than it weighs: there is no attitude to report.

    mass     kg
    lift     kg of water that all of it displaces under water
    lacking  kg, mass - lift: what more lift it would need; zero where it hangs in the water
    """

    mass: float
    lift: float

    @property
    def lacking(self) -> float:
        """Kg of lift that is missing; never negative."""
        return max(self.mass - self.lift, 0.0)
