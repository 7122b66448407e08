"""How wide a sealed gap is told to be: as wide as it is, and never wider than what was sealed."""

import numpy as np
import pytest
from cavity_parts import bar, block, disc, pipe, plates, turned

from flotation.geometry.voids import Closure, find_cavities


@pytest.mark.parametrize("seed", range(8))
def test_a_rim_in_a_tube_of_other_facets_is_as_wide_as_corner_and_facet_stand_apart(seed):
    chance = np.random.default_rng(seed)
    sides, radius, seal = int(chance.integers(16, 40)), chance.uniform(0.2, 0.5), 0.006
    apothem = radius * np.cos(np.pi / sides)
    rim = apothem - chance.uniform(0.0005, 0.003)
    # Square to a facet of the tube a corner of the disc is nearest, and what stands over the ends
    # of the facet farthest.
    inner, half = rim * np.cos(np.pi / 90), radius * np.sin(np.pi / sides)
    least, most = apothem - rim, apothem - np.sqrt(inner**2 - half**2)
    tube = pipe(radius, radius + 0.005, sides, (0.0, 1.0), "tube", steps=5)
    ends = [disc(rim, 90, at, at + 0.005, f"end {at}") for at in (0.1, 0.9)]
    parts, _ = turned([tube, *ends], seed)
    gaps = find_cavities(parts, gap=seal, look_to=seal).gaps
    assert {gap.parts for gap in gaps} == {(f"end {at}", "tube") for at in (0.1, 0.9)}
    for gap in gaps:
        assert least - 1e-9 <= gap.narrowest < gap.widest <= min(most, seal) + 1e-9


@pytest.mark.parametrize("seed", range(6))
def test_a_channel_over_the_edge_of_a_beam_stands_off_alike_all_round(seed):
    chance = np.random.default_rng(seed)
    off, wall, length = chance.uniform(0.0005, 0.0028), 0.005, 0.5
    y, z = chance.uniform(0.03, 0.08, 2)
    beam = block((0.0, -y, 0.0), (length, y, z), "beam")
    inner = [(-y - off, 0.0), (-y - off, z + off), (y + off, z + off), (y + off, 0.0)]
    outer = [(-y - off - wall, 0.0), (-y - off - wall, z + off + wall)]
    outer += [(y + off + wall, z + off + wall), (y + off + wall, 0.0)]
    channel = bar((inner, outer), 0.0, length, "channel")
    parts, _ = turned([beam, channel], seed)
    (gap,) = find_cavities(parts, gap=0.003, look_to=0.003).gaps
    assert (gap.narrowest, gap.widest) == pytest.approx((off, off), abs=1e-9)


@pytest.mark.parametrize("seed", range(6))
def test_a_flange_that_leans_is_sealed_as_far_as_the_gap_and_told_so(seed):
    chance = np.random.default_rng(seed)
    low, high = chance.uniform(0.0002, 0.002), chance.uniform(0.0035, 0.02)
    foot = block((0.1, 0.1, 0.0), (0.2, 0.3, 0.05), "foot")
    lift = np.where(foot.vertices[:, 0] < 0.15, low, high)
    leaning = type(foot)(foot.vertices + lift[:, None] * (0, 0, 1), foot.faces, name="foot")
    parts, _ = turned([*plates((0.6, 0.4, 0.3), 0.006), leaning], seed)
    found = find_cavities(parts, gap=0.003, look_to=0.003)
    (gap,) = [gap for gap in found.gaps if "foot" in gap.parts]
    # Square to the foot the floor is nearer than square to the floor.
    slope = np.hypot(1.0, (high - low) / 0.1)
    assert low / slope - 1e-9 <= gap.narrowest <= low + 1e-9
    assert gap.widest == pytest.approx(0.003, abs=1e-9)


def test_a_gap_closed_by_name_is_told_as_wide_as_it_is():
    parts = [part for part in plates((0.6, 0.4, 0.3), 0.006) if part.name != "lid"]
    lid = block((0.012, 0.0, 0.3), (0.6, 0.4, 0.306), "lid")
    tape = Closure("slot", (0.006, 0.2, 0.303), 0.015)
    found = find_cavities([*parts, lid], gap=0.003, look_to=0.003, closures=[tape])
    assert len(found.voids) == 1
    (slot,) = [gap for gap in found.gaps if gap.parts == ("aft", "lid") and gap.widest > 0.003]
    assert (slot.narrowest, slot.widest) == pytest.approx((0.012, 0.012), abs=1e-9)
