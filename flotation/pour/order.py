"""The order of pouring: low before high, port and starboard in turn."""

from collections.abc import Sequence
from dataclasses import replace
from enum import Enum

from flotation.pour.cavity import Filled

# Cavities whose centroids stand less than this apart, m, count as equally high.
SAME_HEIGHT = 0.10
# A centroid nearer to the centreline than this, m, is on neither side.
ON_CENTRELINE = 0.01


class Side(Enum):
    """Side of the boat that a cavity lies on."""

    PORT = 1
    CENTRE = 0
    STARBOARD = -1


def side_of(filled: Filled) -> Side:
    """Side of the cavity's centroid; y is to port."""
    y = float(filled.foam.solid.centroid[1])
    if abs(y) < ON_CENTRELINE:
        return Side.CENTRE
    return Side.PORT if y > 0.0 else Side.STARBOARD


def cavity_order(filled: Sequence[Filled]) -> tuple[Filled, ...]:
    """The cavities in the order in which they are begun.

    The lowest comes first, by the height of its centroid in the jig. Among those that are not
    more than 10 cm higher than the lowest that is left, one on the other side than the last comes
    first; then the lower; then the one that the boat file names first.
    """
    left = list(filled)
    order: list[Filled] = []
    while left:
        lowest = min(one.height for one in left)
        level = [one for one in left if one.height <= lowest + SAME_HEIGHT]
        last = side_of(order[-1]) if order else Side.CENTRE
        chosen = min(level, key=lambda one: (not _opposite(side_of(one), last), one.height))
        left.remove(chosen)
        order.append(chosen)
    return tuple(order)


def in_pouring_order(filled: Sequence[Filled]) -> tuple[Filled, ...]:
    """The cavities in their order, with every lift's place in the order of the whole boat.

    Where a cavity is followed by one on the other side, the layers of the two alternate, so that
    one gels while the other is poured; otherwise a cavity is finished before the next is begun.
    """
    order = cavity_order(filled)
    numbered: list[Filled] = []
    start = 1
    while len(numbered) < len(order):
        rest = order[len(numbered) :]
        paired = len(rest) > 1 and _opposite(side_of(rest[0]), side_of(rest[1]))
        group = rest[: 2 if paired else 1]
        numbered += _numbered(group, start)
        start += sum(len(one.pour.lifts) for one in group)
    return tuple(numbered)


def _numbered(group: Sequence[Filled], start: int) -> list[Filled]:
    """Layer by layer over the cavities of the group, hole by hole within a layer."""
    turns = sorted(
        (lift.number, place, i)
        for place, one in enumerate(group)
        for i, lift in enumerate(one.pour.lifts)
    )
    orders = {(place, i): order for order, (_, place, i) in enumerate(turns, start)}
    return [
        replace(
            one,
            pour=replace(
                one.pour,
                lifts=tuple(
                    replace(lift, order=orders[place, i]) for i, lift in enumerate(one.pour.lifts)
                ),
            ),
        )
        for place, one in enumerate(group)
    ]


def _opposite(one: Side, other: Side) -> bool:
    return one.value * other.value < 0
