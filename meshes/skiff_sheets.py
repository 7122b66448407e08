"""The laminate of the example skiff as sheets, and its watertight outside, from its lines.

A sheet is drawn where the middle of its laminate lies, except hull and liner, which are drawn as
their moulded faces: half of the 5 mm lies outside, which no volume here depends on.
"""

from collections.abc import Callable, Sequence

import numpy as np
from skiff_cavities import GRID_TOP, INNER, OUTER, SIDE_TOP
from skiff_lines import (
    LAMINATE,
    LENGTH,
    SOLE,
    Edge,
    bottom,
    chine,
    keel,
    liner,
    sheer,
    side,
    stations,
)

from flotation.geometry.shapes_stations import OffsetStation, from_offsets
from flotation.geometry.solid import Skin, Solid

Corner = tuple[float, float, float]
Row = Sequence[Corner]

HALF = 0.5 * LAMINATE
NOTCH_HALF, NOTCH_HEIGHT = 0.30, 0.56  # the cut-out for the motor in the transom
SOLE_ENDS = (0.12, 3.30)
FOREDECK = 3.30
TRANSVERSES = (0.45, 1.55, 2.40)


def hull_shell(spacing: float = 0.10) -> Skin:
    """Bottom, topsides and stem, and the transom with its cut-out."""
    where = stations(0.0, LENGTH, spacing)
    sheets = []
    for edges in ((keel, chine), (chine, sheer)):
        rows = [_between((x, *edges[0](x)), (x, *edges[1](x)), 6) for x in where]
        sheets += [_sheet(rows), _sheet(_mirrored(rows))]
    low, middle, top = ((LENGTH, *edge(LENGTH)) for edge in (keel, chine, sheer))
    stem = [[low, low], [_other(middle), middle], [_other(top), top]]
    return _skin([*sheets, _sheet(stem), *_transom()], "hull shell")


def _transom() -> list[np.ndarray]:
    corner_low, corner_mid, corner_top = (0.0, *keel(0.0)), (0.0, *chine(0.0)), (0.0, *sheer(0.0))
    notch = (0.0, side(0.0, NOTCH_HEIGHT), NOTCH_HEIGHT)
    inner_low, inner_top = (0.0, NOTCH_HALF, NOTCH_HEIGHT), (0.0, NOTCH_HALF, corner_top[2])
    horn = [_between(inner_low, notch, 2), _between(inner_top, corner_top, 2)]
    up_to_notch = [_between(_other(edge), edge, 8) for edge in (corner_mid, notch)]
    triangle = [[corner_low, corner_low], [_other(corner_mid), corner_mid]]
    return [_sheet(triangle), _sheet(up_to_notch), _sheet(horn), _sheet(_mirrored(horn))]


def sole(spacing: float = 0.10) -> Skin:
    """The sole, its top at the height of the lines' sole."""
    rows = [
        _between((x, -liner(x), SOLE - HALF), (x, liner(x), SOLE - HALF), 8)
        for x in stations(*SOLE_ENDS, spacing)
    ]
    return _skin([_sheet(rows)], "sole")


def liner_and_side_decks(spacing: float = 0.10) -> Skin:
    """The cockpit side of both liners, the decks over them to the sheer, and the aft deck edge."""
    walls, decks = [], []
    for x in stations(*SOLE_ENDS, spacing):
        height = sheer(x)[1] - SIDE_TOP
        walls.append(_between((x, liner(x), SOLE), (x, liner(x), height), 6))
        decks.append(_between((x, liner(x), height), (x, *sheer(x)), 3))
    sheets = [_sheet(rows) for rows in (walls, decks)]
    sheets += [_sheet(_mirrored(rows)) for rows in (walls, decks)]
    return _skin(sheets, "liner and side decks")


def foredeck(spacing: float = 0.10) -> Skin:
    """From the forward end of the cockpit to the stem, flat between the sheers."""
    rows = [
        _between((x, -sheer(x)[0], sheer(x)[1]), (x, *sheer(x)), 6)
        for x in stations(FOREDECK, LENGTH, spacing)
    ]
    return _skin([_sheet(rows)], "foredeck")


def grid_laminate(spacing: float = 0.10) -> Skin:
    """Webs and top flanges of the two longitudinals and the three transverse members."""

    def hat(x: float) -> Row:
        """Round a longitudinal, outside the foam by half the laminate."""
        inner, outer = INNER - HALF, OUTER + HALF
        top = GRID_TOP + HALF
        return (
            *_between((x, inner, bottom(x, inner) + LAMINATE), (x, inner + 0.02, top), 2),
            (x, outer - 0.02, top),
            (x, outer, bottom(x, outer) + LAMINATE),
        )

    rows = [hat(x) for x in stations(0.25, 3.15, spacing)]
    sheets = [_sheet(rows), _sheet(_mirrored(rows))]
    for aft in TRANSVERSES:
        sheets.append(_sheet(_across(aft - HALF, aft + 0.14 + HALF)))
    return _skin(sheets, "grid laminate")


def _across(aft: float, forward: float) -> list[Row]:
    """A transverse member between the longitudinals: up its aft web, over, down its forward web."""
    reach, top = INNER - LAMINATE, GRID_TOP + HALF
    breadth = np.linspace(-reach, reach, 5).tolist()

    def foot(x: float) -> Row:
        return [(x, y, bottom(x, y) + LAMINATE) for y in breadth]

    def head(x: float) -> Row:
        return [(x, y, top) for y in breadth]

    return [foot(aft), head(aft), head(forward), foot(forward)]


def watertight() -> Solid:
    """The outside of the intact hull from keel to sheer, closed across the sheer."""

    def section(x: float) -> Sequence[Edge]:
        port = [chine(x), sheer(x)]
        return (keel(x), *port, *((-y, z) for y, z in reversed(port)))

    where = stations(0.0, LENGTH)
    return from_offsets([OffsetStation(x, tuple(section(x))) for x in where], name="watertight")


def _between(start: Corner, end: Corner, pieces: int) -> Row:
    return [tuple(point) for point in np.linspace(start, end, pieces + 1).tolist()]


def _other(corner: Corner) -> Corner:
    return corner[0], -corner[1], corner[2]


def _mirrored(rows: Sequence[Row]) -> list[Row]:
    return [[_other(corner) for corner in row] for row in rows]


def _sheet(rows: Sequence[Row]) -> np.ndarray:
    """(k, 3, 3) corners of the triangles between rows of equally many points, none without area."""
    points = np.array(rows, dtype=float)
    a, b, c, d = points[:-1, :-1], points[:-1, 1:], points[1:, :-1], points[1:, 1:]
    triangles = np.concatenate(
        [np.stack(corners, axis=2).reshape(-1, 3, 3) for corners in ((a, b, c), (b, d, c))]
    )
    across = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    return triangles[np.linalg.norm(across, axis=1) > 1e-9]


def _skin(sheets: Sequence[np.ndarray], name: str) -> Skin:
    corners = np.concatenate(sheets).reshape(-1, 3)
    return Skin(corners, np.arange(len(corners)).reshape(-1, 3), LAMINATE, name)


SHEETS: dict[str, Callable[[], Skin | Solid]] = {
    "hull_shell.stl": hull_shell,
    "sole.stl": sole,
    "liner_and_side_decks.stl": liner_and_side_decks,
    "foredeck.stl": foredeck,
    "grid_laminate.stl": grid_laminate,
    "watertight.stl": watertight,
}
