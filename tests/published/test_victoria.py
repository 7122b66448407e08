"""State of Victoria, Australia, fact sheet "Buoyancy in boats", July 2012.

The worked example: aluminium hull and deck 425 kg, machinery and fittings 135 kg, foam of
35 kg/m3; printed 0.496 m3, one piece of 0.75 x 0.40 x 0.35 m being 0.105 m3.
"""

import pytest
from small_boats import box, material

from flotation.rulebook import load_rulebook
from flotation.swamped.victoria import foam_volume
from flotation.workings import COMPUTED, Term

BOOK = load_rulebook("victoria_2012")
FITTINGS = Term("F", 135.0, "kg", COMPUTED)
DENSITY = Term("D", 35.0, "kg/m3", COMPUTED)


def test_example_volume_of_foam() -> None:
    (factor,) = (k for k in material("aluminium").published if k.name == "victoria")
    hull = Term("MK", 425.0 * factor.value, "kg", COMPUTED)
    asked = foam_volume(hull, FITTINGS, DENSITY, BOOK).value
    assert asked == pytest.approx(0.496, abs=0.0005)


def test_example_timber_hull_counts_with_its_fittings_alone() -> None:
    asked = foam_volume(Term("MK", 0.0, "kg", COMPUTED), FITTINGS, DENSITY, BOOK).value
    assert asked == pytest.approx(1.2 * 135.0 / 965.0)


def test_example_piece_of_foam() -> None:
    assert box((0.0, 0.0, 0.0), (0.75, 0.40, 0.35)).volume == pytest.approx(0.105)


@pytest.mark.parametrize(
    ("name", "printed"), [("fibreglass laminate", 0.375), ("aluminium", 0.62), ("steel", 0.87)]
)
def test_table_of_k(name: str, printed: float) -> None:
    values = [k.value for k in material(name).published if k.name == "victoria"]
    assert values == [printed]
