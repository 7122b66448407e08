"""How reach, air and the whole plan grow with the size and the mesh of a cavity.

    python tests/benchmarks/reach.py

Processor time, the least of three runs; nothing here is part of the timed suite.
"""

import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np

from flotation.boat import HoleKind
from flotation.boatfile import read_boat
from flotation.geometry.airtraps import caught_air
from flotation.geometry.reach.cells import cell_size, cells_of
from flotation.geometry.reach.distances import Flow, reach_from
from flotation.geometry.reach.drilling import Drillable, places_to_drill
from flotation.geometry.reach.further import further_holes
from flotation.geometry.shapes_hats import HatStation, hat_stringer
from flotation.geometry.solid import Solid
from flotation.pour.plan import plan_pours

ROOT = Path(__file__).parent.parent.parent
UP = (0.0, 0.0, 1.0)
FLOW = Flow(1.0, 0.05)


def least(work: Callable[[], object], runs: int = 3) -> float:
    spent = []
    for _ in range(runs):
        start = time.process_time()
        work()
        spent.append(time.process_time() - start)
    return min(spent)


def stringer(length: float, stations: int) -> Solid:
    """A hat stringer of so many stations, its crown bent up at both ends."""
    places = np.linspace(0.0, length, stations)
    rise = 0.05 * np.cos(2.0 * np.pi * places / length)
    return hat_stringer(
        [
            HatStation((float(x), 0.0, float(z)), 0.16, 0.12, 0.16)
            for x, z in zip(places, rise, strict=True)
        ]
    )


def row(solid: Solid) -> str:
    low, high = solid.bounds
    top = float(high[2])
    holes = np.array([(low[0] + 0.1 * (high[0] - low[0]), 0.0, top)])
    cells = cells_of(solid, cell_size(solid))
    reach = reach_from(solid, holes, FLOW, cells)
    most = max(40, round(6.0 * float(high[0] - low[0]) / FLOW.length))
    places = places_to_drill(solid, cells, Drillable(), most)
    coarse = cells_of(solid, cell_size(solid, 800))
    found = further_holes(reach, holes, places, coarse)
    times = (
        least(lambda: cells_of(solid, cell_size(solid))),
        least(lambda: reach_from(solid, holes, FLOW, cells).unreached),
        least(lambda: further_holes(reach, holes, places, coarse)),
        least(lambda: caught_air(solid, UP, holes)),
    )
    shown = "".join(f"{1000 * one:9.0f} ms" for one in times)
    return (
        f"{high[0] - low[0]:6.1f} m {len(solid.faces):7d} {len(cells.volume):6d}{shown}"
        f" {len(found.holes):4d} of {len(places)} (at least {found.least})"
    )


def main() -> None:
    print("length  triangles  cells      cells       reach    proposal         air  holes proposed")
    for length in (2.0, 4.0, 8.0, 16.0):
        print(row(stringer(length, 9)))
    for stations in (33, 129, 513):
        print(row(stringer(4.0, stations)))
    boat = read_boat(ROOT / "meshes" / "skiff" / "skiff.toml")
    print(f"plan of the skiff: {least(lambda: plan_pours(boat)):.2f} s of processor time")
    bare = tuple(
        replace(one, holes=tuple(h for h in one.holes if h.kind is HoleKind.FILL)[:1])
        for one in boat.cavities
    )
    poor = replace(boat, cavities=bare)
    spent = least(lambda: plan_pours(poor))
    print(f"the same with one fill hole a cavity and no vent: {spent:.2f} s")


if __name__ == "__main__":
    main()
