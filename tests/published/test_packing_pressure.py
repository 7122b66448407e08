"""Pressure of packed foam by the ideal gas law, and heat by the slab series: computed values.

No measured source was read. The table was computed once by hand from
p_abs / p0 = (1/rho_f - 1/rho_s) / (1/rho_p - 1/rho_s) with solid polymer of 1200 kg/m3 and
101.325 kPa; four equal lifts at 1.10, the lower ones risen freely, pack the last to 1.57 and
press with about 60 kPa, five with 89 kPa; heating from 373 to 413 K adds about 11 kPa. A slab's
centre has lost half of its excess at Fourier number 0.379: at 32 kg/m3 300 mm after 263 min,
50 mm after 7 min. Tolerance: half the last digit.
"""

import math

import pytest
from scipy.optimize import brentq

from flotation.pour.figures import figure
from flotation.pour.foam import half_heat_time, heating_pressure, packing_pressure
from flotation.workings import Term

TABLE = {
    32.0: {5: 5.2, 10: 10.4, 15: 15.7, 20: 20.9, 25: 26.2},
    64.0: {5: 5.4, 10: 10.8, 15: 16.2, 20: 21.7, 25: 27.1},
}


def pressure(density: float, packing: float) -> float:
    """kPa."""
    terms = Term("minimum_fill", density, "kg/m3"), Term("packing", packing, "1")
    return packing_pressure("", *terms).value / 1000.0


@pytest.mark.parametrize(
    ("density", "percent", "printed"),
    [(density, over, value) for density, row in TABLE.items() for over, value in row.items()],
)
def test_table_of_overpack(density: float, percent: float, printed: float) -> None:
    assert pressure(density, 1.0 + percent / 100.0) == pytest.approx(printed, abs=0.05)


@pytest.mark.parametrize(("lifts", "packing", "printed"), [(4, 1.57, 60.0), (5, 1.83, 89.0)])
def test_overpack_in_every_lift_would_press_on_the_last(
    lifts: int, packing: float, printed: float
) -> None:
    last = 1.10 / (lifts - (lifts - 1) * 1.10)
    assert last == pytest.approx(packing, abs=0.005)
    assert pressure(32.0, last) == pytest.approx(printed, abs=0.5)


def test_heating_after_gel() -> None:
    assert heating_pressure().value / 1000.0 == pytest.approx(11.0, abs=0.5)


def test_half_of_the_heat_is_gone_at_fourier_0_379() -> None:
    """(4/pi) sum (-1)^n/(2n+1) exp(-((2n+1) pi/2)^2 Fo) = 1/2."""

    def excess(fourier: float) -> float:
        return (4.0 / math.pi) * math.fsum(
            (-1) ** n / (2 * n + 1) * math.exp(-(((2 * n + 1) * math.pi / 2.0) ** 2) * fourier)
            for n in range(20)
        )

    assert brentq(lambda fourier: excess(fourier) - 0.5, 0.1, 1.0) == pytest.approx(
        figure("half_fourier").value, abs=0.0005
    )


@pytest.mark.parametrize(
    ("width", "density", "minutes"),
    [(0.05, 32.0, 7), (0.10, 32.0, 29), (0.15, 32.0, 66), (0.30, 32.0, 263)],
)
def test_half_times_of_slabs(width: float, density: float, minutes: float) -> None:
    """k 0.026 W/mK, c 1500 J/kgK; the printed diffusivity 5.4e-7 m2/s is rounded by 0.3 %."""
    line = half_heat_time("", Term("width", width, "m"), Term("density", density, "kg/m3"))
    assert line.value / 60.0 == pytest.approx(minutes, rel=0.003, abs=0.5)
