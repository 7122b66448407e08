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


def seal_with_ties(
    walls: Walls, columns: Sequence[PlugMesh], tied: Ties, at: tuple[int, float, float]
) -> tuple[Sealed, Ties]:
    """What is closed off, and the ties without which less would be.

    at  number of the first tie, width that is sealed, m, and the lap of the putty, m
    """
    first, width, lap = at
    sealed = seal(walls, columns)
    if not len(tied):
        return sealed, tied
    with_all = seal(sealed.walls, hull_plugs(tied.points, 0, lap))
    goal = _spaces(with_all, width)
    if _alike(goal, _spaces(sealed, width)):
        return sealed, tied.take(np.zeros(len(tied), dtype=bool))
    few = tied.take(_between_two(with_all, len(tied)))
    found = seal(walls, [*columns, *hull_plugs(few.points, first, lap)])
    if _alike(goal, _spaces(found, width)):
        return found, few
    return seal(walls, [*columns, *hull_plugs(tied.points, first, lap)]), tied


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
