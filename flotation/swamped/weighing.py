"""The weight list against the boat on two scales."""

from collections.abc import Sequence
from dataclasses import dataclass

from flotation.boat import Role, Weighing, Weight
from flotation.swamped.assessment import Finding, Section
from flotation.swamped.burdens import Listed, number_weights, of_roles
from flotation.swamped.limits import ROUNDING, same
from flotation.swamped.weights import Settled, mass_and_centre
from flotation.swamped.wording import both
from flotation.units import number, si
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out

ADOPTED = "difference found by weighing"

_AGREES = "the weight list agrees with the weighing within its tolerances"
_SCALES = Source("weighing on two scales", mark=Mark.MEASURED)


@dataclass(frozen=True)
class Reconciled:
    """What the scales say against the list, and the list that the calculation goes on with."""

    settled: Settled
    finding: Finding


@dataclass(frozen=True)
class _Difference:
    """Scales less list: kg, and the x where that difference would have to lie, m.

    x        None where the masses agree, so that no place can be given
    shift    m by which the scales put the centre forward of the list's; moment: that times what
             was weighed, kg m
    allowed  kg m that the stated tolerances of the masses explain, all to one side
    z        height of what is listed, m: two scales on a level floor do not tell heights
    """

    mass: Line
    x: Line | None
    shift: Line
    moment: Line
    allowed: Line
    z: float
    lines: tuple[Line, ...]


def reconcile(weights: Sequence[Weight], weighing: Weighing, length: float) -> Reconciled:
    """Compare the entries that were aboard with what two scales showed.

    weights   the weight list
    weighing  two scales, the roles that were aboard, and whether to adopt the difference
    length    of the boat, m: a difference that would lie outside it is said so

    A boat heavier than its list carries an entry "difference found by weighing" if the boat file
    adopts it: counted in full, where the scales put it, as high as the centre of what is listed.
    A boat lighter than its list keeps its list: the safe side.
    """
    listed = number_weights(weights)
    aboard = of_roles(listed, weighing.roles)
    difference = _difference(aboard, weighing)
    heavier = difference.mass.value > 0.0 and difference.x is not None
    adopted = weighing.adopt and heavier
    found = tuple(weights)
    if adopted and difference.x is not None:
        found = (*found, _as_weight(difference, difference.x))
    section = Section("Weighing", difference.lines)
    settled = Settled(found, section, (_outcome(weighing, heavier),))
    return Reconciled(settled, _finding(aboard, difference, weighing, length))


def _difference(aboard: Sequence[Listed], weighing: Weighing) -> _Difference:
    aft, forward = weighing.aft, weighing.forward
    scales = [Term("aft", aft.mass, "kg", _SCALES), Term("forward", forward.mass, "kg", _SCALES)]
    places = [Term("x_aft", aft.x, "m", _SCALES), Term("x_forward", forward.x, "m", _SCALES)]
    weighed = work_out("Weighed", "aft + forward", scales, unit="kg", source=_SCALES)
    centre = work_out(
        "Weighed, x of the centre",
        "(aft * x_aft + forward * x_forward) / weighed",
        [*scales, *places, weighed.term("weighed")],
        unit="m",
        source=COMPUTED,
    )
    mass, (x, _, z) = mass_and_centre("Listed of what was aboard", aboard)
    over = work_out(
        "Weighed less listed",
        "weighed - listed",
        [weighed.term("weighed"), mass.term("listed")],
        unit="kg",
        source=COMPUTED,
    )
    shift, moment = _apart(weighed, centre, x)
    allowed = _allowed(aboard, x)
    lines = [weighed, centre, mass, x, over, shift, moment, allowed]
    place = None
    if not same(weighed.value, mass.value):
        place = work_out(
            "Weighed less listed, x",
            "(weighed * x_weighed - listed * x_listed) / over",
            [
                weighed.term("weighed"),
                centre.term("x_weighed"),
                mass.term("listed"),
                x.term("x_listed"),
                over.term("over"),
            ],
            unit="m",
            source=COMPUTED,
        )
        lines.append(place)
    return _Difference(over, place, shift, moment, allowed, z.value, tuple(lines))


