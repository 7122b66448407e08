"""Drawings of the boat as lists of outlines and labels, in millimetres on the paper.

The page draws them with its own lines and type, so that a sheet needs no plotting library, its
letters are the page's letters and 30 holes cost no time. Outlines are the shadows of the solids;
the hull's own form is not in a boat file, so it is drawn from length and beam alone and says so.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from flotation.boat import Boat, HoleKind, Kind
from flotation.boat_places import Point
from flotation.geometry.shapes_outline import View, outline
from flotation.report.callouts import Box, place_callouts, place_in_rows, rows_below
from flotation.report.labels import Label, Place, place_labels

Floats = NDArray[np.float64]
Shadows = Mapping[str, tuple[Floats, ...]]

_MARGIN = 6.0  # mm beside the boat, for labels
_SIDE = 12.0  # likewise, where names keep apart
_RULER = 9.0  # mm below it
_FEET = 2.6  # mm above that, as far as the figures of the ruler stand
_TITLE = Box(0.0, 0.0, 56.0, 4.8)  # mm, of the words in the corner
_ROWS = (0, 1, 2, 3, 4, 6, 8)  # more of them beside the boat, until all names find a place
_ROW = 7.0  # mm
_FULLNESS = (2.0, 2.5, 3.0, 4.0, 6.0, 10.0)
_BOW_BEGINS = 0.45
_BOW_POINTS = 24


@dataclass(frozen=True)
class Mark:
    """A point with a name beside it.

    kind  "lift", "weight", "item", "fill", "vent", "proposed fill" or "proposed vent"
    """

    name: str
    kind: str
    at: Point


@dataclass(frozen=True)
class Picture:
    """What to draw and how large.

    width, height  mm at most
    dark           names of the cavities that are hatched
    holes          True: the holes of the dark cavities by name, the others as dots
    numbers        cavity -> number printed on it
    scale          mm on the paper for a metre; 0: as large as width and height allow
    apart          True: names keep clear of names, points and lines, and of words in the upper left
                   corner; there is more paper beside the boat where they need it. With a scale only
    """

    view: View
    width: float
    height: float
    dark: frozenset[str]
    holes: bool = True
    numbers: Mapping[str, str] | None = None
    marks: tuple[Mark, ...] = ()
    scale: float = 0.0
    apart: bool = False


def shadows(boat: Boat, view: View) -> Shadows:
    """The outline of every cavity, m."""
    return {cavity.name: outline(cavity.solid, view) for cavity in boat.cavities}


def draw(boat: Boat, cavities: Shadows, picture: Picture) -> dict[str, object]:
    """The drawing as data for `drawing.typ`.

    cavities  as `shadows` gives them for the picture's view
    Returns its size, outlines with a style each, dots, labels and rulers; mm, y down the page.
    """
    hull = hull_outline(boat, cavities) if picture.view is View.PLAN else _baseline(boat)
    rings = [hull, *(ring for part in cavities.values() for ring in part)]
    if picture.apart:
        paper, labels = _named_apart(boat, cavities, picture, rings)
    else:
        paper = _Paper.fitting(picture, rings)
        labels = place_labels(
            _labels(boat, cavities, picture, paper),
            Place(paper.width, paper.height - _RULER),
            _obstacles(picture, paper),
        )
    return {
        "width": _mm(paper.width),
        "height": _mm(paper.height),
        "plan": picture.view is View.PLAN,
        "outlines": [
            {"style": "hull", "rings": [paper.points(hull)]},
            *_area(boat, picture, paper),
            *(
                {"style": _style(boat, name, picture), "rings": [paper.points(r) for r in rings]}
                for name, rings in sorted(
                    cavities.items(), key=lambda item: item[0] in picture.dark
                )
            ),
        ],
        "dots": _dots(boat, picture, paper),
        "labels": [
            {
                "text": label.text,
                "kind": label.kind,
                "at": [_mm(label.at.x), _mm(label.at.y)],
                "to": [_mm(spot.x), _mm(spot.y)],
                "width": _mm(label.width),
            }
            for label, spot in labels
        ],
        "ruler": _ruler(boat, paper),
    }


def _named_apart(
    boat: Boat, cavities: Shadows, picture: Picture, rings: Sequence[Floats]
) -> "tuple[_Paper, list[tuple[Label, Place]]]":
    """The smallest paper on which all names keep apart, and their places.

    Where there is none they stand in rows under the boat, as wide as the picture may be, whatever
    their lines cross.
    """
    for rows in _ROWS:
        paper, labels = _room_for(boat, cavities, picture, rings, rows)
        frame = Place(paper.width, paper.height - _RULER - _FEET)
        spots = place_callouts(labels, frame, (_TITLE,))
        if spots is not None:
            return paper, list(zip(labels, spots, strict=True))
    paper, labels = _room_for(boat, cavities, picture, rings, 0)
    top = paper.height - _RULER - _FEET
    wide = max(paper.width, picture.width)
    spots = place_in_rows(labels, top, wide)
    paper = replace(paper, width=wide, height=paper.height + rows_below(spots, top))
    return paper, list(zip(labels, spots, strict=True))


def _room_for(
    boat: Boat, cavities: Shadows, picture: Picture, rings: Sequence[Floats], rows: int
) -> "tuple[_Paper, list[Label]]":
    """Paper as wide as the widest name at least, with so many rows more, and the names on it."""
    more = (rows // 2 * _ROW, (rows + 1) // 2 * _ROW)
    paper = _Paper.fitting(picture, rings, more)
    labels = _labels(boat, cavities, picture, paper)
    wide = max([paper.width, *(label.width for label in labels)])
    return replace(paper, width=wide), labels


def hull_outline(boat: Boat, cavities: Shadows) -> Floats:
    """A hull of the boat's length and beam from above, as full forward as its cavities need.

    Returns (n, 2) m. No calculation uses it; it shows which end is the bow.
    """
    half = 0.5 * boat.beam
    if boat.kind is Kind.MULTIHULL:
        corners = [(0.0, -half), (boat.length, -half), (boat.length, half), (0.0, half)]
        return np.array(corners)
    points = np.concatenate(
        [ring for rings in cavities.values() for ring in rings] or [np.zeros((1, 2))]
    )
    ahead = np.clip((points[:, 0] / boat.length - _BOW_BEGINS) / (1.0 - _BOW_BEGINS), 0.0, 1.0)
    for power in _FULLNESS:
        if np.all(np.abs(points[:, 1]) <= half * (1.0 - ahead**power)):
            break
    along = np.sin(np.linspace(0.0, 0.5 * np.pi, _BOW_POINTS))
    x = boat.length * (_BOW_BEGINS + (1.0 - _BOW_BEGINS) * along)
    y = half * (1.0 - along**power)
    side = np.column_stack((x, y))
    return np.vstack(([(0.0, -half)], side * (1.0, -1.0), side[-2::-1], [(0.0, half)]))


def _baseline(boat: Boat) -> Floats:
    """The boat's length on its baseline; a boat file states no sheer."""
    return np.array([(0.0, 0.0), (boat.length, 0.0)])


