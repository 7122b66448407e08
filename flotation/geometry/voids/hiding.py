"""Walls that are opposite each other but for another wall between them. Works on arrays."""

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.facing import Pieces, Triangles
from flotation.geometry.voids.proximity import near_boxes_of

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

# Walls this much nearer stand in front, m.
_IN_FRONT = 1e-4
_TOWARDS_CORNER = 0.9
_SKIN = 1e-6  # m, what counts as on a wall


def hidden(pieces: Pieces, others: Pieces, triangles: Triangles) -> Mask:
    """Which pieces have a nearer wall in front of their middle and of all their corners.

    `others` are all pieces there are. A piece that is hidden only in part is not hidden.
    """
    if not len(pieces):
        return np.zeros(0, dtype=bool)
    used = pieces.in_use[:, :, None]
    middle = np.where(used, pieces.base, 0.0).sum(axis=1) / pieces.count[:, None]
    mean = np.where(pieces.in_use, pieces.height, 0.0).sum(axis=1) / pieces.count
    result = _behind(pieces, middle, mean, others, triangles)
    for corner in range(pieces.base.shape[1]):
        at = np.flatnonzero(result & (corner < pieces.count))
        share = _TOWARDS_CORNER
        place = share * pieces.base[at, corner] + (1.0 - share) * middle[at]
        height = share * pieces.height[at, corner] + (1.0 - share) * mean[at]
        result[at] = _behind(pieces.take(at), place, height, others, triangles)
    return result


def _behind(
    pieces: Pieces, place: Floats, height: Floats, others: Pieces, triangles: Triangles
) -> Mask:
    """Whether another piece of the same triangle covers `place` at less than `height`."""
    result = np.zeros(len(pieces), dtype=bool)
    used = others.in_use[:, :, None]
    low = np.where(used, others.base, np.inf).min(axis=1)
    high = np.where(used, others.base, -np.inf).max(axis=1)
    i, j = near_boxes_of((place, place), (low, high), 1e-9)
    same = (pieces.one[i] == others.one[j]) & (others.narrowest[j] < height[i] - _IN_FRONT)
    i, j = i[same], j[same]
    base, count = others.base[j], others.count[j]
    step = np.arange(base.shape[1])[None, :]
    after = np.where(step + 1 < count[:, None], step + 1, 0)
    along = np.take_along_axis(base, after[:, :, None], axis=1) - base
    inward = np.cross(triangles.normals[others.one[j]][:, None], along)
    side = np.einsum("nkx,nkx->nk", place[i][:, None] - base, inward)
    within = ((side >= 0.0) | (step >= count[:, None])).all(axis=1)
    nearer = _height_at(others.take(j), place[i]) < height[i] - _IN_FRONT
    result[i[within & nearer]] = True
    return result


def within_columns(places: Floats, columns: Pieces, triangles: Triangles) -> Mask:
    """Which places, (n, 3), lie in the column over a piece, between its wall and the opposite one.

    Its walls count as in it.
    """
    result = np.zeros(len(places), dtype=bool)
    if not len(places) or not len(columns):
        return result
    used = columns.in_use[:, :, None]
    roof = columns.base + columns.height[:, :, None] * triangles.normals[columns.one][:, None]
    low = np.where(used, np.minimum(columns.base, roof), np.inf).min(axis=1)
    high = np.where(used, np.maximum(columns.base, roof), -np.inf).max(axis=1)
    i, j = near_boxes_of((places, places), (low, high), _SKIN)
    near, at = columns.take(j), places[i]
    up = np.einsum("nx,nx->n", at - near.base[:, 0], triangles.normals[near.one])
    over = _over(at, near, triangles)
    within = over & (up >= -_SKIN) & (up <= _height_at(near, at) + _SKIN)
    result[i[within]] = True
    return result


def _over(places: Floats, pieces: Pieces, triangles: Triangles) -> Mask:
    """Whether each place stands over its piece."""
    step = np.arange(pieces.base.shape[1])[None, :]
    after = np.where(step + 1 < pieces.count[:, None], step + 1, 0)
    along = np.take_along_axis(pieces.base, after[:, :, None], axis=1) - pieces.base
    inward = np.cross(triangles.normals[pieces.one][:, None], along)
    inward /= np.maximum(np.linalg.norm(inward, axis=2), 1e-300)[:, :, None]
    side = np.einsum("nkx,nkx->nk", places[:, None] - pieces.base, inward)
    return np.asarray(((side >= -_SKIN) | (step >= pieces.count[:, None])).all(axis=1))


def _height_at(pieces: Pieces, place: Floats) -> Floats:
    """The height of each piece at a place, by the plane through its first three corners."""
    edges = pieces.base[:, 1:3] - pieces.base[:, :1]
    gram = np.einsum("nix,njx->nij", edges, edges)
    run = np.einsum("nix,nx->ni", edges, place - pieces.base[:, 0])
    share = np.einsum("nij,nj->ni", np.linalg.pinv(gram, hermitian=True), run)
    rise = pieces.height[:, 1:3] - pieces.height[:, :1]
    return np.asarray(pieces.height[:, 0] + (share * rise).sum(axis=1))
