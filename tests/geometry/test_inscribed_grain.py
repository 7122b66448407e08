"""The last digits of distances, which differ from processor to processor, decide nothing."""

import numpy as np
import pytest

from flotation.geometry import inscribed
from flotation.geometry.inscribed import largest_ball
from flotation.geometry.shapes import box


@pytest.mark.parametrize("seed", range(6))
def test_the_same_ball_is_found_whatever_the_last_digits(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A long channel is as wide all along: what is rounded off would choose the place."""
    solid = box((0.0, 0.0, 0.0), (2.0, 0.17, 0.31))
    found = largest_ball(solid, share=0.1)
    chance = np.random.default_rng(seed)
    exact = inscribed._Triangles._nearest_to

    def shaken(self, points, faces):
        shares, apart = exact(self, points, faces)
        return shares, apart * (1.0 + chance.uniform(-4e-16, 4e-16, len(apart)))

    monkeypatch.setattr(inscribed._Triangles, "_nearest_to", shaken)
    assert largest_ball(solid, share=0.1) == found
