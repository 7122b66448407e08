"""Where names go beside crowded points: none covers a name, a point, or the line to another."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import ceil, inf, sqrt

from flotation.report.labels import Label, Place

_HEIGHT = 6.4  # mm, of a name's box
_GAP = 0.6  # between two boxes
_CLEAR = 1.8  # from a point to the edge of a box
_PASS = 1.2  # from another point to a line
_APART = 2.0  # points nearer than this are one spot: no line can pass between them
_STEP = 3.5  # half a box and its gap
_REACH = 14  # steps from a point to the edge of its name, or a little more
_CROSSED = 4.0  # mm of longer line that one crossing of lines is worth
_ROUNDS = 3
_HAIR = 1e-6  # mm; what touches within it lies alike on every machine


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the paper, mm, y down."""

    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True, slots=True)
class _Callout:
    """The box of a name, and the line to its middle from the name's point."""

    at: Place
    spot: Place
    box: Box


def place_callouts(
    labels: Sequence[Label], frame: Place, taken: Sequence[Box] = ()
) -> list[Place] | None:
    """The middle of each name's box, in the order given; None where the frame is too crowded.

    frame  the corner opposite to (0, 0): boxes stay inside
    taken  where no name may stand
    No box covers a box, a point or a line; lines keep off boxes and other points, and cross one
    another only where nothing else is within reach. Each name is moved for as long as that shortens
    its line; of several orders of choosing, the one with the shortest lines in all is kept.
    """
    labels = [replace(label, at=_hundredths(label.at)) for label in labels]
    found: list[tuple[float, list[Place]]] = []
    for order in _orders(labels):
        settled = _settled(labels, order, frame, taken)
        if settled is not None:
            found.append(settled)
        elif not found:
            return None  # crowded points chose first: another order has less room still
    return min(found, key=lambda one: one[0])[1]


def _orders(labels: Sequence[Label]) -> list[list[int]]:
    """Crowded points first, then from the left, then from the right."""
    near = 4.0 * _STEP

    def neighbours(place: Place) -> int:
        points = (label.at for label in labels)
        return sum(abs(one.x - place.x) < near and abs(one.y - place.y) < near for one in points)

    across = sorted(range(len(labels)), key=lambda i: (labels[i].at.x, labels[i].at.y, i))
    crowded = sorted(across, key=lambda i: -neighbours(labels[i].at))
    return [crowded, across, across[::-1]]


def _settled(
    labels: Sequence[Label], order: Sequence[int], frame: Place, taken: Sequence[Box]
) -> tuple[float, list[Place]] | None:
    """What all lines cost, and the spots, where names choose in this order; None without room."""
    points = [label.at for label in labels]
    placed: dict[int, _Callout] = {}
    costs: dict[int, float] = {}
    for turn in range(1 + _ROUNDS):
        before = dict(placed)
        for which in order:
            others = [one for place, one in placed.items() if place != which]
            best = _best(labels[which], others, points, frame, taken)
            if best is None:
                return None
            costs[which], placed[which] = best
        if turn > 0 and placed == before:
            break
    return round(sum(costs.values()), 3), [placed[which].spot for which in range(len(labels))]


def _hundredths(place: Place) -> Place:
    return Place(round(place.x, 2), round(place.y, 2))


def _best(
    label: Label,
    others: Sequence[_Callout],
    points: Sequence[Place],
    frame: Place,
    taken: Sequence[Box],
) -> tuple[float, _Callout] | None:
    """The spot with the shortest line and its length, a crossing counted as so much longer."""
    boxes = [*(one.box for one in others), *taken]
    found: _Callout | None = None
    least = inf
    at, half, down = label.at, 0.5 * round(label.width, 2), 0.5 * _HEIGHT
    for length, right, below in _around(2.0 * half):
        if length >= least:
            break
        x, y = at.x + right, at.y + below
        box = Box(x - half, y - down, x + half, y + down)
        if not _inside(box, frame) or not _bare(box, boxes, points):
            continue
        own = _Callout(at, Place(x, y), box)
        if _clear(own, boxes, others, points):
            cost = length + _CROSSED * sum(_cross(own, one) for one in others)
            if cost < least:
                found, least = own, cost
    return None if found is None else (least, found)


@lru_cache(maxsize=256)
def _around(width: float) -> tuple[tuple[float, float, float], ...]:
    """Steps from a point to the middle of a box, with the line that is seen; shortest first."""
    found = []
    across_most = _REACH + ceil(0.5 * width / _STEP)
    for i in range(-across_most, across_most + 1):
        for j in range(-_REACH, _REACH + 1):
            across, down = i * _STEP, j * _STEP
            beside = max(abs(across) - 0.5 * width, 0.0), max(abs(down) - 0.5 * _HEIGHT, 0.0)
            if max(beside) >= _CLEAR - _HAIR:
                length = sqrt(beside[0] ** 2 + beside[1] ** 2)
                found.append((round(length, 6), across, down))
    return tuple(sorted(found, key=lambda one: (one[0], abs(one[1]), one[2], one[1])))


