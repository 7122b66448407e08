"""The load of a test in the water: how much it weighs under water, and where it lies."""

from collections.abc import Sequence
from dataclasses import dataclass

from flotation.boat import Boat, PassengerArea
from flotation.boat_places import Point
from flotation.equilibrium.bodies import Body
from flotation.rulebook import RuleBook
from flotation.swamped.assessment import Section
from flotation.swamped.books import Books
from flotation.swamped.burdens import Listed, of_roles, total
from flotation.swamped.load import EQUIPMENT_ROLES
from flotation.swamped.scope import BASIC, LEVEL
from flotation.swamped.trials.condition import Choice, Kind, Piece
from flotation.workings import COMMON_PRACTICE, Line, Mark, Source, Term, work_out

PERSONS, DEAD_WEIGHT, CHAMBERS = "persons", "dead weight", "weight for the air chambers"
PORT, STARBOARD = "port", "starboard"


@dataclass(frozen=True)
class Places:
    """Where a load lies, m.

    middle        x in the middle of the passenger area
    height        z of its centre of gravity
    inside, edge  half breadths at which a load on one side lies: middle of that side, its edge
    """

    middle: Line
    height: Line
    inside: Line
    edge: Line

    def at(self, side: str, *, at_edge: bool) -> Point:
        """On the centreline, or on one side."""
        off = (self.edge if at_edge else self.inside).value
        y = {PORT: off, STARBOARD: -off}.get(side, 0.0)
        return self.middle.value, y, self.height.value


@dataclass(frozen=True)
class Loads:
    """What is put aboard, kg as a scale shows it under water.

    persons   by the regulation; half of it goes on one side
    dead      dead weight by the regulation
    guidance  persons by the handbook, where that asks for more; else None
    chambers  what basic flotation adds for the two largest air chambers; else None
    """

    persons: Line
    half: Line
    dead: Line
    guidance: Line | None
    chambers: Line | None
    places: Places

    @property
    def section(self) -> Section:
        """How they were calculated."""
        places = self.places
        lines = (
            *(self.persons, self.half, self.dead, self.guidance),
            *(places.middle, places.height, places.inside, places.edge),
        )
        return Section(
            "Load of the tests in the water",
            tuple(line for line in lines if line is not None),
            "Weights as a scale shows them under water.",
        )

    def aboard(self, share: float, side: str, choice: Choice) -> tuple[Piece, ...]:
        """The load of one test as pieces that displace nothing; none for a share of nothing.

        share  of the persons load: 1 for all of it, 1/2 for one side, 0 for the empty boat
        side   "port", "starboard" or "" for the centreline
        """
        if share == 0.0:
            return ()
        persons = self.guidance if choice.by_guidance and self.guidance else self.persons
        middle = self.places.at("", at_edge=False)
        weights = [(PERSONS, share * persons.value, self.places.at(side, at_edge=choice.at_edge))]
        if not side or choice.dead_weight:
            weights.append((DEAD_WEIGHT, self.dead.value, middle))
        if self.chambers is not None:
            weights.append((CHAMBERS, self.chambers.value, middle))
        return tuple(
            Piece(Kind.LOAD, name, Body(mass, at, None, name))
            for name, mass, at in weights
            if mass > 0.0
        )


def loads(boat: Boat, listed: Sequence[Listed], flotation: str, asked: Line, books: Books) -> Loads:
    """The loads of the tests, by the kind of flotation.

    flotation  "basic", "level" or "modified level"
    asked      what basic flotation asks for the two largest air chambers, kg

    Level: 0.5 min(P, 550 lb) + 0.125 max(P - 550 lb, 0), dead weight 0.25 max(W - E - P, 0).
    Modified level: 2/15 P, and the handbook's 0.25 P; the same dead weight. Basic: 2/15 P, dead
    weight 0.25 (W - P). All of it lies in the middle of the passenger area with its centre 4 in
    above the sole, which is recalled for a load on one side only. Where on that side it lies was
    not read.
    """
    stated = Source("capacity plate, as the boat file states it", mark=Mark.STATED)
    plate = _Plate(
        Term("P", boat.capacity.persons, "kg", stated),
        Term("W", boat.capacity.maximum_weight, "kg", stated),
    )
    persons = _persons(plate, flotation, books.law)
    half = books.law.number("one_side_share")
    return Loads(
        persons=persons,
        half=work_out(
            "Persons on one side",
            "share * persons",
            [half.term("share"), persons.term("persons")],
            unit="kg",
            source=half.source,
        ),
        dead=_dead(plate, listed, flotation, books.law),
        guidance=_guidance(plate, flotation, books.guide),
        chambers=asked if asked.value > 0.0 else None,
        places=_places(boat.passenger_area, books.law),
    )


