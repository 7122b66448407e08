"""A swamped skiff set afloat: how long a rest takes, and the same search on trimesh clips.

    python tests/benchmarks/equilibrium.py

The skiff is drawn here: hull, sole and deck edge as skins, foam along the sides and in two
stringers as solids, motor, battery and crew. The other side of each row is the same search with
every question of volume and waterplane put to trimesh: its slice, its section, and sums over both.
"""

import argparse
import math
import resource
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from flotation.equilibrium.bodies import Body, Box, Rest
from flotation.equilibrium.buoyancy import Buoyancy, buoyancy
from flotation.equilibrium.reweighed import float_reweighed
from flotation.equilibrium.solver import float_freely
from flotation.geometry.below import Sums
from flotation.geometry.solid import Joined, Skin, Solid

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

LENGTH, HALF_BEAM, GUNWALE = 4.6, 0.92, 0.75
FRESH = 999.0


def breadth(x: Floats) -> Floats:
    return HALF_BEAM * np.sqrt(np.maximum(1.0 - (np.maximum(x - 1.8, 0.0) / 2.85) ** 2.2, 0.01))


def keel(x: Floats) -> Floats:
    return 0.45 * (x / LENGTH) ** 4


def side(x: Floats, share: Floats) -> tuple[Floats, Floats]:
    """Half breadth and height at a share of the way from keel to gunwale."""
    return breadth(x) * share**0.35, keel(x) + (GUNWALE - keel(x)) * share


def grid_faces(rows: int, columns: int) -> Integers:
    here = (np.arange(rows - 1)[:, None] * columns + np.arange(columns - 1)).ravel()
    return np.concatenate(
        [
            np.stack([here, here + columns, here + 1], axis=1),
            np.stack([here + 1, here + columns, here + columns + 1], axis=1),
        ]
    )


def shell(rows: int, columns: int) -> Skin:
    """Hull laminate from gunwale to gunwale."""
    x, around = np.meshgrid(
        np.linspace(0.0, LENGTH, rows), np.linspace(-1.0, 1.0, columns), indexing="ij"
    )
    y, z = side(x, np.abs(around))
    vertices = np.stack([x, np.sign(around) * y, z], axis=2).reshape(-1, 3)
    return Skin(vertices, grid_faces(rows, columns), 0.005, "hull")


def sole(rows: int, columns: int) -> Skin:
    x, across = np.meshgrid(
        np.linspace(0.1, 3.6, rows), np.linspace(-0.62, 0.62, columns), indexing="ij"
    )
    vertices = np.stack([x, across * breadth(x) / HALF_BEAM, np.full_like(x, 0.30)], axis=2)
    return Skin(vertices.reshape(-1, 3), grid_faces(rows, columns), 0.004, "sole")


def lofted(rings: Floats, name: str) -> Solid:
    """A solid through closed rings (sections, points, 3), its ends capped by fans."""
    sections, points, _ = rings.shape
    here = (np.arange(sections - 1)[:, None] * points + np.arange(points)).ravel()
    on = (np.arange(sections - 1)[:, None] * points + (np.arange(points) + 1) % points).ravel()
    fan = np.arange(1, points - 1)
    last = (sections - 1) * points
    faces = np.concatenate(
        [
            np.stack([here, on, here + points], axis=1),
            np.stack([on, on + points, here + points], axis=1),
            np.stack([np.zeros_like(fan), fan + 1, fan], axis=1),
            np.stack([np.zeros_like(fan), fan, fan + 1], axis=1) + last,
        ]
    )
    vertices = rings.reshape(-1, 3)
    a, b, c = (vertices[faces[:, i]] - vertices.mean(axis=0) for i in range(3))
    outward = np.einsum("ij,ij->", a, np.cross(b, c)) > 0.0
    return Solid(vertices, faces if outward else faces[:, ::-1], name)


