"""Manual page of a 4 lb water-blown slab-lifting system (read): weights of its two liquids.

Isocyanate 10.25 lb/gal = 1.228 kg/L, polyol 9.7 lb/gal = 1.162 kg/L; gallons are US gallons.
"""

import pytest

from flotation import units


@pytest.mark.parametrize(("printed", "kilograms_per_litre"), [("9.7", 1.162), ("10.25", 1.228)])
def test_pounds_a_gallon(printed: str, kilograms_per_litre: float) -> None:
    density = units.density(f"{printed} lb/US gal")
    assert density / 1000.0 == pytest.approx(kilograms_per_litre, abs=0.0005)
