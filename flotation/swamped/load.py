"""Persons and gear: the load that the swamped boat carries."""

from collections.abc import Sequence
from dataclasses import dataclass

from flotation.boat import Boat, Propulsion, Role
from flotation.rulebook import Criterion, RuleBook
from flotation.swamped.assessment import Section
from flotation.swamped.burdens import Burden, Listed, of_roles, total
from flotation.swamped.scope import BASIC, LEVEL
from flotation.workings import Line, Mark, Source, Term, work_out

# What the rules take off the maximum weight capacity before the dead weight is reckoned.
EQUIPMENT_ROLES = frozenset({Role.MOTOR, Role.CONTROLS, Role.BATTERY, Role.PORTABLE_TANK})

_AREA = Source("boat file, passenger area", mark=Mark.STATED)

_ASSUMED = (
    "Persons and gear act in the middle of the passenger area, 4 in above its sole.",
    "Portable tanks and cushions neither weigh nor lift.",
)

LABEL = "Persons and gear, weight under water"


@dataclass(frozen=True)
class Load:
    """Persons and gear.

    total      kg by the method that the verdict takes
    own_law    kg by the regulation's own figures where the guidance asks otherwise, else None
    equipment  kg of motor, controls, battery and portable tank, dry
    burden     the total, in the middle of the passenger area
    """

    total: Line
    own_law: Line | None
    equipment: Line
    burden: Burden
    section: Section
    assumptions: tuple[str, ...]


@dataclass(frozen=True)
class _Plate:
    """The terms that every load formula takes: P persons, W maximum weight, E equipment."""

    persons: Term
    maximum: Term
    equipment: Line

    @property
    def all(self) -> list[Term]:
        return [self.persons, self.maximum, self.equipment.term("E")]


def load(
    boat: Boat, listed: Sequence[Listed], flotation: str, law: RuleBook, guide: RuleBook
) -> Load:
    """Flotation that persons and gear ask for, in kg of lift.

    boat       for its capacity plate, passenger area and choice of the basic persons term
    listed     the weight list, for the equipment that the dead weight leaves out
    flotation  "basic", "level" or "modified level"

    Level: 0.5 min(P, 550 lb) + 0.125 max(P - 550 lb, 0) + 0.25 max(W - E - P, 0), with E motor,
    controls, dry battery and full portable tank. Modified level: 0.25 P + 0.25 max(W - E - P, 0),
    and 0.25 W for a manual boat. Basic: 0.25 W, or 0.25 P where the boat file chooses so.
    Beside the last two stands the regulation's own load.
    """
    plate = _plate(boat, listed)
    if flotation == LEVEL:
        lines, own_law = _level(plate, law, guide), None
    elif flotation == BASIC:
        lines, own_law = _basic(boat, plate, guide), _basic_law(plate, law)
    else:
        manual = boat.propulsion is Propulsion.MANUAL
        lines = _manual(plate, guide) if manual else _modified(plate, law, guide)
        own_law = _modified_law(plate, law)
    whole = lines[-1]
    x, z = _place(boat, law)
    shown = (plate.equipment, *lines, *((own_law,) if own_law else ()), x, z)
    return Load(
        whole,
        own_law,
        plate.equipment,
        Burden("load", whole, (x.value, 0.0, z.value), _AREA, None),
        Section("Persons and gear", shown),
        (*_ASSUMED, *(_basic_choice(boat) if flotation == BASIC else ())),
    )


def _place(boat: Boat, law: RuleBook) -> tuple[Line, Line]:
    """Lengthwise place x and height z of the load's centre, m, as in the tests in the water."""
    area, above = boat.passenger_area, law.number("persons_height")
    ends = [Term("aft", area.aft, "m", _AREA), Term("forward", area.forward, "m", _AREA)]
    return (
        work_out(
            "Persons and gear, x of their centre",
            "(aft + forward) / 2",
            ends,
            unit="m",
            source=law.clause("level_persons_place").source,
        ),
        work_out(
            "Persons and gear, z of their centre",
            "sole + above",
            [Term("sole", area.sole, "m", _AREA), above.term("above")],
            unit="m",
            source=above.source,
        ),
    )


