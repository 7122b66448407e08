"""Cavities between parts: closed forms, gaps, attitudes."""

import numpy as np
import pytest
from cavity_parts import block, disc, hat, pipe, plates, polygon_area, turned

from flotation.geometry.solid import Skin
from flotation.geometry.voids import find_cavities
from flotation.geometry.voids.finding import OUTSIDE

LENGTH, BREADTH, HEIGHT, WALL = 1.992, 0.992, 0.392, 0.004
BORE, FLANGE = (0.0467, 0.042), 0.04


def box_with_hats(gap):
    size = (LENGTH, BREADTH, HEIGHT)
    hats = [
        hat(BORE, FLANGE, WALL, (0.196 + 0.2 * k, gap), (0.0, LENGTH), f"hat {k + 1}")
        for k in range(4)
    ]
    return [*plates(size, WALL, gap), *hats]


def volumes_with_hats(gap):
    """Each bore and the main cavity, no foam under the flanges."""
    width, height = BORE
    bore = width * (height + gap) * LENGTH
    raised = (width + 2 * FLANGE) * (gap + WALL)
    hat_section = raised + (width + 2 * WALL) * height
    main = LENGTH * BREADTH * HEIGHT - 4 * hat_section * LENGTH
    return bore, main


@pytest.mark.parametrize("gap", [0.0, 0.002])
@pytest.mark.parametrize("attitude", [None, 1, 2, 3])
def test_box_with_four_hats_is_found_exactly_in_any_attitude(gap, attitude):
    parts = box_with_hats(gap)
    if attitude is not None:
        parts, _ = turned(parts, attitude)
    found = find_cavities(parts, gap=0.004, look_to=0.004)
    bore, main = volumes_with_hats(gap)
    volumes = sorted(void.volume for void in found.voids)
    assert volumes == pytest.approx([bore] * 4 + [main], rel=1e-6)
    for void in found.voids:
        truth = main if void.volume > 0.1 else bore
        assert abs(void.volume - truth) <= void.volume_error < 0.004 * truth


def test_hats_on_gaps_wider_than_asked_for_leak_and_say_where():
    found = find_cavities(box_with_hats(0.006), gap=0.004, look_to=0.02)
    assert found.voids == ()
    lid = [leak for leak in found.leaks if "lid" in leak.parts]
    feet = [leak for leak in found.leaks if any(name.startswith("hat") for name in leak.parts)]
    assert lid and all(leak.to == OUTSIDE for leak in lid)
    assert {name for leak in feet for name in leak.parts} >= {f"hat {k}" for k in range(1, 5)}
    for leak in found.leaks:
        assert leak.narrowest == pytest.approx(0.006, abs=1e-4)
        assert leak.widest == pytest.approx(0.006, abs=1e-4)


def test_gap_report_tells_parts_width_length_and_sides():
    found = find_cavities(box_with_hats(0.002), gap=0.004, look_to=0.004)
    under = [gap for gap in found.gaps if "hat 2" in gap.parts and "bottom" in gap.parts]
    main = int(np.argmax([void.volume for void in found.voids]))
    assert len(under) == 2, "one under each flange"
    for gap in under:
        assert gap.narrowest == pytest.approx(0.002, abs=1e-6)
        assert gap.widest == pytest.approx(0.002, abs=1e-6)
        assert gap.length == pytest.approx(LENGTH, rel=0.01)
        # Putty is carried on over the ends of the flange, 2 mm each, into the plates there.
        assert gap.volume == pytest.approx(LENGTH * FLANGE * 0.002, rel=2.1 * 0.002 / LENGTH)
        assert main in gap.between and len(gap.between) == 2


