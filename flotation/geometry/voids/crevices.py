"""Corners sharper than square are narrow too, but nothing leaks through a corner.

Works on arrays. Two walls that meet stand closer than any gap near the line where they meet. A
ball as wide as the gap that rests against both of them and touches nothing else shows that the
space in front of the corner is open: the corner is a dead end that belongs to the cavity, and
wants no putty. Where the ball does not fit, a third wall makes a passage of the corner.
"""

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.facing import Pieces, Triangles
from flotation.geometry.voids.proximity import near_boxes_of

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

# Walls within about eleven degrees of parallel are taken for a joint, not for a corner.
_PARALLEL = -0.98
# In a corner of curved walls the next facet may reach this far into the ball.
_ROOM = 0.1
_SAMPLES = np.array([0.02, 0.35, 0.65, 0.98])


def dead_ends(pieces: Pieces, triangles: Triangles, width: float, closed: float) -> Mask:
    """Which pieces lie in a corner that is open along its whole length.

    width   m, the diameter of the ball, tried at four places along each piece
    closed  m, walls that come as close as this meet, or what is between them is sealed already
    """
    cosine = np.einsum("ij,ij->i", triangles.normals[pieces.one], triangles.normals[pieces.other])
    corner = (pieces.narrowest <= closed) & (cosine > _PARALLEL) & (width > closed)
    at = np.flatnonzero(corner)
    result = np.zeros(len(pieces), dtype=bool)
    if at.size:
        centres = _resting(pieces.take(at), triangles, width / 2.0)
        free = _free(centres.reshape(-1, 3), triangles, width / 2.0 * (1.0 - _ROOM))
        result[at] = free.reshape(len(at), -1).all(axis=1)
    return result


def _resting(pieces: Pieces, triangles: Triangles, radius: float) -> Floats:
    """Centres, (m, samples, 3), of balls that touch both walls of each piece."""
    n1, n2 = triangles.normals[pieces.one], triangles.normals[pieces.other]
    along = np.cross(n1, n2)
    along /= np.linalg.norm(along, axis=1)[:, None]
    run = np.einsum("nkx,nx->nk", pieces.base, along)
    low = np.where(pieces.in_use, run, np.inf).min(axis=1)
    high = np.where(pieces.in_use, run, -np.inf).max(axis=1)
    matrix = np.stack([n1, n2, along], axis=1)
    first = np.einsum("nx,nx->n", n1, triangles.corners[pieces.one, 0]) + radius
    second = np.einsum("nx,nx->n", n2, triangles.corners[pieces.other, 0]) + radius
    target = np.empty((len(pieces), len(_SAMPLES), 3))
    target[:, :, 0], target[:, :, 1] = first[:, None], second[:, None]
    target[:, :, 2] = low[:, None] + (high - low)[:, None] * _SAMPLES
    result: Floats = np.einsum("nij,nkj->nki", np.linalg.inv(matrix), target)
    return result


def _free(centres: Floats, triangles: Triangles, radius: float) -> Mask:
    """Which balls have no triangle within `radius` of their centres."""
    low, high = triangles.corners.min(axis=1), triangles.corners.max(axis=1)
    ball, triangle = near_boxes_of((centres, centres), (low, high), radius)
    close = distances(centres[ball], triangles.corners[triangle]) < radius
    free = np.ones(len(centres), dtype=bool)
    free[ball[close]] = False
    return free


def distances(points: Floats, corners: Floats) -> Floats:
    """Distance of each point, (n, 3), from its triangle, (n, 3, 3)."""
    a, b, c = (corners[:, i] for i in range(3))
    normal = np.cross(b - a, c - a)
    length = np.linalg.norm(normal, axis=1)
    normal = normal / np.where(length > 0.0, length, 1.0)[:, None]
    result = np.full(len(points), np.inf)
    inside = length > 0.0
    for start, end in ((a, b), (b, c), (c, a)):
        edge = end - start
        share = np.einsum("ij,ij->i", points - start, edge)
        share = np.clip(share / np.maximum(np.einsum("ij,ij->i", edge, edge), 1e-300), 0.0, 1.0)
        off = points - start - share[:, None] * edge
        result = np.minimum(result, np.linalg.norm(off, axis=1))
        inside &= np.einsum("ij,ij->i", np.cross(edge, points - start), normal) >= 0.0
    height = np.abs(np.einsum("ij,ij->i", points - a, normal))
    return np.where(inside, height, result)
