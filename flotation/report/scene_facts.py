"""What the page that looks inside a boat tells beside its picture: rows, tests, places."""

from collections.abc import Iterable, Sequence

import numpy as np

from flotation.boat import Boat, Cavity
from flotation.boat_places import Point
from flotation.equilibrium.balance import tangents
from flotation.pour.pourplan import PourPlan
from flotation.report.inputs import cavity_numbers, foam_rows
from flotation.report.printing import NOT_STATED, both, few_digits, plain, si
from flotation.swamped.assessment import Assessment, Outcome, Trial, Verdict

Row = dict[str, object]

_OUTCOMES = {
    Outcome.FLOATS: "floats",
    Outcome.TURTLE: "floats bottom up",
    Outcome.SINKS: "sinks",
}


def place(point: Iterable[float]) -> list[float]:
    """A point with the digits that are the same on every machine."""
    return [few_digits(float(value)) for value in point]


def said(numbers: dict[str, str]) -> str:
    """A number in both systems: "12 kg (26.5 lb)"."""
    return f"{numbers['si']} ({numbers['us']})" if numbers["us"] else numbers["si"]


def foam_names(boat: Boat) -> list[str]:
    """Each foam that stands in a cavity, in the order of the boat file."""
    used = {cavity.foam for cavity in boat.cavities}
    return [foam.name for foam in boat.foams if foam.name in used]


def cavity_facts(boat: Boat, plan: PourPlan, assessment: Assessment) -> list[Row]:
    """Each cavity with its numbers as text, and its holes."""
    numbers = cavity_numbers(boat, assessment)
    foamed = {row["cavity"]: row for row in foam_rows(plan, assessment)}
    lifts = {lift.cavity: said(both(lift.net_lift, "kg")) for lift in assessment.cavities}
    return [
        _cavity(cavity, numbers[cavity.name], foamed.get(cavity.name), lifts.get(cavity.name))
        for cavity in boat.cavities
    ]


def _cavity(cavity: Cavity, number: str, foamed: Row | None, lift: str | None) -> Row:
    row = foamed or {}
    return {
        "number": number,
        "name": cavity.name,
        "group": cavity.group,
        "foam": cavity.foam or "",
        "volume": said(both(cavity.solid.volume, "m3")),
        "gross": said(both(cavity.gross_volume, "m3")),
        "filled": _told(row.get("volume")),
        "mass": _told(row.get("mass")),
        "density": _told(row.get("density")),
        "a": _told(row.get("a")),
        "b": _told(row.get("b")),
        "lift": lift or "none, flooded",
        "hold_down": said(both(cavity.hold_down, "N")),
        "at": place(cavity.solid.centroid),
        "centre": _where(cavity.solid.centroid.tolist()),
        "holes": [
            {
                "name": hole.name,
                "kind": str(hole.kind.value),
                "at": place(hole.at),
                "radius": few_digits(0.5 * hole.diameter),
                "diameter": said(both(hole.diameter, "m")),
                "where": _where(hole.at),
            }
            for hole in cavity.holes
        ],
    }


def _told(numbers: object) -> str:
    return said(numbers) if isinstance(numbers, dict) else NOT_STATED


def _where(at: Sequence[float]) -> str:
    """x, y, z in m, to the millimetre."""
    return ", ".join(plain(round(float(x), 3) + 0.0, 4) for x in at)


def weight_facts(boat: Boat) -> list[Row]:
    """The weight list, numbered as the lines of the calculation number it."""
    return [
        {
            "number": f"w{count}",
            "name": weight.item,
            "role": str(weight.role.value),
            "material": weight.material.name if weight.material else NOT_STATED,
            "mass": said(both(weight.mass, "kg")),
            "at": place(weight.at),
            "where": _where(weight.at),
        }
        for count, weight in enumerate(boat.weights, start=1)
    ]


def centre_facts(assessment: Assessment) -> list[Row]:
    """Where all lift and all weight of the general method act; nothing where one is missing."""
    balance = assessment.balance
    if balance is None:
        return []
    pairs = (
        ("L", "Lift, wholly under water", balance.lift, balance.lift_centre),
        ("W", "Weight under water", balance.weight, balance.weight_centre),
    )
    return [_centre(letter, name, at, said(both(mass, "kg"))) for letter, name, mass, at in pairs]


def _centre(letter: str, name: str, at: Point, amount: str) -> Row:
    return {
        "letter": letter,
        "name": name,
        "amount": amount,
        "at": place(at),
        "where": _where(at),
    }


def trial_facts(trial: Trial) -> Row:
    """A simulated test: how the boat lies, what is aboard, how far within each limit."""
    return {
        "name": trial.name,
        "outcome": _OUTCOMES[trial.outcome],
        "meets": trial.meets,
        "heel": _angle(trial.heel),
        "trim": _angle(trial.trim),
        "forward": said(both(trial.forward_depth, "m", 3)),
        "aft": said(both(trial.aft_depth, "m", 3)),
        "assumed": trial.assumed,
        "facts": [[name, value] for name, value in _numbers(trial) if value],
        "limits": [_limit(verdict) for verdict in trial.verdicts],
        "notes": list(trial.notes),
        "lies": _lies(trial),
        "loads": [
            {
                "name": load.name,
                "at": place(load.at),
                "mass": said(both(load.mass, "kg")),
                "where": _where(load.at),
            }
            for load in trial.loads
        ],
        "centres": _trial_centres(trial),
    }


def _numbers(trial: Trial) -> tuple[tuple[str, str], ...]:
    share = trial.foam_under_water
    depths = ((trial.forward_depth, "forward"), (trial.aft_depth, "aft"))
    return (
        ("Heel, + to starboard", _angle(trial.heel)),
        ("Trim, + bow up", _angle(trial.trim)),
        *(
            (f"Depth {end}, + under water", said(both(depth, "m", 3)))
            for depth, end in depths
            if depth is not None
        ),
        ("Foam under water", "" if share is None else f"{plain(100.0 * share, 3)} %"),
        ("Short of lift by", said(both(trial.lacking, "kg")) if trial.lacking else ""),
        ("Assumed", trial.assumed),
    )


def _angle(value: float | None) -> str:
    return "" if value is None else si(round(value, 5), "rad", 3)


def _limit(verdict: Verdict) -> Row:
    return {
        "name": verdict.name.rpartition(": ")[2].rpartition(", ")[2],
        "sentence": verdict.sentence,
        "meets": verdict.meets,
        "decided": verdict.decided,
        "source": str(verdict.criterion.source),
    }


def _lies(trial: Trial) -> Row | None:
    """The boat's axes in a level frame: rows forward, port and up, and the height of the water.

    None for a boat that sinks: it comes to rest nowhere.
    """
    if trial.normal is None or trial.offset is None:
        return None
    up = np.array(trial.normal)
    forward, port = tangents(up)
    return {
        "forward": place(forward),
        "port": place(port),
        "up": place(up),
        "water": few_digits(trial.offset),
    }


def _trial_centres(trial: Trial) -> list[Row]:
    pairs = (
        ("G", "Centre of gravity", trial.centre_of_gravity),
        ("B", "Centre of buoyancy", trial.centre_of_buoyancy),
    )
    mass = said(both(trial.mass, "kg"))
    return [_centre(letter, name, at, mass) for letter, name, at in pairs if at is not None]
