"""The simulated tests in the water for the page: rows, pictures to scale, reasons, righting arms.

A picture is drawn as the boat lies: the water surface is level. Millimetres on the paper, y down.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.boat import Boat
from flotation.boat_places import Point
from flotation.equilibrium.balance import tangents
from flotation.geometry.shapes_outline import outline_along
from flotation.geometry.solid import Solid
from flotation.report.printing import both, plain, si
from flotation.swamped.assessment import (
    Assessment,
    Contribution,
    Explanation,
    Outcome,
    Trial,
    Verdict,
)
from flotation.swamped.trials.curves import ArmCurve
from flotation.workings import Mark

Floats = NDArray[np.float64]
Segment = dict[str, object]
Shadows = Sequence[tuple[str, tuple[Floats, ...]]]

_SIDE, _END = 106.0, 62.0  # mm of the two pictures across the page
_HEIGHT = 58.0
_EDGE = 3.0
_AIR = 0.25  # m of air above the highest and water under the lowest point
_MOST_REASONS = 10
_PLOT = (150.0, 62.0)  # mm
_ARM_STEPS = (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0)  # m
_ARM_TICKS = 4
_RAY = 0.6  # m, the length of an upright
_ON_END = 0.1  # of a boat that stands on its end no upright is drawn
_OUTCOMES = {
    Outcome.FLOATS: "",
    Outcome.TURTLE: "floats bottom up",
    Outcome.SINKS: "sinks",
}


def trials_data(
    boat: Boat, assessment: Assessment, curves: Sequence[ArmCurve]
) -> dict[str, object]:
    """Everything that `attitudes.typ` lays out; empty lists where nothing was simulated."""
    return {
        "trials": [
            {**_row(trial), "pictures": _pictures(boat, trial)} for trial in assessment.trials
        ],
        "remember": assessment.remember,
        "explanations": [_explanation(told) for told in assessment.explanations],
        "mending": list(assessment.mending),
        "curves": _plot(curves) if curves else None,
    }


def _row(trial: Trial) -> dict[str, object]:
    return {
        "name": trial.name,
        "meets": trial.meets,
        "decides": all(verdict.decides for verdict in trial.verdicts),
        "outcome": _OUTCOMES[trial.outcome],
        "heel": _angle(trial.heel),
        "limit": next((si(v.required, v.unit, 3) for v in trial.verdicts if v.unit == "rad"), ""),
        "recalled": any(v.criterion.source.mark is Mark.RECALLED for v in trial.verdicts),
        "trim": _angle(trial.trim),
        "forward": both(trial.forward_depth, "m", 3),
        "aft": both(trial.aft_depth, "m", 3),
        "stiffness": (
            "—" if trial.heel_stiffness is None else f"{plain(trial.heel_stiffness, 3)} N m/deg"
        ),
        "gm": both(trial.gm_transverse, "m", 3),
        "foam": (
            ""
            if trial.foam_under_water is None
            else f"{plain(100.0 * trial.foam_under_water, 3)} % of the foam is under water"
        ),
        "assumed": trial.assumed,
        "notes": list(trial.notes),
        "verdicts": [_verdict(verdict) for verdict in trial.verdicts],
        "tried": [
            {
                "words": one.words,
                "outcome": _OUTCOMES[one.outcome],
                "heel": _angle(one.heel),
                "trim": _angle(one.trim),
                "forward": both(one.forward_depth, "m", 3)["si"],
                "aft": both(one.aft_depth, "m", 3)["si"],
            }
            for one in trial.tried
        ],
    }


def _verdict(verdict: Verdict) -> dict[str, object]:
    return {
        "name": verdict.name.rpartition(": ")[2].rpartition(", ")[2],
        "sentence": verdict.sentence,
        "meets": verdict.meets,
        "decided": verdict.decided,
        "required": si(verdict.required, verdict.unit, 3),
        "margin": si(verdict.margin, verdict.unit, 3),
        "source": str(verdict.criterion.source),
    }


def _angle(value: float | None) -> str:
    return "—" if value is None else si(round(value, 5), "rad", 3)


def _explanation(told: Explanation) -> dict[str, object]:
    """The pieces that do most, then the rest together."""
    most = told.contributions[:_MOST_REASONS]
    rest = told.contributions[_MOST_REASONS:]
    rows = [
        [
            one.item,
            one.kind,
            *(plain(x, 3) for x in (one.weight_moment, one.lift_moment, one.moment)),
        ]
        for one in most
    ]
    if rest:
        rows.append([f"{len(rest)} more", "", *_moments(rest)])
    return {"trial": told.trial, "sentence": told.sentence, "rows": rows}


def _moments(some: Sequence[Contribution]) -> list[str]:
    """Of their weight, of their lift, of both."""
    weight = math.fsum(one.weight_moment for one in some)
    lift = math.fsum(one.lift_moment for one in some)
    return [plain(value, 3) for value in (weight, lift, weight + lift)]


@dataclass(frozen=True)
class _View:
    """A way to look at a boat as it lies: right and up on the page, and where the water is.

    scale  mm on the paper for a metre; height: of the picture, mm
    """

    across: Floats
    up: Floats
    offset: float
    scale: float
    low: Floats
    height: float

    def at(self, point: Point) -> list[float]:
        """Millimetres on the paper, y down from the surface."""
        return self.on_paper(self.seen(point))

    def seen(self, point: Point) -> Floats:
        """Metres to the right, and up from the surface."""
        position = np.array(point)
        return np.array([self.across @ position, self.up @ position - self.offset])

    def on_paper(self, seen: Floats) -> list[float]:
        x, y = (seen - self.low) * self.scale
        return [round(float(x) + _EDGE, 2), round(self.height - _EDGE - float(y), 2)]


def _pictures(boat: Boat, trial: Trial) -> list[dict[str, object]]:
    """From starboard and from aft, to one scale; nothing for a boat that sinks."""
    if trial.normal is None or trial.offset is None:
        return []
    forward, port = tangents(np.array(trial.normal))
    up = np.array(trial.normal)
    solids = _solids(boat)
    shadows = [
        [(style, outline_along(solid, across, up)) for style, solid in solids]
        for across in (forward, -port)
    ]
    bounds = [_bounds(rings, trial.offset) for rings in shadows]
    scale = min(
        *((_HEIGHT - 2 * _EDGE) / float(high[1] - low[1]) for low, high in bounds),
        (_SIDE - 2 * _EDGE) / float(bounds[0][1][0] - bounds[0][0][0]),
        (_END - 2 * _EDGE) / float(bounds[1][1][0] - bounds[1][0][0]),
    )
    height = max(float(high[1] - low[1]) for low, high in bounds) * scale + 2 * _EDGE
    views = [
        _View(across, up, trial.offset, scale, low, height)
        for across, (low, _) in zip((forward, -port), bounds, strict=True)
    ]
    return [
        _picture(boat, trial, view, rings, width, end=end)
        for view, rings, width, end in zip(
            views, shadows, (_SIDE, _END), (False, True), strict=True
        )
    ]


def _solids(boat: Boat) -> list[tuple[str, Solid]]:
    """What is drawn, with the style of its outline: the hull if it is drawn, and the cavities."""
    hull = [] if boat.intact_hull is None else [("hull", boat.intact_hull.solid)]
    cavities = [
        ("empty" if cavity.foam is None else "dark", cavity.solid) for cavity in boat.cavities
    ]
    return [*hull, *cavities]


def _bounds(
    shadows: Sequence[tuple[str, tuple[Floats, ...]]], offset: float
) -> tuple[Floats, Floats]:
    points = np.concatenate([ring for _, rings in shadows for ring in rings]) - (0.0, offset)
    low, high = points.min(axis=0), points.max(axis=0)
    return np.minimum(low, (low[0], 0.0)) - _AIR, np.maximum(high, (high[0], _RAY)) + _AIR


def _picture(
    boat: Boat,
    trial: Trial,
    view: _View,
    shadows: Shadows,
    width: float,
    *,
    end: bool,
) -> dict[str, object]:
    surface = view.on_paper(np.array([0.0, 0.0]))[1]
    return {
        "title": "from aft" if end else "from starboard, bow to the right",
        "width": width,
        "height": round(view.height, 2),
        "water": surface,
        "outlines": [
            {
                "style": style,
                "rings": [
                    [view.on_paper(point - (0.0, view.offset)) for point in ring] for ring in rings
                ],
            }
            for style, rings in shadows
        ],
        "weights": [view.at(weight.at) for weight in boat.weights],
        "loads": [{"name": one.name, "at": view.at(one.at)} for one in trial.loads],
        "tops": []
        if boat.top is None
        else [view.at(p) for p in (*boat.top.forward, *boat.top.aft)],
        "limits": _heel_limit(boat, trial, view) if end else _depth_limit(boat, trial, view),
        "metre": round(view.scale, 2),
    }


def _segment(kind: str, start: Sequence[float], end: Sequence[float], label: str = "") -> Segment:
    return {"kind": kind, "from": list(start), "to": list(end), "label": label}


def _depth_limit(boat: Boat, trial: Trial, view: _View) -> list[Segment]:
    """How deep the deeper reference area may lie: a line along each area."""
    deep = [verdict for verdict in trial.verdicts if verdict.name.endswith("deeper end")]
    if boat.top is None or not deep:
        return []
    limit = deep[0].required
    found = []
    labels = ("", f"at most {si(limit, 'm', 3)} deep")
    for points, label in zip((boat.top.forward, boat.top.aft), labels, strict=True):
        seen = [view.seen(point)[0] for point in points]
        start, end = (view.on_paper(np.array([x, -limit])) for x in (min(seen), max(seen)))
        found.append(_segment("limit", start, end, label))
    return found


def _heel_limit(boat: Boat, trial: Trial, view: _View) -> list[Segment]:
    """The boat's own upright and how far it may lean to either side."""
    heel = [verdict for verdict in trial.verdicts if verdict.name.endswith("heel")]
    if not heel or trial.normal is None or trial.offset is None or abs(trial.normal[2]) < _ON_END:
        return []
    x = 0.5 * boat.length
    middle = (x, 0.0, (trial.offset - trial.normal[0] * x) / trial.normal[2])
    foot = view.seen(middle)
    upright = view.seen((middle[0], middle[1], middle[2] + _RAY)) - foot
    found = [_segment("axis", view.on_paper(foot), view.on_paper(foot + upright))]
    limit = heel[0].required
    for side in (1.0, -1.0):
        tip = foot + _RAY * np.array([math.sin(side * limit), math.cos(limit)])
        found.append(_segment("limit", view.on_paper(foot), view.on_paper(tip)))
    found[-1]["label"] = f"at most {si(limit, 'rad', 3)}"
    return found


