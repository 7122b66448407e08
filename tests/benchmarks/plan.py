"""Planning the pours: the example skiff, many cavities, and finer meshes.

    python tests/benchmarks/plan.py

Seconds of processor time, the best of a few runs, so that a busy machine shows as little as it
can. The last column of the growing rows is the ratio to the row before: 2 is linear growth.
"""

import argparse
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from flotation import plan_pours, read_boat
from flotation.boat import Boat, Cavity
from flotation.geometry.solid import Solid
from flotation.pour.remaining import replan

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests"))

import pour_boats  # noqa: E402 - the boats of the tests

SKIFF = ROOT / "meshes" / "skiff" / "skiff.toml"
MOST = 3.0  # s for the plan of the skiff


def spent(job: Callable[[], object], runs: int) -> float:
    """Least processor time of the runs, s."""
    times = []
    for _ in range(runs):
        start = time.process_time()
        job()
        times.append(time.process_time() - start)
    return min(times)


def many(count: int) -> Boat:
    """So many side cavities, port and starboard, no two as deep."""
    cavities = [
        replace(
            pour_boats.side(f"cavity {i}", 1.0 if i % 2 else -1.0, depth=0.25 + 0.2 * i / count),
            group=f"group {i // 10}",
        )
        for i in range(count)
    ]
    return pour_boats.boat(*cavities)


def finer(cavity: Cavity, times: int) -> Cavity:
    """The cavity with each triangle divided into four, so many times."""
    vertices, faces = cavity.solid.vertices, cavity.solid.faces
    for _ in range(times):
        edges = np.sort(faces[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2), axis=1)
        unique, back = np.unique(edges, axis=0, return_inverse=True)
        middle = len(vertices) + back.reshape(-1, 3)
        vertices = np.vstack([vertices, vertices[unique].mean(axis=1)])
        a, b, c = faces.T
        ab, bc, ca = middle.T
        faces = np.vstack(
            [np.stack(three, axis=1) for three in ((a, ab, ca), (ab, b, bc), (ca, bc, c), middle.T)]
        )
    return replace(cavity, solid=Solid(vertices, faces, name=cavity.solid.name))


def growth(title: str, rows: Sequence[tuple[str, Boat]], runs: int) -> None:
    """A table with the ratio of each row to the one before."""
    print(f"\n{title}")
    before = None
    for name, boat in rows:
        took = spent(lambda boat=boat: plan_pours(boat), runs)
        ratio = "" if before is None else f"{took / before:6.1f}"
        print(f"  {name:>22}  {took:8.3f} s  {ratio}")
        before = took


def main() -> None:
    """Print the tables; exit 1 if the skiff takes longer than it may."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--runs", type=int, default=3)
    runs = asked.parse_args().runs
    skiff = read_boat(SKIFF)
    whole = spent(lambda: plan_pours(skiff), runs)
    plan = plan_pours(skiff)
    log = [(lift.order, 0.9 * lift.mixed_mass) for lift in plan.lifts[:12]]
    rest = spent(lambda: replan(plan, skiff, log), runs)
    print(f"skiff, {len(plan.lifts)} lifts: {whole:.3f} s of {MOST:g} s; replanned {rest:.3f} s")
    growth("cavities", [(str(n), many(n)) for n in (75, 150, 300)], runs)
    one = pour_boats.side(depth=0.6)
    meshes = [(times, finer(one, times)) for times in (2, 4, 6)]
    growth(
        "triangles of one cavity (each row has 16 times as many)",
        [(str(len(cavity.solid.faces)), pour_boats.boat(cavity)) for _, cavity in meshes],
        runs,
    )
    sys.exit(0 if whole < MOST else 1)


if __name__ == "__main__":
    main()
