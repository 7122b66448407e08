"""When each lift is poured: a crew, batches that take their time, and foam that must gel.

Only times are known here. All are s from the start of the first batch.
"""

import heapq
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

# Shares of a second that only rounding has made.
_SLACK = 1e-9


@dataclass(frozen=True)
class Job:
    """One lift as the clock sees it.

    cavity, layer  what it stands on: all lifts of the layer below in the same cavity
    lead           s from the start of a batch to its first drop: mixing and carrying
    pours          s that each of its batches takes to pour
    wait           s after its last drop until more may be poured on it
    between        s that the same hands need between two batches of it; a machine that stays at
                   its hole needs none
    """

    cavity: str
    layer: int
    lead: float
    pours: tuple[float, ...]
    wait: float
    between: float = 0.0


@dataclass(frozen=True)
class Team:
    """So many pairs of hands, and the s that each needs from its last drop to its next batch."""

    crew: int
    turnaround: float


@dataclass(frozen=True)
class Timed:
    """A lift with its times.

    place  of the job in the sequence that was given
    spans  start and end of each batch: first stir or opening, and last drop
    hands  which of the crew has each batch, from 0
    """

    place: int
    job: Job
    spans: tuple[tuple[float, float], ...]
    hands: tuple[int, ...]

    @property
    def start(self) -> float:
        """The start of its first batch, s."""
        return self.spans[0][0]

    @property
    def end(self) -> float:
        """The last drop of its last batch, s."""
        return max(end for _, end in self.spans)

    @property
    def next_after(self) -> float:
        """The earliest at which more may be poured on it, s."""
        return self.end + self.job.wait


@dataclass
class _Board:
    """What the crew and the foam are at while a timetable is made.

    free   s at which each pair of hands is free again
    ready  cavity -> s from which its next layer may be poured
    under  cavity -> the same for the layer that is being poured
    """

    team: Team
    free: list[float]
    ready: dict[str, float] = field(default_factory=dict)
    under: dict[str, tuple[int, float]] = field(default_factory=dict)

    def earliest(self, job: Job) -> float:
        """From when the foam below lets this job be poured."""
        layer, ready = self.under.get(job.cavity, (job.layer, self.ready.get(job.cavity, 0.0)))
        return ready if layer == job.layer else self.ready[job.cavity]

    def pour(self, place: int, job: Job, not_before: float = 0.0) -> Timed:
        """Give the job to the hands that are free first, as early as can be.

        Its batches are poured through one hole, so one after another; they are mixed at the same
        time as far as there are hands.
        """
        ready = max(self.earliest(job), not_before)
        order = sorted(range(self.team.crew), key=lambda hand: (self.free[hand], hand))
        hands = order[: min(self.team.crew, len(job.pours))]
        first = max(ready, self.free[hands[-1]])
        spans: list[tuple[float, float]] = []
        flowing = first + job.lead
        for i, pouring in enumerate(job.pours):
            hand = hands[i % len(hands)]
            start = max(first, self.free[hand], flowing - job.lead)
            flowing = start + job.lead + pouring
            spans.append((start, flowing))
            self.free[hand] = flowing + job.between
        for hand in hands:
            self.free[hand] += self.team.turnaround - job.between
        using = tuple(hands[i % len(hands)] for i in range(len(spans)))
        timed = Timed(place, job, tuple(spans), using)
        self.under[job.cavity] = (job.layer, self.earliest(job))
        self.ready[job.cavity] = max(self.ready.get(job.cavity, 0.0), timed.next_after)
        return timed


def greedy(cavities: Sequence[Sequence[Job]], team: Team) -> tuple[Timed, ...]:
    """A timetable in which hands that are free take what may be poured.

    cavities  their jobs, layer by layer, the cavity that should be poured first at the head
    A layer that was begun is finished first, so that it rises together. Then comes the first
    cavity of the row whose foam lets more be poured; if there is none, the one that is ready
    soonest. Returns the lifts by their start; their places count through the row of cavities.
    The same input gives the same timetable.
    """
    board = _Board(team, [0.0] * team.crew)
    offsets = _offsets(cavities)
    following = [0] * len(cavities)
    now_ready = [rank for rank, jobs in enumerate(cavities) if jobs]
    waiting: list[tuple[float, int]] = []
    made: list[Timed] = []
    while now_ready or waiting:
        free = min(board.free) + _SLACK
        while waiting and waiting[0][0] <= free:
            heapq.heappush(now_ready, heapq.heappop(waiting)[1])
        rank = heapq.heappop(now_ready) if now_ready else heapq.heappop(waiting)[1]
        jobs = cavities[rank]
        layer = jobs[following[rank]].layer
        while following[rank] < len(jobs) and jobs[following[rank]].layer == layer:
            place = following[rank]
            made.append(board.pour(offsets[rank] + place, jobs[place]))
            following[rank] += 1
        if following[rank] < len(jobs):
            heapq.heappush(waiting, (board.ready[jobs[0].cavity], rank))
    return tuple(sorted(made, key=lambda timed: (timed.start, timed.place)))


def sequential(cavities: Sequence[Sequence[Job]], team: Team) -> tuple[Timed, ...]:
    """The same crew finishing each cavity before the next is begun, in the order given."""
    board = _Board(team, [0.0] * team.crew)
    offsets, finished = _offsets(cavities), 0.0
    made: list[Timed] = []
    for offset, jobs in zip(offsets, cavities, strict=True):
        own = [board.pour(offset + place, job, finished) for place, job in enumerate(jobs)]
        finished = max((timed.end for timed in own), default=finished)
        made += own
    return tuple(made)


def in_this_order(
    jobs: Sequence[Job], team: Team, begin: float, ready: Mapping[str, float]
) -> tuple[Timed, ...]:
    """The jobs one after another as they stand, for what remains of a pour.

    begin  s at which the crew begins
    ready  cavity -> s from which its next layer may be poured; a cavity that is not named, now
    None starts before the one before it.
    """
    board = _Board(team, [begin] * team.crew, dict(ready))
    made: list[Timed] = []
    for place, job in enumerate(jobs):
        made.append(board.pour(place, job, made[-1].start if made else begin))
    return tuple(made)


def total_time(timed: Sequence[Timed]) -> float:
    """Until the last drop of the last batch, s; 0 for none."""
    return max((one.end for one in timed), default=0.0)


def _offsets(cavities: Sequence[Sequence[Job]]) -> list[int]:
    offsets = [0]
    for jobs in cavities:
        offsets.append(offsets[-1] + len(jobs))
    return offsets[:-1]
