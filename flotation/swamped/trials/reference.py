"""The reference areas at the ends of a boat: how deep they lie, and what of them shows.

33 CFR 183.210 and 183.215 [the 2 ft read, the rest recalled].
"""

from collections.abc import Sequence
from dataclasses import dataclass

from flotation.boat import Top
from flotation.boat_places import Point
from flotation.swamped.assessment import Verdict
from flotation.swamped.limits import Limit, at_most
from flotation.swamped.wording import both

_CENTRELINE = 1e-3  # m


@dataclass(frozen=True)
class Area:
    """One reference area, m; depths are positive under water.

    depth    the reference depth: least depth of its points on the centreline, and where none is
             given there, least mean of two that lie opposite each other
    highest  depth of its highest point
    """

    depth: float
    highest: float


@dataclass(frozen=True)
class Areas:
    """Both reference areas."""

    forward: Area
    aft: Area


def depth_at(point: Point, normal: Point, offset: float) -> float:
    """How far a point lies under the surface normal . x = offset, m."""
    return offset - sum(n * x for n, x in zip(normal, point, strict=True))


def reference_areas_at(top: Top, normal: Point, offset: float) -> Areas:
    """The two reference areas of a boat that lies like this."""
    return Areas(_area(top.forward, normal, offset), _area(top.aft, normal, offset))


def _area(points: Sequence[Point], normal: Point, offset: float) -> Area:
    depths = [depth_at(point, normal, offset) for point in points]
    middle = [d for d, point in zip(depths, points, strict=True) if abs(point[1]) <= _CENTRELINE]
    # The mean of a pair is the depth of the point between them.
    pairs = [depth_at((x, 0.0, z), normal, offset) for x, _, z in points]
    return Area(min(middle or pairs), min(depths))


def area_verdicts(limit: Limit, areas: Areas, spread: Areas | None) -> tuple[Verdict, Verdict]:
    """The verdicts on the reference areas: one shows, the other is not too deep.

    limit   the depth that the other area may have, m; reaching it exactly meets it
    spread  what the stated tolerances add up to; None: none is stated
    Which area must show is not prescribed, so the two ways are tried and the better one counts.
    At the surface itself nothing shows.
    """
    forward, aft = (None, None) if spread is None else (spread.forward, spread.aft)
    tried = (
        (_shows(limit, areas.forward, forward), _deep(limit, areas.aft, aft)),
        (_shows(limit, areas.aft, aft), _deep(limit, areas.forward, forward)),
    )
    return max(tried, key=lambda pair: min(verdict.margin for verdict in pair))


def _deep(limit: Limit, area: Area, spread: Area | None) -> Verdict:
    named = Limit(f"{limit.name}, deeper end", limit.criterion, limit.decides)
    return at_most(named, area.depth, spread=spread.depth if spread else None)


def _shows(limit: Limit, area: Area, spread: Area | None) -> Verdict:
    above = -area.highest
    sentence = (
        f"shows above water by {both(above, 'm')}"
        if above > 0.0
        else f"falls short by {both(-above, 'm')}: both ends are under water"
    )
    apart = spread.highest if spread else None
    if apart is not None and abs(above) <= apart:
        sentence += f"; not decided, the stated tolerances add up to {both(apart, 'm')}"
    return Verdict(
        name=f"{limit.name}, one end shows",
        required=0.0,
        obtained=area.highest,
        margin=above,
        unit="m",
        meets=above > 0.0,
        decides=limit.decides,
        criterion=limit.criterion,
        sentence=sentence,
        spread=apart,
        at_most=True,
    )
