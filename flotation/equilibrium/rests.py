"""Every attitude in which a boat stays, right way up and turtle."""

import math
from collections.abc import Sequence

import numpy as np

from flotation.boat_places import Point
from flotation.equilibrium.balance import let_go
from flotation.equilibrium.bodies import GRAVITY, KEEL_DOWN, Body, Rest, Sinks
from flotation.equilibrium.buoyancy import Buoyancy
from flotation.equilibrium.immersion import set_afloat
from flotation.equilibrium.solver import Settled, as_rest, same_rest, settle

_GOLDEN_TURN = math.pi * (3.0 - math.sqrt(5.0))


def all_rests(
    bodies: Sequence[Body],
    water_density: float,
    *,
    starts: int = 60,
    joined: Buoyancy | None = None,
) -> tuple[Rest, ...] | Sinks:
    """In which attitudes can a boat come to rest, whichever way up it was let go?

    starts  how many upward directions, besides keel down, it is let go from: spread evenly over
            the sphere, in a spiral, so none of them is an axis of symmetry
    Other arguments, result and errors as for `float_freely`. Returns the rests, the lowest energy
    first; each has the path by which it was found. Indifferent rests of one band, as of a round
    log, count as one, marginal. A rest whose valley is so narrow that no start lies in it is
    missed: with 60 starts one is within 21 degrees of any attitude.
    """
    afloat = let_go(bodies, water_density, joined)
    if isinstance(afloat, Sinks):
        return afloat
    found: list[tuple[Settled, Rest]] = []
    for start in (KEEL_DOWN, *spread(starts)):
        first = set_afloat(afloat, start)
        settled = settle(first, known=[known for known, _ in found])
        if any(settled.descent.end is known.descent.end for known, _ in found):
            continue
        rest = as_rest(settled, first)
        if not any(same_rest(rest, other) for _, other in found):
            found.append((settled, rest))
    return tuple(sorted((rest for _, rest in found), key=_order))


def _order(rest: Rest) -> tuple[int, int, bool]:
    """Energy, then heel from keel down, then starboard first; rounded so that twins tie."""
    depth = rest.energy / (1e-9 * GRAVITY * rest.mass * rest.length)
    return round(depth), round(abs(rest.heel) / 1e-6), rest.heel < 0.0


def spread(count: int) -> list[Point]:
    """Directions spread evenly over the sphere along a spiral of the golden section.

    Common practice, no source.
    """
    heights = 1.0 - (2.0 * np.arange(count) + 1.0) / max(count, 1)
    turns = _GOLDEN_TURN * np.arange(count)
    radii = np.sqrt(1.0 - heights**2)
    return list(
        zip(
            (radii * np.cos(turns)).tolist(),
            (radii * np.sin(turns)).tolist(),
            heights.tolist(),
            strict=True,
        )
    )
