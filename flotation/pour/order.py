"""The order of pouring: low before high, port and starboard in turn."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from itertools import islice

from flotation.foamsystem import Shop
from flotation.pour.cavity import Filled
from flotation.pour.clock import job_of, team_of, timed_lifts, timetable_of
from flotation.pour.foam import FoamToday
from flotation.pour.outlook import Timetable
from flotation.pour.timetable import greedy, sequential, total_time

# Cavities whose centroids stand less than this apart, m, count as equally high.
SAME_HEIGHT = 0.10
# A centroid nearer to the centreline than this, m, is on neither side.
ON_CENTRELINE = 0.01
# A timetable must be shorter by more than this, s, to be another one.
_A_MOMENT = 1e-6


class Side(Enum):
    """Side of the boat that a cavity lies on."""

    PORT = 1
    CENTRE = 0
    STARBOARD = -1


@dataclass(frozen=True)
class Turns:
    """The cavities in the order in which they are begun, their lifts timed, and the timetable."""

    filled: tuple[Filled, ...]
    timetable: Timetable


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
    rows: dict[Side, list[int]] = {side: [] for side in Side}
    sides = [side_of(one) for one in filled]
    for place in sorted(range(len(filled)), key=lambda i: (filled[i].height, i), reverse=True):
        rows[sides[place]].append(place)
    order: list[int] = []
    while len(order) < len(filled):
        heads = [row[-1] for row in rows.values() if row]
        chosen = min(heads, key=lambda i: (filled[i].height, i))
        last = sides[order[-1]] if order else Side.CENTRE
        across = [] if last is Side.CENTRE else rows[Side(-last.value)]
        if across and filled[across[-1]].height <= filled[chosen].height + SAME_HEIGHT:
            chosen = across[-1]
        rows[sides[chosen]].pop()
        order.append(chosen)
    return tuple(filled[place] for place in order)


def in_pouring_order(filled: Sequence[Filled], shop: Shop, foams: Mapping[str, FoamToday]) -> Turns:
    """The cavities in their order, each lift with its place and times over the whole boat.

    shop   the crew there is, and how it mixes
    foams  name -> foam system today
    While a layer gels, the next cavity is poured: what was begun goes on as soon as it may, port
    and starboard in turn as the cavities stand in their order. Where finishing each cavity before
    the next is begun would take less time, that is done.
    """
    order = cavity_order(filled)
    team = team_of(shop)
    jobs = [[job_of(lift, shop, foams[one.pour.foam].foam) for lift in one.pour.lifts]
            for one in order]  # fmt: skip
    in_turn, one_by_one = greedy(jobs, team), sequential(jobs, team)
    shorter = total_time(one_by_one) < total_time(in_turn) - _A_MOMENT
    timed = one_by_one if shorter else in_turn
    lifts = timed_lifts([lift for one in order for lift in one.pour.lifts], timed)
    per_cavity = iter(lifts)
    numbered = tuple(
        replace(one, pour=replace(one.pour, lifts=tuple(islice(per_cavity, len(one.pour.lifts)))))
        for one in order
    )
    foam_of = {one.pour.cavity: one.pour.foam for one in order}
    timetable = timetable_of(lifts, shop, foams, total_time(one_by_one), foam_of)
    return Turns(numbered, timetable)
