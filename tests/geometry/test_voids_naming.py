"""Names of voids by place: they stay with their void when a mesh is refined."""

import numpy as np
import pytest
from cavity_parts import block, disc, pipe
from hypothesis import given
from hypothesis import strategies as st

from flotation.geometry.voids import Void, find_cavities
from flotation.geometry.voids.naming import NoSuchVoid, names_by_place, void_named

NOTHING = np.zeros((0, 3))


def void(x: float, y: float, z: float, volume: float = 1.0) -> Void:
    """A void of which only place and volume matter."""
    solid = block((0, 0, 0), (1, 1, 1))
    return Void(solid, volume, 0.0, np.array([x, y, z]), (), (), (), (), 0.0)


def test_a_name_says_where() -> None:
    voids = [void(1.75, 0.33, 0.15), void(1.75, -0.33, 0.15), void(0.4, 0.01, -0.02)]
    assert names_by_place(voids) == (
        "1.75 port 0.33 up 0.15",
        "1.75 starboard 0.33 up 0.15",
        "0.40 centre up -0.02",
    )


@given(st.integers(-2000, 8000), st.integers(30, 2000), st.sampled_from([-1.0, 1.0]), st.data())
def test_a_name_of_a_place_in_half_millimetres_does_not_change_when_it_moves_a_little(
    x: int, y: int, side: float, data: st.DataObject
) -> None:
    drawn = np.array([x, side * y, 300]) * 0.0005
    moved = drawn + data.draw(st.tuples(*[st.floats(-1e-4, 1e-4)] * 3))
    assert names_by_place([void(*drawn)]) == names_by_place([void(*moved)])


def test_a_name_is_understood_for_a_void_that_has_moved_by_a_centimetre() -> None:
    assert (
        void_named("1.75 port 0.33 up 0.15", [void(0.2, 0.33, 0.15), void(1.76, 0.32, 0.16)]) == 1
    )


@pytest.mark.parametrize("name", ["1.75 port 0.33 up 0.15", "locker", "1.75 port up 0.15", ""])
def test_a_name_that_means_none_is_refused(name: str) -> None:
    with pytest.raises(NoSuchVoid):
        void_named(name, [void(1.78, 0.33, 0.15)])


def test_a_name_that_means_more_than_one_is_refused() -> None:
    with pytest.raises(NoSuchVoid, match="more than one"):
        void_named("1.75 port 0.33 up 0.15", [void(1.765, 0.33, 0.15), void(1.735, 0.33, 0.15)])


def test_voids_one_inside_the_other_get_letters_the_largest_first() -> None:
    voids = [void(1.0, 0.5, 0.2, 0.1), void(1.0, 0.5, 0.2, 0.4)]
    assert names_by_place(voids) == ("1.00 port 0.50 up 0.20 b", "1.00 port 0.50 up 0.20 a")
    assert void_named("1.00 port 0.50 up 0.20 b", voids) == 0


@pytest.mark.parametrize("sides", [12, 24, 96])
def test_names_stay_when_the_mesh_is_refined(sides: int) -> None:
    radius = 0.2 * np.sqrt(2.0 * np.pi / (sides * np.sin(2.0 * np.pi / sides)))
    ends = [0.0, 0.43, 1.0]
    parts = [pipe(radius, radius + 0.01, sides, (0.0, 1.0), "shell", steps=sides // 6)]
    parts += [disc(radius + 0.005, sides, x - 0.005, x + 0.005, f"end {x}") for x in ends]
    found = find_cavities(parts, gap=0.002)
    assert [
        void_named(name, found.voids) for name in ("0.71 centre up 0.00", "0.22 centre up 0.00")
    ] == [0, 1]
    assert names_by_place(found.voids) == ("0.72 centre up 0.00", "0.22 centre up 0.00")
