"""Vents are proposed where they free air, and no more of them than that."""

import math

import numpy as np
import pytest

from flotation.geometry.airvents import MOST, further_vents
from flotation.geometry.shapes import prism

UP = np.array([0.0, 0.0, 1.0])
WIDE = 0.3
PEAKS = prism(
    [
        (x, 0.0, z)
        for x, z in ((0, 0), (2, 0), (2, 0.2), (1.5, 0.6), (1, 0.3), (0.5, 0.5), (0, 0.2))
    ],
    (0.0, WIDE, 0.0),
)
NONE = np.empty((0, 3))


def test_each_of_two_peaks_gets_its_vent_and_then_nothing_is_caught() -> None:
    ridge = np.array([(0.5, 0.1, 0.5), (1.5, 0.2, 0.6), (1.4, 0.1, 0.52)])
    found = further_vents(PEAKS, UP, [(1.0, 0.1, 0.3)], ridge, 1e-6)
    assert [vent.at for vent in found.vents] == [(1.5, 0.2, 0.6), (0.5, 0.1, 0.5)]
    assert [vent.drillable for vent in found.vents] == [True, True]
    assert found.vents[0].frees == pytest.approx(0.5 * 0.3 * (0.5 + 0.375) * WIDE)
    assert found.still_caught == 0.0


def test_a_vent_beside_the_ridge_frees_what_is_below_it() -> None:
    found = further_vents(PEAKS, UP, [(0.5, 0.1, 0.5)], np.array([(1.25, 0.1, 0.45)]), 1e-6)
    (vent,) = found.vents
    assert vent.at == (1.25, 0.1, 0.45)
    left = 0.5 * 0.15**2 * (0.5 / 0.3 + 0.5 / 0.4) * WIDE
    assert found.still_caught == pytest.approx(left)
    assert vent.frees == pytest.approx(0.5 * 0.3 * (0.5 + 0.375) * WIDE - left)


def test_without_a_place_to_drill_the_top_itself_is_named() -> None:
    (vent,) = further_vents(PEAKS, UP, [(0.5, 0.1, 0.5)], NONE, 1e-6).vents
    assert vent.at == pytest.approx((1.5, 0.5 * WIDE, 0.6))
    assert not vent.drillable


def test_crumbs_need_no_vent_and_open_peaks_get_none() -> None:
    assert further_vents(PEAKS, UP, [(0.5, 0.1, 0.5)], NONE, 1.0).vents == ()
    both = [(0.5, 0.1, 0.5), (1.5, 0.1, 0.6)]
    assert further_vents(PEAKS, UP, both, NONE, 1e-6).vents == ()


def test_a_saw_of_many_teeth_gets_no_more_than_the_stated_number() -> None:
    teeth = MOST + 2
    roof = [(i / 2.0, 0.0, 0.2 + 0.1 * (i % 2)) for i in range(2 * teeth, -1, -1)]
    saw = prism([(0.0, 0.0, 0.0), (float(teeth), 0.0, 0.0), *roof], (0.0, WIDE, 0.0))
    found = further_vents(saw, UP, [(0.0, 0.1, 0.2)], NONE, 1e-6)
    assert len(found.vents) == MOST
    freed = math.fsum(vent.frees for vent in found.vents)
    assert freed == pytest.approx(MOST * 0.5 * 0.1 * WIDE)
    assert found.still_caught == pytest.approx(2 * 0.5 * 0.1 * WIDE)
