"""The simulated tests of the example skiff: a rest, the whole set, a thousand rests.

    python tests/benchmarks/level_tests.py

The skiff is the one in meshes/, its sheets drawn as finely as asked for, so that the joined
triangles pass 10^5. The last column of the first table is the same rest on trimesh clips, with the
same solver.
"""

import argparse
import math
import sys
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

from equilibrium import Sizes, TrimeshClips, best_of, reweigh

from flotation import assess, plan_pours, read_boat
from flotation.boat import Boat, FoamInPlace, Part
from flotation.equilibrium.bodies import Rest
from flotation.equilibrium.solver import float_freely
from flotation.geometry.solid import Skin
from flotation.swamped.afloat import beyond_the_regulation, righting_curves
from flotation.swamped.books import load_books
from flotation.swamped.general_method import general_method
from flotation.swamped.scope import find_scope
from flotation.swamped.trials.cases import cases
from flotation.swamped.trials.in_the_water import Worked, basin_of
from flotation.swamped.trials.level_tests import Basin, Simulated, simulate
from flotation.swamped.weight_list import settle_weights

MESHES = Path(__file__).parents[2] / "meshes"
sys.path.insert(0, str(MESHES))

import skiff_sheets  # noqa: E402 - found beside the example boats

SHEETS = {
    "hull shell": skiff_sheets.hull_shell,
    "sole": skiff_sheets.sole,
    "grid": skiff_sheets.grid_laminate,
    "liner and side decks": skiff_sheets.liner_and_side_decks,
    "foredeck": skiff_sheets.foredeck,
}


def skiff(spacing: float) -> tuple[Boat, tuple[FoamInPlace, ...]]:
    """The example skiff, the stations of its sheets so many metres apart."""
    boat = read_boat(MESHES / "skiff" / "skiff.toml")
    parts = tuple(_finer(part, spacing) for part in boat.parts)
    return replace(boat, parts=parts), plan_pours(boat).foam


def _finer(part: Part, spacing: float) -> Part:
    drawn = SHEETS[part.name](spacing)
    skin = Skin(drawn.vertices, drawn.faces, part.skin.thickness, part.name)
    return replace(part, skin=skin)


def basin(boat: Boat, foam: Sequence[FoamInPlace]) -> Basin:
    books = load_books()
    scope = find_scope(boat, books.law)
    listed = settle_weights(boat, foam).listed
    general = general_method(boat, listed, foam, scope, books)
    found = basin_of(Worked(boat, tuple(foam), listed, general, scope, books))
    assert found is not None
    return found


def all_tests(boat: Boat, foam: Sequence[FoamInPlace]) -> list[Simulated]:
    """Every test at both ends of every assumption, from the boat as it was read."""
    tank = basin(boat, foam)
    return [simulate(tank, case) for case in cases("level", tank.law)]


def one_rest(spacing: float) -> None:
    boat, foam = skiff(spacing)
    tank = basin(boat, foam)
    ready = tank.ready(cases("level", tank.law)[0], tank.swamped.stated)
    assert ready.joined is not None
    bodies = [piece.body for piece in ready.pieces]
    triangles = sum(len(part.faces) for _, part in ready.joined.parts)
    rest = float_freely(bodies, ready.water, joined=ready.joined)
    assert isinstance(rest, Rest)
    warm, busy = best_of(9, partial(float_freely, bodies, ready.water, joined=ready.joined))
    clips = replace(
        ready.joined,
        parts=tuple((sign, TrimeshClips(part)) for sign, part in ready.joined.parts),  # type: ignore[misc]  # stands in for what it times
    )
    slow, _ = best_of(1, partial(float_freely, bodies, ready.water, joined=clips))
    whole, whole_busy = best_of(3, partial(all_tests, boat, foam))
    print(
        f"{triangles:>9,} {warm:9.1f} {busy:9.1f} {slow:11.0f} {slow / warm:7.0f} "
        f"{1e-3 * whole:12.2f} {1e-3 * whole_busy:9.2f}"
        f"   heel {math.degrees(rest.heel):.3f}, trim {math.degrees(rest.trim):.3f} deg"
    )


def many(spacing: float, count: int, processes: int) -> None:
    """Rests with every mass spread by 3 %, and the same ones one by one from keel down."""
    boat, foam = skiff(spacing)
    tank = basin(boat, foam)
    ready = tank.ready(cases("level", tank.law)[0], tank.swamped.stated)
    bodies = [piece.body for piece in ready.pieces]
    assert ready.joined is not None
    reweigh(bodies, ready.water, ready.joined, Sizes(count, processes))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--spacing", type=float, nargs="+", default=[0.1, 0.05, 0.035])
    parser.add_argument("--count", type=int, default=1000)
    asked = parser.parse_args()
    print("triangles   rest ms processor  trimesh ms   times  all tests s processor")
    for spacing in asked.spacing:
        one_rest(spacing)
    boat, foam = skiff(0.05)
    for name, work in (
        ("assess", assess),
        ("righting curves", righting_curves),
        ("beyond", beyond_the_regulation),
    ):
        clock, processor = best_of(2, partial(work, boat, foam))
        print(f"{name} {1e-3 * clock:.2f} s, of the processor {1e-3 * processor:.2f} s")
    many(0.05, asked.count, 2)


if __name__ == "__main__":
    main()
