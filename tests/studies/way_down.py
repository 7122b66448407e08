"""How far may a step on the way down go, and from how many starts is every rest found?

    python tests/studies/way_down.py

Homogeneous lumps of twelve corners (tests/equilibrium/floating_shapes.py), which have several rests
with low ridges between, are let go in directions of all kinds. The rest reached is compared with
that of a way down the steepest slope in strides of a quarter degree, which cannot leap over a
ridge. Then every rest of some of them is looked for from 60 starts and from 400.
"""

import math
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "equilibrium"))

from floating_shapes import WATER, pebble

from flotation.equilibrium.balance import Afloat, Attitude, let_go, tangents, valley
from flotation.equilibrium.bodies import Body
from flotation.equilibrium.buoyancy import buoyancy
from flotation.equilibrium.immersion import FINE, moved, set_afloat
from flotation.equilibrium.rests import all_rests, spread
from flotation.swamped import descent

LUMPS = 200
STRIDE = math.radians(0.25)


def lump(seed: int) -> list[Body]:
    """Density from 0.3 to 0.75 of the water's, its weight a little off its middle."""
    solid = pebble(seed, points=12)
    share = 0.3 + 0.05 * (seed % 10)
    middle = solid.centroid + np.random.default_rng(seed).normal(scale=0.01, size=3)
    x, y, z = middle.tolist()
    return [Body(share * WATER * solid.volume, (x, y, z), solid)]


def steepest(start: Attitude) -> Attitude:
    """Down the slope in short strides until the next one would climb."""
    here = start
    for _ in range(4000):
        model = valley(here, tangents(here.normal))
        slope = float(np.linalg.norm(model.slope))
        if slope == 0.0:
            return here
        there = moved(here, model, -STRIDE * model.slope / slope, FINE)
        if there.energy >= here.energy:
            return here
        here = there
    return here


def same(one: Attitude, other: Attitude) -> bool:
    return math.degrees(math.acos(min(1.0, float(one.normal @ other.normal)))) < 1.5


def astray(radius: float, starts: list[Attitude], floors: list[Attitude]) -> int:
    """Lumps that end elsewhere than the short strides do, with steps up to this radius, rad."""
    first, largest = descent._FIRST_RADIUS, descent._LARGEST_RADIUS
    descent._FIRST_RADIUS, descent._LARGEST_RADIUS = 0.5 * radius, radius
    ends = [descent.descend(start).end for start in starts]
    descent._FIRST_RADIUS, descent._LARGEST_RADIUS = first, largest
    return sum(not same(end, floor) for end, floor in zip(ends, floors, strict=True))


def main() -> None:
    lumps = [lump(seed) for seed in range(LUMPS)]
    starts = []
    for seed, bodies in enumerate(lumps):
        afloat = let_go(bodies, WATER)
        assert isinstance(afloat, Afloat)
        starts.append(set_afloat(afloat, spread(LUMPS)[seed]))
    floors = [steepest(start) for start in starts]
    for degrees in (2.0, 4.0, 8.0, 16.0, 32.0, 64.0):
        count = astray(math.radians(degrees), starts, floors)
        print(f"steps up to {degrees:4.0f} degrees: {count} of {LUMPS} end elsewhere")
    missed = found = 0
    for bodies in lumps[:20]:
        joined = buoyancy(bodies)
        few = all_rests(bodies, WATER, joined=joined)
        many = all_rests(bodies, WATER, starts=400, joined=joined)
        assert isinstance(few, tuple)
        assert isinstance(many, tuple)
        missed, found = missed + len(many) - len(few), found + len(many)
    print(f"of {found} rests known from 400 starts, 60 starts miss {missed}")
    print("Decided: steps grow to 8 degrees, half the length up to which none more goes astray;")
    print("60 starts.")


if __name__ == "__main__":
    main()
