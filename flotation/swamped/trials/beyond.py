"""What the regulation does not ask for: the same tests with one thing changed.

A lost cavity, soaked foam, another tank, sea water, load at the ends, more people, other motors,
and the boat while no water is in it. Everything here is run as stated, not at both ends of every
assumption, and decides nothing.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

from flotation.boat import Role, Tank
from flotation.equilibrium.bodies import Body, as_point
from flotation.geometry.solid import Solid
from flotation.rulebook import water_density
from flotation.swamped.assessment import Outcome
from flotation.swamped.trials.cases import cases
from flotation.swamped.trials.condition import Kind, Piece, SwampedBoat
from flotation.swamped.trials.in_the_water import Worked, basin_of
from flotation.swamped.trials.intact import Intact, intact
from flotation.swamped.trials.loads import PERSONS, PORT
from flotation.swamped.trials.varied import (
    Change,
    Series,
    Varied,
    last_that_holds,
    unchanged,
)

_MOTORS = (0.0, 0.25, 0.5, 0.75, 1.0)
_SOAKED_STEP = 0.01
_MOST_PERSONS = 40.0
_PERSON_STEP = 0.25


@dataclass(frozen=True)
class Threshold:
    """Up to where every limit of the tests is met.

    what    what is raised
    value   the largest value at which all are met, in `unit`; None: not even at nothing
    all_the_way  it was raised no further, and all are still met there
    first   the test that is not met beyond it; "" where all are
    outcome of that test
    """

    what: str
    value: float | None
    unit: str
    all_the_way: bool
    first: str = ""
    outcome: Outcome = Outcome.FLOATS


@dataclass(frozen=True)
class Beyond:
    """Beyond the regulation; nothing in it decides.

    as_stated   the tests as stated, to compare with
    rows        the tests with one thing changed; none for a boat that does not meet them as stated
    thresholds  up to where every limit is met; none likewise
    intact      None where the boat file does not draw the watertight hull
    """

    as_stated: Varied
    rows: tuple[Varied, ...]
    thresholds: tuple[Threshold, ...]
    intact: Intact | None


def beyond(worked: Worked) -> Beyond | None:
    """Run the tests of level or modified level flotation with one thing changed at a time.

    None where the boat file lacks what the tests need, and for basic flotation, which sets no
    limits to compare with. Raises NotSettled where a rest is not found within its tolerance.
    """
    basin = basin_of(worked)
    tests = cases(worked.scope.flotation, worked.books.law)
    if basin is None or not tests:
        return None
    series = Series(basin, tests)
    hull = worked.boat.intact_hull
    as_stated = series.varied("as stated", "", unchanged)
    meets = as_stated.meets
    return Beyond(
        as_stated,
        tuple(_rows(series)) if meets else (),
        (_soaked(series), *_persons(series)) if meets else (),
        intact(basin, hull) if hull is not None else None,
    )


def _rows(series: Series) -> Iterator[Varied]:
    swamped, boat = series.basin.swamped, series.basin.swamped.boat
    for entry in swamped.foam:
        yield series.varied("foam lost", entry.cavity, _without(entry.cavity))
    for tank in boat.tanks:
        for words, change in _of_tank(tank, swamped):
            yield series.varied(f"{tank.name}", words, change)
    salt = water_density("salt")
    yield series.varied("water", "sea water", unchanged, water=salt)
    area = boat.passenger_area
    for words, x in (("aft", area.aft), ("forward", area.forward)):
        name = f"at the {words} end of the passenger area"
        yield series.varied("the load", name, _moved_to(x))
    motors = {weight.item for weight in boat.weights if weight.role is Role.MOTOR}
    for share in _MOTORS if motors else ():
        mass = share * sum(p.body.mass for p in swamped.pieces(swamped.stated) if p.item in motors)
        name = "none" if share == 0.0 else f"{mass:.3g} kg under water"
        yield series.varied("the motor", name, _scaled(motors, share))


def _without(cavity: str) -> Change:
    """The cavity flooded, its foam gone."""

    def change(pieces: Sequence[Piece]) -> tuple[Piece, ...]:
        return tuple(p for p in pieces if not (p.kind is Kind.FOAM and p.item == cavity))

    return change


def _of_tank(tank: Tank, swamped: SwampedBoat) -> Iterator[tuple[str, Change]]:
    """Empty, with water in it instead, and torn loose."""
    own = (tank.shell, tank.contents)
    shell = swamped.weight(tank.shell)
    inside = tank.solid.volume - swamped.displaced(shell, wood_lifts=swamped.stated.wood_lifts)

    def torn_loose(pieces: Sequence[Piece]) -> tuple[Piece, ...]:
        return tuple(piece for piece in pieces if piece.item not in own)

    def closed(water: float) -> Change:
        body = Body(shell.mass + water, as_point(tank.solid.centroid), tank.solid, tank.name)
        return lambda pieces: (*torn_loose(pieces), Piece(Kind.TANK, tank.shell, body))

    yield "empty, closed and in place", closed(0.0)
    yield "full of water", closed(swamped.water.value * inside)
    yield "torn loose", torn_loose


def _moved_to(x: float) -> Change:
    """The persons and the dead weight at another place along the boat."""

    def change(pieces: Sequence[Piece]) -> tuple[Piece, ...]:
        return tuple(
            replace(p, body=replace(p.body, at=(x, *p.body.at[1:]))) if p.kind is Kind.LOAD else p
            for p in pieces
        )

    return change


def _scaled(items: frozenset[str] | set[str], share: float) -> Change:
    """Some weights that displace nothing, in proportion."""

    def change(pieces: Sequence[Piece]) -> tuple[Piece, ...]:
        return tuple(
            replace(p, body=replace(p.body, mass=share * p.body.mass)) if p.item in items else p
            for p in pieces
        )

    return change


def _soaked(series: Series) -> Threshold:
    """Water in a share of all the foam: it weighs, and the foam displaces what it did."""
    water = series.basin.water

    def change(share: float) -> Change:
        def soak(pieces: Sequence[Piece]) -> tuple[Piece, ...]:
            return tuple(_heavier(p, share * water) if p.kind is Kind.FOAM else p for p in pieces)

        return soak

    value = last_that_holds(partial(_carries, series, change), 1.0, _SOAKED_STEP)
    lost = change(min((value or 0.0) + _SOAKED_STEP, 1.0))
    return _threshold(series, "all foam alike, full of water", value, "1", (1.0, lost))


def _persons(series: Series) -> Iterator[Threshold]:
    """How many people the tests with people carry; each weighs as the plate's rule has it."""
    boat, loads, law = series.basin.swamped.boat, series.basin.loads, series.basin.law
    each = loads.persons.value / boat.capacity.persons * law.number("persons_number_each").value

    def aboard(count: float) -> Change:
        share = count * each / loads.persons.value
        return _scaled({PERSONS}, share)

    for words, side in (("in the middle", ""), ("half of them on one side", PORT)):
        tests = tuple(case for case in series.tests if case.share > 0.0 and case.side == side)
        own = Series(series.basin, tests)
        most = last_that_holds(partial(_carries, own, aboard), _MOST_PERSONS, _PERSON_STEP)
        whole = None if most is None else float(math.floor(most))
        lost = aboard((whole or 0.0) + 1.0)
        what = f"people, {words}"
        yield _threshold(own, what, whole, "persons", (_MOST_PERSONS, lost))


def _carries(series: Series, change: Callable[[float], Change], value: float) -> bool:
    return series.left(change(value)) >= 0.0


def _heavier(piece: Piece, water: float) -> Piece:
    """A foam piece with kg of water in each cubic metre of it."""
    solid = piece.body.displaces
    volume = solid.volume if isinstance(solid, Solid) else 0.0
    return replace(piece, body=replace(piece.body, mass=piece.body.mass + water * volume))


def _threshold(
    series: Series, what: str, value: float | None, unit: str, beyond_it: tuple[float, Change]
) -> Threshold:
    """The limit that is broken first beyond a threshold, by running the tests there."""
    high, change = beyond_it
    if value == high:
        return Threshold(what, value, unit, True)
    lost = series.varied("", "", change)
    return Threshold(what, value, unit, False, lost.worst, lost.outcome)
