"""Parts whose file is in another unit than the boat file says, told by whether they touch.

STL, OBJ, PLY and OFF have no unit of their own. A part that is read in the wrong one is an
inch's 25.4 millimetres too large or too small, and a small part is no mistake by its size alone.
But parts of a boat are bonded to each other: one that hardly touches the others as it is read,
and would with its numbers in another unit, is refused.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.boatfile.parts import DrawnPart
from flotation.boatfile.place import Place, metres
from flotation.geometry.meshfile import METRES
from flotation.geometry.solid import Skin
from flotation.geometry.touching import touching_share

Floats = NDArray[np.float64]

# The parts that wall a boat's cavities, together, against its length: a locker to a bowsprit.
_LEAST, _MOST = 1.0 / 15.0, 1.5
_ASKED = 400  # corners of a part that are tried, evenly over its list: enough for a share
_BEYOND = 0.5  # of the others' size, by which a part in its right unit may reach beyond them
_FINE = 0.01  # of a part's own size: what lies farther off does not touch it
# A part is in another unit if it touches there with three times as many of its corners, and at
# least so many. Common practice, no source: of the example skiff's eleven meshes, each would touch
# with 0.25 to 1 of its corners in its own unit, and with at most 0.04 in any other.
_LEAST_CONTACT, _TIMES = 0.15, 3.0
# Or if there it touches on all six sides of its box, each with so many of the corners out there,
# and as it is read on one side with none: a small part that lies in the bilge touches too. Of the
# eleven meshes ten touch on all six sides in their own unit, and none does in another.
_OUTMOST, _LEAST_SIDE = 0.05, 0.25


@dataclass(frozen=True, eq=False)
class _Placed:
    """A part's corners and triangles as read, m, and half its thickness."""

    points: Floats
    triangles: Floats
    half: float

    def scaled(self, factor: float) -> "_Placed":
        return _Placed(self.points * factor, self.triangles * factor, self.half)

    @property
    def size(self) -> float:
        return float(np.linalg.norm(np.ptp(self.points, axis=0)))


def check_units(walls: Sequence[DrawnPart], within: float) -> bool:
    """Whether no part seems to be in another unit; each that does is a fault with both sizes.

    walls   the parts that are searched between
    within  m, parts this close touch: the gap that is sealed, and what surfaces may be off
    """
    placed = [_placed(part) for part in walls]
    sound = True
    for number, part in enumerate(walls):
        if part.unit is None or len(walls) < 2:
            continue
        others = placed[:number] + placed[number + 1 :]
        better = _better_unit(placed[number], others, part.unit, within)
        if better is not None:
            unit, all_round = better
            touches = f"{'touches' if all_round else 'hardly touches'} the others"
            touches += " on some sides only" if all_round else ""
            sound = False
            here = placed[number].size
            there = here * METRES[unit] / METRES[part.unit]
            problem = (
                f'read in "{part.unit}" the part measures {metres(here)} across and {touches};'
                f' in "{unit}" it would measure {metres(there)} and touch them'
                f"{' all round' if all_round else ''}"
            )
            part.place.fault("unit", problem, f'Write unit = "{unit}", or draw it in its place.')
    return sound


def check_whole(place: Place, length: float | None, walls: Sequence[DrawnPart]) -> bool:
    """Whether the parts together are of the boat's size; if not, that is a fault.

    place   of [parts]
    length  of the boat, m; None where it is not stated
    """
    if length is None:
        return True
    corners = np.concatenate([part.body.vertices for part in walls])
    size = float(np.ptp(corners, axis=0).max())
    if length * _LEAST <= size <= length * _MOST:
        return True
    if size > length * _MOST and (alone := _too_large(walls, length)) is not None:
        here = float(np.ptp(alone.body.vertices, axis=0).max())
        problem = (
            f"the part measures {metres(here)}, the boat is {metres(length)} long, and the other"
            " parts are of its size"
        )
        alone.place.fault("unit", problem, "Look at the unit of its file, and at its place.")
        return False
    problem = f"the parts measure {metres(size)} in all, and the boat is {metres(length)} long"
    place.fault("", problem, "Look at the units of their files, and at the boat's length.")
    return False


def _too_large(walls: Sequence[DrawnPart], length: float) -> DrawnPart | None:
    """The one part without which the others are of the boat's size; None where there is no one."""
    for part in walls:
        rest = [other.body.vertices for other in walls if other is not part]
        if part.unit is None or not rest:
            continue
        size = float(np.ptp(np.concatenate(rest), axis=0).max())
        if length * _LEAST <= size <= length * _MOST:
            return part
    return None


def _placed(part: DrawnPart) -> _Placed:
    body = part.body
    corners = body.vertices[np.unique(body.faces)]
    few = np.linspace(0, len(corners) - 1, min(_ASKED, len(corners))).astype(np.intp)
    half = body.thickness / 2.0 if isinstance(body, Skin) else 0.0
    return _Placed(corners[few], body.vertices[body.faces], half)


def _better_unit(
    part: _Placed, others: Sequence[_Placed], unit: str, within: float
) -> tuple[str, bool] | None:
    """The unit in which the part would touch the others, if it does not in its own.

    With it, whether it does touch them as it is read, but would on all sides there.
    """
    found: dict[str, tuple[bool, float]] = {}
    plainly = _contact(part, others, within)
    for name, length in METRES.items():
        factor = length / METRES[unit]
        scaled = part.scaled(factor)
        too_large = factor < 1.0 and _TIMES * plainly > 1.0
        if name == unit or too_large or not _lies_among(scaled, others):
            continue
        near = min(within, _FINE * scaled.size)
        there = _contact(scaled, others, near)
        # a smaller part is as near only if it is so in proportion
        alike = near / factor if factor > 1.0 else within
        as_read = _contact(part, others, alike) if factor > 1.0 else plainly
        fits = min(_sides(scaled, others, near)) >= _LEAST_SIDE
        fits = fits and min(_sides(part, others, alike)) == 0.0
        if there >= _LEAST_CONTACT and (fits or there >= _TIMES * as_read):
            found[name] = (fits, there)
    if not found:
        return None
    best = max(found, key=lambda one: found[one])
    return best, found[best][0] and plainly >= _LEAST_CONTACT


def _lies_among(part: _Placed, others: Sequence[_Placed]) -> bool:
    """Whether a part reaches beyond all others by no more than half their size."""
    points = np.concatenate([other.points for other in others])
    low, high = points.min(axis=0), points.max(axis=0)
    reach = _BEYOND * float((high - low).max())
    return bool((part.points >= low - reach).all() and (part.points <= high + reach).all())


def _sides(part: _Placed, others: Sequence[_Placed], near: float) -> list[float]:
    """The share of the outermost corners on each side of a part's box that touch the others."""
    triangles = np.concatenate([other.triangles for other in others])
    reach = near + part.half + max(other.half for other in others)
    low, high = part.points.min(axis=0), part.points.max(axis=0)
    shares = []
    for end in (low, high):
        for axis in range(3):
            off = np.abs(part.points[:, axis] - end[axis])
            outmost = part.points[off <= _OUTMOST * (high - low)[axis]]
            shares.append(touching_share(outmost, triangles, reach))
    return shares


def _contact(part: _Placed, others: Sequence[_Placed], near: float) -> float:
    """The share of a part's corners that touch the others, or of theirs that touch it."""
    triangles = np.concatenate([other.triangles for other in others])
    points = np.concatenate([other.points for other in others])
    own = near + part.half + max(other.half for other in others)
    return max(
        touching_share(part.points, triangles, own), touching_share(points, part.triangles, own)
    )
