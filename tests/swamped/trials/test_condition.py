"""The swamped boat as bodies: masses, displaced volumes, and what is refused to be guessed."""

import math
from dataclasses import replace

import pytest
from afloat_boats import (
    FUEL,
    HELD_TANK,
    OUTSIDE,
    PARTS,
    SHELL,
    afloat_skiff,
    basin,
    low_skiff,
    raft,
)
from pytest import approx
from small_boats import FOAM, FRESH, TANK, poured, skiff, skiff_foam, weight

from flotation.boat import Chamber, Tank
from flotation.equilibrium.bodies import Box
from flotation.geometry.shapes import box
from flotation.geometry.solid import Skin
from flotation.swamped.trials.condition import (
    Choice,
    FoamState,
    Kind,
    SwampedBoat,
    lacking,
    spread_in,
)


def swamped(*more, foam=None, tanks=(), chambers=()) -> SwampedBoat:
    boat = replace(afloat_skiff(*more), tanks=tanks, chambers=chambers)
    return basin(boat, skiff_foam() if foam is None else foam).swamped


def pieces(boat: SwampedBoat, item: str, choice: Choice | None = None):
    return [one for one in boat.pieces(choice or boat.stated) if one.item == item]


def displaced(found) -> float:
    shapes = [one.body.displaces for one in found]
    volumes = [math.prod(s.size) if isinstance(s, Box) else s.volume for s in shapes if s]
    return sum(volumes)


def test_a_sheet_carries_the_listed_mass_and_displaces_it_over_its_density() -> None:
    (hull,) = pieces(swamped(), "hull laminate")
    assert hull.kind is Kind.SHEET
    assert hull.body.mass == 180.0
    assert displaced([hull]) == approx(180.0 / 1600.0, rel=1e-12)
    assert hull.body.at == approx(tuple(PARTS[0].skin.centroid))


def test_two_sheets_share_their_item_by_volume_as_drawn() -> None:
    skin = PARTS[0].skin
    thick = Skin(skin.vertices, skin.faces, 3.0 * skin.thickness, "inner shell")
    inner = replace(PARTS[0], name="inner shell", skin=thick)
    boat = replace(afloat_skiff(), parts=(*PARTS, inner))
    found = pieces(basin(boat, skiff_foam()).swamped, "hull laminate")
    assert [one.body.mass for one in found] == approx([45.0, 135.0])
    assert displaced(found) == approx(180.0 / 1600.0)


def test_wood_displaces_its_weight_or_what_it_does() -> None:
    boat = swamped()
    held = displaced(pieces(boat, "sole", replace(boat.stated, wood_lifts=False)))
    free = displaced(pieces(boat, "sole", replace(boat.stated, wood_lifts=True)))
    assert held == approx(24.0 / FRESH)
    assert free == approx(24.0 * 1.81 / FRESH)  # K = -0.81 of fir plywood


def test_sheets_that_are_no_wood_stay_the_same_values_so_that_they_stay_joined() -> None:
    boat = swamped()
    ways = [replace(boat.stated, wood_lifts=lifts) for lifts in (False, True)]
    hulls = [pieces(boat, "hull laminate", way)[0].body.displaces for way in ways]
    soles = [pieces(boat, "sole", way)[0].body.displaces for way in ways]
    assert hulls[0] is hulls[1]
    assert soles[0] is not soles[1]


def test_a_lump_is_a_box_of_what_it_displaces_as_high_as_the_one_it_fills() -> None:
    (rail,) = pieces(swamped(), "rail")
    lump = rail.body.displaces
    assert isinstance(lump, Box)
    assert lump.size[2] == 0.04
    assert lump.size[0] / lump.size[1] == approx(2.0)
    assert math.prod(lump.size) == approx(12.0 * 0.37 / FRESH)  # K = 0.63 of aluminium


def test_a_box_too_small_for_what_it_displaces_grows() -> None:
    assert spread_in((1.0, 1.0, 0.5), 2.0).size == approx((2.0, 2.0, 0.5))


def test_an_entry_without_material_only_weighs() -> None:
    (anchor,) = pieces(swamped(weight("anchor", 9.0, at=(4.0, 0.0, 0.4))), "anchor")
    assert anchor.body.displaces is None
    assert anchor.body.mass == 9.0


def test_a_portable_tank_is_not_aboard() -> None:
    assert pieces(swamped(TANK), TANK.item) == []


