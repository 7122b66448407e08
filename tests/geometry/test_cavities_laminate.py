"""The inside of a laminate behind a moulded face: exact where it can be, refused where it must."""

from dataclasses import replace
from math import cos, pi, sin, tan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx
from scipy.spatial import ConvexHull, HalfspaceIntersection

from flotation.errors import MeshError
from flotation.geometry import cavities_laminate
from flotation.geometry.cavities import take_out, to_manifold, to_solid
from flotation.geometry.cavities_laminate import moved_in
from flotation.geometry.nearness import contains, distance_to_surface
from flotation.geometry.overlap import find_overlap
from flotation.geometry.shapes import box, mirrored, moved, prism, rotation_about
from flotation.geometry.shapes_hats import HatStation, hat_stringer
from flotation.geometry.shapes_round import SIDES, frustum, sphere, tube
from flotation.geometry.shapes_stations import OffsetStation, from_offsets
from flotation.geometry.solid import Solid

SIDE_BOX = from_offsets(
    [
        OffsetStation(
            3.0 * x,
            tuple(
                (
                    0.6
                    - 0.1 * x**2
                    + (0.18 - 0.09 * x**2) * sin(pi / 2 * (0.3 + 0.7 * s)) * curved,
                    0.3 + 0.15 * x**2 + 0.35 * s + 0.05 * s**2 * curved,
                )
                for s, curved in [(0.0, 0), *((n / 8, 1) for n in range(9)), (1.15, 0)]
            ),
        )
        for x in (0.0, 0.1, 0.25, 0.4, 0.55, 0.7, 0.8, 0.9, 1.0)
    ],
    name="side box",
)
L_SHAPE = [(0, 0, 0), (2, 0, 0), (2, 0, 1), (1, 0, 1), (1, 0, 2), (0, 0, 2)]


def rounded_box(size: tuple[float, float, float], radius: float, sides: int) -> Solid:
    """A box with fillets, as moulds have them: the hull of a ball in each corner."""
    from manifold3d import Manifold

    balls = [
        Manifold.sphere(radius, sides).translate(
            [radius if low else side - radius for low, side in zip(lows, size, strict=True)]
        )
        for lows in np.ndindex(2, 2, 2)
    ]
    return to_solid(Manifold.batch_hull(balls), "filleted")


@settings(max_examples=40, deadline=None)
@given(
    size=st.tuples(*[st.floats(0.1, 3.0)] * 3),
    share=st.floats(0.001, 0.45),
    angle=st.floats(-3.0, 3.0),
)
def test_a_box_loses_the_laminate_on_every_side(size, share, angle):
    thickness = share * min(size)
    turned = moved(box((0, 0, 0), size), (3, 1, 2), rotation_about((1, 2, 3), angle))
    inside = moved_in(turned, thickness)
    assert inside.volume == approx(np.prod(np.array(size) - 2 * thickness), rel=1e-9)
    assert inside.centroid == approx(turned.centroid, abs=1e-9)
    assert len(inside.faces) == 12


@pytest.mark.parametrize("thickness", [0.005, 0.05, 0.3])
def test_a_corner_that_points_into_the_cavity_stays_sharp(thickness):
    """Area of an outline of right angles, moved in: A - perimeter t + 4 t^2."""
    inside = moved_in(prism(L_SHAPE, (0, 0.8, 0)), thickness)
    area = 3.0 - 8.0 * thickness + 4.0 * thickness**2
    assert inside.volume == approx(area * (0.8 - 2 * thickness), rel=1e-12)


def test_a_tube_keeps_its_polygon():
    """The flats of the polygon move in by the thickness; its area goes with their distance."""
    flat = 0.1 * np.sqrt(2 * pi / (SIDES * sin(2 * pi / SIDES))) * cos(pi / SIDES)
    inside = moved_in(tube([(0, 0, 0), (1, 0, 0)], 0.2), 0.01)
    assert inside.volume == approx(pi * 0.01 * ((flat - 0.01) / flat) ** 2 * 0.98, rel=1e-12)


