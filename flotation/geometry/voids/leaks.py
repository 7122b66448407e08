"""Openings wider than the gap that was sealed: what they would close, and where they lead.

A grid shows which spaces are open and which are joined, and about where. There, and only there,
wider openings are sealed as well: the putty in them is measured, and what it closes off is the
cavity that leaks, or a chamber of the void that it belongs to. What cannot be closed so is
reported as the grid shows it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.chambers import Chamber
from flotation.geometry.voids.crevices import distances
from flotation.geometry.voids.edges import edges_near
from flotation.geometry.voids.facing import join_pieces
from flotation.geometry.voids.finding import OUTSIDE, Leak
from flotation.geometry.voids.openings import figures, measure
from flotation.geometry.voids.putty import (
    TOUCH,
    Opening,
    Opposites,
    Puttied,
    more_putty,
    opposites_near,
    up_to,
)
from flotation.geometry.voids.taping import pairs
from flotation.geometry.voids.through import Through
from flotation.geometry.voids.watching import Boxes, Place, Watch, region_of, watch

Floats = NDArray[np.float64]

# What would be closed by more putty than wall is no cavity with a leak in it.
_MOSTLY_OPEN = 0.5
# Cells across a space below which the grid shows no room in it.
_UNWATCHED = 4.0
# Cells by which an opening must be narrower than its space to be told from it.
_ALIKE = 5.0
# Cells across a space that may lie between all lines of the grid.
_BETWEEN_LINES = 1.5


@dataclass(frozen=True)
class _Attempt:
    """How wide openings are sealed, whether all round a space, and whether with ties.

    wider  times as wide as the grid shows an opening
    gaps   times the gap, for one that the grid does not show, but no wider than that leaves open
    """

    wider: float
    gaps: float
    all_round: bool
    with_ties: bool

    def boxes(self, place: Place) -> Boxes:
        """Where to look for them."""
        return place.space if self.all_round or place.mouth is None else place.mouth

    def width(self, place: Place, gap: float) -> float:
        """Up to which width, m."""
        if place.mouth is None:
            return min(self.gaps * gap, self.wider * place.width)
        return self.wider * place.width


# A round opening that lies askew to the grid is half as wide again as it looks there, and one
# that the grid shows may go on as a slot too narrow for it. Of openings too narrow for the grid
# the narrow are tried first: the wider the putty, the more of it stands where nothing leaks.
_ATTEMPTS = (
    _Attempt(1.0, 2.0, False, False),
    _Attempt(1.5, 4.0, False, False),
    _Attempt(1.0, 8.0, True, False),
    _Attempt(1.5, np.inf, True, False),
    _Attempt(1.0, np.inf, True, True),
)


@dataclass(frozen=True, eq=False)
class Looking:
    """What is looked for: openings wider than `gap`, up to `look_to`, m.

    names   of the parts
    origin  (3,) m, taken off all coordinates
    """

    gap: float
    look_to: float
    names: Sequence[str]
    origin: Floats


def find_leaks(
    found: Opposites, state: Puttied, voids: Sequence[Chamber], looking: Looking
) -> tuple[list[Leak], tuple[str, ...]]:
    """All leaks and passages, widest first, and cautions.

    voids  in the order that their numbers follow
    There is a caution for each leak that was not found exactly, and always one on what was not
    looked at: openings that the grid does not show, or all of them where `look_to` leaves none.
    """
    if looking.look_to <= looking.gap:
        return [], (_unwatched(looking),)
    seen = watch(found.triangles.corners, state.sealed, looking.gap, looking.look_to)
    home = {void.number: number for number, void in enumerate(voids)}
    # What the cells show to be no wider than the gap is a slit that was to be sealed, or a crumb.
    left = [
        place
        for place in seen.places
        if place.width > looking.gap
        and (seen.region[place.one] in home or seen.region[place.one] == OUTSIDE)
    ]
    leaks: list[Leak] = []
    for attempt in _ATTEMPTS:
        if left:
            closed = _closed_too((found, state), left, attempt, looking.gap)
            step = _Step(found, Through(closed, state.tight), (seen, home), looking)
            leaks.extend(step.leaks(left, leaks))
            left = [place for place in left if not step.parts(place)]
    rough = [_rough(place, (seen, home), found, looking) for place in left]
    rough = [leak for leak in rough if not _told(leak, leaks)]
    ordered = sorted([*leaks, *rough], key=lambda leak: -leak.widest)
    return ordered, (*(_caution(leak, looking) for leak in rough), _limit(seen, looking))


def _closed_too(
    base: tuple[Opposites, Puttied], places: Sequence[Place], attempt: _Attempt, gap: float
) -> Puttied:
    """Everything sealed that was, and each of the places up to its own width."""
    found, state = base
    widths = [attempt.width(place, gap) for place in places]
    pieces, boxed = [], []
    for width in sorted(set(widths), reverse=True):
        here = [place for place, own in zip(places, widths, strict=True) if own == width]
        boxes = [attempt.boxes(place) for place in here]
        low, high = (np.concatenate([getattr(b, end) for b in boxes]) for end in ("low", "high"))
        near = opposites_near(found, low, high, width).pieces
        pieces.append(up_to(near, np.full(len(near), width)))
        boxed.append((low, high))
    low, high = (np.concatenate([box[end] for box in boxed]) for end in (0, 1))
    edges = edges_near(found.edges, low, high, max(widths))
    joined = join_pieces(pieces)
    once = joined.take(np.unique(pairs(joined), return_index=True)[1])
    return more_putty(
        replace(found, pieces=once, edges=edges), state, max(widths), with_ties=attempt.with_ties
    )


class _Step:
    """What is closed off now, and which void each chamber lies in."""

    def __init__(
        self,
        found: Opposites,
        through: Through,
        seen: tuple[Watch, dict[int, int]],
        looking: Looking,
    ) -> None:
        self.found, self.through, self.state = found, through, through.state
        self.seen, self.home = seen
        self.gap, self.names = looking.gap, looking.names
        self.figures = figures(self.state, found.triangles.normals)
        self.region: dict[int, int] = {}
        self.chamber: dict[int, Chamber] = {}
        self.void: dict[int, int] = {}

    def parts(self, place: Place) -> bool:
        """Whether the two spaces are apart now; the chambers are noted."""
        one, other = self._look_up(place.one), self._look_up(place.other)
        return one >= 0 and one != other

    def _look_up(self, space: int) -> int:
        """The region that a space lies in now."""
        if space not in self.region:
            number = region_of(self.seen.seed[space], self.state.sealed)
            self.region[space] = number
            if number >= 0:
                self.chamber[number] = Chamber(number, self.state.sealed.regions[number])
                self.void[number] = self.home.get(int(self.seen.region[space]), OUTSIDE)
        return self.region[space]

    def leaks(self, places: Sequence[Place], before: Sequence[Leak]) -> list[Leak]:
        """Those of all chambers that are apart now, each opening once."""
        apart = [place for place in places if self.parts(place)]
        found: list[Leak] = []
        for number in sorted({self.region[place.one] for place in apart}):
            chamber = self.chamber[number]
            if self.void[number] == OUTSIDE and _closed_enough(chamber):
                found.extend(self.out_of(chamber, [*before, *found]))
        return found + self.passages([*before, *found])

    def out_of(self, chamber: Chamber, before: Sequence[Leak]) -> list[Leak]:
        """Leaks of a chamber that no void holds."""
        found = [
            self._leak(way, chamber, side)
            for opening in self._wide()
            if chamber.number in opening.sides
            for side in self._beyond(opening, chamber.number)
            if (way := self.through.between(opening, chamber.number, side)) is not None
        ]
        return [leak for leak in found if not _told(leak, before)]

    def passages(self, before: Sequence[Leak]) -> list[Leak]:
        """Openings between two chambers of one void."""
        found: list[Leak] = []
        for opening in self._wide():
            here = [side for side in opening.sides if self.void.get(side, OUTSIDE) != OUTSIDE]
            reached = {side: {side} for side in here}
            for one, other in combinations(here, 2):
                if other in reached[one] or self.void[one] != self.void[other]:
                    continue
                if (way := self.through.between(opening, one, other)) is None:
                    continue
                reached[one] |= reached[other]
                reached.update(dict.fromkeys(reached[one], reached[one]))
                small, large = sorted((one, other), key=self._size)
                leak = self._leak(way, self.chamber[small], large)
                if not _told(leak, [*before, *found]):
                    found.append(leak)
        return found

    def _size(self, number: int) -> float:
        return self.chamber[number].region.volume

    def _wide(self) -> list[Opening]:
        widest = self.state.widest
        limit = self.gap + TOUCH
        return [
            opening
            for opening in self.state.openings
            if len(opening.sides) > 1 and float(widest[opening.pieces].max()) > limit
        ]

    def _beyond(self, opening: Opening, number: int) -> list[int]:
        """The sides of an opening other than region `number`, slots left out."""
        return [
            side
            for side in opening.sides
            if side != number and (side == OUTSIDE or side in self.chamber)
        ]

    def _leak(self, opening: Opening, chamber: Chamber, side: int) -> Leak:
        triangles = self.found.triangles
        size = measure(self.state, self.figures, opening, self.gap + TOUCH)
        piece = opening.pieces[np.argmax(self.state.widest[opening.pieces])]
        one, other = self.state.sides(int(piece))
        return Leak(
            place=size.place,
            narrowest=size.narrowest,
            widest=size.widest,
            parts=(self.names[triangles.part[one]], self.names[triangles.part[other]]),
            cavity_volume=chamber.region.volume,
            cavity_place=chamber.inside,
            cavity=self.void[chamber.number],
            to=self.void.get(side, OUTSIDE),
            to_place=self.chamber[side].inside if side in self.chamber else np.full(3, np.nan),
        )


def _rough(
    place: Place, seen: tuple[Watch, dict[int, int]], found: Opposites, looking: Looking
) -> Leak:
    """An opening as the grid shows it, where sealing could not tell."""
    spaces, home = seen
    number = int(spaces.region[place.one])
    at = spaces.seed[place.one]
    if place.mouth is not None:
        at = (place.mouth.low.min(axis=0) + place.mouth.high.max(axis=0)) / 2.0
    corners, part = found.triangles.corners, found.triangles.part
    near = part[np.argsort(distances(np.tile(at, (len(part), 1)), corners), kind="stable")]
    second = near[np.argmax(near != near[0])]
    return Leak(
        place=at,
        narrowest=looking.gap,
        widest=place.width,
        parts=(looking.names[near[0]], looking.names[second]),
        cavity_volume=float(spaces.volume[place.one]),
        cavity_place=spaces.seed[place.one],
        cavity=home.get(number, OUTSIDE),
        to=home.get(number, OUTSIDE),
        to_place=np.full(3, np.nan) if place.other == 1 else spaces.seed[place.other],
    )


def _limit(seen: Watch, looking: Looking) -> str:
    """What the grid cannot tell."""
    coarse, finest = seen.cells[0][0], seen.cells[-1][0]
    # A space of the finest cells must be surely wider than the gap.
    narrow = max(_UNWATCHED * finest, looking.gap + 3.0 * finest)
    steps = [
        f"{1000.0 * cell:.1f} mm where a space is less than {1000.0 * width:.0f} mm wide"
        for cell, width in seen.cells[:0:-1]
    ]
    grids = ", of ".join([*steps, f"{1000.0 * coarse:.1f} mm" + " elsewhere" * bool(steps)])
    missed = (
        f", nor one less than {1000.0 * _BETWEEN_LINES * coarse:.1f} mm wide that no line of the "
        f"coarsest grid crosses"
    )
    small = (
        f"; nor is a chamber in which the grid shows less than {1000.0 * seen.least:.2g} L of "
        f"room, a cube {1000.0 * np.cbrt(seen.least):.1f} mm wide: what leads into it or out of "
        f"it is not reported"
    )
    return (
        f"openings up to {1000.0 * looking.look_to:.0f} mm wide were looked for on a grid of "
        f"{grids}: an opening less than about {_ALIKE:.0f} cells narrower than its space, "
        f"{1000.0 * _ALIKE * finest:.1f} mm on the finest, counts as part of it and is not "
        f"reported, and a space less than about {1000.0 * narrow:.1f} mm wide is not "
        f"watched at all{missed if _BETWEEN_LINES * coarse > narrow else ''}"
        f"{small if seen.least > 0.0 else ''}"
    )


def _unwatched(looking: Looking) -> str:
    """That nobody looked for openings."""
    return (
        f"no openings were looked for: the width to look to, {1000.0 * looking.look_to:.1f} mm, is "
        f"not more than the gap, {1000.0 * looking.gap:.1f} mm; whether a cavity is open to the "
        f"outside or joined to another through a wider opening is not known"
    )


def _caution(leak: Leak, looking: Looking) -> str:
    x, y, z = leak.cavity_place + looking.origin
    return (
        f"a space of about {1000.0 * leak.cavity_volume:.3g} L round "
        f"{x:.3f} m, {y:.3f} m, {z:.3f} m is not closed at this gap: foam would leave it through "
        f"an opening up to {1000.0 * leak.widest:.0f} mm wide that could not be measured"
    )


def _closed_enough(chamber: Chamber) -> bool:
    areas = chamber.region.areas
    open_area = float(areas[chamber.region.part < 0].sum())
    return open_area < _MOSTLY_OPEN * float(areas.sum())


def _told(leak: Leak, before: Sequence[Leak]) -> bool:
    """Whether the same opening was found at a smaller width already."""
    return any(
        leak.to == old.to
        and set(leak.parts) == set(old.parts)
        and float(np.linalg.norm(leak.place - old.place)) < max(leak.widest, old.widest)
        for old in before
    )