@dataclass(frozen=True)
class _Plate:
    """P persons capacity and W maximum weight capacity."""

    persons: Term
    maximum: Term


def _persons(plate: _Plate, flotation: str, law: RuleBook) -> Line:
    label = "Persons in the tests"
    if flotation == LEVEL:
        first = law.number("level_persons_first")
        share, rest = (law.number(f"level_persons_{part}_share") for part in ("first", "rest"))
        return work_out(
            label,
            "first_share * min(P, first) + rest_share * max(P - first, 0)",
            [
                share.term("first_share"),
                plate.persons,
                first.term("first"),
                rest.term("rest_share"),
            ],
            unit="kg",
            source=share.source,
        )
    kind = "basic" if flotation == BASIC else "modified"
    share = law.number(f"{kind}_persons_share")
    terms = [share.term("persons_share"), plate.persons]
    return work_out(label, "persons_share * P", terms, unit="kg", source=share.source)


def _dead(plate: _Plate, listed: Sequence[Listed], flotation: str, law: RuleBook) -> Line:
    label = "Dead weight in the tests"
    if flotation == BASIC:
        share = law.number("basic_dead_weight_share")
        terms = [share.term("dead_share"), plate.maximum, plate.persons]
        return work_out(label, "dead_share * max(W - P, 0)", terms, unit="kg", source=share.source)
    kind = "level" if flotation == LEVEL else "modified"
    share = law.number(f"{kind}_dead_weight_share")
    equipment = total(
        "Motor, controls, battery and portable tank, dry",
        [
            Term(entry.symbol, entry.weight.mass, "kg", entry.source)
            for entry in of_roles(listed, EQUIPMENT_ROLES)
        ],
    )
    return work_out(
        label,
        "dead_share * max(W - E - P, 0)",
        [share.term("dead_share"), plate.maximum, equipment.term("E"), plate.persons],
        unit="kg",
        source=share.source,
    )


def _guidance(plate: _Plate, flotation: str, guide: RuleBook) -> Line | None:
    """Modified level only: in level flotation law and handbook ask for the same."""
    if flotation in (LEVEL, BASIC):
        return None
    share = guide.number("modified_persons_share")
    return work_out(
        "Persons in the tests, by the handbook",
        "persons_share * P",
        [share.term("persons_share"), plate.persons],
        unit="kg",
        source=share.source,
    )


def _places(area: PassengerArea, law: RuleBook) -> Places:
    stated = Source("boat file, passenger area", mark=Mark.STATED)
    aft, forward = Term("aft", area.aft, "m", stated), Term("forward", area.forward, "m", stated)
    breadth = Term("half_breadth", area.half_breadth, "m", stated)
    above = law.number("persons_height")
    return Places(
        middle=work_out(
            "Load, x",
            "(aft + forward) / 2",
            [aft, forward],
            unit="m",
            source=law.clause("level_persons_place").source,
        ),
        height=work_out(
            "Load, z",
            "sole + above",
            [Term("sole", area.sole, "m", stated), above.term("above")],
            unit="m",
            source=above.source,
        ),
        inside=work_out(
            "Load on one side, in the middle of that side",
            "half_breadth / 2",
            [breadth],
            unit="m",
            source=COMMON_PRACTICE,
        ),
        edge=work_out(
            "Load on one side, at the edge of the passenger area",
            "half_breadth",
            [breadth],
            unit="m",
            source=COMMON_PRACTICE,
        ),
    )
