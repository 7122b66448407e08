"""Columns of putty first; ties between edges only where they close off what columns leave open."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.plugs import PlugMesh
from flotation.geometry.voids.sealing import Region, Sealed, Walls, hull_plugs, seal
from flotation.geometry.voids.ties import Ties

Mask = NDArray[np.bool_]
Floats = NDArray[np.float64]

# A tie that closes nothing off takes far less than this share of any space's volume.
_ALIKE = 0.01
# Ties this much wider than others are as narrow as they.
_SAME_WIDTH = 1.02


def seal_with_ties(
    walls: Walls, columns: Sequence[PlugMesh], tied: Ties, at: tuple[int, float, float]
) -> tuple[Sealed, Ties, Walls]:
    """What is closed off, the ties without which less would be, and the walls with all ties.

    at  number of the first tie, width that is sealed, m, and the lap of the putty, m
    Of a space that has a wider opening besides, ties close nothing off: but without them it stays
    open once that is closed too.
    """
    first, width, lap = at
    sealed = seal(walls, columns)
    if not len(tied):
        return sealed, tied, sealed.walls
    with_all = seal(sealed.walls, hull_plugs(tied.points, 0, lap))
    goal = _spaces(with_all, width)
    if _alike(goal, _spaces(sealed, width)):
        return sealed, tied.take(np.zeros(len(tied), dtype=bool)), with_all.walls
    enough, with_enough = _narrowest(sealed.walls, tied, with_all, (goal, width, lap))
    few = enough.take(_between_two(with_enough, len(enough)))
    found = seal(walls, [*columns, *hull_plugs(few.points, first, lap)])
    if not _alike(goal, _spaces(found, width)):
        few, found = enough, seal(walls, [*columns, *hull_plugs(enough.points, first, lap)])
    return found, few, with_all.walls


def _narrowest(
    walls: Walls, tied: Ties, with_all: Sealed, wanted: tuple[Floats, float, float]
) -> tuple[Ties, Sealed]:
    """The ties up to the least width that closes off as much as all do, and what they close off.

    At the end of an opening the edges of its sides fan out. Ties across the fan close nothing
    that the narrow ones leave open, and the opening would be told as wide as the fan.
    """
    goal, width, lap = wanted
    step = np.floor(np.log(np.maximum(tied.widest, lap)) / np.log(_SAME_WIDTH))
    steps = np.unique(step)
    enough, closed = tied, with_all
    # Narrow ties are few and quickly tried, so the search goes up from them.
    low, high, stride = -1, len(steps) - 1, 1
    while high - low > 1:
        at = min(low + stride, (low + high) // 2)
        some = tied.take(step <= steps[at])
        sealed = seal(walls, hull_plugs(some.points, 0, lap))
        if _alike(goal, _spaces(sealed, width)):
            enough, closed, high, stride = some, sealed, at, len(steps)
        else:
            low, stride = at, 2 * stride
    return enough, closed


def _spaces(sealed: Sealed, width: float) -> Floats:
    """Volumes, largest first, of regions with room for a ball of `width`."""

    def roomy(region: Region) -> bool:
        ball = np.pi / 6.0 * width**3
        return region.volume > ball and 2.0 * region.volume > width * float(region.areas.sum())

    return np.sort([region.volume for region in sealed.regions if roomy(region)])[::-1]


def _alike(one: Floats, two: Floats) -> bool:
    return len(one) == len(two) and bool((np.abs(one - two) <= _ALIKE * two).all())


def _between_two(sealed: Sealed, count: int) -> Mask:
    """Ties that stand between two spaces, or between one and the outside."""
    sides = np.zeros(count, dtype=np.intp)
    for shells in [*((region,) for region in sealed.regions), sealed.outer]:
        seen = [shell.plug[shell.plug >= 0] for shell in shells]
        sides[np.unique(np.concatenate(seen or [np.zeros(0, dtype=np.intp)]))] += 1
    return sides > 1
