"""What a plan in particular needs looked at, in its own words."""

from collections.abc import Iterator, Sequence

from flotation.boat import Boat, Cavity, HoleKind
from flotation.pour.air import NOTED
from flotation.pour.cavity import Filled
from flotation.pour.figures import figure
from flotation.pour.findings_effects import of_effects
from flotation.pour.found import of_found
from flotation.pour.outlook import LiftBound
from flotation.pour.pourplan import Lift
from flotation.pour.reached import CavityReach
from flotation.pour.systems import System, mass_range, time_line
from flotation.pour.wording import both, listed, percent, place

# s, by which rounding alone may put a last drop behind the cream time.
_A_MOMENT = 1e-6
_MORE_HANDS = {
    LiftBound.MASS: "Ask the supplier whether more may go into one lift.",
    LiftBound.BATCH: "More people, larger batches or more fill holes make fewer lifts.",
    LiftBound.CREAM: "More fill holes, less way to carry or a slower system make fewer lifts.",
    LiftBound.MACHINE: "More fill holes, a faster machine or a slower system make fewer lifts.",
}
_BY_MASS = frozenset(_MORE_HANDS)


def findings(boat: Boat, systems: Sequence[System], filled: Sequence[Filled]) -> tuple[str, ...]:
    """The cautions of a plan, the foam systems first, then the cavities in pouring order."""
    poured = [boat.cavity(one.pour.cavity) for one in filled]
    return (
        *(text for system in systems for text in _of_system(system, filled)),
        *_of_holes(poured),
        *(text for one in filled for text in _of_reach(one)),
        *of_found(poured),
        *(text for one in filled for text in _of_caught_air(one)),
        *of_effects(boat, systems, filled),
        *_of_division(systems, filled),
        *_of_shots(filled, boat),
        *_left_empty(boat),
    )


def _of_system(system: System, filled: Sequence[Filled]) -> Iterator[str]:
    foam = system.foam
    if system.setting.today.cup.date is None:
        least, most = mass_range(system, filled)
        yield (
            f"{foam.name}: no cup test is entered. The quantities follow the sheet's "
            f"{both(foam.free_rise_density, 'kg/m3')}; within the sheet's limits the mass to mix "
            f"may be {both(least.value, 'kg')} to {both(most.value, 'kg')}. Make a cup test at "
            "the shop's temperature and take the row of the ladder."
        )
    yield from _of_expansion(system)
    if foam.lift_limit is None:
        yield (
            f"{foam.name}: the sheet gives no lift limit, so no cavity is divided for its "
            "thickness. No limit is proposed here: ask the supplier before a thick pour."
        )
    if foam.mix_tolerance is None:
        yield (
            f"{foam.name}: the sheet gives no tolerance of the mix ratio; the usual "
            f"{percent(figure('ratio_tolerance').value)} is used (common practice, no source)."
        )
    yield from _of_warm_cream(system, filled)


def _of_expansion(system: System) -> Iterator[str]:
    """A stated expansion ratio that the sheet's own densities do not bear out."""
    _, most, least, *meant = system.expansion
    stated = system.foam.expansion_ratio
    if stated is None or least.value <= stated <= most.value:
        return
    yield (
        f"{system.foam.name}: the stated expansion of {stated:g}:1 would mean "
        f"{both(meant[0].value, 'kg/m3')}, which disagrees with the sheet's densities "
        f"({least.value:.1f}:1 to {most.value:.1f}:1 by mass balance). The quantities follow the "
        "densities; ask the supplier."
    )


def _of_warm_cream(system: System, filled: Sequence[Filled]) -> Iterator[str]:
    if system.warm_cream is None:
        return
    needed = time_line(system, filled).value
    if needed > system.warm_cream.value:
        yield (
            f"{system.foam.name}: the largest batch or shot needs {both(needed, 's')}, and with "
            "the liquids as warm as they may be the foam may cream after "
            f"{both(system.warm_cream.value, 's')} (10 °C warmer halves the time; recalled, "
            "compare with the sheet). Time the cream in the day's cup test before the first batch."
        )


def _of_holes(poured: Sequence[Cavity]) -> Iterator[str]:
    for kind, lacking in (
        (HoleKind.FILL, "the sheet cannot say where to pour"),
        (HoleKind.VENT, "air leaves only through the fill holes"),
    ):
        names = [one.name for one in poured if not any(hole.kind is kind for hole in one.holes)]
        if names:
            yield f"No {kind} hole is stated for {listed(names)}: {lacking}."