def _inside(box: Box, frame: Place) -> bool:
    return (
        box.left >= -_HAIR
        and box.top >= -_HAIR
        and box.right <= frame.x + _HAIR
        and box.bottom <= frame.y + _HAIR
    )


def _bare(box: Box, boxes: Sequence[Box], points: Sequence[Place]) -> bool:
    """True if a box covers no other box and no point."""
    gap, clear = _GAP - _HAIR, _CLEAR - _HAIR
    left, right = box.left - clear, box.right + clear
    top, bottom = box.top - clear, box.bottom + clear
    for point in points:
        if left < point.x < right and top < point.y < bottom:
            return False
    left, right, top, bottom = box.left - gap, box.right + gap, box.top - gap, box.bottom + gap
    for one in boxes:
        if one.left < right and one.right > left and one.top < bottom and one.bottom > top:
            return False
    return True


def _clear(
    own: _Callout, boxes: Sequence[Box], others: Sequence[_Callout], points: Sequence[Place]
) -> bool:
    """True if its line meets no box and no point, and no other line meets its box."""
    return not (
        any(_meets(own.at, own.spot, one) for one in boxes)
        or any(_passes(own, point) for point in points)
        or any(_meets(one.at, one.spot, own.box) for one in others)
    )


def _meets(start: Place, end: Place, box: Box) -> bool:
    """True if a line goes through a box: what its four edges leave of it is not empty."""
    if (
        max(start.x, end.x) <= box.left
        or min(start.x, end.x) >= box.right
        or max(start.y, end.y) <= box.top
        or min(start.y, end.y) >= box.bottom
    ):
        return False
    low, high = 0.0, 1.0
    for begin, run, near, far in (
        (start.x, end.x - start.x, box.left, box.right),
        (start.y, end.y - start.y, box.top, box.bottom),
    ):
        if abs(run) > _HAIR:  # else it lies between both edges, as was seen above
            one, other = (near - begin) / run, (far - begin) / run
            low, high = max(low, min(one, other)), min(high, max(one, other))
    return high - low > _HAIR


def _passes(own: _Callout, point: Place) -> bool:
    """True if the line goes so near to another point that it seems to begin there."""
    start, end = own.at, own.spot
    if (point.x - start.x) ** 2 + (point.y - start.y) ** 2 < _APART**2:
        return False
    run = (end.x - start.x, end.y - start.y)
    along = (point.x - start.x) * run[0] + (point.y - start.y) * run[1]
    share = min(max(along / (run[0] ** 2 + run[1] ** 2), 0.0), 1.0)
    off = (start.x + share * run[0] - point.x) ** 2 + (start.y + share * run[1] - point.y) ** 2
    return off < _PASS**2 - _HAIR


def _cross(one: _Callout, other: _Callout) -> bool:
    """True if the two lines cross between their ends."""
    a, b, c, d = one.at, one.spot, other.at, other.spot
    return _turn(a, b, c) * _turn(a, b, d) < 0.0 and _turn(c, d, a) * _turn(c, d, b) < 0.0


def _turn(a: Place, b: Place, c: Place) -> float:
    turn = (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
    return 0.0 if abs(turn) < _HAIR else turn


def place_in_rows(labels: Sequence[Label], top: float, width: float) -> list[Place]:
    """Every name in rows below a drawing, whatever their lines cross; in the order given.

    top, width  mm: where the rows begin, and how wide they are
    From the left as their points lie, so that lines cross little. For points that
    `place_callouts` finds no room for; no box covers another.
    """
    spots: dict[int, Place] = {}
    row, filled = 0, 0.0
    for which in sorted(range(len(labels)), key=lambda i: (round(labels[i].at.x, 2), i)):
        wide = labels[which].width
        if filled > 0.0 and filled + wide > width:
            row, filled = row + 1, 0.0
        spots[which] = Place(filled + 0.5 * wide, top + (row + 0.5) * (_HEIGHT + _GAP))
        filled += wide + _GAP
    return [spots[which] for which in range(len(labels))]


def rows_below(spots: Sequence[Place], top: float) -> float:
    """How high the rows of names are, mm."""
    return max((spot.y + 0.5 * (_HEIGHT + _GAP) - top for spot in spots), default=0.0)
