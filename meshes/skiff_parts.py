"""The parts of the example skiff with their real thickness, from its lines.

Mouldings, webs and dams are closed solids; they stand 1 mm off the hull, as they do before the
bonding paste. The cavities are what is left between them; nobody draws those.
"""

from collections.abc import Callable, Sequence

import numpy as np
from skiff_cavities import GRID_TOP, INNER, OUTER, SIDE_TOP
from skiff_lines import LAMINATE, SOLE, Edge, bottom, chine, keel, liner, sheer, side, stations

from flotation.geometry import shapes, shapes_round
from flotation.geometry.cavities import take_out
from flotation.geometry.shapes_stations import OffsetStation, from_offsets
from flotation.geometry.solid import Solid

BOND = 0.001  # of paste between two parts
INTO = 0.001  # by which webs, dams and ends are let into the mouldings that they are laminated to
WEB = 0.004  # laminate of the grid
LIMBER = 0.025  # diameter of the limber holes through the webs
LIMBER_HEIGHT = 0.040  # of their middle above the baseline
HALF = INNER - LAMINATE  # half breadth between the longitudinals
SIDE_ENDS = (0.12, 3.32)
GRID_ENDS = (0.25, 3.15)
WEBS = ((0.446, 0.45), (0.59, 0.60), (1.54, 1.55), (1.69, 1.70), (2.39, 2.40), (2.54, 2.55),
        (3.15, 3.154))  # fmt: skip
WITH_LIMBER = WEBS[2:6]

Section = Callable[[float], Sequence[Edge]]


def hull_moulding() -> Solid:
    """Bottom and topsides, 5 mm thick, nearly to the stem; moulded face outside."""

    def section(x: float) -> Sequence[Edge]:
        outer = (chine(x), sheer(x))
        low = keel(x)[1] + LAMINATE
        inner = (_inner_chine(x), (_inside(x, sheer(x)[1]), sheer(x)[1]))
        return (
            keel(x),
            *outer,
            *inner[::-1],
            (0.0, low),
            *((-y, z) for y, z in inner),
            *((-y, z) for y, z in outer[::-1]),
        )

    return _loft(section, [0.0, *stations(SIDE_ENDS[0], SIDE_ENDS[0] + 4.2)], "hull moulding")


def longitudinal_moulding() -> Solid:
    """Hat section of the port longitudinal, its inboard face plumb, open below."""

    def section(x: float) -> Sequence[Edge]:
        top, out = GRID_TOP + WEB, OUTER + WEB
        outside = ((HALF, _foot(x, HALF)), (INNER, _foot(x, INNER)), (INNER + 0.02, GRID_TOP))
        inside = ((OUTER - 0.02, GRID_TOP), (OUTER, _foot(x, OUTER)), (out, _foot(x, out)))
        return (*outside, *inside, (out, top), (HALF, top))

    return _loft(section, _with_ends(stations(*GRID_ENDS), WEB), "longitudinal port")


def dams() -> Solid:
    """What closes the ends of the port longitudinal."""

    def section(x: float) -> Sequence[Edge]:
        low, high = INNER - INTO, OUTER + INTO
        return (
            (low, _foot(x, low)),
            (high, _foot(x, high)),
            (high - 0.02, GRID_TOP + INTO),
            (low + 0.02, GRID_TOP + INTO),
        )

    aft, forward = GRID_ENDS
    ends = ([aft - WEB, aft], [forward, forward + WEB])
    return _together([_loft(section, where, "dam") for where in ends], "dams port")


def webs() -> Solid:
    """Seven webs across the bottom between the longitudinals; limber holes through four."""
    half = HALF + INTO

    def section(x: float) -> Sequence[Edge]:
        foot = [(y, _foot(x, y)) for y in (-half, 0.0, half)]
        return (*foot, (half, GRID_TOP + INTO), (-half, GRID_TOP + INTO))

    made = []
    for ends in WEBS:
        web = _loft(section, ends, "web")
        made.append(take_out(web, [limber_hole(*ends)]) if ends in WITH_LIMBER else web)
    return _together(made, "webs")


def limber_hole(aft: float, forward: float) -> Solid:
    """Through a web, on the centreline."""
    path = [(x, 0.0, LIMBER_HEIGHT) for x in (aft - 0.01, forward + 0.01)]
    return shapes_round.tube(path, LIMBER, name="limber hole")


def grid_top() -> Solid:
    """The plate over the webs, between the longitudinals."""
    (aft, forward), half = (WEBS[0][0], WEBS[-1][1]), HALF + INTO
    size = (forward - aft, 2.0 * half, WEB)
    return shapes.box((aft, -half, GRID_TOP), size, name="grid top")


