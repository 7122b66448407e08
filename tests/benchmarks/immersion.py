"""What lies below a plane: time and memory beside trimesh, manifold3d and VTK.

    python tests/benchmarks/immersion.py            all sizes, some minutes
    python tests/benchmarks/immersion.py 10000      one size

One smooth boat-shaped body is cut by many planes. Every library gives volume and centroid of what
lies below; this package gives the waterplane and its moments as well. The others clip the mesh, and
are spared the cap: their triangles are summed against a point on the plane, which needs none.
For VTK three of its clippers are tried. Every answer is compared with this package's own.

Each row comes from a process of its own, one after the other. "build" makes the library's object
from arrays, "cold" is the first question with everything that is made for it, "warm" the median
of questions with other planes, "memory" the peak over what the process held before the build.
"""

import argparse
import json
import os
import platform
import subprocess
import sys
import time
from collections.abc import Callable
from importlib.metadata import version
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Answer = tuple[float, Floats]
Ask = Callable[[Floats, float], Answer]

SIZES = (10_000, 100_000, 1_000_000)
OURS = "flotation"
LEVELS = 1000


def body(triangles: int) -> tuple[Floats, Integers]:
    """A cube's surface blown up to a boat's proportions: cells of like size, no poles."""
    n = round(np.sqrt(triangles / 12))
    grid = np.arange(n + 1)
    places = [
        np.insert(np.stack(np.meshgrid(grid, grid, indexing="ij"), axis=-1), axis, side, axis=-1)
        for axis in range(3)
        for side in (0, n)
    ]
    lattice = np.concatenate([place.reshape(-1, 3) for place in places])
    unique, number = np.unique(lattice, axis=0, return_inverse=True)
    here = np.arange(6 * (n + 1) ** 2).reshape(6, n + 1, n + 1)
    a, b, c, d = here[:, :-1, :-1], here[:, 1:, :-1], here[:, 1:, 1:], here[:, :-1, 1:]
    quads = np.stack([a, b, c, d], axis=-1).reshape(6, -1, 4)
    quads[[0, 3, 4]] = quads[[0, 3, 4]][..., ::-1]
    quads = number.ravel()[quads.reshape(-1, 4)]
    faces = np.concatenate([quads[:, [0, 1, 2]], quads[:, [0, 2, 3]]])
    ball = np.tan((2 * unique / n - 1) * np.pi / 4)
    ball /= np.linalg.norm(ball, axis=1)[:, None]
    x, y, z = ball.T
    return np.stack([2.3 * x, 0.9 * y * (1 - 0.3 * x), 0.4 * z + 0.1 * x**2], axis=1), faces


def planes(count: int) -> list[tuple[Floats, float]]:
    """The first of many attitudes: heel and trim of some 40 degrees, half full or so."""
    rng = np.random.default_rng(20)
    drawn = rng.uniform(-1.0, 1.0, size=(count, 4))
    normals = drawn[:, :3] * [0.5, 0.7, 0.3] + [0.0, 0.0, 1.0]
    normals /= np.linalg.norm(normals, axis=1)[:, None]
    return list(zip(normals, (0.15 * drawn[:, 3]).tolist(), strict=True))


def summed(vertices: Floats, faces: Integers, normal: Floats, offset: float) -> Answer:
    """Volume and centroid below the plane of triangles without their cap."""
    apex = normal * offset
    a, b, c = (vertices[faces[:, i]] - apex for i in range(3))
    tetra = np.einsum("ij,ij->i", a, np.cross(b, c))
    volume = float(tetra.sum())
    return volume / 6, apex + tetra @ (a + b + c) / (4 * volume)


# ---- the libraries -----------------------------------------------------------------------------


def flotation(vertices: Floats, faces: Integers) -> Ask:
    from flotation.geometry.solid import Joined

    joined = Joined(vertices, faces)

    def ask(normal: Floats, offset: float) -> Answer:
        part = joined.below(normal, offset)
        return part.volume, part.centroid

    return ask


