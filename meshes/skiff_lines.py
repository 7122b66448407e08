"""The lines of the example skiff: invented, hard chine, 4.60 m long and 1.84 m wide.

Metres; x forward from the transom, y to port, z up from the baseline. Each function gives the
half breadth and height of one edge of the port side at a station.
"""

from collections.abc import Callable

LENGTH = 4.60
SOLE = 0.30  # top of the sole above the baseline
LAMINATE = 0.005  # of hull, liner and grid

Edge = tuple[float, float]


def _rise(x: float, start: float, power: float) -> float:
    """0 aft of `start`, growing to 1 at the stem."""
    return max(0.0, (x - start) / (LENGTH - start)) ** power


def keel(x: float) -> Edge:
    """The keel: level to amidships, then rising to the stem."""
    return 0.0, 0.56 * _rise(x, 2.3, 2.6)


def chine(x: float) -> Edge:
    """The chine: 12 degrees of deadrise aft, finer and higher forward."""
    half = 0.735 + 0.015 * min(x, 1.5) / 1.5 - 0.69 * _rise(x, 1.5, 2.4)
    return half, 0.156 + 0.50 * _rise(x, 1.2, 2.2)


def sheer(x: float) -> Edge:
    """The sheer: the widest line, lowest amidships."""
    half = 0.885 + 0.035 * min(x, 1.5) / 1.5 - 0.84 * _rise(x, 1.5, 2.8)
    return half, 0.640 + 0.018 * max(0.0, 1.2 - x) + 0.17 * _rise(x, 1.2, 1.6)


def side(x: float, z: float) -> float:
    """Half breadth of the hull's outside at height z, between keel and sheer."""
    (low_y, low_z), (mid_y, mid_z), (top_y, top_z) = keel(x), chine(x), sheer(x)
    if z <= mid_z:
        return low_y + (mid_y - low_y) * (z - low_z) / (mid_z - low_z)
    return mid_y + (top_y - mid_y) * (z - mid_z) / (top_z - mid_z)


def bottom(x: float, y: float) -> float:
    """Height of the hull's outside at half breadth y, inside the chine."""
    (_, low_z), (mid_y, mid_z) = keel(x), chine(x)
    return low_z + (mid_z - low_z) * abs(y) / mid_y


def liner(x: float) -> float:
    """Half breadth of the inner liner: a parallel strip inside the hull side at the sole."""
    return side(x, SOLE) - 0.125


def stations(aft: float, forward: float, spacing: float = 0.10) -> list[float]:
    """Evenly spaced stations from aft to forward, both included."""
    count = round((forward - aft) / spacing)
    return [aft + (forward - aft) * i / count for i in range(count + 1)]


def spread(line: Callable[[float], Edge], where: list[float]) -> list[tuple[float, float, float]]:
    """Points of one edge at the given stations."""
    return [(x, *line(x)) for x in where]