def test_voids_come_forward_to_aft_then_port_to_starboard():
    parts = plates((2.0, 1.0, 0.5), 0.005)
    parts.append(block((1.2, 0.0, 0.0), (1.21, 1.0, 0.5), "bulkhead"))
    parts.append(block((0.0, 0.4, 0.0), (1.2, 0.41, 0.5), "keelson"))
    found = find_cavities(parts, gap=0.002, look_to=0.002)
    middles = [tuple(np.round(void.centroid, 3)) for void in found.voids]
    assert middles == [(1.605, 0.5, 0.25), (0.6, 0.705, 0.25), (0.6, 0.2, 0.25)]
    assert [void.touching for void in found.voids] == [(1, 2), (0, 2), (0, 1)]


def test_a_body_adrift_is_taken_out_and_reported():
    parts = plates((0.8, 0.6, 0.4), 0.005)
    parts.append(block((0.3, 0.2, 0.1), (0.5, 0.3, 0.2), "tank"))
    void = find_cavities(parts, gap=0.003, look_to=0.003).voids[0]
    assert void.volume == pytest.approx(0.8 * 0.6 * 0.4 - 0.2 * 0.1 * 0.1, rel=1e-9)
    assert void.adrift == (("tank",),)
    assert void.solid.volume == pytest.approx(void.volume, rel=1e-9)


def test_a_hollow_inside_a_body_adrift_is_a_void_of_its_own():
    outer = plates((0.8, 0.6, 0.4), 0.005)
    inner, _ = plates((0.2, 0.2, 0.1), 0.01), None
    inside = [
        block(p.vertices.min(axis=0) + 0.15, p.vertices.max(axis=0) + 0.15, f"tank {p.name}")
        for p in inner
    ]
    found = find_cavities([*outer, *inside], gap=0.003, look_to=0.003)
    hollow = 0.2 * 0.2 * 0.1
    tank = 0.22 * 0.22 * 0.12
    assert sorted(v.volume for v in found.voids) == pytest.approx(
        [hollow, 0.8 * 0.6 * 0.4 - tank], rel=1e-6
    )


@pytest.mark.parametrize("sides", [24, 96, 360])
def test_tube_with_bulkheads_of_other_facets_lies_inside_the_bound(sides):
    inner, gap = 0.4, 0.002
    tube = pipe(inner, inner + 0.005, sides, (0.0, 2.0), "tube", steps=7)
    ends = [(0.1, 0.105), (1.2, 1.205), (1.9, 1.905)]
    discs = [disc(inner * np.cos(np.pi / sides) - gap, 90, *e, f"b{e[0]}") for e in ends]
    found = find_cavities([tube, *discs], gap=0.006, look_to=0.006)
    assert len(found.voids) == 2
    for void, length in zip(found.voids, (1.9 - 1.205, 1.2 - 0.105), strict=True):
        assert void.volume == pytest.approx(polygon_area(inner, sides) * length, rel=2e-4)
        truth = polygon_area(inner, sides) * length
        assert abs(void.volume - truth) <= void.volume_error < 0.005 * truth


def test_smooth_ellipsoid_shells_lie_inside_the_bound_with_their_chord_error():
    axes = np.array([1.0, 0.5, 0.4])
    outer, inner = (globe(axes * s, 48, 24) for s in (1.02, 1.0))
    core = globe(axes * 0.5, 40, 20)
    shell = [outer, flipped(inner)]
    from flotation.geometry.solid import Solid

    wall = Solid(
        np.concatenate([s[0] for s in shell]),
        np.concatenate([shell[0][1], shell[1][1] + len(shell[0][0])]),
        name="shell",
    )
    chord = max(sagitta(inner, axes), sagitta(core, axes * 0.5))
    found = find_cavities(
        [wall, Solid(*core, name="core")], gap=0.004, look_to=0.004, surface_error=chord
    )
    truth = 4.0 / 3.0 * np.pi * float(np.prod(axes)) * (1.0 - 0.5**3)
    (void,) = found.voids
    assert abs(void.volume - truth) <= void.volume_error < 0.05 * truth
    assert void.adrift == (("core",),)


