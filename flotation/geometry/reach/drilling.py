"""Where a further hole may be drilled into the top of a cavity."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.nearness import distance_to_surface
from flotation.geometry.reach.cells import Cells
from flotation.geometry.solid import Floats, Solid

Corner = tuple[float, float, float]
Box = tuple[Corner, Corner]

EDGE = 0.025
"""m from the middle of a hole to the edge of the top: half a 30 mm hole and 10 mm of laminate."""
MARGIN = 0.05
"""m from the middle of a hole to a tank, tube or other thing in the cavity. Both common practice,
no source."""
_STEEPEST = 1.0
"""Rise over run of a top that is still drilled from above."""
_RING = 8
_MOST = 40
_LOOKED_AT = 4
_AT_ONCE = 1_000_000


@dataclass(frozen=True)
class Drillable:
    """Where holes may be drilled, from above in the boat's frame.

    only      boxes within which they may be; none: the whole top
    keep_out  boxes within which they may not be
    things    what stands in the cavity and must not be hit
    """

    only: tuple[Box, ...] = ()
    keep_out: tuple[Box, ...] = ()
    things: tuple[Solid, ...] = ()


def places_to_drill(solid: Solid, cells: Cells, drillable: Drillable, most: int = _MOST) -> Floats:
    """Places on the top of a cavity where a hole may be drilled, (k, 3) m, evenly over it.

    cells  of the solid: their lines are where places are looked for
    most   about how many places are kept

    A place lies on the topmost surface, no steeper than 45 degrees, 25 mm from its edge, within
    the boxes that may be drilled, outside those that may not (and 25 mm off them), and 50 mm from
    every thing inside. What stands above the cavity outside is not known: name it as a box.
    """
    lines = np.unique(cells.places[:, :2], axis=0)
    plan = cells.lattice.origin[:2] + lines * cells.step
    plan = _evenly(plan[np.lexsort((np.abs(plan[:, 1]).round(6), plan[:, 0]))], _LOOKED_AT * most)
    height = top_at(solid, plan)
    around = np.arange(_RING) * (2.0 * np.pi / _RING)
    ring = EDGE * np.stack([np.cos(around), np.sin(around)], axis=1)
    beside = top_at(solid, (plan[:, None] + ring).reshape(-1, 2)).reshape(-1, _RING)
    level = (np.abs(beside - height[:, None]) <= _STEEPEST * EDGE).all(axis=1)  # false for NaN
    places = np.column_stack([plan, height])[level]
    return _evenly(places[_allowed(places, drillable)], most)


def top_at(solid: Solid, plan: Floats) -> Floats:
    """Height of the topmost surface over each point (k, 2) m, (k,) m; NaN beside the solid.

    Each triangle that faces up is asked, so the work is points x triangles.
    """
    a, b, c = (solid.vertices[solid.faces[:, i]] for i in range(3))
    doubled = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    up = doubled > 0.0
    a, b, c, doubled = a[up], b[up], c[up], doubled[up]
    top = np.empty(len(plan))
    step = max(1, _AT_ONCE // max(len(a), 1))
    for start in range(0, len(plan), step):
        x, y = plan[start : start + step, :1], plan[start : start + step, 1:]
        parts = [
            (end[:, 0] - one[:, 0]) * (y - one[:, 1]) - (end[:, 1] - one[:, 1]) * (x - one[:, 0])
            for one, end in ((b, c), (c, a), (a, b))
        ]
        over = (parts[0] >= 0.0) & (parts[1] >= 0.0) & (parts[2] >= 0.0)
        height = (parts[0] * a[:, 2] + parts[1] * b[:, 2] + parts[2] * c[:, 2]) / doubled
        top[start : start + step] = np.where(over, height, -np.inf).max(axis=1, initial=-np.inf)
    return np.where(np.isfinite(top), top, np.nan)


def _allowed(places: Floats, drillable: Drillable) -> NDArray[np.bool_]:
    allowed = np.full(len(places), not drillable.only, dtype=np.bool_)
    for box in drillable.only:
        allowed[_within(places, box, 0.0)] = True
    for box in drillable.keep_out:
        allowed[_within(places, box, EDGE)] = False
    for thing in drillable.things:
        near = np.flatnonzero(allowed)
        far = distance_to_surface(thing, places[near]) >= MARGIN
        allowed[near] = far
    return allowed


def _within(places: Floats, box: Box, margin: float) -> NDArray[np.bool_]:
    beyond = np.maximum(np.array(box[0]) - places, places - np.array(box[1])).max(axis=1)
    within: NDArray[np.bool_] = beyond <= margin
    return within


def _evenly(places: Floats, most: int) -> Floats:
    """About so many of the places: of each field in plan the one nearest to their middle there.

    Fields begin at the side towards the centreline, so that port and starboard have the same.
    """
    if len(places) <= most:
        return places
    plan = places[:, :2] * (1.0, 1.0 if places[:, 1].mean() >= 0.0 else -1.0)
    low = plan.min(axis=0)
    size = np.maximum(plan.max(axis=0) - low, 1e-9)
    side = max(float(size.max()) / most, float(np.sqrt(size[0] * size[1] / most)))
    fields = np.maximum(np.floor(size / side + 1e-6), 1.0)
    field = np.minimum(np.floor((plan - low) / (size / fields) + 1e-6), fields - 1.0)
    _, which = np.unique(field, axis=0, return_inverse=True)
    which = which.ravel()
    kept = []
    for one in range(int(which.max()) + 1):
        rows = np.flatnonzero(which == one)
        away = np.linalg.norm(places[rows] - places[rows].mean(axis=0), axis=1)
        kept.append(rows[int(away.round(6).argmin())])
    even: Floats = places[np.array(kept)]
    return even