def trimesh(vertices: Floats, faces: Integers) -> Ask:
    from trimesh import Trimesh
    from trimesh.intersections import slice_faces_plane

    mesh = Trimesh(vertices, faces, process=False)

    def ask(normal: Floats, offset: float) -> Answer:
        sliced = slice_faces_plane(mesh.vertices, mesh.faces, -normal, normal * offset)
        return summed(sliced[0], sliced[1], normal, offset)

    return ask


def manifold3d(vertices: Floats, faces: Integers) -> Ask:
    from manifold3d import Manifold, Mesh64

    solid = Manifold(Mesh64(vertices, faces.astype(np.uint64)))

    def ask(normal: Floats, offset: float) -> Answer:
        mesh = solid.trim_by_plane(tuple(-normal), -offset).to_mesh64()
        points = np.asarray(mesh.vert_properties)[:, :3]
        return summed(points, np.asarray(mesh.tri_verts).astype(np.intp), normal, offset)

    return ask


def vtk_clip(vertices: Floats, faces: Integers) -> Ask:
    return _vtk(vertices, faces, "vtkClipPolyData")


def vtk_clip_closed(vertices: Floats, faces: Integers) -> Ask:
    return _vtk(vertices, faces, "vtkClipClosedSurface")


def vtk_plane_clipper(vertices: Floats, faces: Integers) -> Ask:
    return _vtk(vertices, faces, "vtkPolyDataPlaneClipper")


def _vtk(vertices: Floats, faces: Integers, name: str) -> Ask:
    from vtkmodules import vtkFiltersCore, vtkFiltersGeneral
    from vtkmodules.util.numpy_support import numpy_to_vtk, numpy_to_vtkIdTypeArray, vtk_to_numpy
    from vtkmodules.vtkCommonCore import vtkPoints
    from vtkmodules.vtkCommonDataModel import (
        vtkCellArray,
        vtkPlane,
        vtkPlaneCollection,
        vtkPolyData,
    )

    points, cells, data = vtkPoints(), vtkCellArray(), vtkPolyData()
    points.SetData(numpy_to_vtk(vertices, deep=True))
    starts = np.arange(0, 3 * len(faces) + 1, 3, dtype=np.int64)
    cells.SetData(
        numpy_to_vtkIdTypeArray(starts, deep=True),
        numpy_to_vtkIdTypeArray(faces.ravel().astype(np.int64), deep=True),
    )
    data.SetPoints(points)
    data.SetPolys(cells)

    def ask(normal: Floats, offset: float) -> Answer:
        plane = vtkPlane()
        plane.SetOrigin(*(normal * offset))
        plane.SetNormal(*-normal)
        if name == "vtkClipPolyData":
            clip = vtkFiltersCore.vtkClipPolyData()
            clip.SetClipFunction(plane)
        elif name == "vtkClipClosedSurface":
            clip = vtkFiltersGeneral.vtkClipClosedSurface()
            collection = vtkPlaneCollection()
            collection.AddItem(plane)
            clip.SetClippingPlanes(collection)
        else:
            clip = vtkFiltersCore.vtkPolyDataPlaneClipper()
            clip.SetPlane(plane)
            clip.CappingOff()
        clip.SetInputData(data)
        clip.Update()
        polygons = clip.GetOutput().GetPolys()
        ends = vtk_to_numpy(polygons.GetOffsetsArray())
        corners = vtk_to_numpy(polygons.GetConnectivityArray())
        place = vtk_to_numpy(clip.GetOutput().GetPoints().GetData()).astype(float)
        return summed(place, fans(ends, corners), normal, offset)

    return ask


def fans(ends: Integers, corners: Integers) -> Integers:
    """Triangles of polygons, which most often are triangles already."""
    sides = np.diff(ends)
    parts = []
    for count in np.unique(sides):
        rows = corners[ends[:-1][sides == count][:, None] + np.arange(count)]
        parts += [rows[:, [0, k, k + 1]] for k in range(1, count - 1)]
    return np.concatenate(parts)