def _plot(curves: Sequence[ArmCurve]) -> dict[str, object]:
    """Righting arms over heel: axes, curves and limits in millimetres, y down."""
    width, height = _PLOT
    reach = max(max(abs(heel) for heel in curve.heels) for curve in curves)
    most = max(max(abs(arm) for arm in curve.arms) for curve in curves)
    step = next((one for one in _ARM_STEPS if most / one <= _ARM_TICKS), _ARM_STEPS[-1])
    top = step * math.ceil(most / step)

    def at(heel: float, arm: float) -> list[float]:
        return [
            round(0.5 * width * (1.0 + heel / reach), 2),
            round(0.5 * height * (1.0 - arm / top), 2),
        ]

    ticks = range(-int(math.degrees(reach)), int(math.degrees(reach)) + 1, 30)
    count = round(top / step)
    return {
        "width": width,
        "height": height,
        "curves": [
            {
                "name": curve.name,
                "points": [at(*pair) for pair in zip(curve.heels, curve.arms, strict=True)],
            }
            for curve in curves
        ],
        "heels": [[at(math.radians(tick), 0.0)[0], f"{plain(tick)}°"] for tick in ticks],
        "arms": [
            [at(0.0, step * n)[1], f"{plain(round(step * n, 6))} m"]
            for n in range(-count, count + 1)
        ],
        "limits": [at(side * curves[0].limit, 0.0)[0] for side in (-1.0, 1.0)],
        "limit": si(curves[0].limit, "rad", 3),
    }
