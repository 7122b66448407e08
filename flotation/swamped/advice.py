"""Where the guidance wants the foam, cavity by cavity."""

from collections.abc import Sequence
from dataclasses import dataclass

from flotation.boat import Boat, FoamInPlace
from flotation.rulebook import Clause, RuleBook
from flotation.swamped.assessment import Finding, Section
from flotation.swamped.books import Books
from flotation.swamped.burdens import Burden, total
from flotation.swamped.lift import FoamLift
from flotation.swamped.limits import same
from flotation.swamped.scope import BASIC
from flotation.units import number, percent, si, us
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out

WRONG_PLACE = (
    "Enough foam, wrong place: the total is met, but the persons flotation does not lie where the "
    "guidance wants it. A boat with its foam low on the centreline can roll over when it is "
    "swamped and nobody is aboard to steady it."
)


@dataclass(frozen=True)
class Needs:
    """What the flotation is for: kind asked for, weight of machinery and of persons and gear."""

    flotation: str
    machinery: Line
    load: Line


@dataclass(frozen=True)
class Advice:
    """What the guidance says about places, and what was found.

    persons_placed  False if the flotation at the sides does not carry the persons and gear;
                    None for basic flotation, where the place does not matter to the rule
    """

    findings: tuple[Finding, ...]
    section: Section
    persons_placed: bool | None


@dataclass(frozen=True)
class _Placed:
    """One cavity against the two planes that the guidance draws.

    outboard  share of its volume outboard of the side plane, 0 to 1
    height    m by which the middle of that part lies above the sole; of the whole cavity where
              no part lies outboard
    line      kg of its lift that counts as persons flotation
    aft       kg of its lift that lies aft of the passenger area
    """

    symbol: str
    cavity: str
    outboard: float
    height: float
    counts: bool
    line: Line
    aft: Line
    at: tuple[float, float, float]


def placement(
    boat: Boat, foam: Sequence[FoamInPlace], lift: FoamLift, needs: Needs, books: Books
) -> Advice:
    """The placement advice of the handbook, checked cavity by cavity.

    foam, lift  what stands in the cavities and what it lifts, in the same order
    needs       what machinery and persons ask for
    books       the handbook and this program's own thresholds

    Persons flotation: outboard of a plane 6 in inside the hull side at the widest part of the
    floor line, above the sole, symmetrical, balanced about the middle of the passenger area.
    Machinery flotation: aft of the passenger area, beside the motor. How high the gunwale would
    allow is not in the boat file; height is told over the sole. Foam that lies outboard and aft
    counts for both.
    """
    if needs.flotation == BASIC:
        clause = books.guide.clause("basic_place")
        finding = Finding("", clause.quote, "basic flotation is asked for", True, clause)
        return Advice((finding,), Section("Placement", ()), None)
    plane = _side_plane(boat, books.guide)
    placed = [
        _place(piece, entry, boat, plane, books)
        for piece, entry in zip(lift.pieces, foam, strict=True)
    ]
    persons = total(
        "Persons flotation at the sides", [p.line.term(p.symbol) for p in placed if p.counts]
    )
    aft = total(
        "Lift aft of the passenger area",
        [p.aft.term(p.symbol) for p in placed if p.aft.value > 0.0],
    )
    enough = _carries(persons, needs.load)
    findings = (
        _persons_finding(persons, needs.load, plane, books.guide),
        *(_cavity_finding(p, plane, enough, books.guide) for p in placed),
        *_centre_findings(placed, boat, books),
        _machinery_finding(aft, needs.machinery, books.guide),
    )
    lines = (plane, *(line for p in placed for line in (p.line, p.aft)), persons, aft)
    return Advice(findings, Section("Placement", lines), enough)


def _side_plane(boat: Boat, guide: RuleBook) -> Line:
    inset = guide.number("side_plane")
    stated = Source("boat file, passenger area", mark=Mark.STATED)
    return work_out(
        "Half breadth of the side plane",
        "side - inset",
        [Term("side", boat.passenger_area.side, "m", stated), inset.term("inset")],
        unit="m",
        source=inset.source,
    )


