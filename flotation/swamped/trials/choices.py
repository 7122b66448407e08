"""What can be taken in two ways: each way is tried in every test, and the worse one is reported.

An assumption that is safe for the quantity of foam need not be safe for stability: less lift low
on the centreline can steady a boat. Wood without lift, soaked foam and flooded chambers are such.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

from flotation.boat import Boat, Chamber
from flotation.rulebook import RuleBook
from flotation.swamped.burdens import Burden, Listed
from flotation.swamped.scope import BASIC, LEVEL
from flotation.swamped.trials.condition import Choice, FoamState, SwampedBoat
from flotation.swamped.trials.loads import Loads


@dataclass(frozen=True)
class Alternative:
    """Another end of one assumption: the field of the choice, its value, and what to call it."""

    words: str
    field: str
    choice: Choice


def stated_choice(boat: Boat, flotation: str, law: RuleBook) -> Choice:
    """The choice that the boat file and the regulation make.

    Wood as the method has it; tanks lift where they are sealed and a restraint is stated; of the
    chambers that the builder counts, level flotation floods the two largest and those integral
    with the hull, modified level the two largest, basic those integral.
    """
    counted = [chamber for chamber in boat.chambers if chamber.counted]
    if flotation in (LEVEL, BASIC):
        counted = [chamber for chamber in counted if not chamber.integral]
    if flotation != BASIC:
        flooded = int(law.number("flooded_chambers").value)
        counted = sorted(counted, key=lambda one: one.volume, reverse=True)[flooded:]
    return Choice(
        wood_lifts=boat.method.wood_lifts,
        tanks_lift=bool(boat.tanks) and all(one.sealed and one.restraint for one in boat.tanks),
        airtight=frozenset(chamber.name for chamber in counted),
    )


def alternatives(swamped: SwampedBoat, loads: Loads, *, one_side: bool) -> tuple[Alternative, ...]:
    """Every other end of every assumption that this boat and this test have.

    one_side  the load lies on one side
    """
    stated = swamped.stated
    found: list[Alternative] = []
    if _has_wood(swamped):
        words = "wood without lift" if stated.wood_lifts else "wood with its lift"
        found.append(
            Alternative(words, "wood_lifts", replace(stated, wood_lifts=not stated.wood_lifts))
        )
    if swamped.foam:
        found += [
            Alternative(f"foam {state}", "foam", replace(stated, foam=state))
            for state in (FoamState.LIGHT, FoamState.HEAVY)
        ]
    if _has_boxed_machinery(swamped):
        words = "motor and battery dry, with their boxes"
        found.append(
            Alternative(
                words, "machinery_dry", replace(stated, machinery_dry=not stated.machinery_dry)
            )
        )
    if swamped.boat.tanks:
        words = "tanks without lift" if stated.tanks_lift else "tanks with their lift"
        found.append(
            Alternative(words, "tanks_lift", replace(stated, tanks_lift=not stated.tanks_lift))
        )
    found += _of_chambers(swamped)
    if loads.guidance is not None:
        words = "persons by the handbook"
        found.append(
            Alternative(words, "by_guidance", replace(stated, by_guidance=not stated.by_guidance))
        )
    if one_side:
        words = "the load at the edge of the passenger area"
        other = replace(stated, at_edge=not stated.at_edge)
        found.append(Alternative(words, "at_edge", other))
        if loads.dead.value > 0.0:
            words = "without dead weight"
            found.append(
                Alternative(
                    words, "dead_weight", replace(stated, dead_weight=not stated.dead_weight)
                )
            )
    return tuple(found)


def _has_wood(swamped: SwampedBoat) -> bool:
    """True if an entry displaces more with the physical sign of wood than without lift."""
    return any(
        not math.isclose(
            swamped.displaced(entry.weight, wood_lifts=True),
            swamped.displaced(entry.weight, wood_lifts=False),
        )
        for entry in swamped.listed
    )


def _has_boxed_machinery(swamped: SwampedBoat) -> bool:
    weights = {entry.symbol: entry for entry in swamped.listed}
    return any(_boxed(weights[burden.symbol], burden) for burden in swamped.machinery)


def _boxed(entry: Listed, burden: Burden) -> bool:
    return entry.weight.size is not None and entry.weight.mass > burden.line.value


def _of_chambers(swamped: SwampedBoat) -> Iterator[Alternative]:
    """Every pair of chambers flooded, and none."""
    chambers, stated = swamped.boat.chambers, swamped.stated
    ends: dict[frozenset[str], str] = {_names(chambers): "every air chamber holding its air"}
    for pair in combinations(chambers, min(2, len(chambers))):
        rest = _names(chambers) - _names(pair)
        ends[rest] = f"flooded: {' and '.join(sorted(chamber.name for chamber in pair))}"
    for airtight, words in ends.items():
        if airtight != stated.airtight:
            yield Alternative(words, "airtight", replace(stated, airtight=airtight))


def _names(chambers: tuple[Chamber, ...]) -> frozenset[str]:
    return frozenset(chamber.name for chamber in chambers)


def combined(stated: Choice, worse: tuple[Alternative, ...]) -> Choice:
    """The choice that takes the end of each of these, one for a field."""
    fields = {one.field: getattr(one.choice, one.field) for one in worse}
    return replace(stated, **fields)
