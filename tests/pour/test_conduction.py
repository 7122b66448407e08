"""Heat through a slab: against the exact series, and laws that hold for every slab."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flotation.pour import conduction
from flotation.pour.conduction import Course, Matter, Release, Slab, first_pour, pour_on

FOAM = Matter(0.026, 36.0 * 1500.0)
LAMINATE = Matter(0.25, 1600.0 * 1200.0)
RELEASE = Release(45.0, 240.0)
AT_ONCE = Release(0.0, 1e-3)
BARE = Matter(10.0, 10.0)  # so thin and so quick that the outside is at the surroundings


def slab(thickness: float, *, laminate: float = 0.005, film: float = 8.0) -> Slab:
    return Slab(thickness, FOAM, LAMINATE, laminate, film)


def bare(thickness: float) -> Slab:
    return Slab(thickness, FOAM, BARE, 1e-4, 1e5)


def series(fourier: float) -> float:
    """Excess of the middle of a slab whose faces are kept at the surroundings."""
    return (4.0 / math.pi) * math.fsum(
        (-1) ** n / (2 * n + 1) * math.exp(-(((2 * n + 1) * math.pi / 2.0) ** 2) * fourier)
        for n in range(60)
    )


def heat_in(course: Course, temperature: np.ndarray) -> float:
    """J for each m2 and kelvin of rise."""
    width, matter = course.slab.cells
    return float(np.sum(width * [one.capacity for one in matter] * temperature))


def test_the_error_against_the_series_falls_with_the_square_of_the_cells(monkeypatch) -> None:
    time = 0.15 * 0.15**2 * FOAM.capacity / FOAM.conductivity
    errors = []
    for cells in (12, 24, 48):
        monkeypatch.setattr(conduction, "FOAM_CELLS", cells)
        core = first_pour(bare(0.3), AT_ONCE).core([time])[0]
        errors.append(abs(core - series(0.15)))
    assert errors[0] / errors[1] == pytest.approx(4.0, abs=0.5)
    assert errors[1] / errors[2] == pytest.approx(4.0, abs=0.5)
    assert errors[2] < 0.001


@pytest.mark.parametrize("fourier", [0.02, 0.1, 0.379, 1.0])
def test_the_middle_follows_the_series(fourier: float) -> None:
    time = fourier * 0.1**2 * FOAM.capacity / FOAM.conductivity
    core = first_pour(bare(0.2), AT_ONCE).core([time])[0]
    assert core == pytest.approx(series(fourier), abs=0.001)


def test_both_sides_are_alike() -> None:
    temperature = first_pour(slab(0.2), RELEASE).at([100.0, 240.0, 3000.0])
    assert temperature == pytest.approx(temperature[::-1], abs=1e-12)


@settings(max_examples=15, deadline=None)
@given(st.floats(0.03, 0.4), st.floats(0.001, 0.02), st.floats(3.0, 30.0))
def test_what_is_given_off_is_in_the_slab_or_has_left_it(thickness, laminate, film) -> None:
    course = first_pour(slab(thickness, laminate=laminate, film=film), RELEASE)
    end = 3600.0
    times = np.linspace(0.0, end, 2401)
    temperature = course.at(times)
    width, matter = course.slab.cells
    outside = 1.0 / film + 0.5 * width[0] / matter[0].conductivity
    leaving = (temperature[0] + temperature[-1]) / outside
    left = float(np.sum(0.5 * (leaving[1:] + leaving[:-1])) * (times[1] - times[0]))
    released = thickness * FOAM.capacity
    assert heat_in(course, temperature[:, -1]) + left == pytest.approx(released, rel=1e-4)


@settings(max_examples=30, deadline=None)
@given(st.floats(0.02, 0.4), st.floats(0.05, 0.9))
def test_a_lone_layer_is_never_hotter_than_its_adiabatic_rise(thickness, excess) -> None:
    course = first_pour(slab(thickness), RELEASE)
    assert 0.0 < course.peak <= 1.0 + 1e-9
    first, last = course.spell(excess)
    if course.peak <= excess:
        assert (first, last) == (0.0, 0.0)
    else:
        assert course.core([first, last]) == pytest.approx([excess, excess], abs=1e-4)
        assert (course.core(np.linspace(last * 1.01, last * 5.0, 40)) < excess).all()


def test_twice_the_thickness_stays_hot_four_times_as_long() -> None:
    thin, thick = (first_pour(bare(width), AT_ONCE).spell(0.3)[1] for width in (0.1, 0.2))
    assert thick / thin == pytest.approx(4.0, rel=1e-3)


def test_a_thin_layer_loses_heat_while_it_reacts() -> None:
    peaks = [first_pour(slab(width), RELEASE).peak for width in (0.02, 0.04, 0.1)]
    assert peaks == sorted(peaks)
    assert peaks[0] < 0.6
    assert peaks[2] > 0.999


def test_a_better_laminate_to_hold_heat_makes_the_slab_cool_later() -> None:
    bared = first_pour(slab(0.1, film=1e4), RELEASE).spell(0.2)[1]
    still = first_pour(slab(0.1, film=4.0), RELEASE).spell(0.2)[1]
    assert still > 1.1 * bared


def test_foam_poured_on_hot_foam_gets_hotter_and_stays_hot_longer_than_alone() -> None:
    below = first_pour(slab(0.15), RELEASE)
    both = pour_on(below, 240.0, slab(0.25), 0.15)
    alone = first_pour(slab(0.15), RELEASE)
    whole = first_pour(slab(0.25), RELEASE)
    assert both.peak > 1.01
    assert both.spell(0.3)[1] > alone.spell(0.3)[1]
    assert both.spell(0.3)[1] == pytest.approx(whole.spell(0.3)[1], rel=0.05)


@settings(max_examples=30, deadline=None)
@given(st.floats(0.05, 0.3), st.floats(0.02, 0.3), st.floats(0.0, 20000.0))
def test_the_heat_below_is_carried_over(lower, fresh, wait) -> None:
    below = first_pour(slab(lower), RELEASE)
    both = pour_on(below, wait, slab(lower + fresh), fresh)
    width, _ = below.slab.cells
    new_width, _ = both.slab.cells
    was, now = below.at([wait])[2:-2, 0], both.initial[2:-2]
    assert np.sum(new_width[2:-2] * now) == pytest.approx(np.sum(width[2:-2] * was), rel=1e-9)
    assert np.sum(new_width * both.fresh) == pytest.approx(fresh, rel=1e-9)


def test_only_the_uppermost_part_below_counts_where_the_ball_reaches_no_deeper() -> None:
    """Hot foam on foam that has cooled: what lies next below is the hot part."""
    cold = first_pour(slab(0.1), RELEASE)
    below = pour_on(cold, 50_000.0, slab(0.2), 0.1)
    both = pour_on(below, 240.0, slab(0.2), 0.15)
    width, _ = both.slab.cells
    assert np.sum(width * (1.0 - both.fresh)) == pytest.approx(0.05 + 2 * 0.005, rel=1e-9)
    heat_below = np.cumsum(below.slab.cells[0] * below.at([240.0])[:, 0])[2:-2]
    from_bottom = np.cumsum(below.slab.cells[0][2:-2])
    uppermost = heat_below[-1] - np.interp(0.15, from_bottom, heat_below)
    assert np.sum((width * both.initial)[2:-2]) == pytest.approx(uppermost, rel=1e-6)
    assert uppermost > 0.04


def test_old_foam_that_has_cooled_is_no_hotter_than_none() -> None:
    below = first_pour(slab(0.15), RELEASE)
    later = pour_on(below, 200_000.0, slab(0.3), 0.15)
    assert later.peak <= 1.0 + 1e-9
