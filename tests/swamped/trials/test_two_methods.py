"""General method and simulation weigh the same boat once everything is under water."""

from dataclasses import replace

import pytest
from afloat_boats import afloat_skiff, basin, everything_afloat, low_skiff, worked
from pytest import approx
from small_boats import skiff_foam

from flotation.boat import Propulsion
from flotation.swamped.trials import in_the_water
from flotation.swamped.trials.two_methods import EXPLAINED, LEFT_OVER, compare


def capped(boat):
    return replace(boat, method=replace(boat.method, credit_cap=True, wood_lifts=True))


BOATS = {
    "skiff": (afloat_skiff(), skiff_foam()),
    "foam low": low_skiff(),
    "tank and chambers": (everything_afloat(), skiff_foam()),
    "capped, wood lifting": (capped(everything_afloat()), skiff_foam()),
    "inboard": (replace(everything_afloat(), propulsion=Propulsion.INBOARD), skiff_foam()),
    "two horsepower": (replace(everything_afloat(), rated_power=1000.0), skiff_foam()),
}


@pytest.mark.parametrize("name", BOATS)
def test_both_leave_the_same_over(name: str) -> None:
    boat, foam = BOATS[name]
    found = in_the_water(worked(boat, foam))
    lines = {line.label: line.value for section in found.sections for line in section.lines}
    assert lines[LEFT_OVER] == approx(lines[EXPLAINED], abs=1e-9)
    assert lines[LEFT_OVER] > 50.0


def test_what_the_list_has_above_the_water_is_told_apart() -> None:
    given = worked(*BOATS["skiff"])
    tank = basin(*BOATS["skiff"])
    laden = (
        *tank.swamped.pieces(tank.swamped.stated),
        *tank.loads.aboard(1.0, "", tank.swamped.stated),
    )
    lines = {line.label: line.value for line in compare(tank.swamped, given.general, laden).lines}
    assert lines["Lift of what the list has above the waterline"] == approx(12.0 * 0.37)
