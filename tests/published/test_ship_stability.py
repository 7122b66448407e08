"""Worked examples of ship stability.

D. R. Derrett, C. B. Barrass, "Ship Stability for Masters and Mates": the list by a weight moved
across (read). Nicholls's "Seamanship and Nautical Knowledge": KB, BM and KM of a box (read). The
bilged box, the list at zero GM and the trim of a box are computed from the formulas that both
books give: lost buoyancy, the wall-sided formula, the moment to change trim.

The list formula tan(list) = w d / (W GM) is exact where the metacentre does not move: a hull of
circular section, which has it in its axis. A box follows the wall-sided formula instead.
"""

import math

import numpy as np
import pytest

from flotation.equilibrium.bodies import Body, Box, Rest
from flotation.equilibrium.solver import float_freely
from flotation.geometry.solid import Solid

FOOT = 0.3048
FRESH = 1000.0
SEA = 1025.0


def at_rest(bodies: list[Body], density: float) -> Rest:
    rest = float_freely(bodies, density)
    assert isinstance(rest, Rest)
    return rest


def cylinder(radius: float, length: float, sides: int) -> Solid:
    """Along x, its lowest line on the baseline, the polygon as large as the circle."""
    turns = 2.0 * math.pi * (np.arange(sides) + 0.5) / sides
    fit = radius * math.sqrt(2.0 * math.pi / (sides * math.sin(2.0 * math.pi / sides)))
    rim = np.stack([fit * np.sin(turns), radius - fit * np.cos(turns)], axis=1)
    ends = [np.column_stack([np.full(sides, x), rim]) for x in (0.0, length)]
    middles = np.array([[0.0, 0.0, radius], [length, 0.0, radius]])
    here = np.arange(sides)
    on = (here + 1) % sides
    faces = np.concatenate(
        [
            np.stack([here, here + sides, on], axis=1),
            np.stack([on, here + sides, on + sides], axis=1),
            np.stack([np.full(sides, 2 * sides), here, on], axis=1),
            np.stack([np.full(sides, 2 * sides + 1), on + sides, here + sides], axis=1),
        ]
    )
    vertices = np.concatenate([*ends, middles])
    return Solid(vertices, faces if _outward(vertices, faces) else faces[:, ::-1])


def _outward(vertices: np.ndarray, faces: np.ndarray) -> bool:
    a, b, c = (vertices[faces[:, i]] - vertices.mean(axis=0) for i in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c))) > 0.0


def test_list_by_a_weight_moved_across() -> None:
    """1500 t, KG 2.7 m, KM 3.1 m, 10 t moved 10 m: printed 9 deg 27 min.

    The quotient 1/6 has 9 deg 27.74 min: the book cuts the minute, so one minute is allowed.
    """
    hull = cylinder(radius=3.1, length=120.0, sides=720)
    bodies = [
        Body(0.0, (0.0, 0.0, 0.0), hull),
        Body(1490e3, (60.0, 0.0, 2.7)),
        Body(10e3, (60.0, -10.0, 2.7)),
    ]
    rest = at_rest(bodies, FRESH)
    assert rest.stable
    minutes = math.degrees(rest.heel) * 60.0
    assert minutes == pytest.approx(9 * 60 + 27, abs=1.0)


def test_metacentre_of_a_box() -> None:
    """Box of 36 ft beam at 18 ft draught: printed KB 9, BM 6, KM 15 ft."""
    size = (100.0 * FOOT, 36.0 * FOOT, 30.0 * FOOT)
    mass = FRESH * size[0] * size[1] * 18.0 * FOOT
    hull = Body(0.0, (0.0, 0.0, 15.0 * FOOT), Box(size))
    rest = at_rest([hull, Body(mass, (0.0, 0.0, 12.0 * FOOT))], FRESH)
    inertia = rest.waterplane.second_moments[1, 1]
    assert rest.offset / FOOT == pytest.approx(18.0, abs=1e-9)
    assert rest.centre_of_buoyancy[2] / FOOT == pytest.approx(9.0, abs=1e-9)
    assert inertia / rest.displaced_volume / FOOT == pytest.approx(6.0, abs=1e-9)
    assert rest.gm_transverse / FOOT + 12.0 == pytest.approx(15.0, abs=1e-9)


