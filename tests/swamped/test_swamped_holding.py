"""Uplift against hold-down, tanks in foam, exposed places."""

import math
from dataclasses import replace

import pytest
from small_boats import FOAM, FRESH, SIDE, cavity, poured, skiff

from flotation.boat import Boat, Exposure, TakenOut
from flotation.geometry.shapes import box
from flotation.swamped.assess import assess
from flotation.swamped.assessment import Finding

UPLIFT = SIDE.volume * (FRESH - 36.96) * 9.80665
TANK = box((1.0, 0.66, 0.4), (0.4, 0.1, 0.1))


def with_side(**changes: object) -> Boat:
    return replace(skiff(), cavities=(replace(cavity("side port", SIDE), **changes),))


def findings(boat: Boat, words: str) -> list[Finding]:
    result = assess(boat, (poured("side port", SIDE),))
    return [finding for finding in result.findings if words in finding.advice]


def uplift(boat: Boat) -> float:
    lines = assess(boat, (poured("side port", SIDE),)).lines
    (line,) = (line for line in lines if line.label == "u1 side port, uplift")
    return line.value


def test_dry_foam_pulls_hardest() -> None:
    assert uplift(with_side()) == pytest.approx(UPLIFT)
    wet = assess(with_side(), (poured("side port", SIDE, uptake=50.0),))
    (line,) = (line for line in wet.lines if line.label == "u1 side port, uplift")
    assert line.value == pytest.approx(UPLIFT)


def test_sea_water_pulls_harder_though_it_is_not_credited() -> None:
    salt = replace(with_side(), water=1025.18, water_name="salt")
    assert uplift(salt) == pytest.approx(SIDE.volume * (1025.18 - 36.96) * 9.80665)
    assert uplift(replace(salt, water=997.05)) == pytest.approx(
        SIDE.volume * (997.05 - 36.96) * 9.80665
    )


@pytest.mark.parametrize(
    ("hold_down", "heeded"),
    [(UPLIFT, True), (math.nextafter(UPLIFT, 0.0), True), (UPLIFT - 1.0, False), (None, None)],
)
def test_hold_down_is_inclusive_and_may_be_unknown(
    hold_down: float | None, heeded: bool | None
) -> None:
    (found,) = findings(with_side(hold_down=hold_down, hold_down_by="bonded flange"), "uplift")
    assert found.heeded is heeded
    assert ("bonded flange" in found.found) is (hold_down is not None)


def tank(kind: str, *, alone: bool) -> Boat:
    return with_side(taken_out=(TakenOut("fuel tank", TANK, TANK.volume, kind, alone),))


@pytest.mark.parametrize(
    ("kind", "alone", "section", "heeded"),
    [
        ("metallic", True, "183.550(f)", False),
        ("metallic", False, "183.550(f)", True),
        ("non-metallic", True, "183.550(g)", None),
        ("non-metallic", False, "183.550(g)", True),
    ],
)
def test_foam_as_the_support_of_a_tank(
    kind: str, alone: bool, section: str, heeded: bool | None
) -> None:
    (found,) = findings(tank(kind, alone=alone), "only support" if kind == "metallic" else "alone")
    assert found.subject == "fuel tank in side port"
    assert found.heeded is heeded
    assert found.criterion is not None
    assert section in str(found.criterion.source)


def test_foam_around_a_metallic_tank_is_to_be_looked_at() -> None:
    (found,) = findings(tank("metallic", alone=False), "no water held")
    assert found.heeded is None
    assert findings(tank("non-metallic", alone=False), "no water held") == []


def test_a_tube_in_the_foam_is_no_tank() -> None:
    tube = with_side(taken_out=(TakenOut("rigging tube", TANK, TANK.volume, None, False),))
    assert findings(tube, "tank") == []


@pytest.mark.parametrize("exposure", [e for e in Exposure if e is not Exposure.NONE])
def test_an_exposed_cavity_asks_for_the_suppliers_statement(exposure: Exposure) -> None:
    boat = with_side(exposure=exposure)
    (found,) = findings(boat, "buoyant force")
    assert found.heeded is False
    assert str(exposure) in found.found
    stated = replace(FOAM, fuel_statement="tested", fuel_statement_date="2026-03-02")
    (found,) = findings(replace(boat, foams=(stated,)), "buoyant force")
    assert found.heeded is True
    assert '2026-03-02, not judged here: "tested"' in found.found


def test_a_cavity_that_is_not_exposed_asks_for_nothing() -> None:
    assert findings(with_side(), "buoyant force") == []