def test_a_cone_closes_in_on_its_tip():
    """A square pyramid with four equal planes at the tip: similar, so the cube of a ratio."""
    pyramid = frustum((0, 0, 0), (0, 0, 1), (1.0, 0.0), sides=4)
    half = np.sqrt(pi) / 4  # half the side of the square with the circle's area
    slope = np.hypot(1.0, half)
    drop = 0.02 * (1 + slope / half)  # base rises by t, tip sinks by t x slope / half
    assert moved_in(pyramid, 0.02).volume == approx(pyramid.volume * (1 - drop) ** 3, rel=1e-12)


def test_a_ball_loses_a_shell_of_even_thickness():
    inside = moved_in(sphere((0, 0, 0), 0.6), 0.005)
    shell = pi / 6 * (0.6**3 - 0.59**3)
    assert pi / 6 * 0.6**3 - inside.volume == approx(shell, rel=0.005)


def test_a_hollow_grows_by_the_laminate():
    """A trunk moulded through the cavity has laminate too."""
    with_trunk = take_out(box((0, 0, 0), (2, 2, 2)), [box((0.8, 0.8, 0.8), (0.4, 0.4, 0.4))])
    assert moved_in(with_trunk, 0.01).volume == approx(1.98**3 - 0.42**3, rel=1e-12)


def test_the_inside_of_a_curved_side_box_is_even_and_agrees_with_the_laminate_built_of_blocks():
    """Two ways that share no step but where the corners go."""
    thickness = 0.005
    inside = moved_in(SIDE_BOX, thickness)
    assert len(inside.faces) == len(SIDE_BOX.faces)
    off = distance_to_surface(SIDE_BOX, inside.vertices) / thickness
    assert off.min() > 0.97
    assert off.max() < 1.03
    assert contains(SIDE_BOX, inside.vertices).all()
    shell = cavities_laminate._Shell.of(SIDE_BOX, thickness)
    built = cavities_laminate._carved(SIDE_BOX, shell)
    laminate = SIDE_BOX.volume - built.volume
    assert inside.volume == approx(built.volume, abs=0.001 * laminate)


def test_a_hat_agrees_with_its_section_moved_in():
    """Trapezoid 200/120 x 150 high: each side moves in by t, so the section follows by angles."""
    t, base, top, height = 0.005, 0.2, 0.12, 0.15
    side = np.hypot(height, (base - top) / 2)
    perimeter = base + top + 2 * side
    steep = np.arctan2(height, (base - top) / 2)
    corners = 2 / tan(steep / 2) + 2 * tan(steep / 2)
    area = (base + top) / 2 * height - perimeter * t + corners * t**2
    ends = [HatStation((x, 0.3, 0.1), base, top, height) for x in (0.0, 2.0)]
    assert moved_in(hat_stringer(ends), t).volume == approx(area * (2.0 - 2 * t), rel=1e-12)


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10_000), thickness=st.floats(0.002, 0.02))
def test_any_flat_sided_body_agrees_with_its_planes_moved_in(seed, thickness):
    """Hulls of random points: up to ten planes at a corner, which then splits into several.

    The exact inside of a convex body is the intersection of its half-spaces, each moved in.
    """
    from manifold3d import Manifold

    points = np.random.default_rng(seed).uniform(0.0, 1.0, (12, 3))
    body = to_solid(Manifold.hull_points(points), "hull")
    a, b, c = (body.vertices[body.faces[:, i]] for i in range(3))
    normals = np.cross(b - a, c - a)
    normals /= np.linalg.norm(normals, axis=1)[:, None]
    offsets = np.einsum("ij,ij->i", normals, a) - thickness
    planes = np.column_stack([normals, -offsets])
    exact = ConvexHull(HalfspaceIntersection(planes, body.centroid).intersections).volume
    inside = moved_in(body, thickness)
    assert inside.volume == approx(exact, abs=0.005 * (body.volume - exact))


@pytest.mark.parametrize("sides", [8, 16])
def test_fillets_tighter_than_the_laminate_become_sharp(sides):
    """Moved in by 5 mm, a fillet of 3 mm is gone and the flats meet, where the mesh would fold."""
    inside = moved_in(rounded_box((2.0, 0.3, 0.4), 0.003, sides), 0.005)
    assert inside.volume == approx(1.99 * 0.29 * 0.39, rel=1e-5)


