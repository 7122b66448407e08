"""Where vents would let out the air that a rising level catches."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from flotation.geometry.airtraps import AirTrap, caught_air
from flotation.geometry.nearness import distance_to_surface
from flotation.geometry.solid import Floats, Solid

MOST = 8
"""Vents that are proposed for one cavity at most; more peaks than that ask for another shape."""
_ON = 1e-6
"""m within which a place on the top lies on a trap's surface."""


@dataclass(frozen=True)
class FurtherVent:
    """A vent that is proposed.

    at         m; the highest place of the trap that may be drilled, or else its highest point
    frees      m3 of air that it lets out, after the vents before it
    drillable  False: no place that may be drilled lies on this trap
    """

    at: tuple[float, float, float]
    frees: float
    drillable: bool


@dataclass(frozen=True)
class Venting:
    """Vents in the order of what they free, and the m3 that they leave caught."""

    vents: tuple[FurtherVent, ...]
    still_caught: float


def further_vents(
    solid: Solid, up: ArrayLike, open_points: ArrayLike, places: Floats, crumbs: float
) -> Venting:
    """Vents at the high points where air is caught, the largest trap first.

    up, open_points  as for `caught_air`
    places           (k, 3) m on the top where a hole may be drilled
    crumbs           m3 of one trap that need no vent
    Each vent is tried: what it frees is the difference that it makes. A vent clear of the edge of
    a sloping ceiling leaves the air above its own height, and no other is proposed for that.
    """
    upward = np.asarray(up, dtype=np.float64) / np.linalg.norm(up)
    holes = np.asarray(open_points, dtype=np.float64).reshape(-1, 3)
    vents: list[FurtherVent] = []
    left_over: list[float] = []
    traps = caught_air(solid, upward, holes)
    tried = [trap for trap in traps if trap.volume > crumbs]
    while tried and len(vents) < MOST:
        at, drillable = _highest_place(tried[0], upward, places)
        holes = np.concatenate([holes, at[None]])
        after = caught_air(solid, upward, holes)
        frees = sum(trap.volume for trap in traps) - sum(trap.volume for trap in after)
        x, y, z = (float(value) for value in at)
        if frees > crumbs:
            vents.append(FurtherVent((x, y, z), frees, drillable))
            left_over.append(float(at @ upward))
            traps = after
            tried = [
                trap
                for trap in traps
                if trap.volume > crumbs and np.abs(np.subtract(left_over, trap.level)).min() > _ON
            ]
        else:
            holes = holes[:-1]
            tried = tried[1:]
    return Venting(tuple(vents), float(sum(trap.volume for trap in traps)))


def _highest_place(trap: AirTrap, up: Floats, places: Floats) -> tuple[Floats, bool]:
    """The highest place on a trap, of equally high ones the nearest to the trap's top."""
    above = places[places @ up > trap.level] if len(places) else places
    on = above[distance_to_surface(trap.solid, above) <= _ON] if len(above) else above
    if not len(on):
        return trap.top, False
    height = on @ up
    highest = on[height >= height.max() - _ON]
    return highest[int(np.linalg.norm(highest - trap.top, axis=1).argmin())], True
