"""One foam-filled cavity against the planes that the placement advice draws."""

from dataclasses import dataclass

import numpy as np

from flotation.boat import Boat, FoamInPlace
from flotation.boat_places import Point
from flotation.rulebook import RuleBook
from flotation.swamped.books import Books
from flotation.swamped.burdens import Burden
from flotation.swamped.lift import solid_source
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out

OUTBOARD = Source("exact solid of its foam outboard of the side planes", mark=Mark.COMPUTED)
_AFT = Source("exact solid of its foam aft of the passenger area", mark=Mark.COMPUTED)
AREA = Source("boat file, passenger area", mark=Mark.STATED)


@dataclass(frozen=True)
class Placed:
    """Where the foam of one cavity lies.

    outboard  share of its volume outboard of the side plane, 0 to 1
    at        middle of that part, m; of the whole cavity where no part lies outboard
    height    m by which `at` lies above the sole
    counts    it may be counted as persons flotation: most of it outboard, and above the sole
    persons   kg of lift of the part outboard of the side plane
    aft       kg of lift of the part aft of the passenger area
    """

    symbol: str
    cavity: str
    outboard: float
    at: Point
    height: float
    counts: bool
    persons: Line
    aft: Line


def side_plane(boat: Boat, guide: RuleBook) -> Line:
    """Half breadth of the plane outboard of which persons flotation belongs, m."""
    inset = guide.number("side_plane")
    return work_out(
        "Half breadth of the side plane",
        "side - inset",
        [Term("side", boat.passenger_area.side, "m", AREA), inset.term("inset")],
        unit="m",
        source=inset.source,
    )


def place(piece: Burden, entry: FoamInPlace, boat: Boat, plane: Line, books: Books) -> Placed:
    """Cut the foam of one cavity by the side planes and by the aft end of the passenger area.

    piece  its lift; entry: the solid it fills
    plane  half breadth of the side planes, m
    """
    area, solid = boat.passenger_area, entry.solid
    cut = [solid.below((0.0, -sign, 0.0), -plane.value) for sign in (1.0, -1.0)]
    sides = [side for side in cut if side.volume > 0.0]
    outboard = sum(side.volume for side in sides)
    middle = solid.centroid
    if sides:
        middle = np.average([s.centroid for s in sides], axis=0, weights=[s.volume for s in sides])
    x, y, z = (float(part) for part in middle)
    behind = solid.below((1.0, 0.0, 0.0), area.aft).volume
    share = outboard / solid.volume
    return Placed(
        symbol=piece.symbol,
        cavity=entry.cavity,
        outboard=share,
        at=(x, y, z),
        height=z - area.sole,
        counts=share >= books.own.number("most").value and z > area.sole,
        persons=_part("outboard", piece, entry, Term("part", outboard, "m3", OUTBOARD)),
        aft=_part("aft", piece, entry, Term("part", behind, "m3", _AFT)),
    )


def _part(where: str, piece: Burden, entry: FoamInPlace, part: Term) -> Line:
    return work_out(
        f"{piece.line.label}, {where}",
        "lift * part / volume",
        [
            piece.line.term("lift"),
            part,
            Term("volume", entry.solid.volume, "m3", solid_source(entry)),
        ],
        unit="kg",
        source=COMPUTED,
    )