@pytest.mark.parametrize("seed", [0, 1, 3, 9])
def test_a_ragged_spike_that_points_into_the_cavity_is_covered_all_round(seed):
    """Six planes at its tip, knife edges at its foot: one point cannot end them all.

    Points sown near the surface: what is nearer than the laminate is not in the cavity.
    """
    random = np.random.default_rng(seed)
    angle, reach = np.sort(random.uniform(0, 2 * pi, 6)), random.uniform(0.1, 0.3, 6)
    foot = [(0.5 + r * cos(a), 0.5 + r * sin(a)) for r, a in zip(reach, angle, strict=True)]
    tip = tuple(random.uniform(0.3, 0.7, 2))
    spike = from_offsets([OffsetStation(-0.1, tuple(foot)), OffsetStation(0.5, (tip,) * 6)])
    cavity = take_out(box((0, 0, 0), (1, 1, 1)), [spike])
    inside = moved_in(cavity, 0.01)
    corners = cavity.vertices[cavity.faces]
    shares = random.dirichlet((0.3, 0.3, 0.3), (200, len(corners)))
    sown = np.einsum("smi,mij->smj", shares, corners).reshape(-1, 3)
    sown += random.uniform(-0.03, 0.03, sown.shape)
    near = distance_to_surface(cavity, sown) < 0.0095
    assert near.sum() > 500
    assert not contains(inside, sown[near]).any()
    assert cavity.volume - inside.volume < 1.05 * 0.01 * cavity.area


def test_flat_sides_that_rounding_made_rough_stay_flat():
    """Meshed at 17 mm, turned, and rounded to 10 micrometres, as drawings come out of programs.

    Planes that differ by rounding alone meet anywhere; their corners must not go there.
    """
    fine = to_solid(to_manifold(box((0, 0, 0), (0.5, 0.2, 0.2))).refine(12), "")
    turned = moved(fine, (0, 0, 0), rotation_about((1, 2, 3), 0.4))
    rough = Solid(np.round(turned.vertices, 5), turned.faces)
    inside = moved_in(rough, 0.005)
    assert rough.volume - inside.volume == approx(0.02 - 0.49 * 0.19**2, rel=1e-4)
    assert len(inside.faces) == len(rough.faces)


def test_a_corner_that_a_flat_end_meets_in_a_needle_alone_keeps_that_end():
    """A knuckle 0.1 micrometre high, split off the end in a triangle of its own."""
    corners = np.array(
        [(x, y, z) for x in (0, 2) for y, z in ((0, 0), (1, 0), (1, 1), (0.5, 1 + 1e-7), (0, 1))]
    )
    end = np.array([(2, 3, 4), (0, 2, 4), (0, 1, 2)])
    sides = [(i, (i + 1) % 5) for i in range(5)]
    skin = [t for i, j in sides for t in ((i, i + 5, j + 5), (i, j + 5, j))]
    solid = Solid(corners, np.concatenate([end[:, ::-1], end + 5, np.array(skin)[:, ::-1]]))
    inside = moved_in(solid, 0.01)
    assert inside.volume == approx(1.98 * 0.98**2, rel=1e-6)
    assert len(inside.faces) == len(solid.faces)


def test_erosion_by_a_second_method_agrees():
    """The boolean library's own erosion, by a ball of 1,280 faces; slow, so on a coarse body."""
    from manifold3d import Manifold

    body = frustum((0, 0, 0), (0, 0, 0.5), (0.6, 0.3), sides=8)
    eroded = to_manifold(body).minkowski_difference(Manifold.sphere(0.005, 48))
    laminate = body.volume - float(eroded.volume())
    assert body.volume - moved_in(body, 0.005).volume == approx(laminate, rel=0.005)


@settings(max_examples=10, deadline=None)
@given(share=st.floats(0.1, 0.9))
def test_moving_in_twice_is_moving_in_once(share):
    part = prism(L_SHAPE, (0, 0.8, 0))
    twice = moved_in(moved_in(part, share * 0.05), (1 - share) * 0.05)
    assert twice.volume == approx(moved_in(part, 0.05).volume, rel=1e-9)


def test_the_mirrored_twin_has_the_mirrored_inside():
    inside = moved_in(SIDE_BOX, 0.005)
    twin = moved_in(mirrored(SIDE_BOX), 0.005)
    assert twin.volume == approx(inside.volume, rel=1e-12)
    assert twin.centroid == approx(inside.centroid * (1, -1, 1), abs=1e-9)


