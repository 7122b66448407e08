"""Centres of what lifts against centres of what weighs."""

from collections.abc import Sequence
from dataclasses import dataclass

from flotation.boat_places import Point
from flotation.swamped.assessment import Balance, Finding, Section
from flotation.swamped.burdens import Burden, centre, total
from flotation.units import number
from flotation.workings import COMPUTED, Line, Term, work_out


@dataclass(frozen=True)
class Centres:
    """The balance, how it was calculated, and what it says of the upright boat.

    balance  None where nothing lifts or nothing weighs
    """

    balance: Balance | None
    section: Section
    findings: tuple[Finding, ...]


def centres(lifting: Sequence[Burden], burdens: Sequence[Burden]) -> Centres:
    """Where the lift acts, where the weight under water acts, and the levers between them.

    lifting   foam and chambers, kg of lift
    burdens   boat, machinery, load, kg under water; a piece below zero lifts and joins the lift

    Moments are weight x (place of the lift - place of the weight), kg m: as much lift as there
    is weight, acting at the centre of all that lifts. Trim positive bow up, heel positive to
    starboard: lift to port of the weight heels to starboard.
    """
    turned = [_as_lift(burden) for burden in burdens if burden.line.value < 0.0]
    lifts = [*lifting, *turned]
    weights = [burden for burden in burdens if burden.line.value >= 0.0]
    lift, weight = _sum("What lifts", lifts), _sum("What weighs", weights)
    if not (lift.value > 0.0 and weight.value > 0.0):
        return Centres(None, Section("Centres", (lift, weight)), ())
    up = centre("What lifts", [piece.acting for piece in lifts], lift)
    down = centre("What weighs", [piece.acting for piece in weights], weight)
    moments = (
        _moment("Trim moment, bow up", "x", weight, up[0], down[0]),
        _moment("Heel moment, to starboard", "y", weight, up[1], down[1]),
    )
    height = work_out(
        "Height of what lifts over what weighs",
        "z_lift - z_weight",
        [up[2].term("z_lift"), down[2].term("z_weight")],
        unit="m",
        source=COMPUTED,
    )
    lines = (*(piece.line for piece in turned), lift, *up, weight, *down, *moments, height)
    balance = Balance(lift.value, _point(up), weight.value, _point(down))
    return Centres(balance, Section("Centres", lines), (_height_finding(height),))


def _as_lift(burden: Burden) -> Burden:
    symbol = f"{burden.symbol}_lift"
    line = work_out(
        f"{burden.line.label}, as lift",
        f"-{burden.symbol}",
        [burden.line.term(burden.symbol)],
        unit="kg",
        source=COMPUTED,
    )
    return Burden(symbol, line, burden.at, burden.place, burden.spread)


def _sum(label: str, pieces: Sequence[Burden]) -> Line:
    return total(f"{label}, all", [piece.line.term(piece.symbol) for piece in pieces])


def _moment(label: str, axis: str, weight: Line, up: Line, down: Line) -> Line:
    terms: list[Term] = [
        weight.term("weight"),
        up.term(f"{axis}_lift"),
        down.term(f"{axis}_weight"),
    ]
    return work_out(
        label,
        f"weight * ({axis}_lift - {axis}_weight)",
        terms,
        unit="kg m",
        source=COMPUTED,
    )


def _point(lines: Sequence[Line]) -> Point:
    x, y, z = (line.value for line in lines)
    return x, y, z


def _height_finding(height: Line) -> Finding:
    above = height.value > 0.0
    side = "above" if above else "below"
    found = f"the lift acts {number(abs(height.value), 3)} m {side} the weight"
    if not above:
        found += "; the boat stays upright only by what crosses the surface"
    return Finding(
        subject="",
        advice="what lifts acts above what weighs",
        found=found,
        heeded=True if above else None,
        criterion=None,
    )
