"""What lies below a plane, against plain sums in extended precision, closed forms and laws."""

from dataclasses import replace

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
    rotation,
    tetrahedron,
    together,
    turned,
)

from flotation.geometry.below import sums_below
from flotation.geometry.grouping import GROUP, group_triangles
from flotation.geometry.solid import Solid, join

ALONG = [(1, 0, 0), (0, 1, 0), (0, 0, 1), (-1, 0, 0), (0, -1, 0), (0, 0, -1)]
DIRECTIONS = st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda n: np.linalg.norm(n) > 0.1)


def solid(mesh: Mesh) -> Solid:
    return Solid(*mesh)


# ---- against the plain sum ---------------------------------------------------------------------


@pytest.mark.parametrize("block", range(10))
def test_a_hundred_random_bodies_and_planes_agree_with_the_plain_sum(block: int) -> None:
    """1,000 in all: volume to 1e-12 of the body's, moments to as much of it times its size."""
    rng = np.random.default_rng(block)
    for case in range(100):
        vertices, faces = random_body(rng)
        body = Solid(vertices, faces)
        normal = tuple(rng.normal(size=3))
        heights = vertices @ np.array(normal)
        offset = float(rng.uniform(heights.min(), heights.max()))
        if case % 4 == 0:
            offset = float(heights[rng.integers(len(heights))])
        check_against_plain_sum(body, normal, offset)


def check_against_plain_sum(
    body: Solid, normal: tuple[float, float, float], offset: float, within: float = 1e-12
) -> None:
    part = body.below(normal, offset)
    origin = body.bounds.mean(axis=0)
    plain = brute_force(body.vertices, body.faces, normal, offset, origin)
    whole, size = body.volume, float(np.ptp(body.bounds, axis=0).max())
    assert abs(part.volume - plain.volume) <= within * whole
    if part.volume > 0:
        moment = (part.centroid - origin) * part.volume
        assert np.abs(moment - plain.moment).max() <= within * whole * size
    if has_level_face(body, normal, offset):
        return
    plane = part.waterplane
    assert abs(plane.area - plain.area) <= within * size**2
    if plane.area > 0:
        from_origin = plane.centroid - origin
        first = from_origin * plane.area
        second = plane.second_moments + plane.area * np.outer(from_origin, from_origin)
        assert np.abs(first - plain.area_moment).max() <= within * size**3
        assert np.abs(second - plain.area_second_moments).max() <= within * size**4


def has_level_face(body: Solid, normal: tuple[float, float, float], offset: float) -> bool:
    """A face in a slanted plane lies above or below it by the last digit of its heights."""
    slanted = np.count_nonzero(normal) > 1
    heights = body.vertices[body.faces] @ np.array(normal, dtype=float) - offset
    return slanted and bool((np.abs(heights).max(axis=1) < 1e-13 * np.abs(offset)).any())


