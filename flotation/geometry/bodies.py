"""Which triangles hang together as one body, and which body lies inside which."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

_AT_ONCE = 2_000_000
_HAIR = 1e-6
"""Of the side of a triangle: far enough for a winding number to tell the sides of a surface."""


def label_bodies(faces: Integers) -> Integers:
    """Which body does each row belong to, where rows that share a vertex belong together?

    faces  (m, k) vertices: triangles, or edges
    Returns (m,) labels 0, 1, ... in the order in which the bodies first appear.
    """
    from scipy.sparse import coo_array  # noqa: PLC0415 - loaded only where bodies are told apart
    from scipy.sparse.csgraph import connected_components  # noqa: PLC0415 - slow to load

    count = int(faces.max()) + 1
    first, other = np.repeat(faces[:, 0], faces.shape[1] - 1), faces[:, 1:].ravel()
    beside = coo_array((np.ones(len(first), dtype=np.int8), (first, other)), (count, count))
    _, label = connected_components(beside, directed=False)
    root = label[faces[:, 0]]
    _, first, which = np.unique(root, return_index=True, return_inverse=True)
    rank = np.empty(len(first), dtype=np.intp)
    rank[np.argsort(first)] = np.arange(len(first))
    return rank[which]


def signed_volumes(vertices: Floats, faces: Integers, body: Integers) -> Floats:
    """Volume of each body, (k,): positive for one wound outward, negative for a hollow.

    Tetrahedra against the middle of the vertices, so that a body far from the origin keeps its
    digits.
    """
    a, b, c = (vertices[faces[:, i]] - vertices.mean(axis=0) for i in range(3))
    sixth = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6.0
    return np.bincount(body, weights=sixth).astype(np.float64)


def nesting_depth(vertices: Floats, faces: Integers, body: Integers) -> Integers:
    """Inside how many others does each body lie, (k,)?

    Told from a point just inside the body; so it holds for bodies that touch, but not for bodies
    whose surfaces cross.
    """
    count = int(body.max()) + 1
    depth = np.zeros(count, dtype=np.intp)
    if count == 1:
        return depth
    order = np.argsort(body, kind="stable")
    groups = np.split(faces[order], np.cumsum(np.bincount(body))[:-1])
    low = np.array([vertices[group].min(axis=(0, 1)) for group in groups])
    high = np.array([vertices[group].max(axis=(0, 1)) for group in groups])
    for inner, group in enumerate(groups):
        around = ((low <= low[inner]) & (high >= high[inner])).all(axis=1)
        around[inner] = False
        for outer in np.flatnonzero(around):
            turns = winding_number(vertices, groups[outer], _point_inside(vertices, group)[None])
            depth[inner] += bool(abs(turns[0]) > 0.5)
    return depth


def _point_inside(vertices: Floats, faces: Integers) -> Floats:
    """(3,) a point of what the surface encloses, a hair behind its largest triangle."""
    a, b, c = (vertices[faces[:, i]] for i in range(3))
    doubled = np.cross(b - a, c - a)
    area = np.linalg.norm(doubled, axis=1)
    largest = int(area.argmax())
    outward = np.sign(np.einsum("ij,ij->", a - a[0], doubled))
    step = _HAIR * outward * doubled[largest] / np.sqrt(area[largest])
    point: Floats = (a[largest] + b[largest] + c[largest]) / 3.0 - step
    return point


def winding_number(vertices: Floats, faces: Integers, points: Floats) -> Floats:
    """How often does a closed surface go round each point, (p,)?

    1 inside a body wound outward, 0 outside, -1 inside one wound inward; about half on the
    surface itself.

    Sum of the solid angles of the triangles over 4 pi; the solid angle by A. van Oosterom and
    J. Strackee, "The Solid Angle of a Plane Triangle", IEEE Transactions on Biomedical
    Engineering 30 (1983), 125-126 (recalled). Error about 1e-15 times the triangles, away from
    the surface.
    """
    turns = np.empty(len(points))
    step = max(1, _AT_ONCE // len(faces))
    for start in range(0, len(points), step):
        part = points[start : start + step, None]
        a, b, c = (vertices[faces[:, i]][None] - part for i in range(3))
        la, lb, lc = (np.linalg.norm(side, axis=2) for side in (a, b, c))
        above = np.einsum("pij,pij->pi", a, np.cross(b, c))
        ab, bc, ca = (np.einsum("pij,pij->pi", u, v) for u, v in ((a, b), (b, c), (c, a)))
        below = la * lb * lc + ab * lc + bc * la + ca * lb
        turns[start : start + step] = np.arctan2(above, below).sum(axis=1) / (2.0 * np.pi)
    return turns
