"""Where one boat comes to rest with many lists of masses: weights vary, what displaces does not.

What lies under a plane does not depend on the masses. So the sums at the rest as stated, told
about the new centre of gravity, give the second-order energy of the reweighed boat without a
question put to the triangles, and from there the way down takes three or four.
"""

import math
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from multiprocessing import get_context

import numpy as np
from numpy.typing import ArrayLike

from flotation.equilibrium.balance import Afloat, Attitude, Floats, Plane, let_go
from flotation.equilibrium.bodies import Body, Rest, Sinks
from flotation.equilibrium.buoyancy import Buoyancy, buoyancy
from flotation.equilibrium.immersion import COARSE, MIDDLING, immersed
from flotation.equilibrium.solver import as_rest, float_freely, settle
from flotation.errors import NotSettled

_FAR = math.radians(10.0)


@dataclass(frozen=True, eq=False)
class _Stated:
    """The boat as stated at its rest; `rest` is None where each list is let go keel down."""

    bodies: tuple[Body, ...]
    water_density: float
    joined: Buoyancy
    rest: Rest | None
    at_rest: Attitude | None


def float_reweighed(
    bodies: Sequence[Body],
    water_density: float,
    masses: ArrayLike,
    *,
    joined: Buoyancy | None = None,
    processes: int = 1,
) -> tuple[Rest | Sinks, ...]:
    """Where does a boat come to rest with each of many lists of masses?

    bodies         the boat as stated
    water_density  kg/m3
    masses         (k, n) kg, a row a list, a column a body; places and what displaces stay
    joined         as for `float_freely`
    processes      how many to share the work among; started afresh, so a script that asks for
                   more than one guards its main part with `if __name__ == "__main__"`. Each row
                   is answered by itself: the numbers do not depend on how many there are
    Returns a Rest or Sinks for each row, as `float_freely` finds it from keel down, to its
    tolerance; `.start` is the rest as stated and `.path` leads from there.

    The boat as stated is let go keel down. Each row is then followed from its rest down the
    energy. That row is let go keel down after all where the boat as stated sinks, is not stable
    or has a second rest on the other side, and where the row's own way is longer than 10 degrees,
    or leads to a rest that is not stable. Not seen is a valley that the other masses open
    elsewhere, between keel down and where the boat as stated rests, while the boat's own valley
    remains: for lists far from the stated one ask `float_freely`.

    Raises ValueError for masses of another shape and as `float_freely` does; NotSettled as it
    does.
    """
    rows = np.array(masses, dtype=float)
    if rows.ndim != 2 or rows.shape[1] != len(bodies):
        raise ValueError(f"masses are rows of {len(bodies)} numbers, not {rows.shape}")
    if processes < 1:
        raise ValueError(f"at least one process is needed, not {processes}")
    stated = _stated(tuple(bodies), water_density, joined)
    if processes == 1 or len(rows) < 2:
        return tuple(_each(stated, rows))
    shares = [share for share in np.array_split(rows, processes) if len(share)]
    with ProcessPoolExecutor(len(shares), get_context("spawn")) as pool:
        found = pool.map(_share, [stated] * len(shares), shares)
        return tuple(rest for share in found for rest in share)


def _stated(bodies: tuple[Body, ...], water_density: float, joined: Buoyancy | None) -> _Stated:
    whole = buoyancy(bodies) if joined is None else joined
    rest = float_freely(bodies, water_density, joined=whole)
    afloat = let_go(bodies, water_density, whole)
    stated = _Stated(bodies, water_density, whole, None, None)
    if isinstance(rest, Sinks) or isinstance(afloat, Sinks):
        return stated
    if not rest.stable or rest.other is not None:
        return stated
    normal = np.array(rest.normal)
    at_rest = afloat.at(normal, rest.offset - float(normal @ afloat.centre))
    return replace(stated, rest=rest, at_rest=at_rest)


def _share(stated: _Stated, rows: Floats) -> tuple[Rest | Sinks, ...]:
    return tuple(_each(stated, rows))


def _each(stated: _Stated, rows: Floats) -> Iterator[Rest | Sinks]:
    for row in rows.tolist():
        yield _reweighed(stated, row)


def _reweighed(stated: _Stated, row: Sequence[float]) -> Rest | Sinks:
    pairs = zip(stated.bodies, row, strict=True)
    bodies = [Body(mass, body.at, body.displaces, body.name) for body, mass in pairs]
    near = None if stated.at_rest is None else _nearby(stated.at_rest, bodies)
    if near is not None:
        return near
    return float_freely(bodies, stated.water_density, joined=stated.joined)


def _nearby(there: Attitude, bodies: Sequence[Body]) -> Rest | Sinks | None:
    """The rest in the valley of the boat as stated; None where that is not sure to be it."""
    afloat = let_go(bodies, there.afloat.water_density, there.afloat.buoyancy)
    if isinstance(afloat, Sinks):
        return afloat
    first = recentred(there, afloat)
    if first.force_residual > COARSE:
        first = immersed(afloat, first.normal, first.depth, MIDDLING)
    try:
        rest = as_rest(settle(first), first)
    except NotSettled:
        return None
    turn = math.acos(min(1.0, float(first.normal @ np.array(rest.normal))))
    return rest if rest.stable and turn <= _FAR else None


def recentred(attitude: Attitude, afloat: Afloat) -> Attitude:
    """What lies under the same surface, told about the centre of gravity of another boat.

    afloat  displaces the same, and weighs something else or elsewhere
    With d from the old centre to the new, the moments become

        M - V d,    S - A d,    T - S d^T - d S^T + A d d^T
    """
    move = afloat.centre - attitude.afloat.centre
    plane = attitude.plane
    cross = np.outer(plane.first, move)
    second = plane.second - cross - cross.T + plane.area * np.outer(move, move)
    return Attitude(
        afloat,
        attitude.normal,
        attitude.depth - float(attitude.normal @ move),
        attitude.volume,
        attitude.moment - attitude.volume * move,
        Plane(plane.area, plane.first - plane.area * move, second),
    )