def _apart(weighed: Line, centre: Line, listed: Line) -> tuple[Line, Line]:
    """How far apart the centres are, m, and the moment that this makes, kg m."""
    shift = work_out(
        "Weighed centre less listed centre, x",
        "x_weighed - x_listed",
        [centre.term("x_weighed"), listed.term("x_listed")],
        unit="m",
        source=COMPUTED,
    )
    moment = work_out(
        "Weighed less listed, moment about the listed centre",
        "weighed * shift",
        [weighed.term("weighed"), shift.term("shift")],
        unit="kg m",
        source=COMPUTED,
    )
    return shift, moment


def _allowed(aboard: Sequence[Listed], centre: Line) -> Line:
    """The moment about the listed centre that the tolerances of the masses explain, kg m."""
    terms, parts = [], []
    for entry in aboard:
        if entry.weight.tolerance is not None:
            t, x = f"t_{entry.symbol}", f"x_{entry.symbol}"
            terms.append(Term(t, entry.weight.tolerance, "kg", entry.source))
            terms.append(Term(x, entry.weight.at[0], "m", entry.source))
            parts.append(f"{t} * max({x} - x_listed, x_listed - {x})")
    return work_out(
        "Tolerances of what was aboard, moment about the listed centre",
        " + ".join(parts) or "0",
        [*terms, centre.term("x_listed")] if parts else [],
        unit="kg m",
        source=COMPUTED,
    )


def _as_weight(difference: _Difference, x: Line) -> Weight:
    return Weight(
        item=ADOPTED,
        mass=difference.mass.value,
        material=None,
        at=(x.value, 0.0, difference.z),
        below_water=False,
        role=Role.STRUCTURE,
        tolerance=None,
        swamped_mass=None,
        size=None,
        entry="[weighing]",
    )


def _outcome(weighing: Weighing, heavier: bool) -> str:
    if weighing.adopt and heavier:
        return (
            f'The boat is heavier on the scales than on the list; the entry "{ADOPTED}" counts '
            "in full, as high as the centre of what is listed."
        )
    if weighing.adopt:
        return "The boat is not heavier on the scales than on the list; the list stands."
    return "The weighing was compared with the list and not adopted; the list stands."


def _finding(
    aboard: Sequence[Listed], difference: _Difference, weighing: Weighing, length: float
) -> Finding:
    """How far list and scales are apart; where, once that is more than the tolerances explain.

    Masses within their tolerances with a centre that these do not explain are left open: places
    carry no tolerance.
    """
    over = difference.mass.value
    way = "less" if over < 0.0 else "more"
    text = f"the scales show {both(abs(over), 'kg')} {way} than the list"
    stated = [e.weight.tolerance for e in aboard if e.weight.tolerance is not None]
    heeded = None
    if len(stated) == len(aboard):
        heeded = abs(over) <= sum(stated)
        text += f"; the tolerances of what was aboard add up to {both(sum(stated), 'kg')}"
    if difference.x is not None and (weighing.adopt or not heeded):
        text += f"; the difference would lie at x = {number(difference.x.value, 3)} m"
        if not 0.0 <= difference.x.value <= length:
            text += ", outside the boat: entries of the list are in the wrong place too"
    text += f"; {_centre_words(difference)}"
    if heeded and abs(difference.moment.value) > difference.allowed.value * (1.0 + ROUNDING):
        heeded = None
        text += ", more than the tolerances of the masses explain: look at the places of the list"
    return Finding("", _AGREES, text, heeded, None)


def _centre_words(difference: _Difference) -> str:
    shift = difference.shift.value
    if round(shift, 3) == 0.0:
        return "their centres lie within 0.5 mm of each other"
    way = "forward" if shift > 0.0 else "aft"
    return f"the scales put the centre {si(abs(shift), 'm', 3)} {way} of the list's"
