"""The cavities of the example skiff as closed solids, from its lines.

The longitudinal and transverse members of the grid and the bay between them are drawn as the
inside of their laminate. The side cavity is drawn as its moulded faces: the outside of the hull
and the cockpit face of the liner.
"""

from collections.abc import Callable, Sequence

from skiff_lines import (
    LAMINATE,
    SOLE,
    Edge,
    bottom,
    chine,
    liner,
    sheer,
    side,
    stations,
)

from flotation.geometry.shapes_stations import OffsetStation, from_offsets
from flotation.geometry.solid import Solid

Section = Callable[[float], Sequence[Edge]]

GRID_TOP = SOLE - 0.015  # inside of the grid's top flange, under the sole
INNER, OUTER = 0.25, 0.41  # half breadths between which a longitudinal stands
SIDE_TOP = 0.030  # top of the side cavity below the sheer


def longitudinal_port() -> Solid:
    """Hat section along the bottom, from near the transom to the forward bulkhead."""

    def section(x: float) -> Sequence[Edge]:
        return (
            (INNER, bottom(x, INNER) + LAMINATE),
            (OUTER, bottom(x, OUTER) + LAMINATE),
            (OUTER - 0.02, GRID_TOP),
            (INNER + 0.02, GRID_TOP),
        )

    return _loft(section, stations(0.25, 3.15), "grid longitudinal port")


def transverse(aft: float, name: str) -> Solid:
    """Hat section across the bottom between the longitudinals, 140 mm wide, dammed at both."""
    return _across(aft, aft + 0.14, name)


def bay(aft: float, forward: float, name: str) -> Solid:
    """What lies between the longitudinals and two transverse members, under the sole."""
    return _across(aft, forward, name)


def side_port() -> Solid:
    """Between hull side and liner, from the sole to just under the sheer; moulded faces."""

    def section(x: float) -> Sequence[Edge]:
        top = sheer(x)[1] - SIDE_TOP
        middle = min(max(chine(x)[1], SOLE + 0.02), top - 0.02)
        return (
            (liner(x), SOLE),
            (side(x, SOLE), SOLE),
            (side(x, middle), middle),
            (side(x, top), top),
            (liner(x), top),
        )

    return _loft(section, stations(0.12, 3.32), "side port")


def _across(aft: float, forward: float, name: str) -> Solid:
    half = INNER - LAMINATE

    def section(x: float) -> Sequence[Edge]:
        return (
            (-half, bottom(x, half) + LAMINATE),
            (0.0, bottom(x, 0.0) + LAMINATE),
            (half, bottom(x, half) + LAMINATE),
            (half, GRID_TOP),
            (-half, GRID_TOP),
        )

    return _loft(section, stations(aft, forward, 0.07), name)


def _loft(section: Section, where: Sequence[float], name: str) -> Solid:
    return from_offsets([OffsetStation(x, tuple(section(x))) for x in where], name=name)


MESHES = {
    "side_port.stl": side_port,
    "grid_longitudinal_port.stl": longitudinal_port,
    "grid_transverse_aft.stl": lambda: transverse(0.45, "grid transverse aft"),
    "grid_transverse_middle.stl": lambda: transverse(1.55, "grid transverse middle"),
    "grid_transverse_forward.stl": lambda: transverse(2.40, "grid transverse forward"),
    "tank_bay.stl": lambda: bay(1.70, 2.39, "tank bay"),
    "bay_aft.stl": lambda: bay(0.60, 1.54, "bay aft"),
    "bay_forward.stl": lambda: bay(2.55, 3.15, "bay forward"),
}
