"""The hull of parabolic waterlines and parabolic sections.

W. C. S. Wigley, "A comparison of experiment and calculated wave profiles and wave resistances for
a form having parabolic waterlines", Proceedings of the Royal Society of London A 144 (1934)
[recalled]: half breadth y = B/2 (1 - (2x/L)^2) (1 - (z/T)^2), z down from the waterline; block
coefficient 4/9, waterplane coefficient 2/3. The centres and moments are integrals of the same
polynomial [computed]. Above the waterline the sides go straight up.

The mesh is inscribed, so what it gives approaches these with the square of the cell: the rate is
tested beside the value, and the value extrapolated once by it.
"""

from collections.abc import Callable

import numpy as np
import pytest

from flotation.geometry.below import Below
from flotation.geometry.solid import Solid

LENGTH, BEAM, DRAUGHT = 10.0, 1.0, 0.625
FREEBOARD = 0.4
BOX = LENGTH * BEAM * DRAUGHT


def hull(cells: int) -> Solid:
    """`cells` along half the length and over the draught; keel at z = -DRAUGHT, deck above 0."""
    x = np.linspace(-1, 1, 2 * cells + 1)
    z = np.append(np.linspace(-1, 0, cells + 1), FREEBOARD / DRAUGHT)
    half = 0.5 * BEAM * np.outer(1 - x**2, 1 - np.minimum(z, 0) ** 2)
    side = np.stack(
        [
            np.broadcast_to(0.5 * LENGTH * x[:, None], half.shape),
            half,
            np.broadcast_to(DRAUGHT * z, half.shape),
        ],
        axis=2,
    )
    port = np.arange(half.size).reshape(half.shape)
    starboard = np.where(half == 0.0, port, port + half.size)
    vertices = np.concatenate([side.reshape(-1, 3), (side * [1, -1, 1]).reshape(-1, 3)])
    quads = [
        np.stack([port[:-1, :-1], port[:-1, 1:], port[1:, 1:], port[1:, :-1]], axis=-1),
        np.stack(
            [starboard[1:, :-1], starboard[1:, 1:], starboard[:-1, 1:], starboard[:-1, :-1]],
            axis=-1,
        ),
        np.stack([port[1:, -1], port[:-1, -1], starboard[:-1, -1], starboard[1:, -1]], axis=-1),
    ]
    corners = np.concatenate([quad.reshape(-1, 4) for quad in quads])
    faces = np.concatenate([corners[:, [0, 1, 2]], corners[:, [0, 2, 3]]])
    a, b, c = faces.T
    return Solid(vertices, faces[(a != b) & (b != c) & (c != a)])


COARSE, MIDDLE, FINE = (hull(cells).below((0, 0, 1), 0.0) for cells in (12, 24, 48))


def approached(of: Callable[[Below], float]) -> float:
    """The value at cells of no size; the differences must fall with the square of the cell."""
    coarse, middle, fine = of(COARSE), of(MIDDLE), of(FINE)
    assert np.log2((middle - coarse) / (fine - middle)) == pytest.approx(2.0, abs=0.1)
    return fine + (fine - middle) / 3


def test_block_coefficient_four_ninths() -> None:
    assert approached(lambda part: part.volume / BOX) == pytest.approx(4 / 9, rel=1e-6)


def test_waterplane_coefficient_two_thirds() -> None:
    area = approached(lambda part: part.waterplane.area / (LENGTH * BEAM))
    assert area == pytest.approx(2 / 3, rel=1e-6)


def test_centre_of_buoyancy_three_eighths_of_the_draught_down() -> None:
    depth = approached(lambda part: -float(part.centroid[2]) / DRAUGHT)
    assert depth == pytest.approx(3 / 8, rel=1e-5)
    assert FINE.centroid[:2] == pytest.approx([0, 0], abs=1e-12)


def test_moments_of_the_waterplane() -> None:
    """B^3 L 4/105 across and B L^3 / 30 along."""
    across = approached(lambda part: float(part.waterplane.second_moments[1, 1]))
    along = approached(lambda part: float(part.waterplane.second_moments[0, 0]))
    assert across == pytest.approx(BEAM**3 * LENGTH * 4 / 105, rel=1e-5)
    assert along == pytest.approx(BEAM * LENGTH**3 / 30, rel=1e-5)
    assert FINE.waterplane.centroid == pytest.approx([0, 0, 0], abs=1e-12)


def test_metacentric_radius() -> None:
    """BM = I / V = (4/105) / (4/9) B^2 / T = 3/35 B^2/T."""
    radius = approached(lambda part: float(part.waterplane.second_moments[1, 1]) / part.volume)
    assert radius == pytest.approx(3 / 35 * BEAM**2 / DRAUGHT, rel=1e-5)
