"""Which cavity's foam, by how much and to where, would mend a test that is not met.

First the moment that foam makes in each cavity at the attitude at which the boat is lost; then the
best move is made, and every test is run again.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from flotation.boat import FoamInPlace
from flotation.equilibrium.bodies import GRAVITY, as_point
from flotation.swamped.trials.cases import cases
from flotation.swamped.trials.explain import (
    Held,
    aft_is_deeper,
    explain,
    held_at_heel,
    held_at_rest,
    opposite,
)
from flotation.swamped.trials.level_tests import Basin, Simulated, simulate
from flotation.swamped.wording import both
from flotation.units import number

_LITRE = 1e-3


@dataclass(frozen=True)
class _Group:
    """A cavity with foam, or a pair that lies opposite each other."""

    foam: tuple[FoamInPlace, ...]

    @property
    def names(self) -> str:
        return " and ".join(entry.cavity for entry in self.foam)

    @property
    def volume(self) -> float:
        return math.fsum(entry.solid.volume for entry in self.foam)


@dataclass(frozen=True, eq=False)
class _Lost:
    """Where a boat is lost, and in which direction a moment mends it."""

    name: str
    held: Held
    sign: float
    missing: float

    def worth(self, group: _Group) -> float:
        """N m that a cubic metre of foam in these cavities makes towards mending it."""
        total = 0.0
        for entry in group.foam:
            part = entry.solid.below(self.held.normal, self.held.offset)
            weight = entry.mass + entry.uptake * entry.solid.volume
            total -= weight * self.held.at(as_point(entry.solid.centroid))
            if part.volume > 0.0:
                total += self.held.water * part.volume * self.held.at(as_point(part.centroid))
        return self.sign * GRAVITY * total / group.volume


def mend(basin: Basin, failing: Sequence[Simulated], flotation: str) -> tuple[str, ...]:
    """What would mend the tests that are not met, in sentences; nothing for a boat without foam.

    failing    the tests that are not met
    flotation  the kind of flotation, for which every test is run again
    A volume is told to first order: in proportion to the moment that is missing. Whether the
    general method is still met is not looked at here; the foam that is put in is more than what
    is taken out.
    """
    foam = basin.swamped.foam
    if not failing or not foam:
        return ()
    empty = _groups(_as_if_filled(basin))
    sunk = max(one.trial.lacking for one in failing)
    if sunk > 0.0:
        return (_more_foam(basin, empty, sunk),)
    lost = _lost(basin, failing)
    filled = sorted(_groups(foam), key=lost.worth)
    if not empty:
        return (_to_the_sides(basin, lost, filled[0]),)
    taker = max(empty, key=lost.worth)
    return (_move(lost, filled, taker), _run_again(basin, filled, taker, flotation))


def _move(lost: _Lost, filled: Sequence[_Group], taker: _Group) -> str:
    """From where foam does least, as much as it takes, to first order."""
    left, volume, gained, names = lost.missing, 0.0, 0.0, list[str]()
    for group in filled:
        gain = lost.worth(taker) - lost.worth(group)
        if left <= 0.0 or gain <= 0.0:
            break
        part = min(left / gain, group.volume)
        names.append(group.names)
        left, volume, gained = left - gain * part, volume + part, gained + gain * part
    if not names:
        return "Foam in an empty cavity would do no more than where it is."
    sentence = (
        f"Where {lost.name} is lost, foam moved from {', '.join(names)} to {taker.names} gains "
        f"{number(gained / volume * _LITRE, 3)} N m a litre; to first order {both(volume, 'm3')} "
    )
    if left > 0.0:
        return f"{sentence}gains {number(gained, 3)} of the {number(lost.missing, 3)} N m missing."
    return f"{sentence}makes up the {number(lost.missing, 3)} N m that are missing."


def _lost(basin: Basin, failing: Sequence[Simulated]) -> _Lost:
    """The test that misses most, and the attitude at which its moments are told."""
    told = [(explain(basin, one).missing, one) for one in failing]
    missing, worst = max(told, key=lambda pair: pair[0])
    trial, ready = worst.trial, basin.ready(worst.case, worst.choice)
    held = None
    if not trial.verdicts[0].meets:
        held = held_at_heel(ready, trial, worst.case.heel.value)
    if held is not None:
        return _Lost(trial.name, held, 1.0, missing)
    bow_up = -1.0 if aft_is_deeper(trial) else 1.0
    return _Lost(trial.name, held_at_rest(ready, trial), bow_up, missing)


def _groups(foam: Sequence[FoamInPlace]) -> list[_Group]:
    """Cavities that lie opposite each other together, so that a move keeps the boat even."""
    left, found = list(foam), []
    while left:
        first = left.pop(0)
        twin = next((other for other in left if opposite(first.solid, other.solid)), None)
        if twin is not None:
            left.remove(twin)
        found.append(_Group((first,) if twin is None else (first, twin)))
    return found


def _as_if_filled(basin: Basin) -> list[FoamInPlace]:
    """The empty cavities, as if filled like the one that has most foam now."""
    foam = basin.swamped.foam
    like = max(foam, key=lambda entry: entry.mass)
    full = {entry.cavity for entry in foam}
    return [
        replace(
            like,
            cavity=cavity.name,
            solid=cavity.solid,
            mass=like.mass * cavity.solid.volume / like.solid.volume,
        )
        for cavity in basin.swamped.boat.cavities
        if cavity.name not in full
    ]


def _more_foam(basin: Basin, empty: Sequence[_Group], sunk: float) -> str:
    """For a boat that sinks: how much more foam, and how much the empty cavities hold."""
    like = max(basin.swamped.foam, key=lambda entry: entry.mass)
    net = basin.water - like.uptake - like.mass / like.solid.volume
    room = math.fsum(group.volume for group in empty)
    names = ", ".join(group.names for group in empty)
    holds = f"{names} hold {both(room, 'm3')}" if empty else "no cavity is left empty"
    return f"{both(sunk / net, 'm3')} more of the same foam would carry what is missing; {holds}."


def _to_the_sides(basin: Basin, lost: _Lost, donor: _Group) -> str:
    """Without an empty cavity: foam just under the surface at the hull sides."""
    boat, held = basin.swamped.boat, lost.held
    middle = 0.5 * (boat.passenger_area.aft + boat.passenger_area.forward)
    side, low = boat.passenger_area.side, held.origin[2]
    levers = [held.at((middle, y, float(low))) for y in (side, -side)]
    like = donor.foam[0]
    weight = like.mass / like.solid.volume + like.uptake
    lift = held.water * max(levers) - weight * math.fsum(levers)
    gain = lost.sign * GRAVITY * 0.5 * lift - lost.worth(donor)
    if gain <= 0.0:
        return "Foam at the hull sides would do no more than where it is."
    return (
        f"No cavity is left empty to move foam to. At both hull sides, as high as the water, it "
        f"gains {number(gain * _LITRE, 3)} N m a litre over {donor.names}; to first order "
        f"{both(lost.missing / gain, 'm3')} makes up the {number(lost.missing, 3)} N m that are "
        "missing."
    )


def _run_again(basin: Basin, filled: Sequence[_Group], taker: _Group, flotation: str) -> str:
    """The move made: the taker filled, and as much left out where foam does least."""
    left_out: list[_Group] = []
    for group in filled:
        if math.fsum(one.volume for one in (*left_out, group)) <= taker.volume:
            left_out.append(group)
    kept = [entry for group in filled if group not in left_out for entry in group.foam]
    swamped = replace(basin.swamped, foam=(*kept, *taker.foam))
    again = [
        simulate(replace(basin, swamped=swamped), case).trial
        for case in cases(flotation, basin.law)
    ]
    done = f"Run with {taker.names} filled ({both(taker.volume, 'm3')})"
    if left_out:
        done += f" and without foam in {', '.join(group.names for group in left_out)}"
    short = [verdict for trial in again for verdict in trial.verdicts if not verdict.meets]
    if short:
        return f"{done}: still not met: {'; '.join(f'{v.name} {v.sentence}' for v in short)}."
    heel = max(trial.inclination or 0.0 for trial in again)
    return f"{done}: every limit of the tests is met, with a heel of {both(heel, 'rad')} at most."
