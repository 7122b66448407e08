"""Laws of the swamped boat at any attitude."""

import math
from dataclasses import replace

import numpy as np
from afloat_boats import afloat_skiff, basin
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx
from small_boats import poured, skiff_foam

from flotation.equilibrium.immersion import immersion
from flotation.swamped.trials.condition import Choice, Kind
from flotation.swamped.trials.immersed import immersed, share_of

BASIN = basin(afloat_skiff(), skiff_foam())
SOLIDS = {entry.cavity: entry.solid for entry in skiff_foam()}
directions = st.tuples(*(st.floats(-1.0, 1.0) for _ in range(3))).filter(
    lambda n: math.hypot(*n) > 0.1
)


def unit(direction: tuple[float, float, float]) -> tuple[float, float, float]:
    length = math.hypot(*direction)
    x, y, z = (part / length for part in direction)
    return x, y, z


def depth(pieces, normal) -> float:
    found = immersion([piece.body for piece in pieces], BASIN.water, normal)
    assert isinstance(found, float)
    return found


@settings(max_examples=30, deadline=None)
@given(direction=directions, lighter=st.floats(1.0, 400.0), heavier=st.floats(1.0, 900.0))
def test_at_a_fixed_attitude_lighter_foam_floats_the_boat_higher(
    direction, lighter: float, heavier: float
) -> None:
    """The surface lies lower in the boat, or as low, the lighter the foam of a cavity is."""
    low, high = sorted((lighter, heavier))
    found = []
    for density in (low, high):
        foam = tuple(
            poured(name, solid, density=density if name == "grid" else 36.0)
            for name, solid in SOLIDS.items()
        )
        swamped = replace(BASIN.swamped, foam=foam)
        found.append(depth(swamped.pieces(swamped.stated), unit(direction)))
    assert found[0] <= found[1] + 1e-9


@settings(max_examples=30, deadline=None)
@given(direction=directions, name=st.sampled_from(sorted(SOLIDS)))
def test_at_a_fixed_attitude_foam_in_place_of_water_floats_the_boat_higher(
    direction, name: str
) -> None:
    """Foam in a flooded cavity lifts the boat where it lies under the surface without it."""
    pieces = BASIN.swamped.pieces(Choice())
    without = [piece for piece in pieces if piece.item != name]
    normal = unit(direction)
    before = depth(without, normal)
    solid = SOLIDS[name]
    part = solid.below(normal, before)
    (foam,) = [piece.body for piece in pieces if piece.item == name]
    after = depth(pieces, normal)
    if BASIN.water * part.volume > foam.mass:
        assert after <= before + 1e-9
    else:
        assert after >= before - 1e-9


@settings(max_examples=20, deadline=None)
@given(direction=directions)
def test_afloat_the_immersed_parts_lift_what_everything_weighs(direction) -> None:
    pieces = BASIN.swamped.pieces(Choice(machinery_dry=True))
    normal = unit(direction)
    parts = immersed(pieces, normal, depth(pieces, normal))
    lift = BASIN.water * sum(part.volume for part in parts)
    assert lift == approx(sum(piece.body.mass for piece in pieces), rel=1e-9)
    assert all(0.0 <= part.share <= 1.0 + 1e-12 for part in parts)


def test_all_foam_under_water_is_all_of_it() -> None:
    pieces = BASIN.swamped.pieces(Choice())
    under = immersed(pieces, (0.0, 0.0, 1.0), 10.0)
    assert share_of(under, Kind.FOAM) == approx(1.0)
    assert share_of(immersed(pieces, (0.0, 0.0, 1.0), -10.0), Kind.FOAM) == 0.0
    assert share_of(under, Kind.CHAMBER) is None
    centres = {part.piece.item: part.centre for part in under}
    assert np.array(centres["grid"]) == approx(SOLIDS["grid"].centroid)
    assert centres["rail"] == approx(BASIN.swamped.weight("rail").at)
