"""What went into each hole of a cavity, against what was planned: the account of a pour."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from flotation.errors import Fault, InputError
from flotation.foamsystem import PouredLift
from flotation.pour.layering import Place
from flotation.pour.lifts import height_of
from flotation.pour.pourplan import Lift, PourPlan

# kg by which a weight may differ from the planned one and still be that one.
_SAME = 1e-6


@dataclass(frozen=True)
class Account:
    """One cavity in the middle of its pour.

    done       its lifts that were poured, with what really went in
    left       its planned lifts that were not, in their order
    owing      hole -> m3 that it is short of what was planned up to now; negative: too much
    """

    done: tuple[Lift, ...]
    left: tuple[Lift, ...]
    owing: Mapping[str, float]

    @property
    def as_planned(self) -> bool:
        """True if every lift that was poured was poured as planned."""
        return not any(self.owing.values())

    @property
    def volume(self) -> float:
        """m3 that stand in the cavity, at the density that the plan reckoned with."""
        return sum(lift.volume for lift in self.done)


def account_of(
    planned: Sequence[Lift], before: Sequence[Lift], poured: Mapping[int, float], place: Place
) -> Account:
    """The account of one cavity.

    planned  its lifts in the plan; before  those that an earlier plan had poured already
    poured   order of a lift -> kg of A and B together that really were mixed for it
    Mass follows what was mixed; volume follows mass at the plan's densities.
    """
    raw = [(lift, _as_poured(lift, poured[lift.order])) for lift in planned if lift.order in poured]
    owing: dict[str, float] = {}
    for lift, real in raw:
        owing[lift.hole] = owing.get(lift.hole, 0.0) + (lift.volume - real.volume)
    done = [*before, *(real for _, real in raw)]
    changed = any(owing.values())
    standing = tuple(_risen(lift, done, place) if changed else lift for lift in done)
    left = tuple(lift for lift in planned if lift.order not in poured)
    return Account(standing, left, owing)


def _as_poured(lift: Lift, mixed: float) -> Lift:
    """The lift with what was mixed for it; itself if that is what the plan asked for."""
    weighed = sum(shot.mass for shot in lift.shots)
    if min(abs(mixed - lift.mixed_mass), abs(mixed - weighed)) <= _SAME:
        return lift
    share = mixed / lift.mixed_mass
    return replace(
        lift,
        volume=lift.volume * share,
        mass=lift.mass * share,
        mixed_mass=mixed,
        mass_a=lift.mass_a * share,
        mass_b=lift.mass_b * share,
        volume_a=lift.volume_a * share,
        volume_b=lift.volume_b * share,
    )


def _risen(lift: Lift, done: Iterable[Lift], place: Place) -> Lift:
    """The lift with the height at which foam stands after its layer, by what really went in."""
    curve = place.curve
    volume = sum(other.volume for other in done if other.number <= lift.number)
    level = curve.top if volume >= curve.volume else curve.height_at(volume)
    rim = next((height_of(h.at, place.up) for h in place.cavity.holes if h.name == lift.hole), None)
    dip = None if rim is None else round(rim - level, 6) + 0.0
    return replace(lift, foam_height=place.shown(level), dip=dip, dip_least=dip)


def checked(plan: PourPlan, poured: Sequence[PouredLift]) -> list[PouredLift]:
    """The entries; InputError unless each is a lift of the plan that could have been poured."""
    lifts = {lift.order: lift for lift in plan.lifts}
    faults = []
    counted: set[int] = set()
    for one in poured:
        place = f"lift {one.order}"
        if one.order not in lifts:
            problem = "the plan has no such lift" + (
                ", or it was poured before" if one.order in {d.order for d in plan.done} else ""
            )
            faults.append(Fault(place, problem, "Look at its number on the pour sheet."))
        elif one.order in counted:
            faults.append(Fault(place, "stands twice", "Add up what was poured as this lift."))
        if not 0.0 < one.mass < math.inf:
            problem = f"{one.mass!r} kg is no mass that was poured"
            faults.append(Fault(place, problem, "Leave a lift out that was not poured."))
        counted.add(one.order)
    for lift in plan.lifts:
        under = [
            below
            for below in plan.lifts
            if below.cavity == lift.cavity
            and below.number < lift.number
            and below.order not in counted
        ]
        if lift.order in counted and under:
            problem = f"lift {under[0].order} under it is not said to be poured"
            remedy = "Give what was poured as that lift too, or look at the number."
            faults.append(Fault(f"lift {lift.order}", problem, remedy))
    if faults:
        raise InputError(faults)
    return list(poured)
