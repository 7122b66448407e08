"""The outline of a solid is the edge of its shadow."""

import numpy as np
import pytest
from numpy.typing import NDArray

from flotation.errors import MeshError
from flotation.geometry.shapes_outline import View, outline
from flotation.geometry.solid import Solid

CORNERS = np.array([[x, y, z] for x in (0, 1) for y in (0, 1) for z in (0, 1)], dtype=float)
FACES = np.array(
    [
        *([0, 1, 3], [0, 3, 2], [4, 6, 7], [4, 7, 5], [0, 4, 5], [0, 5, 1]),
        *([2, 3, 7], [2, 7, 6], [0, 2, 6], [0, 6, 4], [1, 5, 7], [1, 7, 3]),
    ]
)


def block(low: tuple[float, ...], high: tuple[float, ...]) -> Solid:
    return Solid(np.array(low) + CORNERS * (np.array(high) - np.array(low)), FACES)


def together(*solids: Solid) -> Solid:
    starts = np.cumsum([0, *(len(solid.vertices) for solid in solids)])
    return Solid(
        np.concatenate([solid.vertices for solid in solids]),
        np.concatenate([solid.faces + start for solid, start in zip(solids, starts, strict=False)]),
    )


def area(ring: NDArray[np.float64]) -> float:
    x, y = ring.T
    return 0.5 * float(x @ np.roll(y, -1) - y @ np.roll(x, -1))


def test_a_box_is_a_rectangle_from_above_and_from_the_side() -> None:
    box = block((0.0, 0.0, 0.0), (2.0, 1.0, 0.5))
    (plan,), (side,) = outline(box, View.PLAN), outline(box, View.SIDE)
    assert sorted(map(tuple, plan)) == [(0, 0), (0, 1), (2, 0), (2, 1)]
    assert sorted(map(tuple, side)) == [(0, 0), (0, 0.5), (2, 0), (2, 0.5)]


def test_outer_rings_run_counterclockwise() -> None:
    box = block((0.0, 0.0, 0.0), (2.0, 1.0, 0.5))
    assert area(outline(box, View.PLAN)[0]) == pytest.approx(2.0)
    assert area(outline(box, View.SIDE)[0]) == pytest.approx(1.0)


def test_what_lies_on_top_of_each_other_is_one_shadow() -> None:
    pair = together(block((0, 0, 0), (2, 1, 1)), block((1, 0, 2), (3, 1, 3)))
    assert sum(area(ring) for ring in outline(pair, View.PLAN)) == pytest.approx(3.0)
    assert len(outline(pair, View.PLAN)) == 1
    assert sum(area(ring) for ring in outline(pair, View.SIDE)) == pytest.approx(4.0)


def test_a_frame_has_a_hole() -> None:
    bars = [
        block((0, 0, 0), (3, 1, 1)),
        block((0, 2, 0), (3, 3, 1)),
        block((0, 0, 2), (1, 3, 3)),
        block((2, 0, 2), (3, 3, 3)),
    ]
    rings = outline(together(*bars), View.PLAN)
    assert sorted(round(area(ring), 9) for ring in rings) == [-1.0, 9.0]


def test_what_the_library_refuses_is_told_and_not_left_out() -> None:
    open_box = object.__new__(Solid)  # past the check that a Solid makes
    object.__setattr__(open_box, "vertices", CORNERS)
    object.__setattr__(open_box, "faces", FACES[1:])
    object.__setattr__(open_box, "name", "lid.stl")
    with pytest.raises(MeshError, match=r"lid\.stl: its outline cannot be drawn"):
        outline(open_box, View.PLAN)


@pytest.mark.parametrize("count", [64, 128])
def test_a_finely_cut_disc_loses_no_more_than_its_detail(count: int) -> None:
    turn = np.arange(count) * 2.0 * np.pi / count
    ring = np.column_stack((np.cos(turn), np.sin(turn)))
    low, high = np.c_[ring, np.zeros(count)], np.c_[ring, np.ones(count)]
    vertices = np.vstack((low, high, [[0, 0, 0], [0, 0, 1]]))
    i, j = np.arange(count), (np.arange(count) + 1) % count
    faces = np.vstack(
        (
            np.c_[i, j, i + count],
            np.c_[j, j + count, i + count],
            np.c_[j, i, np.full(count, 2 * count)],
            np.c_[i + count, j + count, np.full(count, 2 * count + 1)],
        )
    )
    found = sum(area(ring) for ring in outline(Solid(vertices, faces), View.PLAN, detail=0.001))
    exact = 0.5 * count * np.sin(2.0 * np.pi / count)
    rounding = 1e-6  # the library's own, some 1e-9 m along the edge
    assert exact - 2.0 * np.pi * 0.001 <= found <= exact + rounding