LIBRARIES: dict[str, Callable[[Floats, Integers], Ask]] = {
    OURS: flotation,
    "trimesh": trimesh,
    "manifold3d": manifold3d,
    "VTK, clip": vtk_clip,
    "VTK, closed": vtk_clip_closed,
    "VTK, plane clipper": vtk_plane_clipper,
}


# ---- one process, one row ----------------------------------------------------------------------


def measured(library: str, triangles: int) -> dict[str, object]:
    """Times in ms and memory in MB; the answers at the first planes, to be compared."""
    import psutil

    vertices, faces = body(triangles)
    warm_up(library)
    before = psutil.Process().memory_info().rss
    start = time.perf_counter()
    ask = LIBRARIES[library](vertices, faces)
    built = time.perf_counter()
    repeats = planes(300 if library == OURS else 7)
    answers = [ask(*repeats[0])]
    cold = time.perf_counter()
    times = []
    for plane in repeats[1:]:
        then = time.perf_counter()
        answers.append(ask(*plane))
        times.append(time.perf_counter() - then)
    return {
        "triangles": len(faces),
        "build": 1e3 * (built - start),
        "cold": 1e3 * (cold - built),
        "warm": 1e3 * float(np.median(times)),
        "quick": 1e3 * float(np.percentile(times, 10)),
        "memory": (peak_memory() - before) / 1e6,
        "answers": [[volume, *centroid.tolist()] for volume, centroid in answers[:7]],
    }


def warm_up(library: str) -> None:
    """Import what the library needs, on a body of a few triangles."""
    LIBRARIES[library](*body(48))(*planes(1)[0])


def peak_memory() -> int:
    """Bytes, the most that this process has held."""
    status = Path("/proc/self/status").read_text()
    return 1024 * int(next(line for line in status.splitlines() if "VmHWM" in line).split()[1])


def engine_parts(triangles: int) -> dict[str, object]:
    """What only this package has: checks, groups, the fill curve, and what a query could cost."""
    from flotation.geometry.below import sums_below
    from flotation.geometry.filling import fill_curve
    from flotation.geometry.grouping import group_triangles
    from flotation.geometry.overlap import find_overlap
    from flotation.geometry.solid import Solid

    vertices, faces = body(triangles)
    timed = {}
    for name, work in (
        ("checks", lambda: Solid(vertices, faces)),
        ("groups", lambda: group_triangles(vertices, faces)),
        ("overlap", lambda: find_overlap(vertices, faces)),
    ):
        start = time.perf_counter()
        work()
        timed[name] = 1e3 * (time.perf_counter() - start)
    start = time.perf_counter()
    curve = fill_curve(vertices, faces, (0.1, 0.2, 1.0))
    levels = np.linspace(curve.bottom, curve.top, LEVELS)
    volumes = curve.volume_at(levels)
    timed["curve"] = 1e3 * (time.perf_counter() - start)
    start = time.perf_counter()
    curve.height_at(volumes)
    timed["inverse"] = 1e3 * (time.perf_counter() - start)
    grouped = group_triangles(vertices, faces)
    sums, reading, crossed = [], [], []
    for normal, offset in planes(300):
        start = time.perf_counter()
        sums_below(grouped, normal, offset)
        sums.append(time.perf_counter() - start)
        heights = grouped.corners.reshape(-1, 3, 3).transpose(0, 2, 1) @ normal - offset
        rows = ((heights > 0).any(axis=1) & (heights <= 0).any(axis=1)).nonzero()[0]
        grouped.corners.sum()
        start = time.perf_counter()
        grouped.corners.take(rows, axis=0)
        reading.append(time.perf_counter() - start)
        crossed.append(len(rows))
        if len(sums) == 300 * 10_000 // triangles + 20:
            break
    timed["sums"] = 1e3 * float(np.median(sums))
    timed["reading"] = 1e3 * float(np.median(reading))
    timed["crossed"] = int(np.median(crossed))
    return {"triangles": len(faces), **timed}