@dataclass(frozen=True)
class _Paper:
    """From metres to millimetres on the paper, y down."""

    left: float
    top: float
    scale: float
    width: float
    height: float

    @classmethod
    def fitting(
        cls, picture: Picture, rings: Sequence[Floats], more: tuple[float, float] = (0.0, 0.0)
    ) -> "_Paper":
        """The paper of a picture with so many mm more above and below."""
        across, up = picture.view.value
        marks = [np.array([[mark.at[across], mark.at[up]]]) for mark in picture.marks]
        points = np.concatenate([*rings, *marks])
        low, high = points.min(axis=0), points.max(axis=0)
        span = np.maximum(high - low, 1e-3)
        room = (picture.width - 2.0 * _MARGIN, picture.height - 2.0 * _MARGIN - _RULER)
        scale = picture.scale or float(min(room[0] / span[0], room[1] / span[1]))
        side = _SIDE if picture.apart else _MARGIN
        return cls(
            left=float(low[0]) - side / scale,
            top=float(high[1]) + (_MARGIN + more[0]) / scale,
            scale=scale,
            width=float(span[0]) * scale + 2.0 * side,
            height=float(span[1]) * scale + 2.0 * _MARGIN + _RULER + sum(more),
        )

    def place(self, x: float, y: float) -> Place:
        return Place((x - self.left) * self.scale, (self.top - y) * self.scale)

    def points(self, ring: Floats) -> list[list[float]]:
        places = (self.place(float(x), float(y)) for x, y in ring)
        return [[_mm(place.x), _mm(place.y)] for place in places]


