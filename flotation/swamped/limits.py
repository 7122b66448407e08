"""A limit, and whether what was obtained meets it."""

import math
from dataclasses import dataclass, replace

from flotation.rulebook import Criterion
from flotation.swamped.assessment import Verdict
from flotation.swamped.wording import both

# Limits are inclusive: 10 deg of heel meets a limit of 10 deg. Two sums of the same numbers in
# another order differ in the last digits of a float; that much, and no more, counts as equal.
ROUNDING = 1e-9


@dataclass(frozen=True)
class Limit:
    """What is asked for.

    criterion  its value is the limit
    decides    False where the boat is outside the rule's scope
    line       label of the line that says how the limit was calculated; "" for a printed limit
    """

    name: str
    criterion: Criterion
    decides: bool
    line: str = ""


def same(one: float, other: float) -> bool:
    """True if two numbers differ by no more than the rounding of floats."""
    return math.isclose(one, other, rel_tol=ROUNDING, abs_tol=0.0)


def at_least(
    limit: Limit, obtained: float, *, line: str = "", spread: float | None = None
) -> Verdict:
    """The verdict on a limit that must be reached; reaching it exactly meets it.

    obtained  in the unit of the limit
    line      label of the line that says how it was obtained
    spread    what stated tolerances add up to, in the same unit; None: none is stated
    """
    return _verdict(limit, obtained, obtained - limit.criterion.value, line, spread)


def at_most(
    limit: Limit, obtained: float, *, line: str = "", spread: float | None = None
) -> Verdict:
    """The verdict on a limit that must not be passed; reaching it exactly meets it."""
    lower = _verdict(limit, obtained, limit.criterion.value - obtained, line, spread)
    return replace(lower, at_most=True)


def _verdict(
    limit: Limit, obtained: float, margin: float, line: str, spread: float | None
) -> Verdict:
    criterion = limit.criterion
    equal = same(obtained, criterion.value)
    margin = 0.0 if equal else margin
    meets = equal or margin > 0.0
    return Verdict(
        name=limit.name,
        required=criterion.value,
        obtained=obtained,
        margin=margin,
        unit=criterion.unit,
        meets=meets,
        decides=limit.decides,
        criterion=criterion,
        sentence=_sentence(margin, meets, criterion.unit, spread),
        required_line=limit.line,
        obtained_line=line,
        spread=spread,
    )


def _sentence(margin: float, meets: bool, unit: str, spread: float | None) -> str:
    words = "meets the calculated limit by" if meets else "falls short by"
    text = f"{words} {both(abs(margin), unit)}"
    if spread is not None and abs(margin) <= spread:
        text += f"; not decided, the stated tolerances add up to {both(spread, unit)}"
    return text
