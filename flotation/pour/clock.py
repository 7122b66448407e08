"""Between lifts and the clock: how long their batches take, and the times put into them."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from flotation.foamsystem import Foam, HandMixing, MachineMixing, Shop
from flotation.pour.foam import FoamToday
from flotation.pour.outlook import Flush, Timetable
from flotation.pour.pourplan import Lift, Shot
from flotation.pour.timetable import Job, Team, Timed

# An idle head by the limit, but for rounding, needs no flush, s.
_SLACK = 1e-6


def team_of(shop: Shop) -> Team:
    """The hands there are; a machine has one mixing head, whatever the crew."""
    one_head = isinstance(shop.mixing, MachineMixing)
    return Team(1 if one_head else shop.crew, shop.turnaround)


def job_of(lift: Lift, shop: Shop, foam: Foam) -> Job:
    """A lift as the clock sees it: its batches, and the longer of the two waits after it."""
    mixing = shop.mixing
    wait = max(lift.wait, foam.lift_wait or 0.0)
    if isinstance(mixing, MachineMixing):
        lead, rate, between = 0.0, mixing.rate, 0.0
    else:
        lead, rate = mixing.mixing_time + mixing.carrying_time, mixing.pouring_rate
        between = shop.turnaround
    pours = tuple(shot.mass / rate if shot.seconds is None else shot.seconds for shot in lift.shots)
    return Job(lift.cavity, lift.number, lead, pours, wait, between)


def timed_lifts(
    lifts: Sequence[Lift], timed: Sequence[Timed], after: tuple[int, int] = (0, 0)
) -> tuple[Lift, ...]:
    """The lifts, in their own sequence, with order, batches and times.

    timed  by start; their places count through `lifts`
    after  the last order and the last batch that were used before
    """
    last_order, last_batch = after
    found: dict[int, Lift] = {}
    for turn, one in enumerate(timed):
        lift = lifts[one.place]
        shots = tuple(
            replace(shot, batch=batch, start=span[0], end=span[1])
            for batch, (shot, span) in enumerate(
                zip(lift.shots, one.spans, strict=True), last_batch + 1
            )
        )
        last_batch += len(shots)
        found[one.place] = replace(
            lift,
            order=last_order + 1 + turn,
            shots=shots,
            start=one.start,
            end=one.end,
            next_after=one.next_after,
        )
    return tuple(found[place] for place in range(len(lifts)))


def timetable_of(
    lifts: Sequence[Lift],
    shop: Shop,
    foams: Mapping[str, FoamToday],
    sequential_time: float,
    foam_of: Mapping[str, str],
) -> Timetable:
    """What the times of the lifts come to."""
    return Timetable(
        crew=team_of(shop).crew,
        turnaround=shop.turnaround,
        batches=sum(len(lift.shots) for lift in lifts),
        total_time=max((lift.end for lift in lifts), default=0.0),
        sequential_time=sequential_time,
        tack_free=max((lift.end + lift.wait for lift in lifts), default=0.0),
        flushes=_flushes(lifts, shop.mixing, foams, foam_of),
    )


def _flushes(
    lifts: Sequence[Lift],
    mixing: HandMixing | MachineMixing,
    foams: Mapping[str, FoamToday],
    foam_of: Mapping[str, str],
) -> tuple[Flush, ...]:
    """After the last shot, before another foam, and where the head would stand idle too long."""
    if isinstance(mixing, HandMixing) or (mixing.idle_limit is None and not mixing.flush_mass):
        return ()
    limit = mixing.idle_limit
    shots = sorted(
        ((lift, shot) for lift in lifts for shot in lift.shots), key=lambda pair: pair[1].start
    )
    made = [
        _flush(lift, shot, mixing, foams[foam_of[lift.cavity]])
        for (lift, shot), (following, after) in pairwise(shots)
        if foam_of[lift.cavity] != foam_of[following.cavity]
        or (limit is not None and after.start - shot.end > limit + _SLACK)
    ]
    last, shot = shots[-1]
    return (*made, _flush(last, shot, mixing, foams[foam_of[last.cavity]]))


def _flush(lift: Lift, shot: Shot, mixing: MachineMixing, today: FoamToday) -> Flush:
    mass_a = mixing.flush_mass * today.share_a.value
    return Flush(lift.order, shot.end, today.foam.name, mass_a, mixing.flush_mass - mass_a)
