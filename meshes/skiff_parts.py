"""The parts of the example skiff with their real thickness, from its lines and its cavities.

Hull, grid and side mouldings are closed solids that stand 1 mm off each other, as they do before
the bonding paste. The cavities are what is left between them; nobody draws those.
"""

from collections.abc import Callable, Sequence

import numpy as np
from skiff_cavities import GRID_TOP, OUTER, SIDE_TOP, bay, longitudinal_port, transverse
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

from flotation.geometry import shapes, shapes_round
from flotation.geometry.cavities import take_out
from flotation.geometry.cavities_laminate import moved_in
from flotation.geometry.shapes_stations import OffsetStation, from_offsets
from flotation.geometry.solid import Solid

BOND = 0.001  # of paste between two mouldings
WEB = 0.004  # laminate of the grid
BEYOND = 0.2  # by which a tool stands out of what it cuts
LIMBER = 0.025  # diameter of the limber holes through the transverse members
LIMBER_HEIGHT = 0.040  # of their middle above the baseline
TRANSVERSES = (0.45, 1.55, 2.40)
ACROSS = 0.14  # breadth of a transverse member
SIDE_ENDS = (0.12, 3.32)

Section = Callable[[float], Sequence[Edge]]


def hull_moulding() -> Solid:
    """Bottom, topsides and transom, 5 mm thick, open at the sheer; moulded face outside."""
    inside = moved_in(_outside(BEYOND, "inside of the hull"), LAMINATE)
    return _named(take_out(_outside(0.0, "hull moulding"), [inside]), "hull moulding")


def grid_moulding() -> Solid:
    """Longitudinals, transverse members and the pans between them, open below; limber holes."""

    def section(x: float) -> Sequence[Edge]:
        out = OUTER + WEB
        foot = [(y, bottom(x, y) + LAMINATE + BOND) for y in (-out, 0.0, out)]
        return (*foot, (out, GRID_TOP + WEB), (-out, GRID_TOP + WEB))

    ahead = stations(0.25 - WEB, 3.15 + WEB)
    hollow = [longitudinal_port(), shapes.mirrored(longitudinal_port())]
    hollow += [transverse(aft, "transverse") for aft in TRANSVERSES]
    hollow += [bay(0.60, 1.54, "bay"), bay(1.70, 2.39, "bay"), bay(2.55, 3.15, "bay")]
    hollow += [limber_hole(aft) for aft in TRANSVERSES[1:]]
    return _named(take_out(_loft(section, ahead, "grid"), hollow), "grid moulding")


def limber_hole(aft: float) -> Solid:
    """Through both webs of the transverse member that begins at `aft`, on the centreline."""
    ends = (aft - 0.03, aft + ACROSS + 0.03)
    path = [(x, 0.0, LIMBER_HEIGHT) for x in ends]
    return shapes_round.tube(path, LIMBER, name="limber hole")


def side_moulding_port() -> Solid:
    """Liner, side deck, flange on the sole and both ends in one, open to the hull's side."""
    inside = moved_in(_side(BEYOND, "inside of the side"), LAMINATE)
    return _named(take_out(_side(-LAMINATE - BOND, "side"), [inside]), "side moulding port")


def side_moulding_starboard() -> Solid:
    """The mirrored one."""
    return shapes.mirrored(side_moulding_port(), name="side moulding starboard")


def _outside(above: float, name: str) -> Solid:
    """The hull's moulded face, raised plumb above the sheer, closed at the top."""

    def section(x: float) -> Sequence[Edge]:
        half, height = sheer(x)
        port = [chine(x), (half, height), *([(half, height + above)] if above else [])]
        return (keel(x), *port, *((-y, z) for y, z in reversed(port)))

    ahead = [0.0, *stations(SIDE_ENDS[0], SIDE_ENDS[0] + 4.4), LENGTH - 0.02]
    return _loft(section, ahead, name)


def _side(outward: float, name: str) -> Solid:
    """The moulded faces of the side cavity, the hull's side moved outward."""

    def section(x: float) -> Sequence[Edge]:
        top = sheer(x)[1] - SIDE_TOP
        middle = min(max(chine(x)[1], SOLE + 0.02), top - 0.02)
        hull = [(side(x, z) + outward, z) for z in (SOLE, middle, top)]
        return ((liner(x), SOLE), *hull, (liner(x), top))

    return _loft(section, stations(*SIDE_ENDS), name)


def _loft(section: Section, where: Sequence[float], name: str) -> Solid:
    return from_offsets([OffsetStation(x, tuple(section(x))) for x in where], name=name)


def _named(solid: Solid, name: str) -> Solid:
    """The same under another name, its corners as single precision keeps them in millimetres."""
    kept = (solid.vertices * 1000.0).astype(np.float32).astype(np.float64) / 1000.0
    return Solid(kept, solid.faces, name)


PARTS: dict[str, Callable[[], Solid]] = {
    "hull_moulding.stl": hull_moulding,
    "grid_moulding.stl": grid_moulding,
    "side_moulding_port.stl": side_moulding_port,
    "side_moulding_starboard.stl": side_moulding_starboard,
}
