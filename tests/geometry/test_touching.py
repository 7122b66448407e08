"""Which points lie on a surface."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from flotation.geometry import touching
from flotation.geometry.nearness import distance_to_surface
from flotation.geometry.shapes import box
from flotation.geometry.shapes_round import sphere
from flotation.geometry.touching import touching_share

BLOCK = box((0.0, 0.0, 0.0), (1.0, 0.5, 0.2))
TRIANGLES = BLOCK.vertices[BLOCK.faces]


def test_points_on_a_face_touch_and_points_inside_or_beside_it_do_not() -> None:
    on, inside, beside, above = (0.3, 0.2, 0.2), (0.3, 0.2, 0.1), (1.2, 0.2, 0.2), (0.3, 0.2, 0.21)
    assert touching_share([on], TRIANGLES, 0.001) == 1.0
    assert touching_share([inside, beside, above], TRIANGLES, 0.001) == 0.0
    assert touching_share([on, inside, beside, above], TRIANGLES, 0.001) == 0.25
    assert touching_share([on, above], TRIANGLES, 0.011) == 1.0


def test_triangles_without_area_count_for_nothing() -> None:
    needle = np.array([[[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.5, 0.0, 0.0]]])
    assert touching_share([(0.5, 0.0, 0.0)], needle, 0.01) == 0.0


@given(st.integers(0, 2**32 - 1), st.floats(0.005, 0.05))
def test_it_counts_the_points_that_are_as_near_as_asked(seed: int, within: float) -> None:
    solid = sphere((0.0, 0.0, 0.0), 1.0)
    points = np.random.default_rng(seed).uniform(-0.28, 0.28, (50, 3))  # inside, corners near it
    away = distance_to_surface(solid, points)
    share = touching_share(points, solid.vertices[solid.faces], within)
    assert (away <= within).mean() <= share <= (away <= 1.5 * within).mean()


def test_the_work_in_pieces_gives_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    solid = sphere((0.0, 0.0, 0.0), 1.0)
    points = 0.5 * np.random.default_rng(1).normal(size=(200, 3)).round(1)
    whole = touching_share(points, solid.vertices[solid.faces], 0.05)
    monkeypatch.setattr(touching, "_AT_ONCE", 1000)
    assert 0.0 < touching_share(points, solid.vertices[solid.faces], 0.05) == whole
