"""Where the guidance wants the foam, cavity by cavity."""

from collections.abc import Sequence
from dataclasses import dataclass

from flotation.boat import Boat, FoamInPlace
from flotation.rulebook import Clause, Criterion, RuleBook
from flotation.swamped.assessment import Finding, Section
from flotation.swamped.books import Books
from flotation.swamped.burdens import Acting, centre, total
from flotation.swamped.lift import FoamLift
from flotation.swamped.limits import same
from flotation.swamped.placed import AREA, OUTBOARD, Placed, place, side_plane
from flotation.swamped.scope import BASIC
from flotation.swamped.wording import both
from flotation.units import number, percent, si
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out


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
    plane = side_plane(boat, books.guide)
    placed = [
        place(piece, entry, boat, plane, books)
        for piece, entry in zip(lift.pieces, foam, strict=True)
    ]
    counted = [p for p in placed if p.counts]
    persons = total("Persons flotation", [p.persons.term(p.symbol) for p in counted])
    behind = [p.aft.term(p.symbol) for p in placed if p.aft.value > 0.0]
    shared = [p.cavity for p in counted if p.aft.value > 0.0]
    aft = total("Lift aft of the passenger area", behind)
    enough = _carries(persons, needs.load)
    middle, near = _centre(boat, counted, persons, books)
    findings = (
        _persons_finding(persons, needs.load, plane, books.guide),
        *(_cavity_finding(p, plane, enough, books.guide) for p in placed),
        *near,
        _machinery_finding(aft, needs.machinery, shared, books.guide),
    )
    cuts = (line for p in placed for line in (p.persons, p.aft))
    return Advice(findings, Section("Placement", (plane, *cuts, persons, *middle, aft)), enough)


def _centre(
    boat: Boat, counted: Sequence[Placed], persons: Line, books: Books
) -> tuple[tuple[Line, ...], tuple[Finding, ...]]:
    """Symmetry and balance of what counts as persons flotation; none if nothing counts."""
    if not persons.value > 0.0:
        return (), ()
    area, guide = boat.passenger_area, books.guide
    parts = [Acting(p.persons.term(p.symbol), p.at, OUTBOARD) for p in counted]
    x, y, _ = centre("Persons flotation", parts, persons)
    ahead = work_out(
        "Persons flotation, forward of the middle of the passenger area",
        "x - (aft + forward) / 2",
        [x.term("x"), Term("aft", area.aft, "m", AREA), Term("forward", area.forward, "m", AREA)],
        unit="m",
        source=COMPUTED,
    )
    beam = Term("beam", boat.beam, "m", Source("boat file, boat", mark=Mark.STATED))
    length = Term("length", area.forward - area.aft, "m", AREA)
    off_centre = _allowed("off the centreline", beam, books.own.number("off_centre"))
    off_middle = _allowed("off the middle", length, books.own.number("off_middle"))
    findings = (
        _near(guide.clause("symmetry"), y, ("to port", "to starboard"), off_centre),
        _near(guide.clause("balance"), ahead, ("forward", "aft"), off_middle),
    )
    return (x, y, off_centre, ahead, off_middle), findings


def _allowed(label: str, size: Term, share: Criterion) -> Line:
    return work_out(
        f"Persons flotation, {label}, allowed",
        f"share * {size.symbol}",
        [share.term("share"), size],
        unit="m",
        source=share.source,
    )


def _near(clause: Clause, distance: Line, sides: tuple[str, str], allowed: Line) -> Finding:
    way = sides[0] if distance.value > 0.0 else sides[1]
    off = f"{si(abs(distance.value), 'm', 3)} {way}"
    return Finding(
        subject="",
        advice=clause.quote,
        found=(
            f"its centre lies {'in the middle' if round(distance.value, 6) == 0.0 else off}; up to "
            f"{si(allowed.value, 'm', 3)} counts as heeded, a threshold of this program's own"
        ),
        heeded=abs(distance.value) <= allowed.value,
        criterion=clause,
    )


def _persons_finding(persons: Line, load: Line, plane: Line, guide: RuleBook) -> Finding:
    criterion = guide.number("side_plane")
    return Finding(
        subject="",
        advice=criterion.quote,
        found=(
            f"{both(persons.value, 'kg')} of lift lies outboard of y = ±{number(plane.value, 3)} m "
            f"with its middle above the sole; persons and gear ask for {both(load.value, 'kg')}"
        ),
        heeded=_carries(persons, load),
        criterion=criterion,
    )


def _cavity_finding(placed: Placed, plane: Line, enough: bool, guide: RuleBook) -> Finding:
    """A cavity elsewhere is no fault as long as the sides carry the persons."""
    side = "above" if placed.height > 0.0 else "below"
    found = (
        f"{percent(placed.outboard)} of it lies outboard of y = ±{number(plane.value, 3)} m, "
        f"its middle {number(abs(placed.height), 3)} m {side} the sole"
    )
    if placed.counts:
        found += f"; counts as persons flotation with {both(placed.persons.value, 'kg')}"
    elif enough:
        found += "; carries the boat and its machinery"
    else:
        found += "; does not count as persons flotation, of which there is too little"
    clause = guide.clause("high")
    return Finding(placed.cavity, clause.quote, found, placed.counts or enough, clause)


def _machinery_finding(
    aft: Line, machinery: Line, shared: Sequence[str], guide: RuleBook
) -> Finding:
    clause = guide.clause("near_motor")
    found = (
        f"{both(aft.value, 'kg')} of lift lies aft of the passenger area; the machinery asks for "
        f"{both(machinery.value, 'kg')}"
    )
    if shared:
        found += f"; what counts as persons flotation as well is in it: {', '.join(shared)}"
    return Finding("", clause.quote, found, _carries(aft, machinery), clause)


def _carries(lift: Line, weight: Line) -> bool:
    return lift.value > weight.value or same(lift.value, weight.value)