def side_foam(port: float, rows: int, columns: int) -> Solid:
    x = np.linspace(0.25, 4.0, rows)[:, None]
    share = np.linspace(0.45, 0.97, columns)[None, :]
    outer_y, outer_z = side(x, share)
    inner_y = np.broadcast_to(outer_y[:, :1] * 0.74, outer_y.shape)
    y = np.concatenate([outer_y * 0.992, inner_y[:, ::-1]], axis=1)
    z = np.concatenate([outer_z, outer_z[:, ::-1]], axis=1)
    rings = np.stack([np.broadcast_to(x, y.shape), port * y, z], axis=2)
    return lofted(rings, "side foam")


def stringer(y: float, rows: int) -> Solid:
    x = np.linspace(0.2, 3.4, rows)
    section = np.array([[-0.07, 0.0], [-0.05, 0.14], [0.05, 0.14], [0.07, 0.0]])
    rings = np.empty((rows, 4, 3))
    rings[:, :, 0] = x[:, None]
    rings[:, :, 1] = y + section[:, 0]
    rings[:, :, 2] = keel(x)[:, None] + 0.12 + section[:, 1]
    return lofted(rings, "stringer")


@dataclass(frozen=True)
class Skiff:
    """The bodies, and how many triangles one question goes to."""

    bodies: tuple[Body, ...]
    triangles: int


def laminate(skin: Skin) -> Body:
    x, y, z = skin.centroid.tolist()
    return Body(1600.0 * skin.volume, (x, y, z), skin)


def foam(solid: Solid) -> Body:
    x, y, z = solid.centroid.tolist()
    return Body(36.0 * solid.volume, (x, y, z), solid)


def skiff(fineness: int) -> Skiff:
    skins = (shell(8 * fineness, 16 * fineness), sole(3 * fineness, 2 * fineness))
    solids = (
        side_foam(1.0, 10 * fineness, 8 * fineness),
        side_foam(-1.0, 10 * fineness, 8 * fineness),
        stringer(0.3, 10 * fineness),
        stringer(-0.3, 10 * fineness),
    )
    weights = (
        Body(58.0, (-0.15, 0.0, 0.55)),
        Body(11.0, (0.3, 0.2, 0.25)),
        Body(20.0, (2.6, 0.0, 0.5), Box((0.5, 0.4, 0.02))),
        Body(60.0, (2.0, 0.05, 0.45)),
        Body(45.0, (2.2, 0.0, 0.7)),
    )
    bodies = (*map(laminate, skins), *map(foam, solids), *weights)
    triangles = 8 * sum(len(skin.faces) for skin in skins) + sum(len(s.faces) for s in solids)
    return Skiff(bodies, triangles + 12)


class TrimeshClips:
    """Answers a plane as `Joined` does, with trimesh's slice and section; about `origin`.

    No cap is asked of it, which would take longer: the tetrahedra have their apex on the plane.
    """

    def __init__(self, joined: Joined) -> None:
        import trimesh

        self.origin, self.vertices, self.volume = joined.origin, joined.vertices, joined.volume
        self.mesh = trimesh.Trimesh(joined.vertices - joined.origin, joined.faces, process=False)

    def sums(self, normal: Floats, offset: float) -> Sums:
        from trimesh.intersections import mesh_plane, slice_faces_plane

        apex = normal * offset
        part = slice_faces_plane(self.mesh.vertices, self.mesh.faces, -normal, apex)
        corners = part[0][part[1]] - apex
        tetra = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])) / 6.0
        volume = float(tetra.sum())
        moment = tetra @ corners.sum(axis=1) / 4.0 + volume * apex
        segments, faces = mesh_plane(self.mesh, normal, apex, return_faces=True)
        start, end = segments[:, 0] - apex, segments[:, 1] - apex
        outward = np.cross(end - start, normal)
        turned = np.einsum("ij,ij->i", outward, self.mesh.face_normals[faces]) < 0.0
        start[turned], end[turned] = end[turned], start[turned].copy()
        twice = np.cross(start, end) @ normal
        middle = start + end
        area, first = 0.5 * twice.sum(), twice @ middle / 6.0
        second = sum((twice[:, None] * x).T @ x for x in (start, end, middle)) / 24.0
        second += np.outer(first, apex) + np.outer(apex, first) + area * np.outer(apex, apex)
        return Sums(volume, moment, float(area), first + area * apex, second)