def _of_reach(one: Filled) -> Iterator[str]:
    """What foam does not get to, what that costs, and where a further hole would help."""
    reach = one.reach
    if reach is None or reach.unreached <= NOTED * one.pour.volume:
        return
    if reach.stated and not reach.counted:  # crumbs at edges, none of them a thousandth
        return
    share = percent(reach.unreached / (one.pour.volume + reach.counted * reach.unreached))
    first = (
        f"{one.pour.cavity}: foam that flows {both(reach.flow_length, 'm')} along the cavity does "
        f"not get to {both(reach.unreached, 'm3')} of it, {share}"
    )
    price = f"{both(reach.lost_lift, 'kg')} of lift"
    if reach.stated:
        then = f". That counts as flooded, {price}, and no foam is planned for it. "
    else:
        then = (
            f", {price}. The flow length is recalled, not stated, so it is filled on paper all "
            "the same: enter flow_length from the sheet or from a test. "
        )
    yield first + then + _holes_that_help(reach)


def _holes_that_help(reach: CavityReach) -> str:
    if not reach.proposed:
        return "No place on its top that may be drilled reaches more: look for another way in."
    count = len(reach.proposed)
    fewest = ", the fewest of the places tried" if count == reach.least_possible else ""
    most = f" (no fewer than {reach.least_possible} will do)" if not fewest else ""
    holes = listed([place(hole.at) for hole in reach.proposed])
    rest = (
        ""
        if reach.still_unreached <= NOTED * max(reach.unreached, reach.holes_volume)
        else f"; {both(reach.still_unreached, 'm3')} stay out of reach"
    )
    noun = "fill hole" if count == 1 else "fill holes"
    return f"{count} further {noun}{fewest}{most}: {holes}{rest}."


def _of_caught_air(one: Filled) -> Iterator[str]:
    """Air that stays, what that means, and where a vent would let it out."""
    air = one.air
    if air is None or not air.counted:
        return
    where = listed([f"lift {part.number} {both(part.volume, 'm3')}" for part in air.by_lift])
    several = f" ({where})" if len(air.by_lift) > 1 else ""
    vents = listed(
        [
            place(vent.at) + ("" if vent.drillable else ", where no place is free to drill")
            for vent in air.proposed
        ]
    )
    left = (
        f", which leaves {both(air.still_caught, 'm3')}"
        if air.still_caught > NOTED * one.pour.volume
        else ""
    )
    noun = "a vent" if len(air.proposed) == 1 else "vents"
    mend = f"drill {noun} at {vents}{left}; or tilt the hull" if vents else "tilt the hull"
    yield (
        f"{one.pour.cavity}: {both(air.caught, 'm3')} lies higher than every hole that is still "
        f"open{several} as the hull stands in its jig. Air is caught there: no foam is planned for "
        f"it and it counts as flooded. To fill it, {mend}."
    )


def _of_division(systems: Sequence[System], filled: Sequence[Filled]) -> Iterator[str]:
    """Cavities with more lifts than the sheet's thickness asks for, and what decides that."""
    for system in systems:
        found = [
            f"{one.pour.cavity} ({one.pour.lifts[-1].of})"
            for one in filled
            if one.pour.foam == system.foam.name and one.pour.decides in _BY_MASS
        ]
        if found:
            capacity = system.setting.capacity
            yield (
                f"{system.foam.name}: one hole takes at most {both(capacity.mass, 'kg')} in one "
                f"lift ({capacity.decides}), so these cavities are poured in more lifts than the "
                f"sheet's thickness asks for: {listed(found)}. {_MORE_HANDS[capacity.decides]}"
            )


def _of_shots(filled: Sequence[Filled], boat: Boat) -> Iterator[str]:
    """Lifts whose last batch lands on foam that has creamed."""
    slow = [
        lift
        for one in filled
        for lift in one.pour.lifts
        if len(lift.shots) > 1
        and lift.end - lift.start > boat.foam(one.pour.foam).cream_time + _A_MOMENT
    ]
    if slow:
        yield (
            "These lifts take several batches or shots, and with this crew the last of them lands "
            f"on foam that has creamed: {listed([_counted(lift) for lift in slow])}. Pour them "
            "side by side with more people, or let each one gel before the next."
        )


def _counted(lift: Lift) -> str:
    return f"{lift.cavity} lift {lift.number} ({len(lift.shots)})"


def _left_empty(boat: Boat) -> Iterator[str]:
    names = [cavity.name for cavity in boat.cavities if cavity.foam is None]
    if names:
        yield f"No foam is named for {listed(names)}: left empty, and flooded when swamped."