def _mm(value: float) -> float:
    """Hundredths of a millimetre: finer than any printer, and the same on every machine."""
    return round(value, 2) + 0.0


def _style(boat: Boat, name: str, picture: Picture) -> str:
    if name in picture.dark:
        return "dark"
    return "pale" if boat.cavity(name).foam is not None else "empty"


def _area(boat: Boat, picture: Picture, paper: _Paper) -> list[dict[str, object]]:
    """The passenger area: a box from above, the sole from the side."""
    people = boat.passenger_area
    wide = people.half_breadth
    rows = [(-wide, wide)] if picture.view is View.PLAN else [(people.sole, people.sole)]
    return [
        {
            "style": "people",
            "rings": [
                paper.points(
                    np.array(
                        [
                            (people.aft, low),
                            (people.forward, low),
                            (people.forward, high),
                            (people.aft, high),
                        ]
                    )
                )
            ],
        }
        for low, high in rows
    ]


def _seen(at: Point, picture: Picture, paper: _Paper) -> Place:
    across, up = picture.view.value
    return paper.place(at[across], at[up])


def _dots(boat: Boat, picture: Picture, paper: _Paper) -> list[list[float]]:
    """Holes of the other cavities, for orientation."""
    if not picture.holes:
        return []
    spots = [
        _seen(hole.at, picture, paper)
        for cavity in boat.cavities
        if cavity.name not in picture.dark
        for hole in cavity.holes
    ]
    return [[_mm(spot.x), _mm(spot.y)] for spot in spots]


def _labels(boat: Boat, cavities: Shadows, picture: Picture, paper: _Paper) -> list[Label]:
    found = []
    for cavity in boat.cavities if picture.holes else ():
        if cavity.name in picture.dark:
            for hole in cavity.holes:
                kind = "fill" if hole.kind is HoleKind.FILL else "vent"
                found.append(Label(hole.name, kind, _seen(hole.at, picture, paper)))
    for name, number in (picture.numbers or {}).items():
        ring = max(cavities[name], key=lambda ring: float(np.prod(np.ptp(ring, axis=0))))
        middle = 0.5 * (ring.min(axis=0) + ring.max(axis=0))
        found.append(Label(number, "number", paper.place(float(middle[0]), float(middle[1]))))
    found += [Label(mark.name, mark.kind, _seen(mark.at, picture, paper)) for mark in picture.marks]
    return found


def _obstacles(picture: Picture, paper: _Paper) -> list[Place]:
    """Points that no label may cover: the centres."""
    return [_seen(mark.at, picture, paper) for mark in picture.marks]


def _ruler(boat: Boat, paper: _Paper) -> dict[str, object]:
    """Tick marks along the length: metres, and feet beside them."""
    foot = 0.3048
    feet = int(boat.length / foot + 1e-9)
    every = max(1, -(-feet // 12))
    return {
        "from": _mm(paper.place(0.0, 0.0).x),
        "to": _mm(paper.place(boat.length, 0.0).x),
        "metres": [
            [_mm(paper.place(x, 0.0).x), str(x)] for x in range(int(boat.length + 1e-9) + 1)
        ],
        "feet": [[_mm(paper.place(x * foot, 0.0).x), str(x)] for x in range(0, feet + 1, every)],
    }
