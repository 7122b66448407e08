"""replan: what remains of a pour after lifts that went otherwise, or after another cup test."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from flotation.boat import Boat, Cavity, FoamInPlace
from flotation.foamsystem import CupTest, Foam, PouredLift
from flotation.pour.accounts import Account, account_of, checked
from flotation.pour.cavity import Filled, fill_cavity, filled_with
from flotation.pour.clock import job_of, team_of, timed_lifts, timetable_of
from flotation.pour.filling import Filling
from flotation.pour.foam import water_taken_up
from flotation.pour.gaps import foam_space
from flotation.pour.heating import with_heat
from flotation.pour.layering import place_in_jig
from flotation.pour.lifts import up_in_jig
from flotation.pour.limits import Setting
from flotation.pour.order import Turns
from flotation.pour.outlook import LiftBound
from flotation.pour.plan import nothing_to_pour, plan_of
from flotation.pour.pourplan import CupUsed, Lift, PourPlan
from flotation.pour.refilling import Refilled, Refilling, refill
from flotation.pour.systems import systems_of
from flotation.pour.timetable import Job, in_this_order
from flotation.pour.widest import Widest
from flotation.workings import Mark, Source, Term

_LOGGED = Source("what was poured, as logged", mark=Mark.MEASURED)


def replan(
    plan: PourPlan,
    boat: Boat,
    poured: Sequence[tuple[int, float]],
    cup_tests: Sequence[CupTest] = (),
) -> PourPlan:
    """What remains to be poured, after these lifts went in and with these cup tests?

    plan       as `plan_pours` or an earlier `replan` made it for this boat
    poured     order of each lift that was poured since, and kg of A and B together that were
               mixed for it (`PouredLift`); a lift that was not poured is left out
    cup_tests  made since then; the last one for a foam counts from now on
    Returns a PourPlan of what remains. Its `done` are the lifts that stand: as they were planned
    if that is what was poured, else with their real mass and the height that the exact fill curve
    gives it. What a hole got too little or too much of is settled with its next lift; the rest of
    the plan stays, to the gram. `foam` is what stands in every cavity at the end. Times go on
    from the end of the last lift that was poured. What was poured keeps the density of the cup
    that its plan was made with.

    Raises InputError for an order that the plan has not, or has twice, a mass that is none, and a
    lift whose layer below was not poured.
    """
    weights = dict(checked(plan, [PouredLift(*entry) for entry in poured]))
    shop = replace(boat.shop, cup_tests=(*_cups_so_far(plan), *cup_tests))
    today = replace(boat, shop=shop)
    systems = systems_of(today)
    settings = {system.foam.name: system.setting for system in systems}
    so_far = _SoFar(plan, weights, boat, Widest(up_in_jig(boat.jig)))
    rests = [_rest_of(boat.cavity(name), settings, so_far) for name in _cavities(plan)]
    done = tuple(
        sorted((lift for rest in rests for lift in rest.account.done), key=lambda one: one.order)
    )
    foam = tuple(rest.foam for rest in rests)
    notes = tuple(note for rest in rests for note in rest.refilling.notes)
    if not any(rest.filled for rest in rests):
        made = nothing_to_pour(today)
    else:
        left = [system for system in systems if _is_left(system.foam, rests)]
        made = plan_of(today, left, _timed(plan, today, settings, rests, done))
    cautions = (*notes, *made.cautions)
    return replace(
        made,
        cautions=cautions,
        foam=foam,
        done=done,
        cups=_cups(plan, made),
        reach=plan.reach,
        air=plan.air,
    )


@dataclass(frozen=True)
class _SoFar:
    """The plan, kg that went in by the order of the lift, the boat, its largest balls so far."""

    plan: PourPlan
    weights: Mapping[int, float]
    boat: Boat
    widest: Widest


@dataclass(frozen=True)
class _Rest:
    """One cavity: its account, the lifts that remain, and what stands in it at the end."""

    account: Account
    refilling: Refilling
    filled: Filled | None
    foam: FoamInPlace


def _cups_so_far(plan: PourPlan) -> tuple[CupTest, ...]:
    return tuple(
        CupTest(cup.foam, cup.density, cup.date) for cup in plan.cups if cup.date is not None
    )


def _cups(plan: PourPlan, made: PourPlan) -> tuple[CupUsed, ...]:
    """Of a system that is finished, the cup that it was poured with."""
    left = {cup.foam: cup for cup in made.cups}
    return tuple(left.get(cup.foam, cup) for cup in plan.cups)


def _cavities(plan: PourPlan) -> tuple[str, ...]:
    """Every cavity of the plan, also one that an earlier plan finished."""
    return tuple(one.cavity for one in plan.foam)


def _is_left(foam: Foam, rests: Sequence[_Rest]) -> bool:
    return any(rest.filled is not None and rest.foam.foam == foam.name for rest in rests)


def _rest_of(cavity: Cavity, settings: Mapping[str, Setting], so_far: _SoFar) -> _Rest:
    """One cavity. Where nothing was poured yet it is planned as if it were the first."""
    assert cavity.foam is not None
    plan, boat, widest = so_far.plan, so_far.boat, so_far.widest
    setting = settings[cavity.foam].for_width(widest.width(cavity.solid))
    space = foam_space(cavity, setting.today.foam, up_in_jig(boat.jig))
    place = place_in_jig(replace(cavity, solid=space.solid), boat.jig, space.traced)
    pour = next((one for one in plan.pours if one.cavity == cavity.name), None)
    before = [lift for lift in plan.done if lift.cavity == cavity.name]
    planned = () if pour is None else pour.lifts
    account = account_of(planned, before, so_far.weights, place)
    if not account.done:
        fresh = fill_cavity(cavity, setting, boat, widest)
        return _Rest(account, _untouched(fresh, planned), fresh, fresh.foam)
    refilling = refill(account, place, setting)
    filling = Filling(
        cavity=cavity,
        space=space,
        place=place,
        poured=refilling.poured,
        decides=LiftBound.DEPTH if pour is None else pour.decides,
        lines=(),
        layers=refilling.layers,
        done=account.done,
        toppings=frozenset(i for i, one in enumerate(refilling.lifts) if one.top_up),
    )
    if pour is None or not refilling.lifts:
        standing = _standing(place.cavity, account, setting, boat.water)
        density = Term("density", standing.density, "kg/m3", _LOGGED)
        done = with_heat(filling, widest, density, setting).done
        return _Rest(replace(account, done=done), refilling, None, standing)
    filled = filled_with(filling, setting, boat, widest)
    return _Rest(replace(account, done=filled.done), refilling, filled, filled.foam)


def _untouched(fresh: Filled, planned: Sequence[Lift]) -> Refilling:
    """The lifts of a cavity that nothing went into, each after the one it takes the place of."""
    last = len(planned) - 1
    return Refilling(
        tuple(
            Refilled(planned[min(i, last)].order, top_up=False)
            for i in range(len(fresh.pour.lifts))
        ),
        (),
        (),
        (),
    )


def _standing(cavity: Cavity, account: Account, setting: Setting, water: float) -> FoamInPlace:
    """What stands in a cavity that gets no more."""
    mass = math.fsum(lift.mass for lift in account.done)
    density = mass / cavity.solid.volume
    taken_up = water_taken_up(
        f"{cavity.name}: water taken up",
        setting.today.foam,
        Term("density", density, "kg/m3", _LOGGED),
        water,
    )
    return FoamInPlace(
        cavity.name, setting.today.foam.name, mass, cavity.solid, density, taken_up.value
    )


def _timed(
    plan: PourPlan,
    boat: Boat,
    settings: Mapping[str, Setting],
    rests: Sequence[_Rest],
    done: Sequence[Lift],
) -> Turns:
    """The lifts that remain in the sequence of the earlier plan, with their times from now on."""
    lifts = [(rest, lift) for rest in rests if rest.filled for lift in rest.filled.pour.lifts]
    refilled = [one for rest in rests if rest.filled for one in rest.refilling.lifts]
    turns = _sequence(rests)
    jobs = [
        _job(lifts[i][1], refilled[i], boat, settings[lifts[i][0].foam.foam].today.foam)
        for i in turns
    ]
    begin = max((lift.end for lift in done), default=0.0)
    timed = in_this_order(jobs, team_of(boat.shop), begin, _ready(jobs, done))
    last = (
        max((lift.order for lift in done), default=0),
        max((shot.batch for lift in done for shot in lift.shots), default=0),
    )
    ordered = timed_lifts([lifts[i][1] for i in turns], timed, last)
    per_place = dict(zip(turns, ordered, strict=True))
    return _turns(plan, boat, settings, rests, [per_place[i] for i in range(len(lifts))])


def _job(lift: Lift, one: Refilled, boat: Boat, foam: Foam) -> Job:
    """What tops up a closing lift waits for it as if it were a layer on it."""
    job = job_of(lift, boat.shop, foam)
    return replace(job, layer=job.layer + 1) if one.top_up else job


def _sequence(rests: Sequence[_Rest]) -> list[int]:
    """Places of the lifts in the sequence of the earlier plan; layers never change places."""
    keys: list[tuple[int, int]] = []
    for rest in rests:
        latest = 0
        for one in rest.refilling.lifts if rest.filled else ():
            latest = max(latest, one.after)
            keys.append((latest, len(keys)))
    return [place for _, place in sorted(keys)]


def _ready(jobs: Sequence[Job], done: Sequence[Lift]) -> dict[str, float]:
    """From when the first layer that remains of each cavity may be poured."""
    first: dict[str, int] = {}
    for job in jobs:
        first.setdefault(job.cavity, job.layer)
    ready: dict[str, float] = {}
    for lift in done:
        if lift.number < first.get(lift.cavity, 0):
            ready[lift.cavity] = max(ready.get(lift.cavity, 0.0), lift.next_after)
    return ready


def _turns(
    plan: PourPlan,
    boat: Boat,
    settings: Mapping[str, Setting],
    rests: Sequence[_Rest],
    lifts: Sequence[Lift],
) -> Turns:
    """The cavities with their timed lifts, the one that is poured next at the head."""
    left, each = iter(lifts), []
    for rest in rests:
        if rest.filled is not None:
            own = tuple(islice(left, len(rest.filled.pour.lifts)))
            each.append(replace(rest.filled, pour=replace(rest.filled.pour, lifts=own)))
    each.sort(key=lambda one: min(lift.order for lift in one.pour.lifts))
    foams = {name: setting.today for name, setting in settings.items()}
    foam_of = {one.pour.cavity: one.pour.foam for one in each}
    whole = 0.0 if plan.timetable is None else plan.timetable.sequential_time
    return Turns(tuple(each), timetable_of(lifts, boat.shop, foams, whole, foam_of))
