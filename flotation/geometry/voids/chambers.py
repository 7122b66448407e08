"""Closed regions told apart from the slots that putty leaves, and known again at another width."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.crevices import distances
from flotation.geometry.voids.facing import Triangles, facing_pieces, polygon_area
from flotation.geometry.voids.gathering import neighbours
from flotation.geometry.voids.putty import TOUCH
from flotation.geometry.voids.sealing import Region

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

_SEEDS = 24
_TRIED = 3


@dataclass(frozen=True, eq=False)
class Chamber:
    """A region that is somewhere wider than the gap, and its number."""

    number: int
    region: Region

    @cached_property
    def inside(self) -> Floats:
        """(3,) m, a place well inside it."""
        return deep_point(self.region)


def chambers(regions: tuple[Region, ...], gap: float) -> tuple[list[Chamber], list[int]]:
    """Regions that are wider than `gap` somewhere, and the numbers of those that are not."""
    slots = [n for n, r in enumerate(regions) if _crumb(r, gap) or _narrow(r, gap)]
    return [Chamber(n, r) for n, r in enumerate(regions) if n not in slots], slots


def _crumb(region: Region, width: float) -> bool:
    return region.volume <= np.pi / 6.0 * width**3


def _narrow(region: Region, width: float) -> bool:
    """Whether the walls of a region face each other within `width` over most of their area.

    Only a region that is thin on the whole, twice its volume over its area, is looked at closely.
    """
    area = float(region.areas.sum())
    if 2.0 * region.volume <= TOUCH * area:
        return True
    if 2.0 * region.volume > width * area:
        return False
    inward = as_triangles(region.vertices, region.faces[:, ::-1])
    pieces = facing_pieces(inward, width, TOUCH)
    if not len(pieces):
        return False
    origin, x, y = inward.frame(pieces.one)
    local = np.stack(
        [np.einsum("nkx,nx->nk", pieces.base - origin[:, None], axis) for axis in (x, y)], axis=2
    )
    return float(polygon_area(local, pieces.count).sum()) > 0.5 * area


def as_triangles(vertices: Floats, faces: Integers) -> Triangles:
    """The closed surface of one region as triangles with normals."""
    real = _real(vertices, faces)
    corners = vertices[faces]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normal /= np.where(real, np.linalg.norm(normal, axis=1), 1.0)[:, None]
    beyond = neighbours(faces)
    place = np.cumsum(real) - 1
    beyond = np.where(real[beyond], place[beyond], place[:, None])[real]
    return Triangles(corners[real], normal[real], np.zeros(int(real.sum()), np.intp), beyond)


def _real(vertices: Floats, faces: Integers) -> NDArray[np.bool_]:
    """Triangles with an area and no edge shorter than rounding."""
    corners = vertices[faces]
    edges = np.roll(corners, -1, axis=1) - corners
    area = np.linalg.norm(np.cross(edges[:, 0], edges[:, 1]), axis=1)
    longest = np.linalg.norm(edges, axis=2).max(axis=1)
    result: NDArray[np.bool_] = area > 1e-9 * longest
    return result


def deep_point(region: Region) -> Floats:
    """A place inside a region, far from its walls as places go.

    Half way along the lines that run inward from its largest triangles to the wall opposite; of
    the longest three that one which is farthest from every wall.
    """
    corners = region.vertices[region.faces]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    area = np.linalg.norm(normal, axis=1)
    seeds = np.argsort(-area)[:_SEEDS]
    start = corners[seeds].mean(axis=1)
    inward = -normal[seeds] / area[seeds, None]
    reach = np.array(
        [_first_wall(corners, p, d, s) for p, d, s in zip(start, inward, seeds, strict=True)]
    )
    reach[~np.isfinite(reach)] = 0.0
    best = np.argsort(-reach)[:_TRIED]
    points = start[best] + 0.5 * reach[best, None] * inward[best]
    clear = [float(distances(np.tile(p, (len(corners), 1)), corners).min()) for p in points]
    result: Floats = points[int(np.argmax(clear))]
    return result


def _first_wall(corners: Floats, start: Floats, direction: Floats, seed: int) -> float:
    """Distance along a line to the first triangle, other than its own (Moeller and Trumbore)."""
    edge1, edge2 = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    across = np.cross(direction, edge2)
    scale = np.einsum("ij,ij->i", edge1, across)
    usable = np.abs(scale) > 1e-300
    factor = np.where(usable, 1.0 / np.where(usable, scale, 1.0), np.nan)
    off = start - corners[:, 0]
    u = factor * np.einsum("ij,ij->i", off, across)
    side = np.cross(off, edge1)
    v = factor * (side @ direction)
    along = factor * np.einsum("ij,ij->i", edge2, side)
    with np.errstate(invalid="ignore"):
        hit = (u >= 0.0) & (v >= 0.0) & (u + v <= 1.0) & (along > 0.0)
    hit[seed] = False
    return float(along[hit].min()) if hit.any() else float("inf")
