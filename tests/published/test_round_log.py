"""A round log afloat: depth against its ratio to water.

The share s of a circle's area below a chord at depth d: s = (theta - sin theta cos theta) / pi with
cos theta = 1 - 2 d / D. The depths are that equation solved [computed], six digits; so each is
held to half of the last one.
"""

import numpy as np
import pytest

from flotation.geometry.solid import Solid

DEPTHS = [(0.1, 0.156476), (0.25, 0.298014), (0.425, 0.440958), (0.6, 0.578868), (0.75, 0.701986)]
DIAMETER, LENGTH, SIDES = 0.4, 3.0, 8192


def log() -> Solid:
    """Of a polygon as large as the circle, lying along x: its own error is 1e-7 of the depth."""
    turn = 2 * np.pi * np.arange(SIDES) / SIDES
    radius = 0.5 * DIAMETER * np.sqrt(turn[1] / np.sin(turn[1]))
    rim = np.stack([radius * np.cos(turn), radius * np.sin(turn)], axis=1)
    vertices = np.concatenate(
        [
            *(np.column_stack([np.full(SIDES, x), rim]) for x in (0.0, LENGTH)),
            [[0.0, 0.0, 0.0], [LENGTH, 0.0, 0.0]],
        ]
    )
    here = np.arange(SIDES)
    then = np.roll(here, -1)
    faces = [
        np.stack([here, then + SIDES, here + SIDES], axis=1),
        np.stack([here, then, then + SIDES], axis=1),
        np.stack([np.full(SIDES, 2 * SIDES), then, here], axis=1),
        np.stack([np.full(SIDES, 2 * SIDES + 1), here + SIDES, then + SIDES], axis=1),
    ]
    return Solid(vertices, np.concatenate(faces))


LOG = log()


@pytest.mark.parametrize(("share", "depth"), DEPTHS)
@pytest.mark.parametrize("heel", [0.0, 0.3, 2.0])
def test_depth_over_diameter_in_any_roll(share: float, depth: float, heel: float) -> None:
    up = np.array([0.0, np.sin(heel), np.cos(heel)])
    height = LOG.fill_curve(up).height_at(share * LOG.volume)
    assert height / DIAMETER + 0.5 == pytest.approx(depth, abs=0.6e-6)  # the polygon: 0.1e-6
    part = LOG.below(up, (depth - 0.5) * DIAMETER)
    assert part.volume / LOG.volume == pytest.approx(share, abs=1e-6)
    chord = 2 * np.sqrt(depth * (1 - depth)) * DIAMETER
    assert part.waterplane.area == pytest.approx(chord * LENGTH, rel=1e-5)
