"""Steps from cell to cell: which of 98 directions lead on, and not through a wall."""

from collections.abc import Mapping
from functools import cache
from itertools import permutations, product

import numpy as np

from flotation.geometry.solid import Integers

Steps = tuple[int, int, int]

_MADE_OF: tuple[tuple[Steps, Steps, Steps], ...] = (
    ((1, 1, 0), (1, 0, 0), (0, 1, 0)),
    ((1, 1, 1), (1, 1, 0), (0, 0, 1)),
    ((2, 1, 0), (1, 1, 0), (1, 0, 0)),
    ((2, 1, 1), (1, 1, 1), (1, 0, 0)),
    ((2, 2, 1), (1, 1, 1), (1, 1, 0)),
)
"""Each kind of step, and the two shorter ones that lead to the same cell."""


def single_steps(ahead: Integers) -> dict[Steps, Integers]:
    """The six steps to a cell across a face, from the three that lead ahead (3, n); -1: none."""
    found: dict[Steps, Integers] = {}
    for axis in range(3):
        back = np.full_like(ahead[axis], -1)
        leads = np.flatnonzero(ahead[axis] >= 0)
        back[ahead[axis][leads]] = leads
        x, y, z = np.eye(3, dtype=int)[axis].tolist()
        found[x, y, z], found[-x, -y, -z] = ahead[axis], back
    return found


def many_steps(single: Mapping[Steps, Integers]) -> dict[Steps, Integers]:
    """Where each of 98 steps, of up to two cells along each axis, leads from each cell, or -1.

    A step is there only if shorter ones lead round to the same cell, in one order or another.
    """
    # A last cell that stands for none, and leads to none.
    steps = {step: np.append(led, -1) for step, led in single.items()}
    for whole, one, two in _recipes():
        here, there = steps[one], steps[two]
        found = there[here]
        other = here[there]
        np.copyto(found, other, where=found < 0)
        if whole in steps:
            np.copyto(found, steps[whole], where=steps[whole] >= 0)
        steps[whole] = found
    return {step: led[:-1] for step, led in steps.items()}


@cache
def _recipes() -> tuple[tuple[Steps, Steps, Steps], ...]:
    """Every step that two shorter ones make, with these two, in the order in which to make them."""
    found: list[tuple[Steps, Steps, Steps]] = []
    for kind, first, second in _MADE_OF:
        turns = product(sorted(set(permutations(range(3)))), product((1, -1), repeat=3))
        found += sorted(
            {
                (_turned(kind, *turn), _turned(first, *turn), _turned(second, *turn))
                for turn in turns
            }
        )
    return tuple(found)


def _turned(step: Steps, order: tuple[int, ...], sign: tuple[int, ...]) -> Steps:
    x, y, z = (step[axis] * sign[axis] for axis in order)
    return x, y, z
