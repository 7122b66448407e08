"""EOS-80, the equation of state of sea water at one atmosphere.

N. P. Fofonoff and R. C. Millard, "Algorithms for computation of fundamental properties of
seawater", UNESCO technical papers in marine science 44 (1983). The polynomial is recalled; its
own check values (kg/m3: 999.96675 and 1027.67547 at 5 C, 1023.34306 at S = 35 and 25 C) are
tested first.
"""

import re

import pytest

from flotation.rulebook import water_density, waters

LB_PER_FT3 = 0.45359237 / 0.3048**3


def eos80(celsius: float, salinity: float = 0.0) -> float:
    t, s = celsius, salinity
    pure = (
        999.842594
        + 6.793952e-2 * t
        - 9.095290e-3 * t**2
        + 1.001685e-4 * t**3
        - 1.120083e-6 * t**4
        + 6.536332e-9 * t**5
    )
    a = 8.24493e-1 - 4.0899e-3 * t + 7.6438e-5 * t**2 - 8.2467e-7 * t**3 + 5.3875e-9 * t**4
    b = -5.72466e-3 + 1.0227e-4 * t - 1.6546e-6 * t**2
    return pure + a * s + b * s**1.5 + 4.8314e-4 * s**2


@pytest.mark.parametrize(
    ("celsius", "salinity", "printed"),
    [(5.0, 0.0, 999.96675), (5.0, 35.0, 1027.67547), (25.0, 35.0, 1023.34306)],
)
def test_check_values(celsius: float, salinity: float, printed: float) -> None:
    assert eos80(celsius, salinity) == pytest.approx(printed, abs=5e-6)


def dated_waters() -> list[str]:
    return [name for name in waters() if name.endswith("degC")]


def test_every_temperature_is_there() -> None:
    assert len(dated_waters()) == 6


@pytest.mark.parametrize("name", dated_waters())
def test_table(name: str) -> None:
    found = re.fullmatch(r"(fresh|salt) (\d+) degC", name)
    assert found is not None
    salinity = 35.0 if found[1] == "salt" else 0.0
    assert water_density(name) == pytest.approx(eos80(float(found[2]), salinity), abs=0.0005)


@pytest.mark.parametrize(("name", "printed"), [("fresh", 62.4), ("salt", 64.0)])
def test_rounded_values_of_the_rules(name: str, printed: float) -> None:
    assert water_density(name) / LB_PER_FT3 == pytest.approx(printed)


def test_an_unknown_water_names_the_file() -> None:
    with pytest.raises(KeyError, match="waters has no number 'brackish'"):
        water_density("brackish")
