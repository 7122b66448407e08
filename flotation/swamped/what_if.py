"""What if the motor is heavier, the laminate thicker, the foam wet: one thing changed at a time.

Each supposition is a boat of its own that goes through the same general method, the same rules of
the capacity plate and the same tests in the water; nothing is extrapolated. The tests are run as
stated, not at both ends of every assumption, and nothing here decides.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from flotation.boat import Boat, FoamInPlace, Role
from flotation.equilibrium.bodies import Sinks
from flotation.errors import NotSettled
from flotation.rulebook import water_density
from flotation.swamped.assess import verdicts_without_tests
from flotation.swamped.books import load_books
from flotation.swamped.general_method import general_method
from flotation.swamped.scope import find_scope
from flotation.swamped.trials.cases import Case, cases
from flotation.swamped.trials.condition import Kind, Piece
from flotation.swamped.trials.in_the_water import Worked, basin_of
from flotation.swamped.trials.level_tests import AS_STATED, Basin
from flotation.swamped.trials.runs import Ready, Run, from_keel_down, from_nearby, slack
from flotation.swamped.trials.varied import Change, Varied, last_that_holds, unchanged, worst_of
from flotation.swamped.weight_list import settle_weights
from flotation.units import percent

Floating = tuple[Boat, tuple[FoamInPlace, ...]]
"""A boat and the foam in it."""


@dataclass(frozen=True)
class Then:
    """What becomes of one limit of the general method or of the plate."""

    name: str
    margin: float
    unit: str
    meets: bool


@dataclass(frozen=True)
class Supposed:
    """One thing changed, all else as stated.

    group   what is changed: "motor"; "as stated" for nothing
    change  how: "20 kg heavier"
    limits  of the general method and of the capacity plate
    test    the worst of the tests in the water; None where none is run or its rest is not found
    """

    group: str
    change: str
    limits: tuple[Then, ...]
    test: Varied | None

    @property
    def meets(self) -> bool:
        """True if every limit is met, those of the tests included."""
        return all(one.meets for one in self.limits) and (self.test is None or self.test.meets)


@dataclass(frozen=True)
class Reach:
    """Up to where every limit stays met while one thing grows.

    most    the largest value, in `unit`, within the step of the search; None: not even as stated
    first   the limit that is not met beyond it; "" where all are met as far as was looked
    """

    what: str
    most: float | None
    unit: str
    first: str


@dataclass(frozen=True)
class WhatIf:
    """The suppositions and how far each thing may grow; nothing in it decides."""

    as_stated: Supposed
    rows: tuple[Supposed, ...]
    reaches: tuple[Reach, ...]


@dataclass(frozen=True, eq=False)
class Changed:
    """A boat with one thing changed.

    pieces  what that does to the pieces of the boat as stated, where nothing displaces otherwise
            than before; None: the pieces are made anew, which takes four times as long
    """

    floating: Floating
    pieces: Change | None = None


def what_if(boat: Boat, foam: Sequence[FoamInPlace]) -> WhatIf:
    """One thing changed at a time: motor, structure, foam, water in the foam, one more person.

    Errors as for `assess`. A boat that does not meet the tests as stated is not tested changed;
    nor is one whose rest is not found.
    """
    floating = boat, tuple(foam)
    stated = Stated(floating)
    return WhatIf(
        stated.supposed("as stated", "", Changed(floating)),
        tuple(stated.supposed(*row) for row in _rows(floating)),
        tuple(_reach(stated, *row) for row in _growing(floating)),
    )


class Stated:
    """The boat as stated, from whose rests the changed ones are followed."""

    def __init__(self, floating: Floating) -> None:
        self.basin, self.tests = _basin(floating)
        self.runs = [(case, _settled(partial(self._from_keel_down, case))) for case in self.tests]
        self.holds = all(run is not None and slack(case, run) >= 0.0 for case, run in self.runs)

    def supposed(self, group: str, change: str, changed: Changed) -> Supposed:
        """The limits with one thing changed."""
        limits = tuple(
            Then(one.name, one.margin, one.unit, one.meets)
            for one in verdicts_without_tests(*changed.floating)
        )
        if group == AS_STATED or not self.holds:
            known = [(case, run) for case, run in self.runs if run is not None]
            whole = group == AS_STATED and known and len(known) == len(self.runs)
            return Supposed(
                group, change, limits, worst_of(group, change, known) if whole else None
            )
        return Supposed(group, change, limits, self.test(group, change, changed))

    def test(self, group: str, change: str, changed: Changed) -> Varied | None:
        """The worst of the tests with one thing changed; None where none is run or one is lost."""
        basin, _ = _basin(changed.floating)
        if basin is None or not self.runs:
            return None
        found: list[tuple[Case, Run | Sinks]] = []
        for case, there in self.runs:
            run = _settled(partial(self._followed, self._ready(basin, case, changed), case, there))
            if run is None:
                return None
            found.append((case, run))
        return worst_of(group, change, found)

    def _ready(self, basin: Basin, case: Case, changed: Changed) -> Ready:
        if changed.pieces is None or self.basin is None:
            return basin.ready(case, basin.swamped.stated)
        swamped = self.basin.swamped
        own = changed.pieces(swamped.pieces(swamped.stated))
        pieces = (*own, *basin.loads.aboard(case.share, case.side, basin.swamped.stated))
        return Ready(pieces, basin.water, swamped.joined(pieces), basin.top)

    def _followed(self, ready: Ready, case: Case, there: Run | Sinks | None) -> Run | Sinks:
        """From the rest as stated, which is quick; from keel down once that is out of limits."""
        if there is None or isinstance(there, Sinks):
            return from_keel_down(ready)
        near = from_nearby(ready, there)
        return near if slack(case, near) >= 0.0 else from_keel_down(ready)

    def _from_keel_down(self, case: Case) -> Run | Sinks:
        assert self.basin is not None  # there are no tests without it
        return from_keel_down(self.basin.ready(case, self.basin.swamped.stated))


def _settled(run: Callable[[], Run | Sinks]) -> Run | Sinks | None:
    try:
        return run()
    except NotSettled:
        return None


def _basin(floating: Floating) -> tuple[Basin | None, tuple[Case, ...]]:
    """The boat ready for its tests, and which they are: none where the file lacks something."""
    boat, foam = floating
    books = load_books()
    scope = find_scope(boat, books.law)
    listed = settle_weights(boat, foam).listed
    general = general_method(boat, listed, foam, scope, books)
    basin = basin_of(Worked(boat, foam, listed, general, scope, books))
    return basin, () if basin is None else cases(scope.flotation, books.law)


# ---- what is supposed --------------------------------------------------------------------------


def _rows(floating: Floating) -> Iterator[tuple[str, str, Changed]]:
    own = load_books().own
    for times in (1, 2, 3) if _has_motor(floating) else ():
        kilograms = times * own.number("supposed_motor").value
        yield "motor", f"{kilograms:g} kg heavier", heavier_motor(floating, kilograms)
    share = own.number("supposed_structure").value
    yield "all structure", f"{percent(share)} heavier", heavier_structure(floating, share)
    if floating[1]:
        share = own.number("supposed_density").value
        yield "all foam", f"{percent(share)} denser in place", denser_foam(floating, share)
        share = own.number("supposed_water").value
        yield "all foam", f"water in {percent(share)} of its volume", wet_foam(floating, share)
    yield "plate", "one person more", more_persons(floating, 1.0)


def _growing(floating: Floating) -> Iterator[tuple[str, str, Callable[[float], Changed]]]:
    if _has_motor(floating):
        yield "motor heavier by", "kg", partial(heavier_motor, floating)
    yield "all structure heavier by", "1", partial(heavier_structure, floating)
    if floating[1]:
        yield "water in a share of all foam", "1", partial(wet_foam, floating)


def _reach(stated: Stated, what: str, unit: str, change: Callable[[float], Changed]) -> Reach:
    """The limits that are arithmetic bound the search; the tests are run only within them."""
    own, kind = load_books().own, "mass" if unit == "kg" else "share"
    high, step = (own.number(f"supposed_{end}_{kind}").value for end in ("most", "least"))
    first = ""

    def dry(value: float) -> bool:
        nonlocal first
        lost = [
            one.name for one in verdicts_without_tests(*change(value).floating) if not one.meets
        ]
        first = lost[0] if lost else first
        return not lost

    def afloat(value: float) -> bool:
        nonlocal first
        test = stated.test("", "", change(value)) if value > 0.0 else None
        first = first if test is None or test.meets else test.worst
        return test is None or test.meets

    if not stated.holds:
        lost = stated.supposed(AS_STATED, "", change(0.0)).test
        return Reach(what, None, unit, "" if lost is None else lost.worst)
    most = last_that_holds(dry, high, step)
    if most is not None and most > 0.0:
        most = last_that_holds(afloat, most, step)
    return Reach(what, most, unit, first)


def _has_motor(floating: Floating) -> bool:
    return any(weight.role is Role.MOTOR for weight in floating[0].weights)


def heavier_motor(floating: Floating, kilograms: float) -> Changed:
    """The heaviest motor heavier; where its swamped mass is stated, by as much under water."""
    boat, foam = floating
    motors = [weight for weight in boat.weights if weight.role is Role.MOTOR]
    heaviest = max(motors, key=lambda weight: weight.mass)
    swamped = heaviest.swamped_mass
    heavier = replace(
        heaviest,
        mass=heaviest.mass + kilograms,
        swamped_mass=None if swamped is None else swamped + kilograms,
    )
    weights = tuple(heavier if weight is heaviest else weight for weight in boat.weights)
    changed = replace(boat, weights=weights), foam
    if swamped is None or len(motors) > 1:  # by a rule of its own
        return Changed(changed)
    return Changed(changed, _with_more({heaviest.item: kilograms}))


def heavier_structure(floating: Floating, share: float) -> Changed:
    """Every weight of the structure heavier by a share, as if it were thicker."""
    boat, foam = floating
    weights = tuple(
        replace(weight, mass=weight.mass * (1.0 + share))
        if weight.role is Role.STRUCTURE
        else weight
        for weight in boat.weights
    )
    return Changed((replace(boat, weights=weights), foam))


def denser_foam(floating: Floating, share: float) -> Changed:
    """All foam denser by a share, its volume as it was."""
    return _heavier_foam(floating, lambda one: share * one.density)


def wet_foam(floating: Floating, share: float) -> Changed:
    """Water in a share of the foam's volume: it weighs, and the foam displaces what it did."""
    return _heavier_foam(floating, lambda _: share * water_density("fresh"))


