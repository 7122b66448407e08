"""Straight lines of a lattice through a solid: where each enters and leaves it, exactly."""

from dataclasses import dataclass

import numpy as np

from flotation.errors import Fault, MeshError
from flotation.geometry.solid import Floats, Integers, Solid

_PAIRS_AT_ONCE = 1 << 20


@dataclass(frozen=True, eq=False)
class Lattice:
    """Points at even steps: origin + (i, j, k) step, with count (3,) along x, y, z; m."""

    origin: Floats
    step: float
    count: Integers


@dataclass(frozen=True, eq=False)
class Spans:
    """Stretches of the lattice's lines along one axis that lie inside the solid.

    line   (k,) which line: place along the next axis times the count of the one after, plus that
    low, high  (k,) m, where it enters and leaves, along the axis
    slant_low, slant_high  (k,) cosine between the axis and the surface's normal there
    """

    line: Integers
    low: Floats
    high: Floats
    slant_low: Floats
    slant_high: Floats


def spans_along(solid: Solid, lattice: Lattice, axis: int) -> Spans:
    """Where the lattice's lines along an axis (0, 1, 2 for x, y, z) run inside the solid.

    Raises MeshError where a line hits an edge or a corner so that ins and outs do not pair: the
    caller shifts the lattice a little.
    """
    u, v = (axis + 1) % 3, (axis + 2) % 3
    corners = solid.vertices[solid.faces][:, :, [u, v, axis]]
    start, step = lattice.origin[[u, v]], lattice.step
    first = np.ceil((corners[:, :, :2].min(axis=1) - start) / step).astype(np.intp)
    last = np.floor((corners[:, :, :2].max(axis=1) - start) / step).astype(np.intp)
    size = np.maximum(last - first + 1, 0)
    found = [
        _hits(corners[part], first[part], size[part], lattice, (u, v))
        for part in _parts(size[:, 0] * size[:, 1])
    ]
    line, height, slant, inward = (np.concatenate(column) for column in zip(*found, strict=True))
    order = np.lexsort((inward, height, line))
    line, height, slant = line[order], height[order], slant[order]
    way = np.bincount(line, np.where(inward[order], 1.0, -1.0))
    if line.size % 2 or way.any() or (line[0::2] != line[1::2]).any():
        raise MeshError(Fault(solid.name, "a line meets an edge of it", "Shift the lattice."))
    return Spans(line[0::2], height[0::2], height[1::2], slant[0::2], slant[1::2])


def _parts(work: Integers) -> list[slice]:
    """Runs of triangles with a bounded number of lines over them."""
    chunk = np.cumsum(work) // _PAIRS_AT_ONCE
    starts = np.flatnonzero(np.r_[True, np.diff(chunk) > 0])
    return [slice(a, b) for a, b in zip(starts, [*starts[1:], len(work)], strict=True)]


def _hits(
    corners: Floats, first: Integers, size: Integers, lattice: Lattice, axes: tuple[int, int]
) -> tuple[Integers, Floats, Floats, Integers]:
    """Line, height, cosine of slant and way (1 going in) of every line through every triangle."""
    count = size[:, 0] * size[:, 1]
    row = np.arange(len(corners)).repeat(count)
    number = np.arange(row.size) - (np.cumsum(count) - count).repeat(count)
    i = first[row, 0] + number // np.maximum(size[row, 1], 1)
    j = first[row, 1] + number % np.maximum(size[row, 1], 1)
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    normal = np.cross(b - a, c - a)
    doubled = normal[:, 2]
    p = lattice.origin[axes[0]] + i * lattice.step
    q = lattice.origin[axes[1]] + j * lattice.step

    def turn(start: Floats, end: Floats) -> Floats:
        """Twice the area to the left of an edge seen from the lines."""
        s, e = start[row], end[row]
        area: Floats = (e[:, 0] - s[:, 0]) * (q - s[:, 1]) - (e[:, 1] - s[:, 1]) * (p - s[:, 0])
        return area

    beside_a, beside_b, beside_c = turn(b, c), turn(c, a), turn(a, b)
    signs = np.stack([beside_a > 0.0, beside_b > 0.0, beside_c > 0.0])
    through = (signs.all(axis=0) | ~signs.any(axis=0)) & (doubled[row] != 0.0)
    kept = row[through]
    weights = np.stack([beside_a, beside_b, beside_c])[:, through] / doubled[kept]
    height = weights[0] * a[kept, 2] + weights[1] * b[kept, 2] + weights[2] * c[kept, 2]
    slant = np.abs(doubled) / np.maximum(np.linalg.norm(normal, axis=1), np.finfo(float).tiny)
    line = i[through] * lattice.count[axes[1]] + j[through]
    return line, height, slant[kept], (doubled[kept] < 0.0).astype(np.intp)
