"""What a plan in particular needs looked at, in its own words."""

from collections.abc import Iterator, Sequence

import numpy as np

from flotation.boat import Boat, Cavity, HoleKind
from flotation.foamsystem import HandMixing, MachineMixing
from flotation.pour.cavity import Filled
from flotation.pour.figures import figure
from flotation.pour.found import of_found
from flotation.pour.pourplan import Lift
from flotation.pour.systems import System, mass_range, time_line
from flotation.pour.wording import both, listed, percent

# Share of a cavity above its highest hole that is worth a word; less is a hole in a cambered top.
_NOTED = 0.001


def findings(boat: Boat, systems: Sequence[System], filled: Sequence[Filled]) -> tuple[str, ...]:
    """The cautions of a plan, the foam systems first, then the cavities in pouring order."""
    poured = [boat.cavity(one.pour.cavity) for one in filled]
    return (
        *(text for system in systems for text in _of_system(system, filled)),
        *_of_holes(poured),
        *_of_reach(poured),
        *of_found(poured),
        *(text for one in filled for text in _of_caught_air(one)),
        *_of_free_rise(filled),
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
            f"{foam.name}: the sheet gives no lift limit, so every cavity is planned as one lift. "
            "No limit is proposed here: ask the supplier before a thick pour."
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
    names = [
        one.name for one in poured if sum(hole.kind is HoleKind.FILL for hole in one.holes) > 1
    ]
    if names:
        yield (
            f"{listed(names)}: each layer is shared out evenly over its open fill holes, whatever "
            "part of the cavity each of them reaches."
        )


def _of_reach(poured: Sequence[Cavity]) -> Iterator[str]:
    """Cavities with parts that lie further from every fill hole than foam flows."""
    reach = figure("flow_length").value
    distances = [(cavity.name, _furthest(cavity)) for cavity in poured]
    far = [f"{name} {both(distance, 'm')}" for name, distance in distances if distance > reach]
    if far:
        yield (
            f"Foam flows about {both(reach, 'm')} to {both(1.5 * reach, 'm')} (recalled). Furthest "
            f"corner from the nearest fill hole, as the crow flies: {listed(far)}. Look for foam "
            "there, or drill another fill hole."
        )


def _furthest(cavity: Cavity) -> float:
    """Distance of the furthest corner from its nearest fill hole, m; 0 without a fill hole."""
    fill = [hole for hole in cavity.holes if hole.kind is HoleKind.FILL]
    corners = cavity.solid.vertices[np.unique(cavity.solid.faces)]
    away = [np.linalg.norm(corners - hole.at, axis=1) for hole in fill]
    return float(np.min(away, axis=0).max()) if away else 0.0


def _of_caught_air(one: Filled) -> Iterator[str]:
    caught = one.caught
    if caught is not None and caught.value > _NOTED * one.pour.volume:
        yield (
            f"{one.pour.cavity}: {both(caught.value, 'm3')} lies higher than every hole as the "
            "hull stands in its jig. Air is caught there and foam does not get in: drill a vent "
            "at the highest point, or tilt the hull."
        )


def _of_free_rise(filled: Sequence[Filled]) -> Iterator[str]:
    """What the closing lifts would do as planned if the lower ones rise freely."""
    effects = [
        f"{one.pour.cavity} "
        + (
            "has no room left for it"
            if one.free_rise.pressure is None
            else both(one.free_rise.pressure.value, "Pa")
        )
        for one in filled
        if one.free_rise is not None
    ]
    if effects:
        yield (
            "If the lower lifts rise freely to the density of the cup, the closing lift as planned "
            f"would press with: {listed(effects)}. Measure the dip before the closing lift and "
            "take its amount from the table of dips."
        )


def _of_shots(filled: Sequence[Filled], boat: Boat) -> Iterator[str]:
    """Lifts whose shots, one after another, outlast the cream time of the first."""
    slow = [
        lift
        for one in filled
        for lift in one.pour.lifts
        if len(lift.shots) > 1
        and _duration(lift, boat.shop.mixing) > boat.foam(one.pour.foam).cream_time
    ]
    if slow:
        yield (
            "These lifts take several batches or shots, and by one crew the last of them lands on "
            f"foam that has creamed: {listed([_counted(lift) for lift in slow])}. Pour them side "
            "by side with enough people, or let each one gel before the next."
        )


def _duration(lift: Lift, mixing: HandMixing | MachineMixing) -> float:
    """From the first stir to the last drop, s, one shot after another."""
    mixed = sum(shot.mass for shot in lift.shots)
    if isinstance(mixing, MachineMixing):
        return mixed / mixing.rate
    return (
        len(lift.shots) * (mixing.mixing_time + mixing.carrying_time) + mixed / mixing.pouring_rate
    )


def _counted(lift: Lift) -> str:
    return f"{lift.cavity} lift {lift.number} ({len(lift.shots)})"


def _left_empty(boat: Boat) -> Iterator[str]:
    names = [cavity.name for cavity in boat.cavities if cavity.foam is None]
    if names:
        yield f"No foam is named for {listed(names)}: left empty, and flooded when swamped."
