"""What a plan says of where foam gets to in a cavity, and where air stays: values only. SI."""

import math
from dataclasses import dataclass

from flotation.boat_places import Box, Point
from flotation.workings import Line


@dataclass(frozen=True)
class HoleReach:
    """What one fill hole fills first, m3, and the longest way that its foam takes there, m."""

    hole: str
    volume: float
    furthest: float


@dataclass(frozen=True)
class UnreachedPlace:
    """A place that foam does not get to: m3, its centroid, and the box around it, m."""

    volume: float
    at: Point
    bounds: Box


@dataclass(frozen=True)
class ProposedHole:
    """A further fill hole, and the m3 that it is the first to reach."""

    at: Point
    gains: float


@dataclass(frozen=True)
class CavityReach:
    """Where foam gets to from the fill holes of one cavity, along the cavity.

    flow_length      m that foam flows; longer ways count where the cavity is narrow
    stated           True: the boat file states it; False: a recalled one stands in
    holes            each fill hole; with `unreached` and counted air they add up to the cavity
    unreached        m3 that foam gets to from no hole
    unreached_least, unreached_most  m3, its error bounds
    counted          True: no foam is planned there, and it floods when the boat is swamped. False:
                     it is filled on paper, because the flow length is recalled, or it is no more
                     than a thousandth of the cavity
    places           where, the largest first
    lost_lift        kg of lift that is missing there, or would be
    foam_short       kg of foam that is missing there, or would be
    proposed         further fill holes, the one that gains most first
    least_possible   no fewer of the places that were tried would do
    still_unreached  m3 with all of them
    lines            how lift and foam were calculated
    """

    cavity: str
    flow_length: float
    stated: bool
    holes: tuple[HoleReach, ...]
    unreached: float
    unreached_least: float
    unreached_most: float
    counted: bool
    places: tuple[UnreachedPlace, ...]
    lost_lift: float
    foam_short: float
    proposed: tuple[ProposedHole, ...]
    least_possible: int
    still_unreached: float
    lines: tuple[Line, ...]

    @property
    def holes_volume(self) -> float:
        """m3 that foam gets to from all holes together."""
        return math.fsum(hole.volume for hole in self.holes)


@dataclass(frozen=True)
class CaughtAir:
    """Air that is caught: m3, its highest point and its centroid, m.

    foam_height  m, of the foam when it cuts the last way out; as a lift's foam_height
    """

    volume: float
    at: Point
    centre: Point
    foam_height: float


@dataclass(frozen=True)
class LiftAir:
    """Air that is caught between the foam of the layer before and of this one, m3."""

    number: int
    volume: float


@dataclass(frozen=True)
class ProposedVent:
    """A further vent, and the m3 of air that it frees; not drillable: no free place lies there."""

    at: Point
    frees: float
    drillable: bool


@dataclass(frozen=True)
class CavityAir:
    """Where air stays in one cavity as it is filled in the jig.

    caught        m3
    counted       True: no foam is planned there, and it floods when the boat is swamped. False:
                  it is no more than a thousandth of the cavity, and is taken for foam
    traps         where, the largest first
    by_lift       for each layer that catches any
    proposed      further vents
    still_caught  m3 with all of them
    lines         how it was added up
    """

    cavity: str
    caught: float
    counted: bool
    traps: tuple[CaughtAir, ...]
    by_lift: tuple[LiftAir, ...]
    proposed: tuple[ProposedVent, ...]
    still_caught: float
    lines: tuple[Line, ...]
