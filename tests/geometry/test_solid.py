"""What a Solid and a Skin promise, and how skins, solids and several of them immerse."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from mesh_shapes import (
    Mesh,
    box,
    globe,
    inward,
    moved,
    ring,
    rotation,
    tetrahedron,
    together,
    turned,
)

from flotation.errors import MeshError
from flotation.geometry.solid import Skin, Solid, join

CUBE = box((0, 0, 0), (1, 1, 1))
SMALL = box((0.25, 0.25, 0.25), (0.75, 0.75, 0.75))
UP = (0, 0, 1)


def refusal(vertices: np.ndarray, faces: np.ndarray) -> str:
    with pytest.raises(MeshError) as caught:
        Solid(vertices, faces, name="wedge")
    message = str(caught.value)
    assert message.startswith("wedge: ")
    return message


# ---- the promise -------------------------------------------------------------------------------


def test_a_solid_knows_volume_centroid_area_and_bounds() -> None:
    body = Solid(*box((1, 2, 3), (3, 5, 7)))
    assert body.volume == pytest.approx(24.0, rel=1e-15)
    assert body.centroid == pytest.approx([2, 3.5, 5], rel=1e-15)
    assert body.area == pytest.approx(52.0, rel=1e-15)
    assert body.bounds.tolist() == [[1, 2, 3], [3, 5, 7]]


def test_the_arrays_are_copies_that_nobody_can_change() -> None:
    vertices, faces = CUBE[0].copy(), CUBE[1].copy()
    body = Solid(vertices, faces)
    vertices[0] = 99.0
    assert body.volume == pytest.approx(1.0)
    for array in (body.vertices, body.faces, body.bounds):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 0
    with pytest.raises(AttributeError):
        body.name = "other"  # type: ignore[misc]


def test_a_vertex_that_no_triangle_uses_does_not_count() -> None:
    body = Solid(np.concatenate([CUBE[0], [[1e6, 0, 0]]]), CUBE[1])
    assert body.bounds.tolist() == [[0, 0, 0], [1, 1, 1]]
    assert body.below((1, 1, 1), 0.75).volume == pytest.approx(0.75**3 / 6, rel=1e-14)


@pytest.mark.parametrize("value", [np.nan, np.inf, -np.inf])
def test_a_coordinate_that_is_not_finite_is_refused(value: float) -> None:
    vertices = CUBE[0].copy()
    vertices[5, 1] = value
    assert "1 vertex (5) not finite" in refusal(vertices, CUBE[1])


@pytest.mark.parametrize("row", [-1, 8, 1000])
def test_a_vertex_that_is_not_there_is_refused(row: int) -> None:
    faces = CUBE[1].copy()
    faces[[2, 7], 0] = row
    assert "2 triangles (2, 7) naming a vertex that is not there" in refusal(CUBE[0], faces)


def test_all_faults_of_the_arrays_come_together() -> None:
    vertices, faces = CUBE[0].copy(), CUBE[1].copy()
    vertices[0, 0], faces[1, 1], faces[3, 0] = np.nan, 77, faces[3, 1]
    message = refusal(vertices, faces)
    assert message.count("\n") == 2
    assert "1 triangle (3) naming one vertex twice" in message


def test_no_triangles_are_refused() -> None:
    assert "no triangles" in refusal(CUBE[0], np.empty((0, 3), dtype=int))


def test_an_open_surface_is_refused_with_the_triangles_at_the_hole() -> None:
    message = refusal(CUBE[0], CUBE[1][1:])
    assert "3 triangles (0, 4, 10) with an edge that none runs back" in message


def test_a_flipped_triangle_is_refused() -> None:
    faces = CUBE[1].copy()
    faces[4] = faces[4, ::-1]
    message = refusal(CUBE[0], faces)
    assert "in the direction of another" in message
    assert "4," in message


def test_a_triangle_twice_is_refused() -> None:
    message = refusal(CUBE[0], np.concatenate([CUBE[1], CUBE[1][:1]]))
    assert "2 triangles (0, 12) running along an edge in the direction of another" in message


def test_bodies_that_share_an_edge_are_refused() -> None:
    vertices, faces = together(CUBE, box((1, 1, 0), (2, 2, 1)))
    faces = np.where(faces == 8, 6, np.where(faces == 9, 7, faces))
    assert "share an edge" in refusal(vertices, faces)


def test_vertices_at_one_place_that_are_not_one_leave_the_surface_open() -> None:
    soup = CUBE[0][CUBE[1]].reshape(-1, 3)
    message = refusal(soup, np.arange(36).reshape(-1, 3))
    assert "12 triangles (0, 1, 2, 3, 4, ...)" in message
    assert "must be one vertex" in message


def test_an_inside_out_body_is_refused_with_its_volume() -> None:
    assert "inside out: its volume is -1 m3" in refusal(*inward(CUBE))
    assert "body of triangle 12 is inside out" in refusal(
        *together(CUBE, inward(moved(CUBE, (2, 0, 0))))
    )


def test_a_body_inside_another_is_refused_and_a_hollow_is_not() -> None:
    assert "lies inside another" in refusal(*together(CUBE, SMALL))
    assert Solid(*together(CUBE, inward(SMALL))).volume == pytest.approx(1 - 0.125)
    core = box((0.4, 0.4, 0.4), (0.6, 0.6, 0.6))
    assert Solid(*together(CUBE, inward(SMALL), core)).volume == pytest.approx(0.875 + 0.008)
    message = refusal(*together(CUBE, inward(SMALL), inward(core)))
    assert "body of triangle 24 is inside out" in message


def test_a_flat_body_is_refused() -> None:
    flat = CUBE[0] * [1, 1, 0]
    assert "encloses no volume" in refusal(flat, CUBE[1])


def test_bodies_that_touch_are_allowed() -> None:
    for other in (
        moved(CUBE, (1, 0, 0)),
        moved(CUBE, (1, 1, 1)),
        box((1, 0.25, 0.25), (1.5, 0.75, 0.75)),
        box((0.25, 0.25, 1), (0.75, 0.75, 1.5)),
    ):
        both = Solid(*together(CUBE, other))
        assert both.volume == pytest.approx(1 + Solid(*other).volume)


def test_a_body_in_the_notch_of_another_is_not_inside_it() -> None:
    """Its first corner lies on the inner edge of the notch, three quarters surrounded."""
    rim = np.array([[0, 0], [2, 0], [2, 1], [1, 1], [1, 2], [0, 2.0]])
    vertices = np.concatenate([np.column_stack([rim, np.full(6, z)]) for z in (0.0, 1.0)])
    top = np.array([[0, 1, 2], [0, 2, 3], [0, 3, 4], [0, 4, 5]]) + 6
    here, then = np.arange(6), (np.arange(6) + 1) % 6
    sides = [np.stack([here, then, then + 6], axis=1), np.stack([here, then + 6, here + 6], axis=1)]
    notched = vertices, np.concatenate([top, top[:, ::-1] - 6, *sides])
    both = together(notched, box((1, 1, 0.25), (1.5, 1.5, 0.75)))
    assert Solid(*both).volume == pytest.approx(3 + 0.125)


@pytest.mark.parametrize(
    ("vertices", "faces", "kind"),
    [
        (CUBE[0][:, :2], CUBE[1], ValueError),
        (CUBE[0], CUBE[1].ravel(), ValueError),
        (CUBE[0], CUBE[1].astype(float), TypeError),
    ],
)
def test_arrays_of_the_wrong_kind_are_misuse(
    vertices: np.ndarray, faces: np.ndarray, kind: type[Exception]
) -> None:
    with pytest.raises(kind):
        Solid(vertices, faces)


# ---- skins -------------------------------------------------------------------------------------

SOLE = Skin(
    np.array([[0, 0, 1], [2, 0, 1], [2, 1.5, 1], [0, 1.5, 1.0]]),
    np.array([[0, 1, 2], [0, 2, 3]]),
    5e-3,
)


def test_a_level_sole_goes_under_gradually() -> None:
    """3 m2 of sole, 5 mm thick: 15 L, spread over its 5 mm of height."""
    assert SOLE.area == pytest.approx(3.0)
    assert SOLE.volume == pytest.approx(0.015)
    for share in (0.0, 0.25, 0.5, 0.999):
        part = SOLE.below(UP, 1 - 0.0025 + share * 0.005)
        assert part.volume == pytest.approx(share * 0.015, abs=1e-15)
        assert part.area == pytest.approx(share * 3.0, abs=1e-12)
        assert part.waterplane.area == pytest.approx(3.0, rel=1e-12)
        across = 2 * 1.5**3 / 12
        assert part.waterplane.second_moments[1, 1] == pytest.approx(across, rel=1e-12)
    assert SOLE.below(UP, 0.99).area == 0.0
    assert SOLE.below(UP, 1.01).area == pytest.approx(3.0)
    assert SOLE.below(UP, 1.01).waterplane.area == 0.0


def test_an_upright_sheet_has_a_strip_of_its_thickness_as_waterplane() -> None:
    sheet = Skin(turned((SOLE.vertices, SOLE.faces), (1, 0, 0), np.pi / 2)[0], SOLE.faces, 5e-3)
    part = sheet.below(UP, 0.6)
    assert part.area == pytest.approx(2 * 0.6, rel=1e-12)
    assert part.volume == pytest.approx(0.6 * 2 * 5e-3, rel=1e-12)
    assert part.centroid == pytest.approx([1, -1, 0.3], rel=1e-12)
    assert part.waterplane.area == pytest.approx(2 * 5e-3, rel=1e-12)
    assert part.waterplane.second_moments[0, 0] == pytest.approx(5e-3 * 2**3 / 12, rel=1e-10)


def test_a_skin_need_not_be_closed_nor_wound_alike() -> None:
    vertices, faces = globe(12, 8)
    kept = faces[: len(faces) // 2].copy()
    kept[::3] = kept[::3, ::-1]
    skin, plain = Skin(vertices, kept, 0.01), Skin(vertices, faces[: len(faces) // 2], 0.01)
    for height in (-0.8, 0.0, 0.5):
        one, other = skin.below(UP, height), plain.below(UP, height)
        assert one.volume == pytest.approx(other.volume, rel=1e-12)
        assert one.waterplane.area == pytest.approx(other.waterplane.area, rel=1e-9)


@given(st.floats(-1, 1), st.floats(-1, 1), st.floats(0.1, 1), st.floats(-1.2, 1.2))
def test_the_prisms_of_a_skin_add_up(x: float, y: float, z: float, offset: float) -> None:
    """Each triangle by itself is a solid prism; together they are the skin."""
    vertices, faces = globe(5, 3)
    skin = Skin(vertices, faces, 0.02)
    normal = np.array([x, y, z]) / np.linalg.norm([x, y, z])
    part = skin.below(normal, offset)
    single = [Skin(vertices, face[None], 0.02).below(normal, offset) for face in faces]
    assert part.volume == pytest.approx(sum(one.volume for one in single), abs=1e-15)
    areas = sum(one.waterplane.area for one in single)
    assert part.waterplane.area == pytest.approx(areas, abs=1e-13)


def test_a_thin_skin_on_a_ball_displaces_its_area_times_thickness() -> None:
    skin = Skin(*globe(40, 30), 1e-3)
    assert skin.below(UP, 2.0).volume == pytest.approx(skin.area * 1e-3, rel=1e-12)
    assert skin.centroid == pytest.approx([0, 0, 0], abs=1e-12)
    half = skin.below(UP, 0.0)
    assert half.area == pytest.approx(skin.area / 2, rel=1e-12)


@pytest.mark.parametrize("thickness", [0.0, -1e-3, np.nan, np.inf])
def test_a_thickness_that_is_none_is_misuse(thickness: float) -> None:
    with pytest.raises(ValueError, match="thickness"):
        Skin(SOLE.vertices, SOLE.faces, thickness)


def test_a_skin_without_area_is_refused() -> None:
    with pytest.raises(MeshError, match="no triangle has an area"):
        Skin(np.array([[0, 0, 0], [1, 1, 1], [2, 2, 2.0]]), np.array([[0, 1, 2]]), 0.01)
    with pytest.raises(MeshError, match="not finite"):
        Skin(np.array([[0, 0, 0], [1, 1, np.nan], [2, 2, 2.0]]), np.array([[0, 1, 2]]), 0.01)


def test_a_triangle_without_area_counts_for_nothing() -> None:
    vertices = np.concatenate([SOLE.vertices, [[1, 0, 1]]])
    skin = Skin(vertices, np.concatenate([SOLE.faces, [[0, 4, 1]]]), SOLE.thickness)
    assert skin.below(UP, 1.0).volume == SOLE.below(UP, 1.0).volume


# ---- several as one ----------------------------------------------------------------------------


def boat() -> list[Solid | Skin]:
    lump = box((0.2, -0.2, 0.3), (0.6, 0.2, 0.8))
    return [
        Solid(*moved(ring(24, 12), (0.3, 0.1, 0.2))),
        Solid(*moved(CUBE, (3, 0, 0))),
        SOLE,
        Skin(*moved(globe(12, 8), (-3, 0, 0)), 0.01),
        Solid(*turned(moved(lump, (6, 0, 0)), (1, 1, 1), 0.4)),
    ]


@pytest.mark.parametrize("normal", [UP, (0.1, -0.2, 1), (1, 1, 1), (-1, 0.5, 0.1)])
def test_one_query_for_a_boat_is_the_sum_over_its_parts(normal: tuple[float, ...]) -> None:
    parts = boat()
    joined = join(parts)
    assert joined.volume == pytest.approx(sum(part.volume for part in parts), rel=1e-13)
    for offset in (-0.5, 0.1, 0.3, 1.0):
        whole = joined.below(normal, offset)
        single = [part.below(normal, offset) for part in parts]
        volume = sum(part.volume for part in single)
        assert whole.volume == pytest.approx(volume, abs=1e-13)
        wet = [part for part in single if part.volume > 0]
        moment = sum(part.volume * part.centroid for part in wet)
        assert whole.volume * whole.centroid == pytest.approx(moment, abs=1e-12)
        planes = [part.waterplane for part in single if part.waterplane.area > 0]
        assert whole.waterplane.area == pytest.approx(sum(p.area for p in planes), abs=1e-12)
        second = sum(
            plane.second_moments
            + plane.area
            * np.outer(
                plane.centroid - whole.waterplane.centroid,
                plane.centroid - whole.waterplane.centroid,
            )
            for plane in planes
        )
        assert whole.waterplane.second_moments == pytest.approx(second, abs=1e-11)


def test_sums_are_about_the_local_origin() -> None:
    joined = join(boat())
    normal = np.array([0.6, 0.0, 0.8])
    offset = 0.3
    sums = joined.sums(normal, offset - float(normal @ joined.origin))
    part = joined.below(normal, offset)
    assert sums.volume == pytest.approx(part.volume, rel=1e-14)
    assert joined.origin + sums.moment / sums.volume == pytest.approx(part.centroid, rel=1e-12)
    from_origin = sums.area_moment / sums.area
    assert joined.origin + from_origin == pytest.approx(part.waterplane.centroid, abs=1e-12)
    second = sums.area_second_moments - sums.area * np.outer(from_origin, from_origin)
    assert second == pytest.approx(part.waterplane.second_moments, abs=1e-12)


def test_nothing_cannot_be_joined() -> None:
    with pytest.raises(ValueError, match="nothing"):
        join([])


def test_a_solid_far_away_keeps_its_digits() -> None:
    vertices, faces = ring(24, 12)
    vertices = np.rint(vertices * 2**20) / 2**20
    here, there = Solid(vertices, faces), Solid(*moved((vertices, faces), (5000, -4000, 3000)))
    assert there.volume == pytest.approx(here.volume, rel=1e-15)
    assert there.area == pytest.approx(here.area, rel=1e-14)


@given(st.floats(-3, 3), st.floats(-1, 1), st.floats(-1, 1))
def test_turning_changes_no_volume(angle: float, x: float, y: float) -> None:
    mesh: Mesh = tetrahedron()
    turn = rotation((x, y, 1.0), angle)
    assert Solid(mesh[0] @ turn.T, mesh[1]).volume == pytest.approx(1 / 6, rel=1e-14)
