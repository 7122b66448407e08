"""Hat-section stringers: a trapezoid that runs along a path, rising, tapering and bending."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.errors import Fault, MeshError
from flotation.geometry.shapes_loft import loft
from flotation.geometry.solid import Solid

Floats = NDArray[np.float64]

_STRAIGHT_BACK = 1e-6


@dataclass(frozen=True)
class HatStation:
    """The section of a hat at one point of its path.

    at          m, middle of its base
    base_width  m, along the bottom
    top_width   m, along the top; zero makes it a triangle
    height      m, upright
    """

    at: tuple[float, float, float]
    base_width: float
    top_width: float
    height: float


def hat_stringer(stations: Sequence[HatStation], *, name: str = "") -> Solid:
    """The inside of a hat-section stringer.

    stations  at least two, along the path; straight pieces between them
    The sections stand upright (along z), square to the path as it is seen from above, and in
    the bisecting plane where it bends there; widths are square to the path, heights upright
    even where the path rises. The sides between two stations are ruled.
    Volume of a straight piece: length seen from above / 6 x (A1 + 4 Am + A2), where Am is the
    area of the trapezoid of mean sizes; exact. A bend changes no volume where the section
    stays the same: area x length of the path seen from above.
    Raises MeshError, with every fault, for sizes that are not above zero, stations one above
    the other, and bends too sharp for the width.
    """
    _check_sizes(stations, name)
    at = np.array([station.at for station in stations], dtype=np.float64)
    pieces = np.diff(at[:, :2], axis=0)
    lengths = np.linalg.norm(pieces, axis=1)
    if not lengths.all():
        where = int(np.argmin(lengths))
        problem = f"stations {where + 1} and {where + 2} stand at one place seen from above"
        raise MeshError(Fault(name, problem, "Move one along the path, or leave it out."))
    ahead = pieces / lengths[:, None]
    across = _across(ahead, name)
    rings = np.stack([_section(*pair) for pair in zip(stations, across, strict=True)])
    _check_bends(rings, ahead, name)
    return loft(rings, name)


def _across(ahead: Floats, name: str) -> Floats:
    """(k, 2) direction of each section seen from above, as long as it must be for unit width."""
    before, after = np.concatenate([ahead[:1], ahead]), np.concatenate([ahead, ahead[-1:]])
    bisector = before + after
    length = np.linalg.norm(bisector, axis=1)
    if length.min() < _STRAIGHT_BACK:
        problem = f"the path turns straight back at station {int(length.argmin()) + 1}"
        raise MeshError(Fault(name, problem, "End the stringer there and describe another."))
    unit = bisector / length[:, None]
    straight = np.einsum("ij,ij->i", unit, after)
    turned: Floats = np.column_stack([-unit[:, 1], unit[:, 0]]) / straight[:, None]
    return turned


def _section(station: HatStation, across: Floats) -> Floats:
    """Base and top corners, (4, 3), in order round the section."""
    wide = np.array([*across, 0.0])
    up = np.array([0.0, 0.0, station.height])
    base, top = station.base_width / 2.0 * wide, station.top_width / 2.0 * wide
    ring: Floats = np.array(station.at) + np.array([base, -base, up - top, up + top])
    return ring


def _check_sizes(stations: Sequence[HatStation], name: str) -> None:
    if len(stations) < 2:
        raise MeshError(Fault(name, "there are fewer than two stations", "Give both ends."))
    faults = []
    for number, station in enumerate(stations, start=1):
        sizes = {"base width": station.base_width, "height": station.height}
        wrong = [f"the {what} is {size:g} m" for what, size in sizes.items() if not size > 0.0]
        if not station.top_width >= 0.0:
            wrong.append(f"the top width is {station.top_width:g} m")
        faults += [
            Fault(name, f"station {number}: {what}", "Give a size above zero.") for what in wrong
        ]
    if faults:
        raise MeshError(faults)


def _check_bends(rings: Floats, ahead: Floats, name: str) -> None:
    """Every corner must move forward from each section to the next."""
    forward = np.einsum("ijk,ik->ij", np.diff(rings, axis=0)[:, :, :2], ahead)
    if forward.min() <= 0.0:
        where = int(forward.min(axis=1).argmin()) + 1
        problem = f"the sections at stations {where} and {where + 1} cross: too sharp a bend"
        remedy = "Move the stations further apart, or make the bend in several steps."
        raise MeshError(Fault(name, problem, remedy))
