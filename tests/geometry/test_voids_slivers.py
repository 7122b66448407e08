"""Meshes as drawing booleans leave them: needles, healed T-junctions, crumbs without area."""

import time
from itertools import pairwise

import numpy as np
import pytest
from cavity_parts import block, plates
from manifold3d import Manifold

from flotation.geometry.solid import Solid
from flotation.geometry.voids import find_cavities
from flotation.geometry.voids.columns import merged
from flotation.geometry.voids.facing import Triangles, facing_pieces
from flotation.geometry.voids.putty import TOUCH

SIZE, WALL, GAP = (0.8, 0.5, 0.3), 0.006, 0.003
WEB = (0.39, 0.41)


def tangle(seed, count):
    """Balls, rods and blocks in all attitudes, united, every fourth one cut out again."""
    chance = np.random.default_rng(seed)
    whole = Manifold()
    for number in range(count):
        if number % 3 == 0:
            body = Manifold.sphere(chance.uniform(0.03, 0.09), 24)
        elif number % 3 == 1:
            body = Manifold.cylinder(
                chance.uniform(0.1, 0.3), chance.uniform(0.02, 0.05), -1, 24, True
            )
        else:
            body = Manifold.cube((chance.uniform(0.05, 0.2),) * 3, True)
        turn = tuple(chance.uniform(0.0, 360.0, 3))
        body = body.rotate(turn).translate(
            tuple(chance.uniform((0.1, 0.1, 0.08), (0.7, 0.4, 0.22)))
        )
        whole = whole - body if number % 4 == 3 else whole + body
    return whole


def as_solid(body, name="tangle"):
    mesh = body.to_mesh64()
    vertices = np.asarray(mesh.vert_properties)[:, :3]
    return Solid(vertices, np.asarray(mesh.tri_verts, dtype=np.intp), name=name)


def with_needles(solid, seed):
    """The same surface, its triangles split 0.1 um from their corners or along healed edges."""
    chance = np.random.default_rng(seed)
    points, rows = list(solid.vertices), solid.faces.tolist()
    beyond = {(row[k], row[(k + 1) % 3]): n for n, row in enumerate(rows) for k in range(3)}
    done, new = set(), []

    def add(point):
        points.append(point)
        return len(points) - 1

    def towards(start, end, way):
        return way * (points[end] - points[start]) / np.linalg.norm(points[end] - points[start])

    for number, row in enumerate(rows):
        k, kind = chance.integers(3), chance.integers(3)
        a, b, c = row[k], row[(k + 1) % 3], row[(k + 2) % 3]
        other = beyond[b, a]
        if number in done or (kind and other in done):
            continue
        if kind == 0:  # a corner doubled within the triangle
            u, v = chance.uniform(0.0, 1e-7, 2)
            m = add(points[a] + towards(a, b, u) + towards(a, c, v))
            new += [(a, b, m), (b, c, m), (c, a, m)]
            done.add(number)
            continue
        d = next(x for x in rows[other] if x not in (a, b))
        if kind == 1:  # a corner doubled on an edge
            m = add(points[a] + towards(a, b, 1e-7))
            new += [(a, m, c), (m, b, c), (b, m, d), (m, a, d)]
        else:  # a T-junction of five edges on one, healed by triangles without area
            shares = np.sort(chance.uniform(0.0, 1.0, 4))
            ring = [a, *(add(points[a] + s * (points[b] - points[a])) for s in shares), b]
            new += [(x, y, c) for x, y in pairwise(ring)]
            new += [(a, y, x) for x, y in pairwise(ring[1:])] + [(b, a, d)]
        done |= {number, other}
    new += [row for number, row in enumerate(rows) if number not in done]
    return Solid(np.array(points), np.array(new), name=solid.name)


def searched(body, web):
    before = time.process_time()
    found = find_cavities([*plates(SIZE, WALL), web, body], gap=GAP)
    return found, time.process_time() - before


@pytest.mark.parametrize("seed", range(3))
def test_needles_move_no_volume_and_cost_no_more_than_other_triangles(seed):
    whole = tangle(seed, 8)
    web = block((WEB[0], 0.0, 0.0), (WEB[1], *SIZE[1:]), "web")
    ends = ((0.0, WEB[0]), (WEB[1], SIZE[0]))
    rooms = [Manifold.cube((b - a, *SIZE[1:])).translate((a, 0.0, 0.0)) for a, b in ends]
    truths = sorted((room - whole).volume() for room in rooms)
    clean, rough = as_solid(whole), with_needles(as_solid(whole), seed)
    sides = rough.vertices[rough.faces] - np.roll(rough.vertices[rough.faces], 1, axis=1)
    needles = (np.linalg.norm(sides, axis=2).min(axis=1) < 2e-7).sum()
    assert needles > 400 and len(rough.faces) > 2.5 * len(clean.faces)
    plain, seconds = searched(clean, web)
    found, longer = searched(rough, web)
    for each in (plain, found):
        voids = sorted(each.voids, key=lambda void: void.volume)
        assert len(voids) == len(truths) == 2
        assert [void.touching for void in each.voids] == [(1,), (0,)]
        for void, truth in zip(voids, truths, strict=True):
            assert void.volume_error < 0.005 * truth and void.gap_volume < 1e-4 * truth
            # No foam stands in crevices that are sealed, nor in pockets behind them.
            narrow = void.gap_volume + each.pockets
            assert void.volume - void.volume_error <= truth
            assert truth <= void.volume + narrow + void.volume_error
    # Work grows with the triangles, not with the square of them.
    assert longer < 2.5 * seconds * len(rough.faces) / len(clean.faces)


def test_a_needle_that_is_faced_in_part_is_not_taken_for_faced_all_over():
    """A needle 5 um broad that a wall stands over for a third of its length."""
    corners = np.array(
        [
            [(0.0, 0.0, 0.0), (3.0, 0.0, 0.0), (3.0, 5e-6, 0.0)],
            [(2.0, -1.0, 0.01), (2.0, 1.0, 0.01), (4.0, 0.0, 0.01)],
        ]
    )
    normals = np.array([(0.0, 0.0, 1.0), (0.0, 0.0, -1.0)])
    triangles = Triangles(corners, normals, np.array([0, 1]), np.zeros((2, 3), dtype=np.intp))
    pieces = facing_pieces(triangles, 0.02, TOUCH)
    over = pieces.take(pieces.one == 0)
    assert float(over.base[over.in_use][:, 0].min()) >= 2.0 - 1e-9
    columns, whole = merged(pieces, triangles, 1e-3, TOUCH)
    assert not whole.any()
    assert float(columns.base[columns.in_use][:, 0].min()) >= 2.0 - 1e-9