def test_how_a_flat_side_is_split_into_triangles_does_not_count():
    """A corner with one triangle on one side and many on the next."""
    plain = box((0, 0, 0), (1.0, 0.5, 0.3))
    fine = to_solid(to_manifold(plain).refine(5), "fine")
    assert moved_in(fine, 0.02).volume == approx(0.96 * 0.46 * 0.26, rel=1e-12)


def test_no_laminate_leaves_the_solid():
    assert moved_in(SIDE_BOX, 0.0) is SIDE_BOX


@pytest.mark.parametrize("thickness", [-0.001, float("nan")])
def test_a_negative_thickness_raises(thickness):
    with pytest.raises(ValueError, match="must not be negative"):
        moved_in(SIDE_BOX, thickness)


@pytest.mark.parametrize("thickness", [0.05, 0.06, 0.5, 50.0])
def test_a_laminate_that_fills_the_cavity_is_refused(thickness):
    with pytest.raises(MeshError, match="fills the cavity") as caught:
        moved_in(box((0, 0, 0), (2.0, 0.1, 0.4), name="grid"), thickness)
    assert caught.value.faults[0].place == "grid"


@pytest.mark.parametrize("width", [0.008, 0.0098])
def test_a_laminate_that_closes_a_neck_is_refused_with_the_pieces(width):
    """Two chambers of 0.3 m, joined by a channel; in the wider one the laminates barely meet."""
    edge = 0.15 - width / 2
    outline = [(0, 0), (0.3, 0), (0.3, edge), (0.6, edge), (0.6, 0), (0.9, 0)]
    outline += [(x, 0.3 - y) for x, y in reversed(outline)]
    neck = prism([(x, y, 0.0) for x, y in outline], (0, 0, 0.2), name="grid")
    with pytest.raises(MeshError, match=r"5 mm closes the cavity off into 2 pieces \(16 L, 16 L\)"):
        moved_in(neck, 0.005)
    assert moved_in(neck, 0.003).volume > 0.0


def test_a_dent_whose_laminate_meets_that_of_the_floor_becomes_a_pillar():
    """A pocket moulded down to 9.8 mm above the floor: no triangle turns, but walls pass."""
    pocket = box((0.2, 0.2, 0.0098), (0.1, 0.1, 0.3))
    inside = moved_in(take_out(box((0, 0, 0), (0.5, 0.5, 0.2)), [pocket]), 0.005)
    assert inside.volume == approx((0.49**2 - 0.11**2) * 0.19, rel=2e-5)
    assert len(find_overlap(inside.vertices, inside.faces)) == 0


def test_a_folding_mesh_too_fine_to_build_is_refused(monkeypatch):
    monkeypatch.setattr(cavities_laminate, "_MOST_BLOCKS", 50)
    with pytest.raises(MeshError, match="too fine to be moved in where it folds"):
        moved_in(rounded_box((2.0, 0.3, 0.4), 0.003, 8), 0.005)


def test_where_the_mesh_folds_and_where_its_thickness_is_missed_it_is_given_up():
    """The first of several checks; the later ones would hide that it does nothing."""
    shell = cavities_laminate._Shell.of(SIDE_BOX, 0.005)
    assert not shell.folds()
    assert shell.shrunk() is not None
    assert replace(shell, inward=1.01 * shell.inward).shrunk() is None
    assert replace(shell, inward=0.99 * shell.inward).shrunk() is None
    assert cavities_laminate._Shell.of(rounded_box((2.0, 0.3, 0.4), 0.003, 8), 0.005).folds()


def test_an_uneven_inside_is_refused(monkeypatch):
    """What is checked last is checked: a result at half the thickness would not pass."""
    half = moved_in(SIDE_BOX, 0.0025)
    monkeypatch.setattr(cavities_laminate._Shell, "shrunk", lambda shell: half)
    monkeypatch.setattr(cavities_laminate, "_carved", lambda solid, shell: half)
    with pytest.raises(MeshError, match="cannot be moved in by 5 mm evenly"):
        moved_in(SIDE_BOX, 0.005)
