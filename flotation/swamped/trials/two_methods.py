"""The general method beside the simulation: where they must agree, and why they differ.

With everything under water both weigh the same pieces, so what is left over must be the same once
two things are told apart: the general method counts in full what the list has above the swamped
waterline, and gives a tank no lift.
"""

import math
from collections.abc import Sequence

from flotation.swamped.assessment import Section
from flotation.swamped.burdens import total
from flotation.swamped.general_method import General
from flotation.swamped.structure import ROLES as STRUCTURE_ROLES
from flotation.swamped.trials.condition import Kind, Piece, SwampedBoat
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out

_ALL_FOAM = Source(
    "volume x (water - uptake) - mass of the foam of each cavity", mark=Mark.COMPUTED
)
_ABOVE = Source("volume that the entry displaces x water", mark=Mark.COMPUTED)
_TANK = Source("volume of the tank less that of its shell, x water", mark=Mark.COMPUTED)
_DISPLACED = Source("exact volume of all pieces of the swamped boat together", mark=Mark.COMPUTED)
_MASS = Source(
    "all pieces of the swamped boat: list, machinery swamped, foam with the water taken up",
    mark=Mark.COMPUTED,
)
_LOAD = Source("load of the test, as a scale shows it under water", mark=Mark.COMPUTED)
LEFT_OVER = "Left over with everything under water, by simulation"
EXPLAINED = "Left over by the general method, with what it leaves out"


def compare(swamped: SwampedBoat, general: General, pieces: Sequence[Piece]) -> Section:
    """Lift less weight with everything under water, by both methods, kg.

    pieces  the boat with the load of the test that has all of it, as stated
    """
    law_load = general.load.own_law
    asked = [
        general.structure.total.term("boat"),
        general.machinery.total.term("machinery"),
        (law_load or general.load.total).term("load"),
    ]
    lifts = [general.foam.total.term("foam")]
    sealed = general.chambers
    if sealed.asked.value > 0.0:
        asked.append(sealed.asked.term("asked"))
    if sealed.pieces:
        lifts.append(sealed.total.term("chambers"))
    required = total("Weight under water, general method", asked)
    obtained = total("Lift, general method", lifts)
    above = _above(swamped)
    tanks, capped = _tanks(swamped, pieces), _capped(swamped, general)
    explained = work_out(
        EXPLAINED,
        "obtained + capped - required + above + tanks",
        [
            obtained.term("obtained"),
            capped.term("capped"),
            required.term("required"),
            above.term("above"),
            tanks.term("tanks"),
        ],
        unit="kg",
        source=COMPUTED,
    )
    simulated = _simulated(swamped, pieces)
    return Section(
        "The general method beside the simulation",
        (
            *(required, obtained, capped, above, tanks, explained, simulated),
            _difference(simulated, explained),
        ),
        "With everything under water the two must agree. At a rest they need not: what stands "
        "above the water lifts nothing there.",
    )


def _capped(swamped: SwampedBoat, general: General) -> Line:
    """Lift of the foam for which a cap gives no credit."""
    foam = swamped.foam
    lift = math.fsum(
        one.solid.volume * (swamped.water.value - one.uptake) - one.mass for one in foam
    )
    return work_out(
        "Lift of the foam that is not credited",
        "lift - foam",
        [Term("lift", lift, "kg", _ALL_FOAM), general.foam.total.term("foam")],
        unit="kg",
        source=COMPUTED,
    )


def _above(swamped: SwampedBoat) -> Line:
    """What the list has above the waterline displaces nothing in the general method."""
    lifts = swamped.stated.wood_lifts
    terms = [
        Term(f"a_{entry.symbol}", displaced * swamped.water.value, "kg", _ABOVE)
        for entry in swamped.listed
        if entry.weight.role in STRUCTURE_ROLES and not entry.weight.below_water
        for displaced in (swamped.displaced(entry.weight, wood_lifts=lifts),)
        if displaced > 0.0
    ]
    return total("Lift of what the list has above the waterline", terms)


def _tanks(swamped: SwampedBoat, pieces: Sequence[Piece]) -> Line:
    """What tanks displace beyond their shells, where their lift counts."""
    lifts = swamped.stated.wood_lifts
    terms = []
    for number, tank in enumerate(swamped.boat.tanks, start=1):
        own = [piece.body.displaces for piece in pieces if piece.item == tank.shell]
        if own and own[0] is tank.solid:
            shell = swamped.displaced(swamped.weight(tank.shell), wood_lifts=lifts)
            lift = (tank.solid.volume - shell) * swamped.water.value
            terms.append(Term(f"k{number}", lift, "kg", _TANK))
    return total("Lift of restrained tanks beyond their shells", terms)


def _simulated(swamped: SwampedBoat, pieces: Sequence[Piece]) -> Line:
    joined = swamped.joined(pieces)
    displaced = joined.volume if joined is not None else 0.0
    mass = sum(piece.body.mass for piece in pieces if piece.kind is not Kind.LOAD)
    load = sum(piece.body.mass for piece in pieces if piece.kind is Kind.LOAD)
    return work_out(
        LEFT_OVER,
        "displaced * water - mass - load",
        [
            Term("displaced", displaced, "m3", _DISPLACED),
            swamped.water,
            Term("mass", mass, "kg", _MASS),
            Term("load", load, "kg", _LOAD),
        ],
        unit="kg",
        source=COMPUTED,
    )


def _difference(simulated: Line, explained: Line) -> Line:
    return work_out(
        "Simulation less general method",
        "simulated - explained",
        [simulated.term("simulated"), explained.term("explained")],
        unit="kg",
        source=COMPUTED,
        note="what is left is the rounding of meshes that meet",
    )
