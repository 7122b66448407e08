"""Pressure on panels, lid and flanges, and the way out for the air."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pour_boats import FOAM, SHOP, TOP, boat, box, cavity, hole, side

from flotation import plan_pours
from flotation.boat import Cavity, HoleKind
from flotation.boat_panels import Panel
from flotation.geometry.cavities import take_out
from flotation.geometry.shapes import mirrored
from flotation.pour.effects import Pressing
from flotation.pour.foam import foam_today, packing_pressure
from flotation.pour.panels import coefficients, load_on
from flotation.pour.pressing import area_above
from flotation.workings import Term

PANEL = Panel("sole", 0.4, 0.4, 0.006, 9e9, 50e6, 0.003, 0.05, 4000.0, "boat.toml panel")
MINIMUM = Term("minimum_fill", 35.2, "kg/m3")
HEATING = Term("heating", 4000.0, "Pa")


def pressing(one: Cavity, **changes: float) -> Pressing:
    foam = replace(FOAM, **changes)
    (found,) = plan_pours(boat(one, foam=foam)).pours
    assert found.pressing is not None
    return found.pressing


def with_panel(panel: Panel) -> Cavity:
    return replace(side(), panels=(panel,))


def cautions(one: Cavity) -> str:
    return "\n".join(plan_pours(boat(one)).cautions)


def test_the_pressure_is_the_closing_lifts_and_heatings() -> None:
    found = pressing(side())
    assert found.packing_pressure == pytest.approx(5227.0, abs=1.0)
    assert found.heating_pressure == pytest.approx(10866.0, abs=1.0)
    assert found.pressure == found.packing_pressure + found.heating_pressure
    assert found.lines[0].value == found.pressure


@settings(max_examples=50, deadline=None)
@given(
    st.floats(0.1, 0.8),
    st.floats(1.0, 5.0),
    st.floats(0.003, 0.012),
    st.floats(3e9, 2e10),
    st.floats(5e6, 2e8),
)
def test_at_the_largest_overpack_the_first_limit_is_just_reached(span, long, thick, stiff, strong):
    panel = replace(
        PANEL,
        short_span=span,
        long_span=long * span,
        thickness=thick,
        modulus=stiff,
        strength=strong,
        deflection_limit=span / 100.0,
    )
    overpack = load_on(panel, "cavity", HEATING, HEATING, MINIMUM).load.largest_overpack
    assert overpack is not None
    packed = packing_pressure("", MINIMUM, Term("packing", overpack, "1")).value
    pressure = Term("pressure", packed + HEATING.value, "Pa")
    load = load_on(panel, "cavity", pressure, HEATING, MINIMUM).load
    assert panel.strength is not None
    assert panel.deflection_limit is not None
    assert panel.peel_strength is not None
    used = max(
        load.deflection / panel.deflection_limit,
        load.stress / panel.strength,
        load.edge_load / panel.peel_strength,
    )
    assert used == pytest.approx(1.0, rel=1e-6)


@pytest.mark.parametrize(
    "limit",
    [{"strength": 1e6}, {"deflection_limit": 1e-5}, {"peel_strength": 10.0, "flange_width": 0.05}],
)
def test_each_limit_alone_is_looked_at(limit: dict[str, float]) -> None:
    bare = replace(
        PANEL, strength=None, deflection_limit=None, flange_width=None, peel_strength=None
    )
    assert pressing(with_panel(bare)).panels[0].within
    assert pressing(with_panel(bare)).panels[0].largest_overpack is None
    assert not pressing(with_panel(replace(bare, **limit))).panels[0].within


def test_a_panel_that_bears_it_is_no_caution() -> None:
    assert pressing(with_panel(PANEL)).panels[0].within
    assert "panel" not in cautions(with_panel(PANEL))


def test_a_panel_that_bears_less_overpack_is_told_how_much() -> None:
    """16.1 kPa against a strength reached at some 13 kPa: the overpack may be 2 %."""
    weak = replace(PANEL, strength=0.3078 * 13000.0 * 0.4**2 / 0.006**2)
    (load,) = pressing(with_panel(weak)).panels
    assert load.largest_overpack == pytest.approx(1.02, abs=0.005)
    text = cautions(with_panel(weak))
    assert "the panel sole is stressed to 22.0 MPa" in text
    assert "overpack by at most 2.0" in text


def test_a_panel_that_heating_alone_breaks_must_be_braced() -> None:
    weak = replace(PANEL, deflection_limit=0.001)
    (load,) = pressing(with_panel(weak)).panels
    assert load.largest_overpack is not None
    assert load.largest_overpack < 1.0
    assert "brace it: what heating may add is too much" in cautions(with_panel(weak))


def test_the_bond_carries_half_of_what_lies_between_two_flanges() -> None:
    found = pressing(with_panel(PANEL))
    (load,) = found.panels
    assert load.edge_load == pytest.approx(found.pressure * 0.2)
    bond = next(line for line in found.lines if "bond" in line.label)
    assert bond.value == pytest.approx(load.edge_load / 0.05)


@pytest.mark.parametrize("spans", [(0.5, 0.4), (0.0, 0.4), (-0.1, 0.4)])
def test_spans_the_wrong_way_round_are_refused(spans: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="short span"):
        coefficients(*spans)


@given(st.floats(0.001, 1.0), st.floats(0.001, 1.0))
def test_a_longer_panel_is_never_stiffer(one: float, other: float) -> None:
    square, long = sorted((one, other), reverse=True)
    assert coefficients(long, 1.0).deflection.value >= coefficients(square, 1.0).deflection.value
    assert coefficients(long, 1.0).stress.value >= coefficients(square, 1.0).stress.value


def test_the_lid_is_the_shadow() -> None:
    assert area_above(side().solid, (0.0, 0.0, 1.0)) == pytest.approx(3.0 * 0.2)
    assert area_above(side().solid, (0.0, 1.0, 0.0)) == pytest.approx(3.0 * 0.5)
    assert area_above(mirrored(side().solid), (0.0, 0.0, 1.0)) == pytest.approx(0.6)
    tilted = (math.sin(0.3), 0.0, math.cos(0.3))
    shadow = 0.2 * (3.0 * math.cos(0.3) + 0.5 * math.sin(0.3))
    assert area_above(side().solid, tilted) == pytest.approx(shadow)


def test_a_tank_inside_takes_nothing_off_the_lid_and_adds_nothing_to_it() -> None:
    whole = box((0.0, 0.0, 0.0), (1.0, 0.5, 0.5))
    left = take_out(whole, [box((0.2, 0.1, 0.1), (0.8, 0.4, 0.3))])
    assert area_above(left, (0.0, 0.0, 1.0)) == pytest.approx(0.5)


def test_what_holds_the_lid_down_is_held_against_the_uplift() -> None:
    found = pressing(side())
    assert found.uplift == pytest.approx(found.pressure * 0.6)
    held = replace(side(), hold_down=found.uplift * 1.01, hold_down_by="bolts")
    assert "held down" not in cautions(held)
    loose = replace(side(), hold_down=found.uplift * 0.99, hold_down_by="bolts")
    assert "side port 9656 N" in cautions(loose)
    assert "(bolts)" in cautions(loose)
    assert "held down" not in cautions(side())


def test_as_much_stays_open_for_air_as_foam_goes_in_through() -> None:
    """One fill hole of 30 mm; the vents together must measure as much."""
    one = side()
    fill, vent = one.holes
    assert "for air" not in cautions(one)  # its vent is 30 mm too
    small = replace(one, holes=(fill, replace(vent, diameter=0.012)))
    found = pressing(small)
    assert found.open_area == pytest.approx(113.1e-6, rel=1e-3)
    assert found.fill_area == pytest.approx(706.9e-6, rel=1e-3)
    assert "side port 113 mm² of 707 mm²" in cautions(small)
    more = [hole(f"V{i}", (0.1 * i, 0.7, TOP), HoleKind.VENT) for i in range(1, 4)]
    assert "for air" not in cautions(replace(one, holes=(fill, vent, *more)))


def test_a_second_fill_hole_lets_air_out_while_foam_goes_in_through_the_first() -> None:
    one = cavity(
        "one",
        box((0.0, 0.0, 0.0), (1.0, 0.2, 0.2)),
        hole("A", (0.2, 0.1, 0.2)),
        hole("B", (0.8, 0.1, 0.2)),
    )
    assert pressing(one).open_area == pytest.approx(pressing(one).fill_area)


def test_the_air_leaves_by_the_orifice_formula() -> None:
    """0.12 m3 of room in 125 s through a hole of 12 mm: 1.15 L/s at 17 m/s press with 173 Pa."""
    one = side(depth=0.2)
    fill, vent = one.holes
    found = pressing(replace(one, holes=(fill, replace(vent, diameter=0.012))))
    speed = 0.12 / 125.0 / (0.6 * 3.14159265 / 4 * 0.012**2)
    assert found.air_pressure == pytest.approx(0.6 * speed**2, rel=1e-6)
    assert pressing(replace(one, holes=(fill,))).air_pressure is None
    assert pressing(replace(one, holes=())).fill_area == 0.0


def test_the_closing_lift_that_is_trimmed_to_its_room_presses_as_planned() -> None:
    found = pressing(side())
    free = found.lower_free
    assert free is not None
    assert free.pressure is not None
    assert free.pressure > found.packing_pressure
    assert free.reduced_mass < free.planned_mass
    today = foam_today(FOAM, SHOP).minimum_fill
    packing = free.reduced_mass / (free.room * today.value)
    as_planned = packing_pressure("", today.term("minimum_fill"), Term("packing", packing, "1"))
    assert as_planned.value == pytest.approx(found.packing_pressure)
    text = cautions(side())
    assert f"as planned with {free.reduced_mass:.3g} kg" in text
    assert "instead of the 5.23 kPa" in text
    assert pressing(side(depth=0.2)).lower_free is None


def test_lower_lifts_that_leave_no_room_are_to_be_trimmed() -> None:
    """Minimum fill 2.2 times free rise: the lower half alone fills the cavity."""
    found = pressing(side(), minimum_fill_density=32.0 * 2.2)
    assert found.lower_free is not None
    assert found.lower_free.pressure is None
    assert found.lower_free.reduced_mass == 0.0
    foam = replace(FOAM, minimum_fill_density=32.0 * 2.2)
    text = "\n".join(plan_pours(boat(side(), foam=foam)).cautions)
    assert "no room is left for the closing lift: side port" in text
    assert "Trim the foam down" in text


def test_a_foam_that_never_rises_beyond_the_plan_gives_no_word_of_it() -> None:
    foam = replace(FOAM, minimum_fill_density=FOAM.free_rise_density)
    assert "rise freely" not in "\n".join(plan_pours(boat(side(), foam=foam)).cautions)