def _basic_choice(boat: Boat) -> tuple[str, ...]:
    chosen = "persons capacity, an option" if _by_persons(boat) else "maximum weight"
    return (f"Editions of the handbook take a quarter of different weights; here: {chosen}.",)


def _by_persons(boat: Boat) -> bool:
    return boat.method.basic_persons == "persons"


def _plate(boat: Boat, listed: Sequence[Listed]) -> _Plate:
    stated = Source("capacity plate, as the boat file states it", mark=Mark.STATED)
    terms = [
        Term(entry.symbol, entry.weight.mass, "kg", entry.source)
        for entry in of_roles(listed, EQUIPMENT_ROLES)
    ]
    equipment = total("Motor, controls, battery and portable tank, dry", terms)
    return _Plate(
        Term("P", boat.capacity.persons, "kg", stated),
        Term("W", boat.capacity.maximum_weight, "kg", stated),
        equipment,
    )


def _level(plate: _Plate, law: RuleBook, guide: RuleBook) -> list[Line]:
    first = law.number("level_persons_first")
    first_share = law.number("level_persons_first_share")
    rest_share = law.number("level_persons_rest_share")
    first_part = work_out(
        "Persons, first part",
        "share * min(P, first)",
        [first_share.term("share"), plate.persons, first.term("first")],
        unit="kg",
        source=first_share.source,
    )
    rest = work_out(
        "Persons, rest",
        "share * max(P - first, 0)",
        [rest_share.term("share"), plate.persons, first.term("first")],
        unit="kg",
        source=rest_share.source,
    )
    dead = _dead_weight(plate, law.number("level_dead_weight_share"))
    whole = total(
        LABEL,
        [first_part.term("first_part"), rest.term("rest"), dead.term("dead_weight")],
        source=guide.clause("persons").source,
    )
    return [first_part, rest, dead, whole]


def _dead_weight(plate: _Plate, share: Criterion, label: str = "Dead weight") -> Line:
    return work_out(
        label,
        "share * max(W - E - P, 0)",
        [share.term("share"), *plate.all],
        unit="kg",
        source=share.source,
    )


def _modified(plate: _Plate, law: RuleBook, guide: RuleBook) -> list[Line]:
    share = guide.number("modified_persons_share")
    persons = work_out(
        "Persons, modified level",
        "share * P",
        [share.term("share"), plate.persons],
        unit="kg",
        source=share.source,
    )
    dead = _dead_weight(plate, law.number("modified_dead_weight_share"))
    whole = total(LABEL, [persons.term("persons"), dead.term("dead_weight")], source=share.source)
    return [persons, dead, whole]


def _manual(plate: _Plate, guide: RuleBook) -> list[Line]:
    share = guide.number("modified_persons_share")
    return [
        work_out(
            LABEL,
            "share * W",
            [share.term("share"), plate.maximum],
            unit="kg",
            source=share.source,
            note="a manual boat takes its whole maximum weight capacity",
        )
    ]


def _modified_law(plate: _Plate, law: RuleBook) -> Line:
    share, dead = law.number("modified_persons_share"), law.number("modified_dead_weight_share")
    return work_out(
        "Load that the regulation itself asks for",
        "persons_share * P + dead_share * max(W - E - P, 0)",
        [share.term("persons_share"), dead.term("dead_share"), *plate.all],
        unit="kg",
        source=share.source,
    )


def _basic(boat: Boat, plate: _Plate, guide: RuleBook) -> list[Line]:
    by_persons = _by_persons(boat)
    share = guide.number("basic_persons_share" if by_persons else "basic_maximum_weight_share")
    taken = plate.persons if by_persons else plate.maximum
    return [
        work_out(
            LABEL,
            f"share * {taken.symbol}",
            [share.term("share"), taken],
            unit="kg",
            source=share.source,
            note="editions differ: a quarter of the maximum weight, or of the persons",
        )
    ]


def _basic_law(plate: _Plate, law: RuleBook) -> Line:
    share, dead = law.number("basic_persons_share"), law.number("basic_dead_weight_share")
    return work_out(
        "Load that the regulation itself asks for",
        "persons_share * P + dead_share * max(W - P, 0)",
        [share.term("persons_share"), dead.term("dead_share"), plate.persons, plate.maximum],
        unit="kg",
        source=law.clause("basic_load").source,
        note="without the air chambers, which have their own line",
    )
