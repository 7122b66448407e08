"""What if: rows for the page, each limit's margin after one thing was changed."""

from flotation.report.printing import NOT_STATED, both, plain, si
from flotation.swamped.assessment import Outcome
from flotation.swamped.trials.varied import Varied
from flotation.swamped.what_if import Reach, Supposed, WhatIf

Row = dict[str, object]

_LOOKED = "as far as was looked"
_ENDS = {Outcome.TURTLE: "floats bottom up", Outcome.SINKS: "sinks"}


def what_if_data(found: WhatIf | None) -> Row | None:
    """The table and the sentences below it; None where nothing was asked."""
    if found is None:
        return None
    stated = found.as_stated
    tested = stated.test is not None
    return {
        "limits": [limit.name for limit in stated.limits],
        "rows": [_row(one, stated) for one in (stated, *found.rows)],
        "tested": tested,
        "lost": tested and stated.test is not None and not stated.test.meets,
        "reaches": [_reach(reach) for reach in found.reaches],
    }


def _row(one: Supposed, stated: Supposed) -> Row:
    return {
        "group": one.group,
        "change": one.change,
        "margins": [
            {**both(limit.margin, limit.unit, 3), "meets": limit.meets} for limit in one.limits
        ],
        "test": _test(one.test),
        "meets": one.meets if one.test is not None or stated.test is None else None,
    }


def _test(test: Varied | None) -> str:
    """The worst test in words."""
    if test is None:
        return NOT_STATED
    if test.outcome in _ENDS or test.heel is None or test.depth is None:
        return f"{test.worst}: {_ENDS.get(test.outcome, NOT_STATED)}"
    heel, depth = si(round(test.heel, 5), "rad", 3), both(test.depth, "m", 3)
    left = plain(100.0 * test.left, 3)
    return f"{test.worst}: heel {heel}, deeper end {depth['si']} ({depth['us']}), {left} % left"


def _reach(reach: Reach) -> str:
    """How far it may grow, in one sentence."""
    if reach.most is None:
        return f"{reach.what}: a limit is not met as stated ({reach.first})."
    if reach.unit == "1":
        most = f"{plain(100.0 * reach.most, 3)} %"
    else:
        value = both(reach.most, reach.unit, 3)
        most = f"{value['si']} ({value['us']})"
    held = f"{reach.what}: as stated, every limit is met up to {most}"
    return f"{held}; beyond it {reach.first} is not met." if reach.first else f"{held}, {_LOOKED}."