def side_moulding() -> Solid:
    """Port liner, side deck and flange on the sole in one, open to the hull's side."""

    def section(x: float) -> Sequence[Edge]:
        top, low = _side_top(x), SOLE
        deck = top - LAMINATE * float(np.hypot(1.0, _slope(_side_top, x)))
        wall = liner(x) + LAMINATE * float(np.hypot(1.0, _slope(liner, x)))
        flange = low + LAMINATE
        return (
            (liner(x), low),
            (_edge(x, low), low),
            (_edge(x, flange), flange),
            (wall, flange),
            (wall, deck),
            (_edge(x, deck), deck),
            (_edge(x, top), top),
            (liner(x), top),
        )

    return _loft(section, stations(*SIDE_ENDS), "side moulding port")


def side_ends() -> Solid:
    """The bulkheads at both ends of the port side."""

    def section(x: float) -> Sequence[Edge]:
        low, top = SOLE + LAMINATE - INTO, _side_top(x) - LAMINATE + INTO
        wall = liner(x) + LAMINATE - INTO
        middle = min(max(chine(x)[1], low + 0.02), top - 0.02)
        return ((wall, low), *((_edge(x, z), z) for z in (low, middle, top)), (wall, top))

    aft, forward = SIDE_ENDS
    ends = ([aft, aft + LAMINATE], [forward - LAMINATE, forward])
    return _together([_loft(section, where, "end") for where in ends], "side ends port")


def _foot(x: float, y: float) -> float:
    """Height of the lower edge of the grid: a bond above the inside of the bottom."""
    return bottom(x, y) + LAMINATE + BOND


def _edge(x: float, z: float) -> float:
    """Half breadth of what ends at the hull's side: a bond off its inside."""
    return _inside(x, z) - BOND


def _inside(x: float, z: float) -> float:
    """Half breadth of the inside of the hull above the chine."""
    return side(x, z) - _across(x)


def _across(x: float) -> float:
    """Breadth of the topside's laminate: LAMINATE square to it, measured athwartships."""
    (low_y, low_z), (high_y, high_z) = chine(x), sheer(x)
    height = 0.5 * (low_z + high_z)
    up = (high_y - low_y) / (high_z - low_z)
    ahead = _slope(lambda station: side(station, height), x)
    return LAMINATE * float(np.sqrt(1.0 + up**2 + ahead**2))


def _inner_chine(x: float) -> Edge:
    """Where the insides of bottom and topside meet."""
    (cy, cz), kz = chine(x), keel(x)[1]
    rise, flare = (cz - kz) / cy, (sheer(x)[0] - cy) / (sheer(x)[1] - cz)
    y = (cy + flare * (kz + LAMINATE - cz) - _across(x)) / (1.0 - flare * rise)
    return y, kz + LAMINATE + rise * y


def _side_top(x: float) -> float:
    return sheer(x)[1] - SIDE_TOP


def _slope(line: Callable[[float], float], x: float) -> float:
    step = 1e-4
    return (line(x + step) - line(x - step)) / (2.0 * step)


def _with_ends(where: list[float], beyond: float) -> list[float]:
    return [where[0] - beyond, *where, where[-1] + beyond]


def _loft(section: Section, where: Sequence[float], name: str) -> Solid:
    return from_offsets([OffsetStation(x, tuple(section(x))) for x in where], name=name)


def _together(bodies: Sequence[Solid], name: str) -> Solid:
    """Bodies that stand apart, as one solid."""
    before = np.cumsum([0] + [len(body.vertices) for body in bodies])
    faces = [body.faces + start for body, start in zip(bodies, before, strict=False)]
    return Solid(np.concatenate([body.vertices for body in bodies]), np.concatenate(faces), name)


def _starboard(made: Callable[[], Solid]) -> Callable[[], Solid]:
    return lambda: shapes.mirrored(made(), name=made().name.replace("port", "starboard"))


PARTS: dict[str, Callable[[], Solid]] = {
    "hull_moulding.stl": hull_moulding,
    "longitudinal_port.stl": longitudinal_moulding,
    "longitudinal_starboard.stl": _starboard(longitudinal_moulding),
    "dams_port.stl": dams,
    "dams_starboard.stl": _starboard(dams),
    "webs.stl": webs,
    "grid_top.stl": grid_top,
    "side_moulding_port.stl": side_moulding,
    "side_moulding_starboard.stl": _starboard(side_moulding),
    "side_ends_port.stl": side_ends,
    "side_ends_starboard.stl": _starboard(side_ends),
}
