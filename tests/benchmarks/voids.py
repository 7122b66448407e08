"""Cavities between curved parts: time and memory from 1e3 to 1e6 triangles, beside a voxel flood.

    python tests/benchmarks/voids.py                  all sizes, some minutes
    python tests/benchmarks/voids.py 10000 100000     some sizes

A hull-sized tube that is narrower at its ends, two bulkheads and two hat stringers that all stand
2 mm off it, every gap up to 4 mm sealed, leaks looked for up to 40 mm. The other side of each row
marks the 5 mm cells that the parts' surfaces pass through and floods the rest from outside. Each
row comes from a process of its own; "memory" is its peak over what it held before.
"""

import argparse
import json
import resource
import subprocess
import sys
import time

import numpy as np

LENGTH, RADIUS, WALL, GAP = 4.6, 0.9, 0.004, 0.002
CELL = 0.005
SIZES = (1_000, 10_000, 100_000, 1_000_000)


def polar(radius, angle):
    return np.column_stack([radius * np.cos(angle), radius * np.sin(angle)])


def ring(outer, inner, sides):
    from manifold3d import CrossSection

    angle = np.linspace(0.0, 2.0 * np.pi, sides, endpoint=False)
    return CrossSection([polar(outer, angle), polar(inner, angle)[::-1]])


def hat(middle, points):
    """A hat section whose flanges follow the tube."""
    from manifold3d import CrossSection, FillRule

    foot = RADIUS - GAP
    rows = [
        (foot, -0.08, -0.04),
        (foot - 0.06, -0.04, 0.04),
        (foot, 0.04, 0.08),
        (foot - WALL, 0.08, 0.04 + WALL),
        (foot - 0.06 - WALL, 0.04 + WALL, -0.04 - WALL),
        (foot - WALL, -0.04 - WALL, -0.08),
    ]
    corners = [polar(r, middle + np.linspace(a, b, points) / RADIUS) for r, a, b in rows]
    return CrossSection([np.concatenate(corners)], FillRule.NonZero)


def parts(triangles):
    """The boat in about so many triangles."""
    from manifold3d import CrossSection, Manifold

    from flotation.geometry.solid import Solid

    area = 2.5 * 2.0 * np.pi * RADIUS * LENGTH
    edge = np.sqrt(2.0 * area / triangles)
    sides = max(120, int(2.0 * np.pi * RADIUS / edge))
    steps = max(1, int(0.2 * triangles / sides))

    def drawn(section, length, divisions, start):
        body = Manifold.extrude(section, length, n_divisions=divisions)
        return body.transform(np.array([[0, 0, 1, start], [1, 0, 0, 0], [0, 1, 0, 0]], float))

    def bent(points):
        off = ((points[:, 0] - LENGTH / 2.0) / LENGTH * 2.0) ** 2
        scale = 1.0 - 0.25 * off
        return np.column_stack(
            [points[:, 0], points[:, 1] * scale, points[:, 2] * scale + 0.1 * off]
        )

    plate = CrossSection(
        [polar(RADIUS - GAP, np.linspace(0, 2 * np.pi, int(0.9 * sides), endpoint=False))]
    )
    inside = LENGTH - 0.2 - 2.0 * WALL - 2.0 * GAP
    points = max(2, int(0.06 / edge) + 1)
    bodies = [drawn(ring(RADIUS + WALL, RADIUS, sides), LENGTH, steps, 0.0)]
    bodies += [drawn(plate, WALL, 0, x) for x in (0.1, LENGTH - 0.1 - WALL)]
    bodies += [
        drawn(hat(a, points), inside, int(0.93 * steps), 0.1 + WALL + GAP) for a in (-0.6, 0.9)
    ]
    meshes = [body.warp_batch(bent).to_mesh64() for body in bodies]
    return [
        Solid(np.asarray(m.vert_properties)[:, :3], np.asarray(m.tri_verts, dtype=np.intp))
        for m in meshes
    ]


def by_walls(bodies):
    from flotation.geometry.voids import find_cavities

    found = find_cavities(bodies, gap=0.004)
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
    return [(float(n) * CELL**3, 0.0) for n in np.sort(cells)[-3:][::-1] if n > 1000]


def row(triangles, method):
    bodies = parts(triangles)
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    start, busy = time.perf_counter(), time.process_time()
    volumes = {"walls": by_walls, "voxels": by_voxels}[method](bodies)
    result = {
        "triangles": sum(len(body.faces) for body in bodies),
        "method": method,
        "wall clock s": round(time.perf_counter() - start, 2),
        "processor s": round(time.process_time() - busy, 2),
        "memory MB": (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) // 1024,
        "volumes L": [f"{1e3 * v:.3f} +- {1e3 * e:.3f}" for v, e in sorted(volumes)],
    }
    print(json.dumps(result))


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
