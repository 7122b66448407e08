"""Cavities between curved parts: time and memory from 1e3 to 1e6 triangles, beside a voxel flood.

    python tests/benchmarks/voids.py                  all sizes, some minutes
    python tests/benchmarks/voids.py 10000 100000     some sizes

A hull-sized tube, two bulkheads and two hat stringers that all stand 2 mm off it, every gap up to
4 mm sealed, leaks looked for up to 40 mm. Tube and hats are divided at the same stations, so that
feet stand nowhere farther off than the chords of the sections do; the smallest tube is straight,
the others are narrower at their ends. The other side of each row marks the 5 mm cells that the
parts' surfaces pass through and floods the rest from outside. Each row comes from a process of its
own and fails unless there are three cavities, two hats and what is round them; the walls' row also
unless no leak is found and the volumes are those of the sections, in closed form, to their error.
"memory" is a process's peak over what it held before.
"""

import argparse
import json
import resource
import subprocess
import sys
import time
from dataclasses import dataclass

import numpy as np

LENGTH, RADIUS, WALL, GAP = 4.6, 0.9, 0.004, 0.002
CELL = 0.005
SIZES = (1_000, 10_000, 100_000, 1_000_000)
# Below so many triangles there are none to spare for bending.
STRAIGHT = 5_000
# Of the bulkheads' outer faces, and middles of the hats round the tube.
BULKHEAD, MIDDLES = 0.1, (-0.6, 0.9)
FOOT = 0.08 / RADIUS


def polar(radius, angle):
    return np.column_stack([radius * np.cos(angle), radius * np.sin(angle)])


def ring(outer, inner, sides):
    from manifold3d import CrossSection

    angle = np.linspace(0.0, 2.0 * np.pi, sides, endpoint=False)
    return CrossSection([polar(outer, angle), polar(inner, angle)[::-1]])


def hat_rows(middle, points):
    """Corners of a hat section whose flanges follow the tube: three rows outside, three inside."""
    foot = RADIUS - GAP
    rows = [
        (foot, -0.08, -0.04),
        (foot - 0.06, -0.04, 0.04),
        (foot, 0.04, 0.08),
        (foot - WALL, 0.08, 0.04 + WALL),
        (foot - 0.06 - WALL, 0.04 + WALL, -0.04 - WALL),
        (foot - WALL, -0.04 - WALL, -0.08),
    ]
    return [polar(r, middle + np.linspace(a, b, points) / RADIUS) for r, a, b in rows]


@dataclass(frozen=True)
class Shape:
    """How finely a boat is divided: sides of the tube, corners of each row of a hat, stations."""

    sides: int
    points: int
    stations: tuple[float, ...]
    is_straight: bool

    def __str__(self):
        kind = "straight" if self.is_straight else f"narrower at its ends, {len(self.stations)}"
        return f"{kind}{'' if self.is_straight else ' stations'}, {self.sides} sides"

    def scale(self, x):
        """Of the section at a station, against the one half way along."""
        off = ((x - LENGTH / 2.0) / LENGTH * 2.0) ** 2
        return 1.0 - (0.0 if self.is_straight else 0.25) * off

    def lift(self, x):
        """Of the section at a station, m."""
        return 0.0 if self.is_straight else 0.1 * ((x - LENGTH / 2.0) / LENGTH * 2.0) ** 2

    def between(self, start, end):
        """The stations from one to another."""
        inside = [x for x in self.stations if start < x < end]
        return np.array([start, *inside, end])


def shape(triangles):
    """That of a boat in about so many triangles."""
    area = 2.5 * 2.0 * np.pi * RADIUS * LENGTH
    edge = np.sqrt(2.0 * area / triangles)
    if triangles < STRAIGHT:
        return Shape(60, 2, (0.0, LENGTH), True)
    sides = max(120, int(2.0 * np.pi * RADIUS / edge))
    ends = np.cumsum([0.0, BULKHEAD, WALL, GAP])
    between = max(1, int(0.2 * triangles / sides) - 2 * (len(ends) - 1))
    inner = np.linspace(ends[-1], LENGTH - ends[-1], between + 1)
    stations = np.concatenate([ends[:-1], inner, LENGTH - ends[-2::-1]])
    return Shape(sides, max(2, int(0.06 / edge) + 1), tuple(stations), False)


def parts(boat):
    """Tube, bulkheads and hats."""
    from manifold3d import CrossSection, FillRule, Manifold

    from flotation.geometry.solid import Solid

    def drawn(section, stations):
        body = Manifold.extrude(section, len(stations) - 1.0, n_divisions=len(stations) - 2)

        def bent(points):
            x = stations[np.rint(points[:, 2]).astype(int)]
            across = points[:, :2] * boat.scale(x)[:, None]
            return np.column_stack([x, across[:, 0], across[:, 1] + boat.lift(x)])

        mesh = body.warp_batch(bent).to_mesh64()
        corners = np.asarray(mesh.vert_properties)[:, :3]
        return Solid(corners, np.asarray(mesh.tri_verts, dtype=np.intp))

    angle = np.linspace(0.0, 2.0 * np.pi, int(0.9 * boat.sides), endpoint=False)
    plate = CrossSection([polar(RADIUS - GAP, angle)])
    bodies = [drawn(ring(RADIUS + WALL, RADIUS, boat.sides), np.array(boat.stations))]
    for x in (BULKHEAD, LENGTH - BULKHEAD - WALL):
        bodies.append(drawn(plate, np.array([x, x + WALL])))
    end = BULKHEAD + WALL + GAP
    for middle in MIDDLES:
        corners = np.concatenate(hat_rows(middle, boat.points))
        section = CrossSection([corners], FillRule.NonZero)
        bodies.append(drawn(section, boat.between(end, LENGTH - end)))
    return bodies


