"""Where the labels of a drawing go, so that none covers another."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product

_HEIGHT = 6.4  # mm, of a label's box
_LETTER = 2.3  # mm, of one letter
_SMALL_LETTER = 1.7
_LOWER_LETTER = 1.9
_GAP = 0.4
_STEPS = (0, 1, -1, 2, -2, 3, -3)
_HAIR = 1e-6  # mm: what touches within it does not cover


@dataclass(frozen=True)
class Place:
    """A point on the paper, mm, y down."""

    x: float
    y: float


@dataclass(frozen=True)
class Label:
    """A short text that belongs to a point; `kind` says how the page draws it."""

    text: str
    kind: str
    at: Place

    @property
    def width(self) -> float:
        """mm; a single letter still has a round box."""
        if self.kind == "item":
            return _SMALL_LETTER * len(self.text) + 1.0
        if self.kind.startswith("proposed"):
            return _LOWER_LETTER * len(self.text) + 2.0
        return max(_HEIGHT, _LETTER * len(self.text) + 2.6)


def place_labels(
    labels: Sequence[Label], frame: Place, obstacles: Sequence[Place] = ()
) -> list[tuple[Label, Place]]:
    """Each label with the middle of its box: on its point, or beside it where others stand.

    frame      the corner opposite to (0, 0): labels stay inside
    obstacles  points that stay visible
    Greedy, in the order given, nearest free place first; a label that finds none within three
    steps stays on its point. Points count to a hundredth of a millimetre: labels that just touch
    would otherwise lie differently on another machine.
    """
    placed: list[tuple[Label, Place]] = []
    frame, obstacles = _to_the_hundredth(frame), [_to_the_hundredth(one) for one in obstacles]
    for exact in labels:
        label = replace(exact, at=_to_the_hundredth(exact.at))
        free = (
            spot
            for spot in _around(label)
            if _inside(label, spot, frame) and not _covered(label, spot, placed, obstacles)
        )
        placed.append((exact, next(free, label.at)))
    return placed


def _to_the_hundredth(place: Place) -> Place:
    return Place(round(place.x, 2), round(place.y, 2))


def _around(label: Label) -> list[Place]:
    steps = sorted(product(_STEPS, _STEPS), key=lambda step: step[0] ** 2 + step[1] ** 2)
    return [
        Place(
            label.at.x + across * 0.5 * (label.width + _HEIGHT),
            label.at.y + down * (_HEIGHT + _GAP),
        )
        for across, down in steps
    ]


def _inside(label: Label, spot: Place, frame: Place) -> bool:
    across, down = 0.5 * label.width - _HAIR, 0.5 * _HEIGHT - _HAIR
    return across <= spot.x <= frame.x - across and down <= spot.y <= frame.y - down


def _covered(
    label: Label,
    spot: Place,
    placed: Sequence[tuple[Label, Place]],
    obstacles: Sequence[Place],
) -> bool:
    on_labels = any(
        abs(spot.x - other.x) < 0.5 * (label.width + there.width) + _GAP - _HAIR
        and abs(spot.y - other.y) < _HEIGHT + _GAP - _HAIR
        for there, other in placed
    )
    on_points = any(
        abs(spot.x - point.x) < 0.5 * label.width + 1.5 - _HAIR
        and abs(spot.y - point.y) < 0.5 * _HEIGHT + 1.5 - _HAIR
        for point in obstacles
    )
    return on_labels or on_points
