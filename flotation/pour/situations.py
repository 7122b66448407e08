"""What is true of a plan and of each of its cavities, and the words for the texts of cautions."""

import math
from collections.abc import Sequence

from flotation.boat import Boat, Cavity
from flotation.foamsystem import HandMixing
from flotation.pour.cautions import Fact, Situation
from flotation.pour.cavity import Filled
from flotation.pour.foam import heating_pressure
from flotation.pour.systems import System
from flotation.pour.wording import both, listed, load


def boat_situation(boat: Boat, systems: Sequence[System], filled: Sequence[Filled]) -> Situation:
    """The whole plan: what is true of any cavity is true of it, and numbers are the worst ones."""
    cavities = [boat.cavity(one.pour.cavity) for one in filled]
    by_hand = isinstance(boat.shop.mixing, HandMixing)
    facts = {Fact.ALWAYS, Fact.HAND if by_hand else Fact.MACHINE}
    for one in filled:
        facts |= _facts(boat.cavity(one.pour.cavity), one, systems)
    hottest = max(one.half_heat.value for one in filled)
    words = {
        "largest_shot": both(min(system.setting.limit.mass for system in systems), "kg"),
        "pressure": both(max(system.pressure.value for system in systems), "Pa"),
        "heating": both(heating_pressure().value, "Pa"),
        "wait": _minutes(max(system.foam.tack_free_time for system in systems)),
        "tack_free": _minutes(max(system.foam.tack_free_time for system in systems)),
        "half_heat": _hours(hottest),
        "hot_watch": _hours(max(hottest, _cool_down(filled))),
        "metal_tanks": listed(_tanks(cavities, metal=True)),
        "other_tanks": listed(_tanks(cavities, metal=False)),
        "passages": listed(["drains", "limber holes", "wire holes", *_passages(cavities)]),
        "hole_count": str(sum(len(cavity.holes) for cavity in cavities)),
    }
    return Situation("", frozenset(facts), words)


def cavity_situation(cavity: Cavity, one: Filled, systems: Sequence[System]) -> Situation:
    """One cavity that is poured."""
    passages = _passages([cavity])
    ends = f", and the open ends of {listed(passages)}" if passages else ""
    words = {
        "cavity": cavity.name,
        "passages": f"every limber, drain and wire hole{_closed(cavity)}{ends}",
        "holes": listed([f"{hole.kind} hole {hole.name}" for hole in cavity.holes]),
        "load": load(_system(one, systems).pressure.value),
        "tanks": listed([out.name for out in cavity.taken_out if out.tank is not None]),
    }
    return Situation(cavity.name, frozenset(_facts(cavity, one, systems)), words)


def _facts(cavity: Cavity, one: Filled, systems: Sequence[System]) -> set[Fact]:
    found = {
        Fact.ALWAYS: True,
        Fact.SEVERAL_LIFTS: any(lift.of > 1 for lift in one.pour.lifts),
        Fact.PRESSES: _system(one, systems).pressure.value > 0.0,
        Fact.METAL_TANK: bool(_tanks([cavity], metal=True)),
        Fact.OTHER_TANK: bool(_tanks([cavity], metal=False)),
        Fact.TANK: any(out.tank is not None for out in cavity.taken_out),
        Fact.HOLES: bool(cavity.holes),
    }
    return {fact for fact, true in found.items() if true}


def _cool_down(filled: Sequence[Filled]) -> float:
    """The longest time from a pour until its core is cool enough to be covered, s."""
    heats = (lift.heat for one in filled for lift in one.pour.lifts)
    return max((heat.cool_down for heat in heats if heat is not None), default=0.0)


def _system(one: Filled, systems: Sequence[System]) -> System:
    return next(system for system in systems if system.foam.name == one.pour.foam)


def _tanks(cavities: Sequence[Cavity], metal: bool) -> list[str]:
    """Tanks of metal; of the others only those that foam alone holds up."""
    outs = (out for cavity in cavities for out in cavity.taken_out if out.tank is not None)
    return [
        out.name
        for out in outs
        if (out.tank == "metallic" if metal else out.tank != "metallic" and out.sole_support)
    ]


def _closed(cavity: Cavity) -> str:
    """The openings that the boat file closes by name; nothing for a cavity that was drawn."""
    names = () if cavity.found is None else cavity.found.closed
    return f", here: {'; '.join(names)}" if names else ""


def _passages(cavities: Sequence[Cavity]) -> list[str]:
    names = [out.name for cavity in cavities for out in cavity.taken_out if out.tank is None]
    return list(dict.fromkeys(names))


def _minutes(value: float) -> str:
    """Rounded up to whole minutes."""
    return f"{math.ceil(value / 60.0)} min"


def _hours(value: float) -> str:
    """Rounded up to half hours."""
    return f"{math.ceil(value / 1800.0) / 2:g} h"
