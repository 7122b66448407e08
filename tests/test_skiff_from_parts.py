"""The example skiff from its parts: the cavities found are those that were drawn by hand."""

from pathlib import Path

import pytest

from flotation.boat import Boat
from flotation.boatfile import read_boat

SKIFF = Path(__file__).parent.parent / "meshes" / "skiff"
NAMES = (
    "side port", "side starboard", "grid longitudinal port", "grid longitudinal starboard",
    "grid transverse aft", "grid transverse middle", "grid transverse forward", "tank bay",
    "bay aft", "bay forward",
)  # fmt: skip


@pytest.fixture(scope="module")
def drawn() -> Boat:
    return read_boat(SKIFF / "skiff.toml")


@pytest.fixture(scope="module")
def found() -> Boat:
    return read_boat(SKIFF / "skiff_from_parts.toml")


@pytest.mark.parametrize("name", NAMES)
def test_a_found_cavity_has_the_drawn_volume_within_half_a_percent_and_its_bound(
    name: str, drawn: Boat, found: Boat
) -> None:
    expected, cavity = drawn.cavity(name), found.cavity(name)
    off = abs(cavity.solid.volume - expected.solid.volume)
    assert cavity.found is not None
    assert off < cavity.found.volume_error < 0.01 * expected.solid.volume
    assert off < 0.005 * expected.solid.volume


def test_nothing_is_left_over_and_nothing_leaks(drawn: Boat, found: Boat) -> None:
    assert [cavity.name for cavity in found.cavities] == [one.name for one in drawn.cavities]
    assert sorted(NAMES) == sorted(cavity.name for cavity in found.cavities)
    assert not any("not used as" in note or "wider than the gap" in note for note in found.notes)
    assert len(found.parts) == len(drawn.parts)
