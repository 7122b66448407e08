"""plan_pours: from a boat to its pour plan."""

from collections.abc import Sequence

from flotation.boat import Boat
from flotation.pour.cautions import checks, last_steps, responses, safety
from flotation.pour.cavity import Filled, fill_cavity
from flotation.pour.findings import findings
from flotation.pour.foam import heating_pressure
from flotation.pour.lifts import up_in_jig
from flotation.pour.measures import measures
from flotation.pour.order import in_pouring_order
from flotation.pour.pourplan import PourPlan
from flotation.pour.situations import boat_situation, cavity_situation
from flotation.pour.systems import System, mass_range, order_total, systems_of, time_line
from flotation.pour.widest import Widest
from flotation.workings import Line


def plan_pours(boat: Boat) -> PourPlan:
    """Which cavities, how much foam, through which holes, in which order?

    boat   as `read_boat` gives it
    Returns a PourPlan. Where something stops the pour, the plan says so in `stops` and still
    carries its numbers for the engineer.

    mass = volume * cup test * (minimum fill / free rise) * overpack, the overpack for the closing
    lift only; mixed = mass / (1 - waste). Definitions of minimum fill and overpack: polyurethane
    moulding patent, read. Cavities that name no foam are left out.
    """
    systems = systems_of(boat)
    settings = {system.foam.name: system.setting for system in systems}
    widest = Widest(up_in_jig(boat.jig))
    filled = in_pouring_order(
        [
            fill_cavity(cavity, settings[cavity.foam], boat.jig, boat.water, widest)
            for cavity in boat.cavities
            if cavity.foam is not None
        ]
    )
    if not filled:
        return _nothing_to_pour(boat)
    situation = boat_situation(boat, systems, filled)
    each = [cavity_situation(boat.cavity(one.pour.cavity), one, systems) for one in filled]
    totals = [order_total(system, filled) for system in systems]
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
        ),
        foam=tuple(one.foam for one in filled),
    )


def _system_lines(system: System, filled: Sequence[Filled]) -> tuple[Line, ...]:
    """The numbers of one foam system; without a cup test, the range that the sheet allows too."""
    unmeasured = system.setting.today.cup.date is None
    ranges = mass_range(system, filled) if unmeasured else ()
    return (*system.lines, time_line(system, filled), *ranges)


def _nothing_to_pour(boat: Boat) -> PourPlan:
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
