"""How far the volume of a void can be off, as a bound. Works on arrays."""

import math

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.gathering import neighbours
from flotation.geometry.voids.putty import LAP, TOUCH
from flotation.geometry.voids.sealing import ROUNDING, Region

Floats = NDArray[np.float64]


def volume_error(region: Region, gap: float, off: Floats, widest: Floats) -> float:
    """m3 by which the volume of `region` may differ from the true one, either way.

    gap     m, the width that was sealed
    off     (parts,) m, by how much the surface of each part may stand off
    widest  (plugs,) m that the walls stand apart at each plug: more than `gap` where it is tape

    Every mouth may stand half a gap farther in or out, a gap is sealed a touch beyond `gap`, and
    the lap of the putty adds its own: area of the mouths * ((gap + touch) / 2 + lap); of tape half
    the width of its opening, for it goes round edges that putty goes round too. Surfaces of
    which each stands off by at most t change the volume by at most  A t + M t^2 + 4/3 pi t^3 * n
    (Steiner's formula for a surface moved outward, recalled), where A is the area of the parts'
    surfaces, M half the sum of edge length times turn, taken positive at concave edges as well,
    and n the corners that could matter.
    """
    areas = region.areas
    of_putty = region.part < 0
    wide = np.full(len(areas), gap + TOUCH)
    numbered = region.plug >= 0
    wide[numbered] = np.maximum(wide[numbered], widest[region.plug[numbered]])
    mouths = float(areas[of_putty] @ (wide[of_putty] / 2.0 + LAP))
    rounding = float(areas.sum()) * ROUNDING
    moved = float(areas[~of_putty] @ off[region.part[~of_putty]])
    most = float(off.max(initial=0.0))
    return _rounded_up(mouths + rounding + moved + _bent(region, most))


def _rounded_up(bound: float) -> float:
    """The bound to four digits: angles between all but flat faces leave no more of it certain.

    >>> _rounded_up(0.000412260347), _rounded_up(0.0)
    (0.0004123, 0.0)
    """
    if bound == 0.0:
        return 0.0
    digits = 3 - math.floor(math.log10(bound))
    up = round(math.ceil(bound * 10.0**digits) / 10.0**digits, max(digits, 0))
    return max(up, bound)


def _bent(region: Region, off: float) -> float:
    """The second and third order terms: what corners add when surfaces move by `off`."""
    if off == 0.0:
        return 0.0
    corners = region.vertices[region.faces]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(normal, axis=1)
    normal /= np.where(length > 0.0, length, 1.0)[:, None]
    edges = np.linalg.norm(np.roll(corners, -1, axis=1) - corners, axis=2)
    beyond = neighbours(region.faces)
    turn = np.arccos(np.clip(np.einsum("ix,ikx->ik", normal, normal[beyond]), -1.0, 1.0))
    turn[(length[:, None] == 0.0) | (length[beyond] == 0.0)] = 0.0
    # Every edge is met twice, once from each side.
    bend = 0.5 * float((0.5 * edges * turn).sum())
    return bend * off**2 + 4.0 / 3.0 * np.pi * off**3 * _sharp(turn)


def _sharp(turn: Floats) -> int:
    """Triangles at a fold of more than thirty degrees, and one for the smooth rest."""
    return 1 + int((turn > np.pi / 6.0).any(axis=1).sum())