def _place(piece: Burden, entry: FoamInPlace, boat: Boat, plane: Line, books: Books) -> _Placed:
    area, solid = boat.passenger_area, entry.solid
    sides = [solid.below((0.0, -sign, 0.0), -plane.value) for sign in (1.0, -1.0)]
    outboard = min(sum(side.volume for side in sides), solid.volume)
    weighed = [side.volume * float(side.centroid[2]) for side in sides if side.volume > 0.0]
    middle = sum(weighed) / outboard if outboard > 0.0 else float(solid.centroid[2])
    behind = max(solid.below((1.0, 0.0, 0.0), area.aft).volume, 0.0)
    share = outboard / solid.volume
    return _Placed(
        symbol=piece.symbol,
        cavity=entry.cavity,
        outboard=share,
        height=middle - area.sole,
        counts=share >= books.own.number("most").value and middle > area.sole,
        line=_part(f"{piece.line.label}, outboard", piece, solid.volume, outboard),
        aft=_part(f"{piece.line.label}, aft", piece, solid.volume, behind),
        at=piece.at,
    )


def _part(label: str, piece: Burden, volume: float, part: float) -> Line:
    return work_out(
        label,
        "lift * part / volume",
        [
            piece.line.term("lift"),
            Term("part", part, "m3", COMPUTED),
            Term("volume", volume, "m3", COMPUTED),
        ],
        unit="kg",
        source=COMPUTED,
    )


def _persons_finding(persons: Line, load: Line, plane: Line, guide: RuleBook) -> Finding:
    criterion = guide.number("side_plane")
    return Finding(
        subject="",
        advice=criterion.quote,
        found=(
            f"{_kg(persons.value)} of lift lies above the sole and outboard of y = "
            f"±{number(plane.value, 3)} m; persons and gear ask for {_kg(load.value)}"
        ),
        heeded=_carries(persons, load),
        criterion=criterion,
    )


def _cavity_finding(placed: _Placed, plane: Line, enough: bool, guide: RuleBook) -> Finding:
    """A cavity elsewhere is no fault as long as the sides carry the persons."""
    side = "above" if placed.height > 0.0 else "below"
    found = (
        f"{percent(placed.outboard)} of it lies outboard of y = ±{number(plane.value, 3)} m, "
        f"its middle {number(abs(placed.height), 3)} m {side} the sole"
    )
    if placed.counts:
        found += f"; counts as persons flotation with {_kg(placed.line.value)}"
    elif enough:
        found += "; carries the boat and its machinery"
    else:
        found += "; does not count as persons flotation, of which there is too little"
    return Finding(
        subject=placed.cavity,
        advice=guide.clause("high").quote,
        found=found,
        heeded=placed.counts or enough,
        criterion=guide.clause("high"),
    )


def _centre_findings(placed: Sequence[_Placed], boat: Boat, books: Books) -> tuple[Finding, ...]:
    """Symmetry and balance of what counts as persons flotation; none if nothing counts."""
    counted = [p for p in placed if p.counts]
    whole = sum(p.line.value for p in counted)
    if not whole > 0.0:
        return ()
    x = sum(p.line.value * p.at[0] for p in counted) / whole
    y = sum(p.line.value * p.at[1] for p in counted) / whole
    area = boat.passenger_area
    middle = (area.aft + area.forward) / 2.0
    off_centre = books.own.number("off_centre").value * boat.beam
    off_middle = books.own.number("off_middle").value * (area.forward - area.aft)
    return (
        _near(books.guide.clause("symmetry"), y, "centreline", ("port", "starboard"), off_centre),
        _near(
            books.guide.clause("balance"),
            x - middle,
            "middle of the passenger area",
            ("forward", "aft"),
            off_middle,
        ),
    )


def _near(
    clause: Clause, distance: float, of: str, sides: tuple[str, str], allowed: float
) -> Finding:
    side = sides[0] if distance > 0.0 else sides[1]
    return Finding(
        subject="",
        advice=clause.quote,
        found=(
            f"its centre lies {si(abs(distance), 'm', 3)} to {side} of the {of}; up to "
            f"{si(allowed, 'm', 3)} counts as heeded, a threshold of this program's own"
        ),
        heeded=abs(distance) <= allowed,
        criterion=clause,
    )


def _machinery_finding(aft: Line, machinery: Line, guide: RuleBook) -> Finding:
    clause = guide.clause("near_motor")
    return Finding(
        subject="",
        advice=clause.quote,
        found=(
            f"{_kg(aft.value)} of lift lies aft of the passenger area; the machinery asks for "
            f"{_kg(machinery.value)}"
        ),
        heeded=_carries(aft, machinery),
        criterion=clause,
    )


def _carries(lift: Line, weight: Line) -> bool:
    return lift.value > weight.value or same(lift.value, weight.value)


def _kg(value: float) -> str:
    return f"{si(value, 'kg', 3)} ({us(value, 'kg', 3)})"