def fate(bodies: Sequence[Body], joined: Buoyancy) -> Rest:
    rest = float_freely(bodies, FRESH, joined=joined)
    assert isinstance(rest, Rest), rest
    return rest


def best_of(times: int, work: Callable[[], object]) -> tuple[float, float]:
    """Least time on the clock and least time of the processor, ms."""
    clock, processor = [], []
    for _ in range(times):
        begun, worked = time.perf_counter(), time.process_time()
        work()
        clock.append(1e3 * (time.perf_counter() - begun))
        processor.append(1e3 * (time.process_time() - worked))
    return min(clock), min(processor)


def one_boat(fineness: int) -> None:
    boat = skiff(fineness)
    begun = time.perf_counter()
    joined = buoyancy(boat.bodies)
    rest = fate(boat.bodies, joined)
    cold = time.perf_counter() - begun
    clips = replace(joined, parts=((1.0, TrimeshClips(joined.parts[0][1])),))
    other = fate(boat.bodies, clips)
    warm, busy = best_of(25, partial(fate, boat.bodies, joined))
    slow, _ = best_of(2, partial(fate, boat.bodies, clips))
    apart = math.dist(rest.normal, other.normal)
    print(
        f"{boat.triangles:>9,} {1e3 * cold:9.0f} {warm:9.1f} {busy:9.1f} {slow:11.0f} "
        f"{slow / warm:8.0f} {apart:10.1e}  heel {math.degrees(rest.heel):.3f}, trim "
        f"{math.degrees(rest.trim):.3f} deg, least GM {rest.gm:.3f} m"
    )


@dataclass(frozen=True)
class Sizes:
    """How many lists of masses, and how many processes share them."""

    count: int
    processes: int


def reweigh(bodies: Sequence[Body], water: float, joined: Buoyancy, sizes: Sizes) -> None:
    """Rests with every mass spread by 3 %, and every fiftieth of them alone from keel down."""
    spread = np.random.default_rng(1).normal(1.0, 0.03, size=(sizes.count, len(bodies)))
    masses = np.array([body.mass for body in bodies]) * spread
    begun, worked = time.perf_counter(), processor_seconds()
    rests = float_reweighed(bodies, water, masses, joined=joined, processes=sizes.processes)
    clock, busy = time.perf_counter() - begun, processor_seconds() - worked
    apart = 0.0
    for row, rest in list(zip(masses.tolist(), rests, strict=True))[::50]:
        pairs = zip(bodies, row, strict=True)
        alone = float_freely([replace(b, mass=m) for b, m in pairs], water, joined=joined)
        assert isinstance(alone, Rest)
        assert isinstance(rest, Rest)
        apart = max(apart, math.dist(alone.normal, rest.normal), abs(alone.offset - rest.offset))
    print(
        f"{len(rests)} rests with varied weights, {sizes.processes} processes, starting them too: "
        f"{clock:.1f} s, of the processor {busy:.1f} s together; from keel down they differ by "
        f"{apart:.1e}"
    )


def processor_seconds() -> float:
    """S of the processor that this process and those it started have used."""
    used = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(one.ru_utime + one.ru_stime for one in used)


def many(fineness: int, count: int, processes: int) -> None:
    boat = skiff(fineness)
    print(f"{boat.triangles:,} triangles: ", end="")
    reweigh(boat.bodies, FRESH, buoyancy(boat.bodies), Sizes(count, processes))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--fineness", type=int, nargs="+", default=[2, 6, 10, 20])
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--processes", type=int, default=2)
    asked = parser.parse_args()
    print("triangles   cold ms   warm ms processor  trimesh ms    times    n apart")
    for fineness in asked.fineness:
        one_boat(fineness)
    many(7, asked.count, asked.processes)


if __name__ == "__main__":
    main()