def test_machinery_weighs_as_under_water_or_is_dry_in_a_box() -> None:
    boat = swamped()
    (wet,) = pieces(boat, "outboard")
    assert (wet.body.mass, wet.body.displaces) == (62.0, None)
    (dry,) = pieces(boat, "outboard", replace(boat.stated, machinery_dry=True))
    assert dry.body.mass == 72.0
    assert displaced([dry]) == approx(10.0 / FRESH)


def test_foam_weighs_with_the_water_that_it_took_up_and_displaces_what_it_fills() -> None:
    foam = poured("grid", box((0.3, -0.5, 0.02), (3.2, 1.0, 0.14)), density=36.0, uptake=20.0)
    boat = swamped(foam=(foam,))
    volume = foam.solid.volume
    expected = {
        FoamState.STATED: 56.0 * volume,
        FoamState.LIGHT: 36.0 * FOAM.free_rise_low / FOAM.free_rise_density * volume,
        FoamState.HEAVY: (36.0 * FOAM.free_rise_high / FOAM.free_rise_density + 20.0) * volume,
    }
    for state, mass in expected.items():
        (one,) = pieces(boat, "grid", replace(boat.stated, foam=state))
        assert one.body.mass == approx(mass)
        assert one.body.displaces is foam.solid


@pytest.mark.parametrize(
    ("sealed", "restraint", "lifts", "outside", "full"),
    [
        (True, "two straps", True, True, True),
        (True, "two straps", False, False, True),
        (True, "", False, False, True),
        (False, "", False, False, True),
        (False, "", True, False, False),
    ],
)
def test_a_tank_lifts_by_its_outside_or_by_its_shell_alone(
    sealed, restraint, lifts, outside, full
) -> None:
    tank = Tank("tank", OUTSIDE, "empty tank", "fuel", sealed, restraint, "")
    boat = swamped(SHELL, FUEL, tanks=(tank,))
    choice = replace(boat.stated, tanks_lift=lifts)
    (shell,) = pieces(boat, "empty tank", choice)
    assert displaced([shell]) == approx(0.04 if outside else 5.0 / 1000.0)
    assert len(pieces(boat, "fuel", choice)) == (1 if full else 0)


def test_a_tank_lifts_as_stated_only_if_sealed_and_restrained() -> None:
    assert swamped(SHELL, FUEL, tanks=(HELD_TANK,)).stated.tanks_lift
    loose = replace(HELD_TANK, restraint="")
    assert not swamped(SHELL, FUEL, tanks=(loose,)).stated.tanks_lift
    assert not swamped().stated.tanks_lift


def test_the_two_largest_chambers_and_integral_ones_are_flooded() -> None:
    def one(name, volume, integral=False, counted=True):
        return Chamber(name, volume, (2.0, 0.0, 0.4), integral, counted, (1.0, 0.5, 0.4))

    chambers = (
        one("bow", 0.06),
        one("seat", 0.05),
        one("thwart", 0.02),
        one("deck", 0.09, integral=True),
        one("not counted", 0.04, counted=False),
    )
    boat = swamped(chambers=chambers)
    assert boat.stated.airtight == {"thwart"}
    (thwart,) = pieces(boat, "thwart")
    assert thwart.body.mass == 0.0
    assert displaced([thwart]) == approx(0.02)
    assert pieces(boat, "bow") == []


def test_what_is_missing_is_named_and_nothing_is_guessed() -> None:
    assert lacking(afloat_skiff()) == ()
    told = lacking(replace(skiff(), chambers=(Chamber("bow", 0.1, (4.0, 0, 0.4), False, True),)))
    assert told == (
        "hull laminate: the size of its box, or a sheet",
        "sole: the size of its box, or a sheet",
        "rail: the size of its box, or a sheet",
        "bow: the size of its box",
        "[top]: points on the real top of hull or deck in the reference areas",
    )


def test_what_changes_is_joined_to_what_stays() -> None:
    """The join told from the stated choice lifts as much as one made anew."""
    boat = swamped()
    for choice in (
        replace(boat.stated, wood_lifts=True),
        replace(boat.stated, machinery_dry=True),
    ):
        found = boat.pieces(choice)
        assert boat.joined(found).volume == approx(displaced(found), rel=1e-12)


def test_a_boat_of_foam_and_weights_alone_is_enough() -> None:
    boat, foam = raft(400.0, 0.3)
    assert {one.kind for one in basin(boat, foam).swamped.pieces(Choice())} == {
        Kind.LUMP,
        Kind.MACHINERY,
        Kind.FOAM,
    }
    assert lacking(low_skiff()[0]) == ()