def test_bilged_box() -> None:
    """40 x 6 m at 2 m, GM 0.6 m; a 10 m bay amidships opens to the sea: buoyancy lost there.

    Computed: draught 2.667, KB 1.3333, BM 1.1250, GM 0.5583 m.
    """
    mass = FRESH * 40.0 * 6.0 * 2.0
    weight = Body(mass, (20.0, 0.0, 1.0 + 1.5 - 0.6))
    whole = Body(0.0, (20.0, 0.0, 2.5), Box((40.0, 6.0, 5.0)))
    ends = [Body(0.0, (x, 0.0, 2.5), Box((15.0, 6.0, 5.0))) for x in (7.5, 32.5)]
    assert at_rest([whole, weight], FRESH).gm == pytest.approx(0.6, abs=1e-9)
    rest = at_rest([*ends, weight], FRESH)
    inertia = rest.waterplane.second_moments[1, 1]
    assert rest.offset == pytest.approx(2.667, abs=0.0005)
    assert rest.centre_of_buoyancy[2] == pytest.approx(1.3333, abs=0.00005)
    assert inertia / rest.displaced_volume == pytest.approx(1.1250, abs=0.00005)
    assert rest.gm_transverse == pytest.approx(0.5583, abs=0.00005)


def test_list_at_zero_gm() -> None:
    """12,250 t, BM 4.2 m, no GM, 2 t moved 12 m: tan^3 = 2 w d / (W BM); computed 5.58 deg."""
    beam, mass = 20.0, 12250e3
    draught = beam**2 / (12.0 * 4.2)
    length = mass / (SEA * beam * draught)
    height = 0.5 * draught + 4.2
    bodies = [
        Body(0.0, (0.0, 0.0, 10.0), Box((length, beam, 20.0))),
        Body(mass - 2e3, (0.0, 0.0, height)),
        Body(2e3, (0.0, -12.0, height)),
    ]
    rest = at_rest(bodies, SEA)
    assert rest.stable
    assert math.degrees(rest.heel) == pytest.approx(5.58, abs=0.005)
    exact = math.atan((2.0 * 2e3 * 12.0 / (mass * 4.2)) ** (1.0 / 3.0))
    assert rest.heel == pytest.approx(exact, abs=1e-9)


def barge(shift: float) -> tuple[list[Body], float, float]:
    """A box barge 60 x 12 m at 3 m, 40 t of it moved forward by `shift`; GM and BM lengthwise."""
    mass, height = FRESH * 60.0 * 12.0 * 3.0, 3.5
    bodies = [
        Body(0.0, (30.0, 0.0, 4.0), Box((60.0, 12.0, 8.0))),
        Body(mass - 40e3, (30.0, 0.0, height)),
        Body(40e3, (30.0 + shift, 0.0, height)),
    ]
    radius = 60.0**2 / (12.0 * 3.0)
    return bodies, 1.5 + radius - height, radius


def test_trim_of_a_box() -> None:
    """Wall-sided: w d = W (GM + BM tan^2 / 2) tan of the trim, bow down, and no heel."""
    bodies, gm, bm = barge(20.0)
    rest = at_rest(bodies, FRESH)
    slope = math.tan(-rest.trim)
    arm = 40e3 * 20.0 / rest.mass
    assert rest.trim < 0.0
    assert (gm + 0.5 * bm * slope**2) * slope == pytest.approx(arm, rel=1e-9)
    assert rest.heel == pytest.approx(0.0, abs=1e-12)


def test_change_of_trim_by_the_moment_to_change_trim_one_centimetre() -> None:
    """MCTC = W GM / (100 L) of the even keel; its own error is the square of the slope."""
    bodies, gm, bm = barge(20.0)
    rest = at_rest(bodies, FRESH)
    per_centimetre = rest.mass * gm / (100.0 * 60.0)
    change = 40e3 * 20.0 / per_centimetre / 100.0
    slope = math.tan(-rest.trim)
    assert 60.0 * slope == pytest.approx(change, rel=slope**2 * bm / gm)
