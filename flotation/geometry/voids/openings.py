"""Openings in figures: where, how wide, how long, how much putty. Works on what `putty` found."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.facing import Pieces
from flotation.geometry.voids.putty import LAP, Opening, Puttied

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Measured:
    """An opening: its middle, (3,) m, widths, m, longest mouth, m, and volume, m3."""

    place: Floats
    narrowest: float
    widest: float
    length: float
    volume: float


def measure(
    puttied: Puttied, numbers: tuple[Floats, Floats, Floats], opening: Opening, above: float
) -> Measured:
    """The part of an opening that is wider than `above`, m; `numbers` are those of `figures`."""
    widest = puttied.widest[opening.pieces]
    at = opening.pieces[widest > above]
    widest = puttied.widest[at]
    area, middle, height = (array[at] for array in numbers)
    weight = area + 1e-300
    mean = float(np.average(height, weights=weight))
    mouth = max(opening.area, default=0.0)
    return Measured(
        place=np.average(middle, axis=0, weights=weight),
        narrowest=max(float(puttied.narrowest[at].min()), 0.0),
        widest=float(widest.max()),
        length=mouth / mean if mean > 0.0 else 0.0,
        volume=float(area @ height),
    )


def figures(puttied: Puttied, normals: Floats) -> tuple[Floats, Floats, Floats]:
    """Those of `sections` for all pieces of the putty, then for its ties."""
    area, middle, height = sections(puttied.pieces, normals)
    tied = puttied.ties
    return (
        np.concatenate([area, 2.0 * LAP * tied.length]),
        np.concatenate([middle, tied.middle]),
        np.concatenate([height, (tied.narrowest + tied.widest) / 2.0]),
    )


def sections(pieces: Pieces, normals: Floats) -> tuple[Floats, Floats, Floats]:
    """Area, middle half way up, and mean height of each piece, by its fan of triangles."""
    first, base = pieces.base[:, :1], pieces.base
    one, two = base[:, 1:-1] - first, base[:, 2:] - first
    normal = normals[pieces.one]
    used = np.arange(1, base.shape[1] - 1)[None, :] + 1 < pieces.count[:, None]
    fan = np.where(used, 0.5 * np.einsum("nkx,nx->nk", np.cross(one, two), normal), 0.0)
    area = fan.sum(axis=1)
    share = fan / np.where(area > 0.0, area, 1.0)[:, None]
    height = np.maximum(pieces.height, 0.0)
    mean = (height[:, :1] + height[:, 1:-1] + height[:, 2:]) / 3.0
    tall: Floats = (share * mean).sum(axis=1)
    centre = (share[:, :, None] * (first + (one + two) / 3.0)).sum(axis=1)
    return area, centre + 0.5 * tall[:, None] * normal, tall