def _heavier_foam(floating: Floating, added: Callable[[FoamInPlace], float]) -> Changed:
    """Foam with so many kg more in each cubic metre."""
    boat, foam = floating
    more = {one.cavity: added(one) * one.solid.volume for one in foam}
    changed = tuple(
        replace(one, mass=one.mass + more[one.cavity], density=one.density + added(one))
        for one in foam
    )
    return Changed((boat, changed), _with_more(more, Kind.FOAM))


def _with_more(added: Mapping[str, float], kind: Kind = Kind.MACHINERY) -> Change:
    """Pieces of a kind heavier by so many kg, by item."""

    def change(pieces: Sequence[Piece]) -> tuple[Piece, ...]:
        return tuple(
            replace(piece, body=replace(piece.body, mass=piece.body.mass + added[piece.item]))
            if piece.kind is kind and piece.item in added
            else piece
            for piece in pieces
        )

    return change


def more_persons(floating: Floating, count: float) -> Changed:
    """The plate with more persons on it, each as its rule weighs one."""
    boat, foam = floating
    added = count * load_books().law.number("persons_number_each").value
    plate = boat.capacity
    more = replace(
        plate, persons=plate.persons + added, maximum_weight=plate.maximum_weight + added
    )
    return Changed((replace(boat, capacity=more), foam), unchanged)
