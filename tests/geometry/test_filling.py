"""The fill curve, against plain sums in extended precision, closed forms and laws."""

import numpy as np
import pytest
from extended_sums import brute_force
from hypothesis import given
from hypothesis import strategies as st
from mesh_shapes import (
    Mesh,
    box,
    globe,
    inward,
    moved,
    random_body,
    ring,
    tetrahedron,
    together,
    turned,
)

from flotation.geometry.filling import FillCurve, fill_curve
from flotation.geometry.solid import Solid

UP = (0.0, 0.0, 1.0)
CUBE = box((0, 0, 0), (1, 1, 1))
TWO_FLOORS = together(CUBE, box((0, 0, 3), (1, 1, 4)))

FILLED = {
    "box": CUBE,
    "tetrahedron": tetrahedron(),
    "globe, corners in rows": globe(12, 9),
    "ring, corners in rows": ring(16, 10),
    "staircase": together(*(box((i, 0, 0), (i + 1, 1, (i + 1) / 7)) for i in range(7))),
    "two floors": TWO_FLOORS,
    "hollow": together(box((0, 0, 0), (4, 3, 2)), inward(box((1, 1, 0.5), (3, 2, 1.5)))),
}


def check_against_plain_sum(mesh: Mesh, heights: np.ndarray, up: tuple[float, ...] = UP) -> None:
    """Volume to 1e-12 of the whole, centroid to as much of volume times size."""
    curve = fill_curve(*mesh, up)
    volumes, centroids = curve.volume_at(heights), curve.centroid_at(heights)
    size = float(np.ptp(mesh[0], axis=0).max())
    for height, volume, centroid in zip(heights, volumes, centroids, strict=True):
        plain = brute_force(*mesh, tuple(curve.up), float(height), mesh[0].mean(axis=0))
        assert abs(volume - plain.volume) <= 1e-12 * curve.volume
        if volume > 0:
            moment = volume * (centroid - mesh[0].mean(axis=0))
            assert np.abs(moment - plain.moment).max() <= 1e-12 * curve.volume * size


# ---- against the plain sum ---------------------------------------------------------------------


