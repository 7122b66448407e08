"""Closed forms of solid geometry, as handbooks of mathematics print them.

E.g. M. R. Spiegel, "Mathematical Handbook of Formulas and Tables", section 4, geometric formulas
(recalled; the formulas are elementary and were derived again here).
Tolerance: rounding, as every shape is exact by construction; where a circle's moments are asked,
the polygon's error, with the reason beside it.
"""

from math import pi, sqrt

import numpy as np
import pytest
from pytest import approx

from flotation.geometry.shapes import box, prism
from flotation.geometry.shapes_hats import HatStation, hat_stringer
from flotation.geometry.shapes_round import frustum, sphere, tube
from flotation.geometry.shapes_stations import (
    AreaStation,
    OffsetStation,
    from_offsets,
    from_section_areas,
)
from flotation.geometry.stations import section_areas, simpson, trapezoidal


def test_box():
    """Volume a b c, surface 2 (ab + bc + ca), centre in the middle."""
    solid = box((1.0, 2.0, 3.0), (0.5, 0.4, 0.3))
    assert solid.volume == approx(0.06, rel=1e-14)
    assert solid.area == approx(2 * (0.2 + 0.12 + 0.15), rel=1e-14)
    assert solid.centroid == approx([1.25, 2.2, 3.15], rel=1e-14)


@pytest.mark.parametrize("sides", [8, 32, 64])
def test_circular_cylinder(sides):
    """Volume pi r^2 h, whatever the number of sides that stand for the circle."""
    solid = tube([(0, 0, 0), (0, 0, 2.5)], 0.3, sides=sides)
    assert solid.volume == approx(pi * 0.15**2 * 2.5, rel=1e-13)
    assert solid.centroid == approx([0.0, 0.0, 1.25], abs=1e-14)


def test_surface_of_a_circular_cylinder():
    """2 pi r (h + r); a polygon of equal area has a longer rim, by 0.16 % at 32 sides."""
    solid = tube([(0, 0, 0), (0, 0, 2.5)], 0.3)
    assert solid.area == approx(2 * pi * 0.15 * (2.5 + 0.15), rel=0.002)


@pytest.mark.parametrize("diameters", [(0.4, 0.1), (0.1, 0.4), (0.4, 0.4), (0.4, 0.0)])
def test_frustum_of_a_right_circular_cone(diameters):
    """Volume pi h (a^2 + a b + b^2) / 3; centroid h (a^2 + 2ab + 3b^2) / 4(a^2 + ab + b^2)."""
    a, b = (diameter / 2 for diameter in diameters)
    solid = frustum((0, 0, 0), (0, 0, 0.9), diameters)
    assert solid.volume == approx(pi * 0.9 / 3 * (a * a + a * b + b * b), rel=1e-13)
    height = 0.9 / 4 * (a * a + 2 * a * b + 3 * b * b) / (a * a + a * b + b * b)
    assert solid.centroid == approx([0.0, 0.0, height], abs=1e-13)


def test_sphere():
    """Volume 4/3 pi r^3."""
    solid = sphere((0.2, 0.3, 0.4), 0.7)
    assert solid.volume == approx(4 / 3 * pi * 0.35**3, rel=1e-13)
    assert solid.centroid == approx([0.2, 0.3, 0.4], abs=1e-14)


def test_wedge():
    """Base a x b, edge c parallel to a at height h: volume b h (2a + c) / 6."""
    a, b, c, h = 1.2, 0.5, 0.4, 0.3
    base = ((-a / 2, 0.0), (a / 2, 0.0), (a / 2, 0.0), (-a / 2, 0.0))
    edge = ((-c / 2, h), (c / 2, h), (c / 2, h), (-c / 2, h))
    # the base stands at x from 0 to b, the edge above its middle
    solid = from_offsets(
        [
            OffsetStation(0.0, base),
            OffsetStation(b / 2, (*base[:2], *edge[1::-1])),
            OffsetStation(b, base),
        ]
    )
    assert solid.volume == approx(b * h * (2 * a + c) / 6, rel=1e-13)


def test_pyramid():
    """Volume base x height / 3."""
    base = ((0.0, 0.0), (0.6, 0.1), (0.5, 0.7), (0.1, 0.5))
    solid = from_offsets([OffsetStation(0.0, base), OffsetStation(0.9, ((0.2, 0.3),) * 4)])
    y, z = np.array(base).T
    area = abs(y @ np.roll(z, -1) - z @ np.roll(y, -1)) / 2
    assert solid.volume == approx(area * 0.9 / 3, rel=1e-13)


def test_prismoid():
    """Volume h (A1 + 4 Am + A2) / 6, on two trapezoids that share no side's direction."""
    first, last = (
        HatStation((0, 0, 0), 0.30, 0.12, 0.20),
        HatStation((1.7, 0, 0.1), 0.16, 0.10, 0.09),
    )
    areas = [(0.30 + 0.12) / 2 * 0.20, (0.23 + 0.11) / 2 * 0.145, (0.16 + 0.10) / 2 * 0.09]
    solid = hat_stringer([first, last])
    assert solid.volume == approx(1.7 / 6 * (areas[0] + 4 * areas[1] + areas[2]), rel=1e-12)
    assert section_areas(solid, [0.0, 0.85, 1.7]) == approx(areas, rel=1e-12)
    assert simpson([0.0, 0.85, 1.7], areas) == approx(solid.volume, rel=1e-12)


def test_regular_hexagonal_prism():
    """Volume 3/2 sqrt(3) a^2 h."""
    angle = pi / 3 * np.arange(6)
    outline = 0.2 * np.column_stack([np.cos(angle), np.sin(angle), 0 * angle])
    solid = prism(outline, (0.0, 0.0, 0.7))
    assert solid.volume == approx(1.5 * sqrt(3) * 0.04 * 0.7, rel=1e-13)


def test_torus_segment_by_pappus():
    """A tube bent in many small mitres: area x path of its centre, so pi/4 d^2 x R x angle.

    A chord of the arc is shorter than the arc by 1 - sin(a/2) / (a/2), for each step a.
    """
    steps, radius = 48, 1.0
    angle = np.linspace(0.0, pi / 2, steps + 1)
    path = radius * np.column_stack([np.cos(angle), np.sin(angle), 0 * angle])
    half = pi / 4 / steps
    exact = pi / 4 * 0.2**2 * radius * pi / 2
    assert tube(path, 0.2).volume == approx(exact * np.sin(half) / half, rel=1e-12)


def test_trapezoidal_rule_and_its_solid():
    """A table of areas, summed by hand: 0.5 (0/2 + 0.12 + 0.20 + 0.18 + 0.06/2) = 0.265 m3."""
    x, areas = [0.0, 0.5, 1.0, 1.5, 2.0], [0.0, 0.12, 0.20, 0.18, 0.06]
    heights = [0.3, 0.35, 0.4, 0.4, 0.3]
    rows = zip(x, areas, heights, strict=True)
    solid = from_section_areas([AreaStation(at, area, height, 0.1) for at, area, height in rows])
    assert trapezoidal(x, areas) == approx(0.265)
    assert solid.volume == approx(0.265, rel=1e-12)


def test_simpson_s_first_rule():
    """The same table: 0.5/3 (0 + 4 x 0.12 + 2 x 0.20 + 4 x 0.18 + 0.06) = 0.27667 m3."""
    areas = [0.0, 0.12, 0.20, 0.18, 0.06]
    assert simpson([0.0, 0.5, 1.0, 1.5, 2.0], areas) == approx(0.5 / 3 * 1.66)
