"""Solids from stations: section areas, or offsets round each section."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from flotation.errors import Fault, MeshError
from flotation.geometry.shapes_loft import check_simple, enclosed_area, lies_on_a_line, loft
from flotation.geometry.solid import Solid

Floats = NDArray[np.float64]

_BETWEEN = 8


@dataclass(frozen=True)
class AreaStation:
    """One section known by its area alone; it becomes a rectangle.

    x       m
    area    m2; zero at an end only
    height  m, how high the section stands
    bottom  m, height of its lower edge
    y       m, its middle line
    """

    x: float
    area: float
    height: float
    bottom: float
    y: float = 0.0


@dataclass(frozen=True)
class OffsetStation:
    """One section as points (y, z), m, in order round it, either way."""

    x: float
    points: tuple[tuple[float, float], ...]


def from_section_areas(stations: Sequence[AreaStation], *, name: str = "") -> Solid:
    """A solid with the section areas of a table, rising in x.

    Its volume is that of the trapezoidal rule, exactly: the area is taken to change linearly
    from station to station. Height, bottom and middle line change linearly; so does the width
    where the height stays. Where both change, eight pieces make up the interval, the width
    being area / height at each joint times one factor near 1 that makes the volume exact.
    Raises MeshError, with every fault, for fewer than two stations, stations that do not rise,
    and sizes that are not above zero; an area of zero may stand at the ends.
    """
    _check_rising([station.x for station in stations], name)
    faults = []
    for number, station in enumerate(stations, start=1):
        at_end = number in (1, len(stations))
        if not station.height > 0.0:
            faults.append(_fault(name, number, f"the height is {station.height:g} m"))
        if station.area < 0.0 or (station.area == 0.0 and not at_end):
            faults.append(_fault(name, number, f"the area is {station.area:g} m2"))
    if not any(station.area > 0.0 for station in stations):
        faults.append(Fault(name, "no station has an area", "Give the areas in the table."))
    if faults:
        raise MeshError(faults)
    table = np.array([(s.x, s.area, s.height, s.bottom, s.y) for s in stations])
    rows = [table[:1]]
    rows += [_between(*pair) for pair in pairwise(table)]
    return loft(np.stack([_rectangle(*row) for row in np.concatenate(rows)]), name)


def from_offsets(stations: Sequence[OffsetStation], *, name: str = "") -> Solid:
    """A solid lofted through sections given as points, rising in x.

    Point i of one section runs to point i of the next in a straight line, so every section
    needs the same number of points, a knuckle running through one number. Points may coincide:
    that is how a knuckle begins, or how the ends draw together to a line or a point. The skin
    between four points is ruled; the volume is exactly that of the ruled surface.
    Raises MeshError, with every fault, where the points do not allow that.
    """
    _check_rising([station.x for station in stations], name)
    counts = [len(station.points) for station in stations]
    faults = []
    for number, count in enumerate(counts, start=1):
        if count < 3 or count != counts[0]:
            problem = f"it has {count} points, and the first station has {counts[0]}"
            remedy = "Give every station the same points, at least three; repeat one if need be."
            faults.append(_fault(name, number, problem, remedy))
    if faults:
        raise MeshError(faults)
    rings = np.array([[(s.x, y, z) for y, z in s.points] for s in stations])
    _check_sections(rings, name)
    return loft(rings, name)


def _check_sections(rings: Floats, name: str) -> None:
    """Every section encloses an area, none crosses itself, and all run the same way round."""
    areas = np.array([enclosed_area(ring[:, 1:]) for ring in rings])
    empty = np.array([lies_on_a_line(ring[:, 1:]) for ring in rings])
    faults: list[Fault] = []
    for number, ring in enumerate(rings, start=1):
        if not empty[number - 1]:
            try:
                check_simple(ring[:, 1:], f"section at station {number}", name)
            except MeshError as crossing:
                faults += crossing.faults
        elif number not in (1, len(rings)):
            remedy = "Describe what lies before and behind it as two cavities."
            faults.append(_fault(name, number, "the section encloses nothing", remedy))
    ways = np.sign(areas[~empty])
    if len(ways) and (ways != ways[0]).any():
        number = int(np.flatnonzero(~empty)[np.argmax(ways != ways[0])]) + 1
        problem = "its points run the other way round than those of the stations before"
        faults.append(_fault(name, number, problem, "Give all stations in the same order."))
    if faults:
        raise MeshError(faults)


def _between(start: Floats, end: Floats) -> Floats:
    """Rows (x, area, height, bottom, y) after `start` up to `end`; see `from_section_areas`.

    The rectangles between two joints fill A1 + A2 + (w1 + w2)(h1 + h2), times length / 6; that
    is linear in the common factor of the widths inside, so the factor follows from the volume.
    """
    width = np.array([start[1] / start[2], end[1] / end[2]])
    if start[2] == end[2] or width[0] == width[1]:
        return end[None]
    share = np.arange(1, _BETWEEN)[:, None] / _BETWEEN
    inside = start + share * (end - start)
    rows = np.concatenate([start[None], inside, end[None]])
    heights = rows[:, 2]
    fixed, scaled = rows[:, 1] / heights, rows[:, 1] / heights
    fixed[1:-1], scaled[0], scaled[-1] = 0.0, 0.0, 0.0
    wanted = _BETWEEN * (start[1] + end[1]) / 2.0
    factor = (wanted - _filled(fixed, heights)) / _filled(scaled, heights)
    rows[1:-1, 1] *= factor
    return rows[1:]


def _filled(widths: Floats, heights: Floats) -> float:
    """Volume of rectangles joined one after another, with unit spacing."""
    own = widths * heights
    crossed = (widths[1:] + widths[:-1]) * (heights[1:] + heights[:-1])
    return float((own[1:] + own[:-1] + crossed).sum()) / 6.0


def _rectangle(x: float, area: float, height: float, bottom: float, y: float) -> Floats:
    half = area / height / 2.0
    top = bottom + height
    return np.array(
        [(x, y - half, bottom), (x, y + half, bottom), (x, y + half, top), (x, y - half, top)]
    )


def _check_rising(x: Sequence[float], name: str) -> None:
    if len(x) < 2:
        raise MeshError(Fault(name, "there are fewer than two stations", "Give both ends."))
    for number in range(1, len(x)):
        if not x[number] > x[number - 1]:
            problem = f"it stands at {x[number]:g} m, not ahead of {x[number - 1]:g} m"
            raise MeshError(_fault(name, number + 1, problem, "Order the stations from aft."))


def _fault(name: str, number: int, problem: str, remedy: str = "Give one above zero.") -> Fault:
    return Fault(name, f"station {number}: {problem}", remedy)