# ---- the table ---------------------------------------------------------------------------------


def in_own_process(what: str, triangles: int) -> dict[str, object]:
    command = [sys.executable, __file__, "--row", what, str(triangles)]
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    row: dict[str, object] = json.loads(done.stdout)
    return row


def compared(rows: dict[str, dict[str, object]]) -> str:
    """The largest difference between the libraries' answers and this package's."""
    ours = np.array(rows[OURS]["answers"])
    worst = {}
    for library, row in rows.items():
        there = np.array(row["answers"])
        worst[library] = float(np.abs(there / ours[: len(there)] - 1)[:, 0].max())
        assert worst[library] < 1e-8, f"{library} differs: {worst[library]}"
    return ", ".join(f"{name} {value:.0e}" for name, value in worst.items() if name != OURS)


def report(sizes: list[int]) -> None:
    names = ("numpy", "trimesh", "manifold3d", "vtk")
    print(f"{os.cpu_count()} cores, Python {platform.python_version()}, ", end="")
    print(", ".join(f"{name} {version(name)}" for name in names))
    print(f"load of the machine at the start: {os.getloadavg()[0]:.1f}\n")
    warm: dict[str, list[float]] = {library: [] for library in LIBRARIES}
    found = []
    for size in sizes:
        rows = {library: in_own_process(library, size) for library in LIBRARIES}
        print(f"| {rows[OURS]['triangles']:,} triangles | " + " | ".join(HEADS) + " |")
        print("|---" * (len(HEADS) + 1) + "|")
        for library, row in rows.items():
            warm[library].append(float(str(row["warm"])))
            times = warm[library][-1] / warm[OURS][-1]
            print(
                f"| {library} | {row['build']:.0f} | {row['cold']:.0f} | {row['warm']:.3f} ", end=""
            )
            print(f"| {row['quick']:.3f} | {row['memory']:.0f} | {times:.0f} |")
        print(f"\nvolumes differ from this package's by at most: {compared(rows)}\n")
        found.append(in_own_process("parts", size))
    print("| this package | " + " | ".join(f"{row['triangles']:,}" for row in found) + " |")
    print("|---" * (len(found) + 1) + "|")
    for key, label in PARTS.items():
        cells = [f"{row[key]:.3g}" if key != "crossed" else str(row[key]) for row in found]
        print(f"| {label} | " + " | ".join(cells) + " |")
    if len(sizes) > 1:
        print("\nA warm question grows with the triangles to the power of: ", end="")
        powers = {n: np.polyfit(np.log(sizes), np.log(t), 1)[0] for n, t in warm.items()}
        print(", ".join(f"{name} {power:.2f}" for name, power in powers.items()))


HEADS = (
    "build ms",
    "cold ms",
    "warm ms",
    "quickest tenth ms",
    "memory MB",
    "times this package",
)

PARTS = {
    "checks": "a Solid's checks, ms",
    "overlap": "search for overlap, ms",
    "groups": "groups, ms",
    "sums": "bare sums for one plane, ms",
    "crossed": "triangles crossed",
    "reading": "reading the crossed triangles once, not from cache, ms",
    "curve": f"fill curve and {LEVELS:,} levels, ms",
    "inverse": f"the way back from {LEVELS:,} volumes, ms",
}


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    parser.add_argument("sizes", nargs="*", type=int, default=list(SIZES))
    parser.add_argument("--row", nargs=2, metavar=("LIBRARY", "TRIANGLES"))
    given = parser.parse_args()
    if given.row:
        what, size = given.row[0], int(given.row[1])
        print(json.dumps(engine_parts(size) if what == "parts" else measured(what, size)))
    else:
        report(given.sizes)