def closed_form(boat):
    """Volumes, m3, under each hat and round both, smallest first.

    Sections by the stations' scale; every gap ends at the edge of the foot, square to the tube.
    """
    from manifold3d import CrossSection

    angle = np.linspace(0.0, 2.0 * np.pi, boat.sides, endpoint=False)
    tube = CrossSection([polar(RADIUS, angle)])

    def sector(middle, half):
        wedge = polar(1.5 * RADIUS, middle + np.array([-half, half]))
        return (tube ^ CrossSection([np.concatenate([[(0.0, 0.0)], wedge])])).area()

    def within(rows):
        return CrossSection([np.concatenate([[(0.0, 0.0)], *rows])]).area()

    x = boat.between(BULKHEAD + WALL, LENGTH - BULKHEAD - WALL)
    one, two = boat.scale(x[:-1]), boat.scale(x[1:])
    length = float((np.diff(x) * (one**2 + one * two + two**2) / 3.0).sum())
    rows = [hat_rows(middle, boat.points) for middle in MIDDLES]
    under = [sector(m, FOOT / 2.0) - within(r[1:2]) for m, r in zip(MIDDLES, rows, strict=True)]
    covered = [
        sector(m, FOOT) - within([c[::-1] for c in r[:2:-1]])
        for m, r in zip(MIDDLES, rows, strict=True)
    ]
    return sorted(length * area for area in (*under, tube.area() - sum(covered)))


def by_walls(bodies):
    from flotation.geometry.voids import find_cavities

    found = find_cavities(bodies, gap=0.004)
    if found.leaks:
        raise SystemExit(f"{len(found.leaks)} leaks found where there are none")
    return [(void.volume, void.volume_error) for void in found.voids]


def by_voxels(bodies):
    from scipy import ndimage

    corners = np.concatenate([body.vertices[body.faces] for body in bodies])
    low = corners.min(axis=(0, 1)) - 3.0 * CELL
    shape = np.ceil((corners.max(axis=(0, 1)) + 3.0 * CELL - low) / CELL).astype(int)
    wall = np.zeros(shape, dtype=bool)
    longest = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).max(axis=1)
    counts = np.maximum(2, np.ceil(longest / (0.5 * CELL)).astype(int) + 1)
    for count in np.unique(counts):
        steps = np.linspace(0.0, 1.0, count)
        u, v = np.meshgrid(steps, steps)
        keep = u + v <= 1.0 + 1e-12
        weight = np.column_stack([u[keep], v[keep], 1.0 - u[keep] - v[keep]])
        lot = corners[counts == count]
        rows = max(1, 2_000_000 // len(weight))
        for at in range(0, len(lot), rows):
            points = np.einsum("wk,tkx->twx", weight, lot[at : at + rows]).reshape(-1, 3)
            wall[tuple(((points - low) / CELL).astype(int).T)] = True
    label, _ = ndimage.label(~wall)
    cells = np.bincount(label.ravel())
    cells[[0, label[0, 0, 0]]] = 0
    return [(float(n) * CELL**3, 0.0) for n in cells if n > 1000]


def row(triangles, method):
    boat = shape(triangles)
    bodies = parts(boat)
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    start, busy = time.perf_counter(), time.process_time()
    volumes = sorted({"walls": by_walls, "voxels": by_voxels}[method](bodies))
    result = {
        "shape": str(boat),
        "triangles": sum(len(body.faces) for body in bodies),
        "method": method,
        "wall clock s": round(time.perf_counter() - start, 2),
        "processor s": round(time.process_time() - busy, 2),
        "memory MB": (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) // 1024,
        "volumes L": [f"{1e3 * v:.3f} +- {1e3 * e:.3f}" for v, e in volumes],
        "closed form L": [f"{1e3 * v:.3f}" for v in closed_form(boat)],
    }
    print(json.dumps(result))
    if len(volumes) != 3:
        raise SystemExit(f"{len(volumes)} cavities found where there are 3")
    if method == "walls":
        for (volume, error), expected in zip(volumes, closed_form(boat), strict=True):
            if abs(volume - expected) > error:
                raise SystemExit(f"{1e3 * volume:.3f} L found where there are {1e3 * expected:.3f}")


def main():
    reader = argparse.ArgumentParser(description=__doc__)
    reader.add_argument("sizes", nargs="*", type=int)
    reader.add_argument("--row", nargs=2)
    asked = reader.parse_args()
    if asked.row:
        row(int(asked.row[0]), asked.row[1])
        return
    for size in asked.sizes or SIZES:
        for method in ("walls", "voxels"):
            subprocess.run([sys.executable, __file__, "--row", str(size), method], check=True)


if __name__ == "__main__":
    main()
