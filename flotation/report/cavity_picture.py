"""A page that shows found cavities: from above, from the side, from astern, each leak marked.

Outlines are shadows, so what lies behind something is drawn over it; each cavity has a tone and
hatch of its own and its number. The page draws millimetres on the paper, y down.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from flotation.foundcavities import FoundCavities
from flotation.geometry.shapes_outline import View, outline
from flotation.geometry.solid import Skin, Solid
from flotation.geometry.voids import OUTSIDE, Leak, Void
from flotation.geometry.voids.thickening import closed_sheet
from flotation.report.cavity_tables import entry_to_close, leak_sentence, what_to_do
from flotation.report.labels import Label, Place, place_labels
from flotation.report.paper import paper_named
from flotation.report.printing import si
from flotation.report.typesetting import typeset, typeset_page

Floats = NDArray[np.float64]
Rings = Sequence[Floats]

STYLES = 12  # tones and hatches that the page has
_TEMPLATE = "cavity_picture.typ"
_MARGIN = 10.0  # mm beside the boat, for labels and arrows
_SIDE = 12.0  # mm, margin of the page
_TALLEST = 62.0  # mm of one view
_ARROW = 7.0  # mm, of an arrow that leads outside


def cavity_picture(found: FoundCavities, paper: str = "a4") -> bytes:
    """The PDF: three views, and a table of cavities and leaks.

    found  as a boat file gives it
    paper  "a4" or "letter"
    """
    return typeset(_TEMPLATE, picture_data(found, paper))


def cavity_page(found: FoundCavities, dots_per_inch: float) -> bytes:
    """The first page of the same on A4, with the views, as PNG.

    dots_per_inch  how fine; 76 is enough for a screen
    """
    return typeset_page(_TEMPLATE, picture_data(found, "a4"), dots_per_inch)


def picture_data(found: FoundCavities, paper: str) -> dict[str, Any]:
    """What the page shows, as JSON values; places in mm on the paper, y down."""
    sheet = paper_named(paper)
    width = sheet.inside(_SIDE)
    seen = [_seen(found, view) for view in (View.PLAN, View.SIDE, View.END)]
    shares = (0.66, 0.66, 0.34)
    scale = min(
        one.fits((share * width, _TALLEST)) for one, share in zip(seen, shares, strict=True)
    )
    plan, side, end = (_view(one, found, scale) for one in seen)
    return {
        "paper": sheet.name,
        "boat": found.boat,
        "gap": si(found.finding.gap, "m"),
        "looked_to": si(found.finding.looked_to, "m"),
        "closed": list(found.closed),
        "surface": si(found.surface_error, "m"),
        "asides": [*found.asides, *found.finding.cautions, *found.notes],
        "plan": plan,
        "side": side,
        "end": end,
        "cavities": [_row(found, n, void) for n, void in enumerate(found.voids)],
        "leaks": [leak_sentence(found, n, leak) for n, leak in enumerate(found.finding.leaks)],
        "remedy": [what_to_do(found), entry_to_close(found)] if found.finding.leaks else [],
    }


def _row(found: FoundCavities, number: int, void: Void) -> dict[str, object]:
    return {
        "number": str(number + 1),
        "style": number % STYLES,
        "found": found.names[number],
        "cavity": found.called[number] or "-",
        "volume": si(void.volume, "m3", 5),
        "error": si(void.volume_error, "m3", 2),
        "parts": "; ".join(found.walls(number)),
        "gaps": _gaps(void),
    }


def _gaps(void: Void) -> str:
    many = len(void.gaps)
    sealed = f"{many} gap{'s' * (many != 1)} sealed"
    within = f"{si(void.gap_volume, 'm3', 2)} in {'it' if many == 1 else 'them'}"
    return f"{sealed}, {within}" if many else "no gap"


@dataclass(frozen=True)
class _Frame:
    """From metres to millimetres on the paper."""

    view: View
    left: float
    top: float
    scale: float
    size: tuple[float, float]

    def place(self, across: float, up: float) -> Place:
        return Place((across - self.left) * self.scale, (self.top - up) * self.scale)

    def of(self, point: Floats) -> Place:
        return self.place(*self.view.seen(point))

    def rings(self, rings: Rings) -> list[list[list[float]]]:
        return [[_pair(self.place(float(x), float(y))) for x, y in ring] for ring in rings]


@dataclass(frozen=True)
class _Seen:
    """Outlines in one view, (n, 2) m, and the corners of the box round them."""

    view: View
    parts: Sequence[Rings]
    voids: Sequence[Rings]
    low: Floats
    high: Floats

    def fits(self, room: tuple[float, float]) -> float:
        """The largest scale, mm on the paper for a metre, at which it fits into a room, mm."""
        span = np.maximum(self.high - self.low, 1e-3)
        return float(min((room[0] - 2 * _MARGIN) / span[0], (room[1] - 2 * _MARGIN) / span[1]))

    def frame(self, scale: float) -> _Frame:
        """The place of this view on the paper."""
        across, up = (float(side) * scale + 2 * _MARGIN for side in self.high - self.low)
        left = float(self.low[0]) - _MARGIN / scale
        return _Frame(self.view, left, float(self.high[1]) + _MARGIN / scale, scale, (across, up))


def _seen(found: FoundCavities, view: View) -> _Seen:
    parts = [outline(_body(part), view) for part in found.parts]
    voids = [outline(void.solid, view) for void in found.voids]
    points = np.concatenate([ring for rings in [*parts, *voids] for ring in rings])
    return _Seen(view, parts, voids, points.min(axis=0), points.max(axis=0))


def _shown(rings: Rings) -> float:
    """Area within outlines, m2 to the square millimetre: mirrored twins are alike."""
    ahead = [np.roll(ring, -1, axis=0) for ring in rings]
    twice = [
        float(ring[:, 0] @ after[:, 1] - ring[:, 1] @ after[:, 0])
        for ring, after in zip(rings, ahead, strict=True)
    ]
    return round(0.5 * abs(sum(twice)), 6)


def _pair(place: Place) -> list[float]:
    return [round(place.x, 2) + 0.0, round(place.y, 2) + 0.0]


def _view(seen: _Seen, found: FoundCavities, scale: float) -> dict[str, object]:
    """One view as data for the page."""
    frame = seen.frame(scale)
    leaks = found.finding.leaks
    # What looks smaller is drawn over what looks larger, so that a stringer shows on its bay.
    order = sorted(range(len(seen.voids)), key=lambda n: (-_shown(seen.voids[n]), n))
    labels = place_labels(
        [
            *(_number(n, rings, frame) for n, rings in enumerate(seen.voids)),
            *(Label(f"L{n + 1}", "leak", frame.of(leak.place)) for n, leak in enumerate(leaks)),
        ],
        Place(*frame.size),
        [frame.of(leak.place) for leak in leaks],
    )
    return {
        "width": round(frame.size[0], 2),
        "height": round(frame.size[1], 2),
        "parts": [frame.rings(rings) for rings in seen.parts],
        "voids": [{"style": n % STYLES, "rings": frame.rings(seen.voids[n])} for n in order],
        "arrows": [_arrow(leak, frame) for leak in leaks],
        "labels": [
            {"text": label.text, "kind": label.kind, "at": _pair(label.at), "to": _pair(spot)}
            for label, spot in labels
        ],
    }


def _body(part: Solid | Skin) -> Solid:
    """The part itself; of a sheet, the thin body that was searched between."""
    if isinstance(part, Solid):
        return part
    vertices, faces, _ = closed_sheet(part.vertices, part.faces, part.thickness, part.name)
    return Solid(vertices, faces, part.name)


def _number(number: int, rings: Rings, frame: _Frame) -> Label:
    """The cavity's number in the middle of its largest outline."""
    ring = max(rings, key=lambda one: float(np.prod(np.ptp(one, axis=0))))
    middle = 0.5 * (ring.min(axis=0) + ring.max(axis=0))
    return Label(str(number + 1), "number", frame.place(float(middle[0]), float(middle[1])))


def _arrow(leak: Leak, frame: _Frame) -> Mapping[str, object]:
    """From the leak to where foam would go; away from the cavity where it goes outside."""
    start = frame.of(leak.place)
    if leak.to != OUTSIDE and not np.isnan(leak.to_place).any():
        end = frame.of(leak.to_place)
        return {"from": _pair(start), "to": _pair(end), "outside": False}
    home = frame.of(leak.cavity_place)
    away = np.array([start.x - home.x, start.y - home.y])
    length = float(np.linalg.norm(away))
    away = away / length * _ARROW if length > 0.5 else np.array([0.0, -_ARROW])
    end = Place(start.x + float(away[0]), start.y + float(away[1]))
    return {"from": _pair(start), "to": _pair(end), "outside": True}