@pytest.mark.parametrize("name", FILLED)
@pytest.mark.parametrize("angle", [0.0, 1e-12, 1e-9, 1e-6, 0.1, 1.0])
def test_turned_meshes_at_and_beside_every_corner(name: str, angle: float) -> None:
    """Level faces, nearly level faces, rows of equal heights; at corners and 1e-10 beside."""
    mesh = turned(FILLED[name], (1, 2, 0.5), angle)
    corners = np.unique(mesh[0][:, 2])[:: max(1, len(mesh[0]) // 20)]
    beside = np.concatenate([corners, corners + 1e-10, corners - 1e-10])
    between = np.linspace(corners[0], corners[-1], 7)
    check_against_plain_sum(mesh, np.concatenate([beside, between]))


@pytest.mark.parametrize("angle", [1e-12, 1e-9, 1e-6])
def test_inside_a_nearly_level_face(angle: float) -> None:
    mesh = turned(box((0, 0, 0), (2, 1, 1)), (1, 2, 0), angle)
    low, high = np.sort(mesh[0][:, 2])[:4], np.sort(mesh[0][:, 2])[4:]
    heights = np.concatenate([np.linspace(low[0], low[-1], 9), np.linspace(high[0], high[-1], 9)])
    check_against_plain_sum(mesh, heights)


@pytest.mark.parametrize("seed", range(40))
def test_random_bodies_in_random_attitudes(seed: int) -> None:
    rng = np.random.default_rng(seed)
    mesh = random_body(rng)
    up = rng.normal(size=3)
    heights = mesh[0] @ (up / np.linalg.norm(up))
    check_against_plain_sum(mesh, rng.uniform(heights.min(), heights.max(), 8), tuple(up))


@pytest.mark.parametrize("seed", range(10))
def test_the_curve_is_what_lies_below_the_plane(seed: int) -> None:
    rng = np.random.default_rng(seed)
    body = Solid(*random_body(rng))
    up = rng.normal(size=3)
    curve = body.fill_curve(up)
    for height in rng.uniform(curve.bottom, curve.top, 5):
        part = body.below(curve.up, float(height))
        assert curve.volume_at(float(height)) == pytest.approx(part.volume, abs=1e-13 * body.volume)
        size = np.ptp(body.bounds, axis=0).max()
        assert curve.area_at(float(height)) == pytest.approx(
            part.waterplane.area, abs=1e-12 * size**2
        )
        moment = part.volume * (part.centroid - curve.centroid_at(float(height)))
        assert moment == pytest.approx([0, 0, 0], abs=1e-13 * body.volume * size)


# ---- closed forms ------------------------------------------------------------------------------


def test_a_box_fills_evenly() -> None:
    curve = fill_curve(*box((1, 1, 2), (4, 3, 4)), UP)
    assert (curve.bottom, curve.top) == (2.0, 4.0)
    assert curve.volume == pytest.approx(12.0, rel=1e-15)
    heights = np.array([1.0, 2.0, 2.5, 4.0, 5.0])
    assert curve.volume_at(heights) == pytest.approx([0, 0, 3, 12, 12], abs=1e-14)
    assert curve.area_at(heights) == pytest.approx([0, 6, 6, 0, 0], abs=1e-14)
    assert curve.height_at([0.0, 3.0, 12.0]) == pytest.approx([2, 2.5, 4], rel=1e-15)
    assert curve.centroid_at(3.0) == pytest.approx([2.5, 2, 2.5], rel=1e-15)


def test_a_cone_standing_on_its_tip_fills_with_the_cube_of_the_height() -> None:
    vertices, faces = globe(12, 2)
    cone = np.concatenate([vertices[:-1], [[0, 0, 0]]]), faces
    curve = fill_curve(*cone, UP)
    base = 12 / 2 * np.sin(2 * np.pi / 12)
    heights = np.array([0.1, 0.5, 0.9, 1.0])
    assert curve.volume_at(heights - 1) == pytest.approx(base * heights**3 / 3, rel=1e-13)
    assert curve.area_at(heights[:3] - 1) == pytest.approx(base * heights[:3] ** 2, rel=1e-12)
    assert curve.centroid_at(-0.5) == pytest.approx([0, 0, -1 + 0.75 * 0.5], abs=1e-14)
    tiny = np.array([1e-15, 1e-12, 1e-9, 1e-6])
    assert curve.height_at(tiny) + 1 == pytest.approx(np.cbrt(3 * tiny / base), rel=1e-9)


def test_a_globe_fills_like_a_sphere_the_finer_the_nearer() -> None:
    """The error of an inscribed globe falls with the square of the number of its bands."""
    heights = np.linspace(-0.9, 0.9, 5)
    exact = np.pi * (heights + 1) ** 2 * (2 - heights) / 3

    def error(bands: int) -> float:
        return float(
            np.abs(fill_curve(*globe(2 * bands, bands), UP).volume_at(heights) - exact).max()
        )

    errors = [error(bands) for bands in (16, 32, 64)]
    assert np.log2(errors[0] / errors[1]) == pytest.approx(2, abs=0.1)
    assert np.log2(errors[1] / errors[2]) == pytest.approx(2, abs=0.1)


# ---- the way back ------------------------------------------------------------------------------


@pytest.mark.parametrize("name", FILLED)
@pytest.mark.parametrize("angle", [0.0, 1e-12, 1e-9, 1e-6, 0.1])
def test_height_is_inverse_to_the_last_digits(name: str, angle: float) -> None:
    curve = fill_curve(*turned(FILLED[name], (1, 2, 0.5), angle), UP)
    wanted = curve.volume * np.concatenate(
        [np.linspace(0, 1, 41), 10.0 ** np.arange(-15, -1), 1 - 10.0 ** np.arange(-15, -1)]
    )
    heights = curve.height_at(wanted)
    assert curve.volume_at(heights) == pytest.approx(wanted, abs=2e-15 * curve.volume)
    assert (np.diff(heights[np.argsort(wanted, kind="stable")]) >= 0).all()
    slack = 1e-14 * curve.volume / np.maximum(curve.area_at(heights), 1e-3)
    again = curve.height_at(np.minimum(curve.volume_at(heights), curve.volume))
    assert (np.abs(again - heights) <= slack + 1e-14)[curve.area_at(heights) > 1e-3].all()


def test_where_nothing_is_added_the_lowest_height_is_given() -> None:
    """A litre fills the lower of two floors: the height is its ceiling, not the upper floor."""
    curve = fill_curve(*TWO_FLOORS, UP)
    assert curve.height_at(1.0) == pytest.approx(1.0, abs=1e-15)
    assert curve.height_at(1.5) == pytest.approx(3.5, abs=1e-14)
    assert curve.volume_at([1.0, 2.0, 3.0]) == pytest.approx([1, 1, 1], abs=1e-15)
    assert curve.area_at(2.0) == 0.0
    for angle in (0.1, 1e-7):
        tilted = turned(TWO_FLOORS, (1, 0, 0), angle)
        ceiling = tilted[0][:8, 2].max()
        assert fill_curve(*tilted, UP).height_at(1.0) == pytest.approx(ceiling, abs=1e-6)


def test_empty_and_full() -> None:
    curve = fill_curve(*turned(CUBE, (1, 2, 3), 0.7), UP)
    assert curve.height_at(0.0) == curve.bottom
    assert curve.height_at(curve.volume) == curve.top
    assert curve.height_at(curve.volume * (1 + 1e-13)) == curve.top
    assert curve.volume_at(curve.bottom) == 0.0
    assert curve.volume_at(curve.top) == curve.volume
    assert curve.volume_at([-np.inf, np.inf]).tolist() == [0.0, curve.volume]
    assert np.isnan(curve.centroid_at(curve.bottom)).all()
    whole = Solid(*turned(CUBE, (1, 2, 3), 0.7)).centroid
    assert curve.centroid_at(curve.top + 1) == pytest.approx(whole, abs=1e-15)


@pytest.mark.parametrize("volume", [-1e-6, 1.001, [0.5, 1.1], [0.5, np.nan], np.inf])
def test_a_volume_that_does_not_fit_is_refused(volume: float) -> None:
    with pytest.raises(ValueError, match=r"between 0 and|not a number"):
        fill_curve(*CUBE, UP).height_at(volume)


@pytest.mark.parametrize("up", [(0, 0, 0), (0, 0, np.nan), (0, 0, np.inf), (0, 1)])
def test_an_up_that_is_no_direction_is_misuse(up: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match="direction"):
        fill_curve(*CUBE, up)


# ---- numbers, arrays, places -------------------------------------------------------------------


def test_a_number_gives_a_number_and_an_array_its_shape() -> None:
    curve = fill_curve(*CUBE, UP)
    for ask, value in ((curve.volume_at, 0.5), (curve.area_at, 0.5), (curve.height_at, 0.25)):
        assert type(ask(value)) is float
        assert ask(np.full((2, 3), value)) == pytest.approx(np.full((2, 3), ask(value)))
        assert ask(np.empty(0)).shape == (0,)
        assert ask([value]).shape == (1,)
    assert curve.centroid_at(0.5).shape == (3,)
    assert curve.centroid_at(np.full((2, 4), 0.5)).shape == (2, 4, 3)


def test_a_cavity_five_kilometres_away_loses_nothing() -> None:
    """The only rounding left is that of the height itself, 1e-12 m there."""
    vertices, faces = ring(24, 12)
    vertices = np.rint(vertices * 2**20) / 2**20
    away = np.array([5000.0, -4000.0, 3000.0])
    here, there = (
        fill_curve(vertices, faces, (1, 0, 2)),
        fill_curve(vertices + away, faces, (1, 0, 2)),
    )
    wanted = here.volume * np.linspace(0.01, 0.99, 21)
    heights = there.height_at(wanted)
    step = np.spacing(heights.max())
    area = there.area_at(heights)
    assert (np.abs(there.volume_at(heights) - wanted) <= step * area + 1e-14).all()
    for height, volume in zip(heights, there.volume_at(heights), strict=True):
        plain = brute_force(vertices + away, faces, tuple(there.up), float(height), away)
        assert abs(volume - plain.volume) <= 1e-14
    assert there.volume_at(there.top) == there.volume
    assert there.volume_at(there.bottom) == 0.0
    moved_back = there.centroid_at(heights) - away
    assert moved_back == pytest.approx(here.centroid_at(here.height_at(wanted)), abs=1e-11)


def test_many_levels_at_once_are_each_the_level_alone() -> None:
    """Enough pairs of level and triangle that they are worked off in parts."""
    curve = fill_curve(*globe(80, 60), (0.1, 0.2, 1))
    heights = np.linspace(curve.bottom - 0.1, curve.top + 0.1, 700)
    together_ = curve.volume_at(heights), curve.area_at(heights)
    for row in range(0, 700, 23):
        assert curve.volume_at(float(heights[row])) == pytest.approx(together_[0][row], rel=1e-14)
        assert curve.area_at(float(heights[row])) == pytest.approx(together_[1][row], rel=1e-12)
    shuffled = np.random.default_rng(0).permutation(700)
    assert (curve.volume_at(heights[shuffled]) == together_[0][shuffled]).all()


def test_triangles_without_area_change_nothing() -> None:
    corners, faces = CUBE
    vertices = np.concatenate([corners, [[0, 0.5, 0.5]]])
    flat = np.concatenate([[[0, 1, 3], [0, 3, 8], [0, 8, 2], [8, 3, 2]], faces[2:]])
    heights = np.linspace(0, 1, 9)
    assert fill_curve(vertices, flat, UP).volume_at(heights) == pytest.approx(heights, abs=1e-15)


# ---- laws --------------------------------------------------------------------------------------

CURVES = st.integers(0, 10_000).map(
    lambda seed: fill_curve(*random_body(np.random.default_rng(seed)), UP)
)
SHARES = st.lists(st.floats(0, 1), min_size=2, max_size=20)


@given(CURVES, SHARES)
def test_the_curve_rises_with_the_area_as_its_slope(curve: FillCurve, shares: list[float]) -> None:
    heights = curve.bottom + np.sort(shares) * (curve.top - curve.bottom)
    volumes = curve.volume_at(heights)
    assert (np.diff(volumes) >= -2e-15 * curve.volume).all()
    assert (volumes >= -1e-15 * curve.volume).all()
    assert (curve.area_at(heights) >= -1e-12 * curve.volume / (curve.top - curve.bottom)).all()


@given(CURVES, SHARES)
def test_volume_and_height_are_inverse(curve: FillCurve, shares: list[float]) -> None:
    wanted = curve.volume * np.array(shares)
    assert curve.volume_at(curve.height_at(wanted)) == pytest.approx(
        wanted, abs=4e-15 * curve.volume
    )


@given(st.integers(0, 10_000), st.floats(0, 1))
def test_filled_from_above_the_rest_is_left(seed: int, share: float) -> None:
    mesh = random_body(np.random.default_rng(seed))
    curve, back = fill_curve(*mesh, UP), fill_curve(*mesh, (0, 0, -1))
    height = curve.bottom + share * (curve.top - curve.bottom)
    total = curve.volume_at(height) + back.volume_at(-height)
    assert total == pytest.approx(curve.volume, rel=1e-13)


@given(st.integers(0, 10_000), st.floats(0.01, 100), st.floats(-10, 10))
def test_moved_and_scaled_spaces_follow(seed: int, scale: float, shift: float) -> None:
    mesh = random_body(np.random.default_rng(seed))
    curve = fill_curve(*mesh, UP)
    other = fill_curve(scale * moved(mesh, (1, -2, shift))[0], mesh[1], UP)
    wanted = np.linspace(0.05, 0.95, 7)
    heights = curve.height_at(wanted * curve.volume)
    size = curve.top - curve.bottom + abs(shift) + np.abs(mesh[0]).max()
    again = scale * (heights + shift)
    found = other.volume_at(again) / scale**3
    area = curve.area_at(heights) + curve.volume / (curve.top - curve.bottom)
    assert (np.abs(found - wanted * curve.volume) <= 1e-13 * size * area).all()
