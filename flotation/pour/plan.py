"""plan_pours: from a boat to its pour plan."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from flotation.boat import Boat, Cavity
from flotation.pour.attitude import attitude_proposal
from flotation.pour.buying import packs_to_order
from flotation.pour.cautions import checks, last_steps, responses, safety
from flotation.pour.cavity import Filled, fill_cavity
from flotation.pour.findings import findings
from flotation.pour.foam import heating_pressure
from flotation.pour.lifts import up_in_jig
from flotation.pour.limits import Setting
from flotation.pour.measures import measures
from flotation.pour.order import Turns, in_pouring_order
from flotation.pour.pourplan import PourPlan
from flotation.pour.sensitivity import sensitivity
from flotation.pour.situations import boat_situation, cavity_situation
from flotation.pour.systems import System, mass_range, order_total, systems_of, time_line
from flotation.pour.widest import Widest
from flotation.second import NO_SECOND, Second
from flotation.workings import Line


def plan_pours(boat: Boat, second: Second = NO_SECOND) -> PourPlan:
    """Which cavities, how much foam, through which holes, in which order?

    boat    as `read_boat` gives it
    second  a second process that fills half of the cavities meanwhile
    Returns a PourPlan. Where something stops the pour, the plan says so in `stops` and still
    carries its numbers for the engineer.

    mass = volume * cup test * (minimum fill / free rise) * overpack, the overpack for the closing
    lift only; mixed = mass / (1 - waste). Definitions of minimum fill and overpack: polyurethane
    moulding patent, read. Cavities that name no foam are left out.
    """
    systems = systems_of(boat)
    settings = {system.foam.name: system.setting for system in systems}
    each_by_itself = _each_by_itself(boat, settings, second)
    if not each_by_itself:
        return nothing_to_pour(boat)
    foams = {name: setting.today for name, setting in settings.items()}
    plan = plan_of(boat, systems, in_pouring_order(each_by_itself, boat.shop, foams))
    return replace(plan, attitudes=attitude_proposal(boat, settings, each_by_itself))


def _each_by_itself(boat: Boat, settings: Mapping[str, Setting], second: Second) -> list[Filled]:
    """The pours of all cavities that name a foam, in the order of the boat file.

    Of the largest cavities, whose search takes longest, each process has about as much.
    """
    named = [cavity for cavity in boat.cavities if cavity.foam is not None]
    if second is NO_SECOND:
        return fill_cavities(named, settings, boat)
    shares: tuple[list[Cavity], list[Cavity]] = ([], [])
    for cavity in sorted(named, key=lambda one: -one.solid.volume):
        min(shares, key=lambda share: sum(one.solid.volume for one in share)).append(cavity)
    mine, theirs = shares
    others = second.begin(fill_cavities, theirs, settings, boat)
    every = [*fill_cavities(mine, settings, boat), *others()]
    found = {one.pour.cavity: one for one in every}
    return [found[cavity.name] for cavity in named]


def fill_cavities(
    cavities: Sequence[Cavity], settings: Mapping[str, Setting], boat: Boat
) -> list[Filled]:
    """The pours of some cavities that name a foam, each as if it were the only one."""
    widest = Widest(up_in_jig(boat.jig))
    return [
        fill_cavity(cavity, settings[cavity.foam], boat, widest)
        for cavity in cavities
        if cavity.foam is not None
    ]


def plan_of(boat: Boat, systems: Sequence[System], turns: Turns) -> PourPlan:
    """Everything that a plan says, of cavities whose lifts have their times; one at least."""
    filled = turns.filled
    situation = boat_situation(boat, systems, filled)
    each = [cavity_situation(boat.cavity(one.pour.cavity), one, systems) for one in filled]
    totals = [order_total(system, filled) for system in systems]
    packs = packs_to_order(boat.foams, [total for total, _ in totals], turns.timetable)
    moved = sensitivity(systems, filled, boat.shop.temperature, boat.water)
    return PourPlan(
        boat=boat.name,
        pours=tuple(one.pour for one in filled),
        totals=tuple(total for total, _ in totals),
        cups=tuple(system.setting.today.cup for system in systems),
        stops=(
            *(stop for system in systems for stop in system.stops),
            *(stop for one in filled for stop in one.stops),
        ),
        cautions=findings(boat, systems, filled),
        safety=safety(situation),
        before=(*checks(situation, each), *measures(systems, filled)),
        if_then=responses(situation),
        after=last_steps(situation),
        lines=(
            *(line for system in systems for line in _system_lines(system, filled)),
            heating_pressure(),
            *(line for _, lines in totals for line in lines),
            *(line for pack in packs for line in pack.lines),
            *(line for one in moved for line in one.lines),
        ),
        foam=tuple(one.foam for one in filled),
        timetable=turns.timetable,
        packs=packs,
        sensitivity=moved,
        reach=tuple(one.reach for one in filled if one.reach is not None),
        air=tuple(one.air for one in filled if one.air is not None),
    )


def _system_lines(system: System, filled: Sequence[Filled]) -> tuple[Line, ...]:
    """The numbers of one foam system; without a cup test, the range that the sheet allows too."""
    unmeasured = system.setting.today.cup.date is None
    ranges = mass_range(system, filled) if unmeasured else ()
    return (*system.lines, time_line(system, filled), *ranges)


def nothing_to_pour(boat: Boat) -> PourPlan:
    """A boat whose cavities name no foam."""
    return PourPlan(
        boat=boat.name,
        pours=(),
        totals=(),
        cups=(),
        stops=(),
        cautions=findings(boat, (), ()),
        safety=(),
        before=(),
        if_then=(),
        after=(),
        lines=(),
        foam=(),
    )
