"""Air in blocks of rooms joined by passages, beside a search among the rooms themselves."""

from dataclasses import dataclass, field
from itertools import pairwise, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from manifold3d import Manifold, OpType
from numpy.typing import NDArray

from flotation.geometry.airtraps import caught_air
from flotation.geometry.cavities import to_solid
from flotation.geometry.shapes import moved, rotation_about

Floats = NDArray[np.float64]
Box = tuple[Floats, Floats]
COUNTS = 1e-6
UP = np.array([0.0, 0.0, 1.0])


@dataclass
class Block:
    """Boxes, which of them overlap, and holes: where, and in which box."""

    boxes: list[Box] = field(default_factory=list)
    links: list[tuple[int, int]] = field(default_factory=list)
    holes: list[tuple[Floats, int]] = field(default_factory=list)

    def common(self, one: int, other: int) -> Box:
        (a, b), (c, d) = self.boxes[one], self.boxes[other]
        return np.maximum(a, c), np.minimum(b, d)

    def top(self, one: int, other: int) -> float:
        return float(self.common(one, other)[1][2])

    def volume(self, members: set[int], level: float) -> float:
        """Above a level; no three boxes overlap."""
        linked = [link for link in self.links if set(link) <= members]
        return sum(above(self.boxes[box], level) for box in members) - sum(
            above(self.common(*link), level) for link in linked
        )

    def groups(self, level: float) -> list[set[int]]:
        """Boxes that hang together above a level."""
        groups = [{box} for box, (_, high) in enumerate(self.boxes) if high[2] > level]
        for one, other in self.links:
            if self.top(one, other) > level:
                both = [group for group in groups if one in group or other in group]
                groups = [group for group in groups if group not in both]
                groups.append(set().union(*both))
        return groups

    def caught(self) -> list[float]:
        """m3 of every trap: from below, the first level at which a group has no hole above it."""
        levels = {float(low[2]) for low, _ in self.boxes} | {float(at[2]) for at, _ in self.holes}
        levels |= {self.top(*link) for link in self.links}
        levels |= {float(high[2]) for _, high in self.boxes}
        done: list[set[int]] = []
        volumes = []
        for level, after in pairwise(sorted(levels)):
            middle = 0.5 * (level + after)
            vented = {box for at, box in self.holes if at[2] > middle}
            for group in self.groups(middle):
                if not group & vented and not any(group <= whole for whole in done):
                    done.append(group)
                    volumes.append(self.volume(group, level))
        return sorted(volume for volume in volumes if volume > COUNTS)


def above(box: Box, level: float) -> float:
    low, high = box
    return float(np.prod((high - low)[:2]) * max(high[2] - max(low[2], level), 0.0))


def random_block(chance: np.random.Generator) -> Block:
    """Rooms of 0.8 m at some of 3 x 3 x 3 places, roofs at odd heights, some joined, some open."""
    block = Block()
    share = chance.uniform(0.4, 0.9)
    rooms: dict[tuple[int, int, int], int] = {}
    for place in product(range(3), repeat=3):
        if chance.random() < share or not rooms:
            roof = (0.4, 0.4, 0.4 + chance.uniform(-0.05, 0.05))
            rooms[place] = len(block.boxes)
            block.boxes.append((np.subtract(place, 0.4), np.add(place, roof)))
    for (x, y, z), axis in product(rooms, range(3)):
        beyond = (x + (axis == 0), y + (axis == 1), z + (axis == 2))
        if beyond in rooms and chance.random() < 0.8:
            low, high = np.subtract((x, y, z), 0.2), np.add((x, y, z), 0.2)
            shift = (axis != 2) * chance.uniform(-0.1, 0.1)
            low[2], high[2] = low[2] + shift, high[2] + shift
            low[axis], high[axis] = (x, y, z)[axis] + 0.3, (x, y, z)[axis] + 0.7
            passage = len(block.boxes)
            block.boxes.append((low, high))
            block.links += [(rooms[x, y, z], passage), (passage, rooms[beyond])]
    for room in rooms.values():
        low, high = block.boxes[room]
        if chance.random() < 0.2:
            in_roof = (low[0] + 0.05, low[1] + 0.07, high[2])
            in_wall = (low[0], low[1] + 0.05, chance.uniform(low[2], high[2]))
            block.holes.append((np.array(in_roof if chance.random() < 0.5 else in_wall), room))
    return block


@settings(max_examples=40)
@given(seed=st.integers(0, 2**32 - 1), turn=st.sampled_from([0.0, 0.7, 2.5]))
def test_air_in_rooms_and_passages_is_that_of_a_search_among_them(seed: int, turn: float) -> None:
    block = random_block(np.random.default_rng(seed))
    bodies = [Manifold.cube(tuple(high - low)).translate(tuple(low)) for low, high in block.boxes]
    solid = to_solid(Manifold.batch_boolean(bodies, OpType.Add), "rooms")
    around = rotation_about((0.3, -0.5, 0.8), turn)
    holes = np.array([at for at, _ in block.holes]).reshape(-1, 3)
    found = caught_air(moved(solid, (0.0, 0.0, 0.0), around), around @ UP, holes @ around.T)
    volumes = sorted(trap.volume for trap in found if trap.volume > COUNTS)
    assert volumes == pytest.approx(block.caught(), abs=COUNTS)