def globe(axes, around, along):
    """Triangles with corners on an ellipsoid."""
    theta = np.linspace(0.0, np.pi, along + 1)[1:-1]
    phi = 2.0 * np.pi * np.arange(around) / around
    ring = [(np.sin(t) * np.cos(p), np.sin(t) * np.sin(p), np.cos(t)) for t in theta for p in phi]
    points = np.array([*ring, (0, 0, 1), (0, 0, -1)]) * axes
    top, bottom = len(ring), len(ring) + 1
    faces = []
    for i in range(around):
        j = (i + 1) % around
        faces.append((top, i, j))
        last = (along - 2) * around
        faces.append((bottom, last + j, last + i))
        for k in range(along - 2):
            a, b = k * around, (k + 1) * around
            faces += [(a + i, b + i, b + j), (a + i, b + j, a + j)]
    return points, np.array(faces)


def flipped(mesh):
    return mesh[0], mesh[1][:, ::-1]


def sagitta(mesh, axes):
    """The farthest that a triangle's middle falls short of the ellipsoid, along its radius.

    The radius from the centre meets the surface no nearer than the nearest point does.
    """
    corners = mesh[0][mesh[1]]
    steps = np.linspace(0.0, 1.0, 9)
    weights = np.array([(u, v, 1 - u - v) for u in steps for v in steps if u + v <= 1.0 + 1e-12])
    points = np.einsum("wk,tkx->twx", weights, corners).reshape(-1, 3)
    scale = np.linalg.norm(points / axes, axis=1)
    return float((np.linalg.norm(points, axis=1) * (1.0 / scale - 1.0)).max())


def test_skins_bound_the_same_cavity_as_their_thickness_says():
    size, t = np.array([0.6, 0.4, 0.3]), 0.006
    shell = block((0, 0, 0), size)
    skin = Skin(shell.vertices, shell.faces, t, name="skin")
    (void,) = find_cavities([skin], gap=0.002, look_to=0.002).voids
    truth = float(np.prod(size - t))
    assert abs(void.volume - truth) <= void.volume_error + 1e-12
    assert void.volume == pytest.approx(truth, rel=1e-9)


def test_open_skins_close_a_cavity_between_them():
    size, t = np.array([0.6, 0.4, 0.3]), 0.006
    shell = block((0, 0, 0), size)
    middle = shell.vertices[shell.faces].mean(axis=1)
    top = middle[:, 2] > 0.29
    tray = Skin(shell.vertices, shell.faces[~top], t, name="tray")
    lid = block((-0.01, -0.01, 0.302), (0.61, 0.41, 0.308), "lid")
    found = find_cavities([tray, lid], gap=0.004, look_to=0.004)
    # The rim of the tray ends square at 0.3; the lid stands 2 mm above it.
    truth = (0.6 - t) * (0.4 - t) * (0.302 - t / 2)
    (void,) = found.voids
    assert abs(void.volume - truth) <= void.volume_error < 0.01 * truth


def test_what_cannot_be_meant_is_refused_in_words():
    with pytest.raises(ValueError, match="no parts"):
        find_cavities([], gap=0.004)
    with pytest.raises(ValueError, match="gap must be"):
        find_cavities(plates((1, 1, 1), 0.01), gap=-0.001)
    with pytest.raises(ValueError, match="2 names for 6 parts"):
        find_cavities(plates((1, 1, 1), 0.01), gap=0.001, names=("a", "b"))


def test_sharp_corners_belong_to_the_cavity():
    tube = pipe(0.3, 0.32, 3, (0.0, 1.0), "three-sided tube")
    ends = [disc(0.31, 3, *at) for at in ((-0.01, 0.0), (1.0, 1.01))]
    (void,) = find_cavities([tube, *ends], gap=0.006, look_to=0.006).voids
    truth = polygon_area(0.3, 3) * 1.0
    # At both ends of a corner the ball that shows it open touches the end: there putty stays.
    assert void.volume == pytest.approx(truth, rel=2e-5)
    assert abs(void.volume - truth) <= void.volume_error
