"""Heat and pressure of a plan for a terminal: a line or two for each cavity."""

from collections.abc import Iterator

from flotation.pour.effects import Heat, Pressing
from flotation.pour.pourplan import CavityPour, PourPlan
from flotation.report.printing import si, us
from flotation.report.terminal import item, wrapped

_MINUTES, _HOURS = 60.0, 3600.0


def effects_parts(plan: PourPlan) -> list[str]:
    """One item of heat and pressure for each cavity, one for each of its panels."""
    said: dict[str, list[str]] = {}
    for pour in plan.pours:
        for text in _of_cavity(pour):
            said.setdefault(text, []).append(pour.cavity)
    if not said:
        return []
    head = (
        "Heat where the foam is thickest, after the closing lift, and pressure if the vents have "
        "gelled shut; estimates:"
    )
    lines = [item(f"{', '.join(names)}: {text}") for text, names in said.items()]
    return ["", wrapped(head), *lines]


def _of_cavity(pour: CavityPour) -> Iterator[str]:
    """What is said of it; cavities of which the same is said share a line."""
    said = []
    heat = pour.lifts[-1].heat
    if heat is not None:
        said.append(_heat(heat))
    if pour.pressing is not None:
        said.append(_pressure(pour.pressing))
    if said:
        yield "; ".join(said)
    if pour.pressing is not None:
        yield from _panels(pour.pressing)


def _heat(heat: Heat) -> str:
    low, high = (
        f"{si(end, 'K', 3)} ({us(end, 'K', 3)})" for end in (heat.peak_low, heat.peak_high)
    )
    above = f", above {si(heat.core_limit, 'K')} for up to {_time(heat.above_limit)}"
    return (
        f"core {low} to {high}, by the {heat.basis}{above if heat.above_limit > 0.0 else ''}, "
        f"below {si(heat.cool_to, 'K')} after {_time(heat.cool_down)}"
    )


def _pressure(pressing: Pressing) -> str:
    return (
        f"presses with {si(pressing.packing_pressure, 'Pa', 2)}, "
        f"with heating {si(pressing.pressure, 'Pa', 2)}"
    )


def _panels(pressing: Pressing) -> Iterator[str]:
    for panel in pressing.panels:
        beside = [
            si(value, unit, 2) + ("" if limit is None else f" of {si(limit, unit, 2)}")
            for value, limit, unit in (
                (panel.deflection, panel.deflection_limit, "m"),
                (panel.stress, panel.strength, "Pa"),
                (panel.edge_load, panel.peel_strength, "N/m"),
            )
        ]
        yield (
            f"panel {panel.panel} bends {beside[0]}, stress {beside[1]}, flange "
            f"{beside[2]}{'' if panel.within else ': too much, see below'}"
        )


def _time(seconds: float) -> str:
    if seconds < 2.0 * _HOURS:
        return f"{seconds / _MINUTES:.0f} min"
    return f"{seconds / _HOURS:.1f} h"