@pytest.mark.parametrize("triangles", [1, 7, 8, 9, 64, 65, 500, 513, 5000])
def test_groups_of_every_fill_agree_with_the_plain_sum(triangles: int) -> None:
    """Bodies whose last groups are full, nearly empty, or the only ones."""
    count = -(-triangles // 4)
    scale = np.random.default_rng(triangles).uniform(0.2, 0.6, size=(count, 1, 1))
    place = np.random.default_rng(count).uniform(0, 20, size=(count, 1, 3))
    vertices = (tetrahedron()[0][None] * scale + place).reshape(-1, 3)
    faces = (tetrahedron()[1][None] + 4 * np.arange(count)[:, None, None]).reshape(-1, 3)
    grouped = group_triangles(vertices, faces)
    normal = np.array([0.48, -0.6, 0.64])
    for offset in np.linspace(-5, 15, 9):
        sums = sums_below(grouped, normal, float(offset))
        plain = brute_force(vertices, faces, tuple(normal), float(offset), np.zeros(3))
        assert sums.volume == pytest.approx(float(plain.volume), rel=1e-12, abs=1e-13)
        assert sums.area == pytest.approx(float(plain.area), rel=1e-12, abs=1e-13)


def test_a_query_reads_a_small_share_of_many_triangles() -> None:
    """The tree is used: of 40,000 triangles, whole groups are added unopened."""
    grouped = group_triangles(*globe(200, 101))
    assert len(grouped.boxes) >= 3
    for level, below in zip(grouped.sums, grouped.sums[1:], strict=False):
        assert len(below) == GROUP * len(level)
    smallest = grouped.boxes[-2]
    whole = smallest[:, 2] + smallest[:, 5] < 0.0
    corners, terms = grouped.corners.copy(), grouped.terms.copy()
    corners[whole.repeat(GROUP)] = terms[whole.repeat(GROUP)] = np.nan
    unread = replace(grouped, corners=corners, terms=terms)
    assert whole.mean() > 0.45
    up = np.array([0.0, 0.0, 1.0])
    assert sums_below(unread, up, 0.0).volume == sums_below(grouped, up, 0.0).volume


# ---- closed forms ------------------------------------------------------------------------------


def test_a_box_afloat_upright() -> None:
    part = solid(box((0, 0, 0), (4, 2, 1))).below((0, 0, 1), 0.25)
    assert part.volume == pytest.approx(2.0, rel=1e-15)
    assert part.centroid == pytest.approx([2, 1, 0.125], rel=1e-15)
    assert part.waterplane.area == pytest.approx(8.0, rel=1e-15)
    assert part.waterplane.centroid == pytest.approx([2, 1, 0.25], rel=1e-15)
    expected = np.diag([2 * 4**3 / 12, 4 * 2**3 / 12, 0])
    assert part.waterplane.second_moments == pytest.approx(expected, abs=1e-14)


def test_a_corner_cut_off_a_cube() -> None:
    """x + y + z <= s: volume s3/6, an equilateral triangle of side s sqrt 2 as waterplane."""
    s = 0.75
    part = solid(box((0, 0, 0), (1, 1, 1))).below((1, 1, 1), s)
    assert part.volume == pytest.approx(s**3 / 6, rel=1e-14)
    assert part.centroid == pytest.approx([s / 4] * 3, rel=1e-14)
    plane = part.waterplane
    side = s * 2**0.5
    assert plane.area == pytest.approx(3**0.5 / 4 * side**2, rel=1e-14)
    assert plane.centroid == pytest.approx([s / 3] * 3, rel=1e-14)
    across = np.array([1, -1, 0]) / 2**0.5
    normal = np.ones(3) / 3**0.5
    moment = 3**0.5 / 96 * side**4
    assert across @ plane.second_moments @ across == pytest.approx(moment, rel=1e-13)
    assert np.trace(plane.second_moments) == pytest.approx(2 * moment, rel=1e-13)
    assert plane.second_moments @ normal == pytest.approx([0, 0, 0], abs=1e-16)


def test_a_hexagon_through_the_middle_of_a_cube() -> None:
    plane = solid(box((0, 0, 0), (1, 1, 1))).below((1, 1, 1), 1.5).waterplane
    side = 0.5**0.5
    assert plane.area == pytest.approx(1.5 * 3**0.5 * side**2, rel=1e-14)
    moment = 5 * 3**0.5 / 16 * side**4
    assert np.trace(plane.second_moments) == pytest.approx(2 * moment, rel=1e-13)


def test_a_hull_with_two_waterplanes() -> None:
    """Two boxes side by side, a catamaran: moments by Steiner."""
    part = solid(together(box((0, -2, 0), (5, -1.5, 1)), box((0, 1.5, 0), (5, 2, 1)))).below(
        (0, 0, 1), 0.4
    )
    assert part.volume == pytest.approx(2.0, rel=1e-14)
    across = 2 * (5 * 0.5**3 / 12 + 2.5 * 1.75**2)
    assert part.waterplane.second_moments[1, 1] == pytest.approx(across, rel=1e-14)


def test_a_hollow_takes_its_volume_and_its_waterplane_away() -> None:
    shell = together(box((0, 0, 0), (4, 3, 2)), inward(box((1, 1, 0.5), (3, 2, 1.5))))
    part = solid(shell).below((0, 0, 1), 1.0)
    assert part.volume == pytest.approx(12 - 1, rel=1e-14)
    assert part.waterplane.area == pytest.approx(12 - 2, rel=1e-14)
    across = (4 * 3**3 - 2 * 1**3) / 12
    assert part.waterplane.second_moments[1, 1] == pytest.approx(across, rel=1e-14)


# ---- waterplane moments from the volume alone --------------------------------------------------


@pytest.mark.parametrize("seed", range(12))
def test_waterplane_moments_are_derivatives_of_the_volume(seed: int) -> None:
    """dV/doffset = A, dM/doffset = A c; tilting by e gives the second moments.

    Central differences extrapolated once; their own error, not the moments', sets the tolerance.
    """
    rng = np.random.default_rng(seed)
    vertices, faces = ring(40, 24) if seed % 2 else globe(30, 24)
    body = Solid(vertices * rng.uniform(0.7, 1.4, size=3), faces)
    normal = rng.normal(size=3)
    normal /= np.linalg.norm(normal)
    offset = float(rng.uniform(-0.15, 0.15))
    plane = body.below(normal, offset).waterplane

    def derivative(of, step: float):  # type: ignore[no-untyped-def]
        return (8 * (of(step) - of(-step)) - (of(2 * step) - of(-2 * step))) / (12 * step)

    def moment(step: float) -> np.ndarray:
        part = body.below(normal, offset + step)
        return part.volume * part.centroid

    assert derivative(lambda h: body.below(normal, offset + h).volume, 1e-4) == pytest.approx(
        plane.area, rel=2e-5
    )
    assert derivative(moment, 1e-4) == pytest.approx(plane.area * plane.centroid, abs=5e-5)
    for axis in np.eye(3):
        across = np.cross(normal, axis)
        across /= np.linalg.norm(across)

        def tilted(angle: float, across: np.ndarray = across) -> np.ndarray:
            leaning = np.cos(angle) * normal - np.sin(angle) * across
            part = body.below(leaning, float(leaning @ plane.centroid))
            return part.volume * (part.centroid - plane.centroid)

        found = derivative(tilted, 1e-4) @ across
        assert found == pytest.approx(across @ plane.second_moments @ across, abs=5e-5)


# ---- planes in awkward places ------------------------------------------------------------------


def test_a_plane_that_misses_leaves_all_or_nothing() -> None:
    body = solid(globe(12, 8))
    nothing = body.below((0, 0, 1), -1.5)
    assert nothing.volume == 0.0
    assert np.isnan(nothing.centroid).all()
    for part in (nothing, body.below((0, 0, 1), 1.5), body.below((1, 2, 3), 1e30)):
        assert part.waterplane.area == 0.0
        assert np.isnan(part.waterplane.centroid).all()
        assert (part.waterplane.second_moments == 0.0).all()
    assert body.below((1, 2, 3), 1e30).volume == pytest.approx(body.volume, rel=1e-15)
    assert body.below((1, 2, 3), -1e30).volume == 0.0


@pytest.mark.parametrize("normal", ALONG)
def test_a_plane_along_a_face_counts_as_just_above_it(normal: tuple[int, int, int]) -> None:
    body = solid(box((-1, -1, -1), (1, 1, 1)))
    lower, upper = body.below(normal, -1.0), body.below(normal, 1.0)
    assert lower.volume == 0.0
    assert lower.waterplane.area == pytest.approx(4.0, rel=1e-15)
    assert upper.volume == pytest.approx(8.0, rel=1e-15)
    assert upper.waterplane.area == 0.0


def test_a_step_at_the_plane_counts_as_just_above_it() -> None:
    """A narrow box on a wide one, face on face: the waterplane at the step is the narrow one."""
    body = solid(together(box((0, 0, 0), (4, 4, 1)), box((1, 1, 1), (2, 2, 2))))
    assert body.below((0, 0, 1), 1.0).waterplane.area == pytest.approx(1.0, rel=1e-14)
    assert body.below((0, 0, 1), 1.0 - 1e-12).waterplane.area == pytest.approx(16.0, rel=1e-14)


@pytest.mark.parametrize("normal", [*ALONG, (1, 1, 0), (1, 1, 1), (1, 2, 3), (-2, 1, 1)])
def test_planes_through_every_vertex_agree_with_the_plain_sum(
    normal: tuple[float, float, float],
) -> None:
    for mesh in (box((0, 0, 0), (1, 2, 3)), tetrahedron(), globe(6, 4), ring(6, 4)):
        body = solid(mesh)
        for offset in set((mesh[0] @ np.array(normal, dtype=float)).tolist()):
            for beside in (0.0, 1e-10, -1e-10):
                check_against_plain_sum(body, normal, offset + beside)


def test_nearly_level_faces_agree_with_the_plain_sum() -> None:
    """A lid a hair off the plane: heights a few roundings apart give shares of any size."""
    for angle in (1e-15, 1e-13, 1e-10, 1e-7):
        body = solid(turned(box((0, 0, 0), (1, 1, 1)), (1, 2, 0), angle))
        top = body.vertices[:, 2]
        for offset in (*top[top > 0.5].tolist(), float(top[top > 0.5].mean())):
            part = body.below((0, 0, 1), offset)
            plain = brute_force(body.vertices, body.faces, (0, 0, 1), offset, np.zeros(3))
            assert abs(part.volume - plain.volume) <= 1e-14


def test_triangles_without_area_change_nothing() -> None:
    """A vertex half way along the diagonal of a face, and the flat triangle that closes there."""
    corners, faces = box((0, 0, 0), (1, 1, 1))
    vertices = np.concatenate([corners, [[0, 0.5, 0.5]]])
    flat = [[0, 1, 3], [0, 3, 8], [0, 8, 2], [8, 3, 2]]
    body, plain = Solid(vertices, np.concatenate([flat, faces[2:]])), Solid(corners, faces)
    assert np.linalg.norm(np.cross(vertices[3] - vertices[0], vertices[8] - vertices[0])) == 0.0
    for normal, offset in (((0, 0, 1), 0.25), ((0, 1, 1), 0.5), ((0, 1, -1), 0.0), ((1, 2, 3), 2)):
        one, other = body.below(normal, offset), plain.below(normal, offset)
        assert one.volume == pytest.approx(other.volume, abs=1e-15)
        assert one.waterplane.area == pytest.approx(other.waterplane.area, abs=1e-15)


@pytest.mark.parametrize("normal", [(0, 0, 0), (np.nan, 0, 1), (np.inf, 0, 1), (0, 1), "up"])
def test_a_normal_that_is_no_direction_is_misuse(normal: object) -> None:
    with pytest.raises(ValueError, match=r"direction|convert"):
        solid(tetrahedron()).below(normal, 0.0)  # type: ignore[arg-type]


def test_an_offset_that_is_no_number_is_misuse() -> None:
    with pytest.raises(ValueError, match="offset"):
        solid(tetrahedron()).below((0, 0, 1), np.nan)


# ---- far from the origin -----------------------------------------------------------------------


def test_a_boat_five_kilometres_away_loses_nothing() -> None:
    """Coordinates in steps of 2^-20 m, so that the move itself rounds nothing."""
    vertices, faces = ring(24, 12)
    vertices = np.rint(vertices * 2**20) / 2**20
    away = np.array([5000.0, -4000.0, 3000.0])
    here, there = Solid(vertices, faces), Solid(vertices + away, faces)
    for normal, offset in (((3, -1, 7), 0.125), ((0.1, 0.2, 0.3), 0.015625)):
        there_offset = offset + float(np.dot(normal, away))
        plain = brute_force(there.vertices, faces, normal, there_offset, away)
        part = there.below(normal, there_offset)
        assert abs(part.volume - plain.volume) <= 1e-14 * here.volume
    one, other = here.below((3, -1, 7), 0.125), there.below((3, -1, 7), 0.125 + 40_000)
    assert other.volume == pytest.approx(one.volume, rel=1e-14)
    assert other.centroid - away == pytest.approx(one.centroid, abs=1e-12)
    assert other.waterplane.area == pytest.approx(one.waterplane.area, rel=1e-14)
    assert other.waterplane.second_moments == pytest.approx(
        one.waterplane.second_moments, abs=1e-14
    )


# ---- laws --------------------------------------------------------------------------------------

BODIES = st.integers(0, 10_000).map(lambda seed: solid(random_body(np.random.default_rng(seed))))
SHARES = st.floats(-0.1, 1.1)


def plane_at(body: Solid, normal: tuple[float, float, float], share: float) -> float:
    """Offset at a share of the body's extent along the normal."""
    heights = body.vertices @ np.array(normal)
    return float(heights.min() + share * (heights.max() - heights.min()))


@given(BODIES, DIRECTIONS, SHARES)
def test_below_and_above_make_the_whole(
    body: Solid, normal: tuple[float, float, float], share: float
) -> None:
    offset = plane_at(body, normal, share)
    below = body.below(normal, offset)
    above = body.below([-n for n in normal], -offset)
    assert below.volume + above.volume == pytest.approx(body.volume, rel=1e-13)
    moment = sum(part.volume * part.centroid for part in (below, above) if part.volume > 0)
    size = np.ptp(body.bounds, axis=0).max() + np.abs(body.centroid).max()
    assert moment == pytest.approx(body.volume * body.centroid, abs=1e-13 * body.volume * size)


@given(BODIES, DIRECTIONS, SHARES)
def test_a_sunk_body_displaces_its_volume_at_its_centroid(
    body: Solid, normal: tuple[float, float, float], share: float
) -> None:
    part = body.below(normal, plane_at(body, normal, 1.0 + abs(share) + 1e-9))
    assert part.volume == pytest.approx(body.volume, rel=1e-14)
    size = np.ptp(body.bounds, axis=0).max()
    assert part.centroid == pytest.approx(body.centroid, abs=1e-14 * size + 1e-14)


@given(BODIES, DIRECTIONS, SHARES, st.floats(1e-6, 0.5))
def test_a_deeper_draught_displaces_more(
    body: Solid, normal: tuple[float, float, float], share: float, more: float
) -> None:
    shallow = body.below(normal, plane_at(body, normal, share)).volume
    deep = body.below(normal, plane_at(body, normal, share + more)).volume
    assert deep >= shallow - 1e-15 * body.volume


@given(BODIES, BODIES, DIRECTIONS, SHARES)
def test_displacement_adds_up(
    one: Solid, other: Solid, normal: tuple[float, float, float], share: float
) -> None:
    apart = np.ptp(one.bounds, axis=0).max() + np.ptp(other.bounds, axis=0).max()
    apart += np.abs(one.bounds).max() + np.abs(other.bounds).max()
    other = Solid(*moved((other.vertices, other.faces), (apart, 0, 0)))
    both = Solid(*together((one.vertices, one.faces), (other.vertices, other.faces)))
    offset = plane_at(both, normal, share)
    parts = [one.below(normal, offset), other.below(normal, offset)]
    for whole in (both.below(normal, offset), join([one, other]).below(normal, offset)):
        volume = sum(part.volume for part in parts)
        size = float(np.ptp(both.bounds, axis=0).max())
        assert whole.volume == pytest.approx(volume, abs=1e-14 * size**3)
        area = sum(part.waterplane.area for part in parts)
        assert whole.waterplane.area == pytest.approx(area, abs=1e-14 * size**2)


@given(BODIES, DIRECTIONS, SHARES)
def test_a_mirrored_body_has_a_mirrored_part(
    body: Solid, normal: tuple[float, float, float], share: float
) -> None:
    mirror = np.array([1.0, -1.0, 1.0])
    twin = Solid(body.vertices * mirror, body.faces[:, ::-1])
    offset = plane_at(body, normal, share)
    part, other = body.below(normal, offset), twin.below(mirror * normal, offset)
    assert other.volume == pytest.approx(part.volume, rel=1e-12, abs=1e-14 * body.volume)
    size = float(np.ptp(body.bounds, axis=0).max())
    tensor = np.outer(mirror, mirror) * part.waterplane.second_moments
    assert other.waterplane.second_moments == pytest.approx(tensor, abs=1e-13 * size**4)


@given(BODIES, DIRECTIONS, SHARES, DIRECTIONS, st.floats(-3, 3), st.floats(0.01, 100))
def test_turned_moved_and_scaled_bodies_follow(
    body: Solid,
    normal: tuple[float, float, float],
    share: float,
    axis: tuple[float, float, float],
    angle: float,
    scale: float,
) -> None:
    turn = rotation(axis, angle)
    shift = np.array([1.0, -2.0, 3.0])
    other = Solid(scale * (body.vertices @ turn.T + shift), body.faces)
    offset = plane_at(body, normal, share)
    part = body.below(normal, offset)
    direction = turn @ np.array(normal)
    seen = other.below(direction, scale * (offset + float(direction @ shift)))
    size = float(np.ptp(body.bounds, axis=0).max() + np.abs(body.bounds).max() + 3)
    assert seen.volume / scale**3 == pytest.approx(part.volume, abs=1e-13 * size**3)
    area = part.waterplane.area
    smooth = abs(share) > 1e-9 and abs(share - 1) > 1e-9
    if smooth and part.volume > 1e-6 * size**3:
        expected = scale * (turn @ part.centroid + shift)
        assert seen.centroid == pytest.approx(expected, abs=1e-6 * size * scale)
    if smooth and not has_vertex_near(body, normal, offset):
        assert seen.waterplane.area / scale**2 == pytest.approx(area, abs=1e-9 * size**2)


def has_vertex_near(body: Solid, normal: tuple[float, float, float], offset: float) -> bool:
    """Where a face is nearly level, an area may turn with the last digit of a height."""
    heights = body.vertices @ np.array(normal) - offset
    return bool(np.abs(heights).min() < 1e-6 * np.ptp(body.bounds, axis=0).max())


@given(BODIES, DIRECTIONS, SHARES, st.floats(1e-3, 1e3))
def test_the_length_of_the_normal_does_not_matter(
    body: Solid, normal: tuple[float, float, float], share: float, length: float
) -> None:
    offset = plane_at(body, normal, share)
    one = body.below(normal, offset)
    other = body.below(length * np.array(normal), length * offset)
    assert other.volume == pytest.approx(one.volume, abs=1e-13 * body.volume)


@given(BODIES, DIRECTIONS, SHARES)
def test_the_order_of_the_triangles_does_not_matter(
    body: Solid, normal: tuple[float, float, float], share: float
) -> None:
    rng = np.random.default_rng(3)
    faces = body.faces[rng.permutation(len(body.faces))]
    turns = (
        np.arange(len(faces))[:, None],
        (rng.integers(3, size=len(faces))[:, None] + range(3)) % 3,
    )
    other = Solid(body.vertices, faces[turns])
    offset = plane_at(body, normal, share)
    size = float(np.ptp(body.bounds, axis=0).max())
    one, same = body.below(normal, offset), other.below(normal, offset)
    assert same.volume == pytest.approx(one.volume, abs=1e-14 * body.volume)
    assert same.waterplane.area == pytest.approx(one.waterplane.area, abs=1e-13 * size**2)
