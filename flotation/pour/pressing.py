"""How hard the foam in a cavity presses, on its panels and its lid, and how the air gets out."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from flotation.boat import Cavity, Hole, HoleKind
from flotation.boat_places import Point
from flotation.geometry.shapes_outline import outline_along
from flotation.geometry.solid import Solid
from flotation.pour.effects import FreeLowerLifts, Pressing
from flotation.pour.figures import figure
from flotation.pour.foam import closing_pressure, heating_pressure, stated
from flotation.pour.limits import Setting
from flotation.pour.panels import load_on
from flotation.workings import COMMON_PRACTICE, COMPUTED, Line, Mark, Source, Term, work_out

_QUARTER_PI = "0.7853981633974483"
_DETAIL = 1e-6  # m, so that mirrored cavities have the same shadow
_ORIFICE = Source("flow of air through a sharp-edged hole", mark=Mark.COMPUTED)


@dataclass(frozen=True)
class Pressed:
    """What presses on a cavity.

    up          straight up in the jig
    fullest     m3 of foam that its largest layer, or part of a layer, makes through one hole
    lower_free  what the closing layer meets if the lower ones rise freely; None: a single layer
    """

    cavity: Cavity
    up: Point
    fullest: float
    lower_free: FreeLowerLifts | None


def pressing_of(pressed: Pressed, setting: Setting) -> Pressing:
    """How hard the foam presses, and how the air gets out of its way.

    Pressure is the ideal gas law's for the closing layer as planned, with what heating after gel
    adds: an estimate for vents that have gelled shut and no bound. Panels are those that the boat
    file describes.
    """
    cavity = pressed.cavity
    packing, heating = closing_pressure(setting.today), heating_pressure()
    pressure = work_out(
        f"{cavity.name}: pressure with heating, vents gelled shut",
        "packing_pressure + heating_pressure",
        [packing.term("packing_pressure"), heating.term("heating_pressure")],
        unit="Pa",
        source=COMPUTED,
        note="Estimate, no bound.",
    )
    minimum = setting.today.minimum_fill.term("minimum_fill")
    panels = [
        load_on(panel, cavity.name, pressure.term("pressure"), heating.term("heating"), minimum)
        for panel in cavity.panels
    ]
    uplift = _uplift(pressed, pressure)
    air = _air(pressed, setting)
    return Pressing(
        packing_pressure=packing.value,
        heating_pressure=heating.value,
        pressure=pressure.value,
        panels=tuple(panel.load for panel in panels),
        uplift=uplift.value,
        hold_down=cavity.hold_down,
        open_area=air.open_area,
        fill_area=air.fill_area,
        air_pressure=air.pressure,
        lower_free=pressed.lower_free,
        lines=(pressure, *(line for panel in panels for line in panel.lines), uplift, *air.lines),
    )


def area_above(solid: Solid, up: Point) -> float:
    """m2 of the solid's shadow, seen from above: on so much of a lid its foam presses.

    up  (3,) unit direction
    What stands inside a cavity is pressed up and down alike and does not count. Exact but for the
    detail of an outline.
    """
    upward = np.asarray(up, dtype=float)
    across = np.cross(upward, np.eye(3)[np.abs(upward).argmin()])
    across /= np.linalg.norm(across)
    rings = outline_along(solid, across, np.cross(upward, across), detail=_DETAIL)
    return math.fsum(
        0.5 * float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))
        for x, y in (ring.T for ring in rings)
    )


def _uplift(pressed: Pressed, pressure: Line) -> Line:
    return work_out(
        f"{pressed.cavity.name}: force that lifts what is above the foam",
        "pressure * lid_area",
        [
            pressure.term("pressure"),
            Term(
                "lid_area",
                area_above(pressed.cavity.solid, pressed.up),
                "m2",
                Source("outline of the cavity, seen from above", mark=Mark.COMPUTED),
            ),
        ],
        unit="N",
        source=COMPUTED,
    )


@dataclass(frozen=True)
class _Air:
    """Areas of holes, m2, and the pressure that pushes air through them, Pa."""

    open_area: float
    fill_area: float
    pressure: float | None
    lines: tuple[Line, ...]


def _air(pressed: Pressed, setting: Setting) -> _Air:
    """Foam goes in through the widest fill hole; air leaves through all the others."""
    cavity = pressed.cavity
    fills = [hole for hole in cavity.holes if hole.kind is HoleKind.FILL]
    if not fills:
        return _Air(0.0, 0.0, None, ())
    widest = max(fills, key=lambda hole: hole.diameter)
    fill = _area(f"{cavity.name}: area of its widest fill hole", [widest], cavity)
    others = [hole for hole in cavity.holes if hole is not widest]
    if not others:
        return _Air(0.0, fill.value, None, (fill,))
    free = _area(f"{cavity.name}: area that stays open for air", others, cavity)
    flow, pressure = _flow(pressed, free, setting)
    return _Air(free.value, fill.value, pressure.value, (fill, free, flow, pressure))


def _area(label: str, holes: Sequence[Hole], cavity: Cavity) -> Line:
    symbols = [f"hole_{i}" for i in range(1, len(holes) + 1)]
    squares = " + ".join(f"{symbol} ** 2" for symbol in symbols)
    return work_out(
        label,
        f"{_QUARTER_PI} * ({squares})",
        [
            Term(symbol, hole.diameter, "m", Source(cavity.entry, f"hole {hole.name}", "",
                                                    Mark.STATED))
            for symbol, hole in zip(symbols, holes, strict=True)
        ],
        unit="m2",
        source=COMMON_PRACTICE,
        note="Common practice: what stays open is at least as large as the hole foam goes through.",
    )  # fmt: skip


def _flow(pressed: Pressed, free: Line, setting: Setting) -> tuple[Line, Line]:
    foam, name = setting.today.foam, pressed.cavity.name
    flow = work_out(
        f"{name}: air that its fullest lift drives out while it rises, mean flow",
        "volume / (gel_time - cream_time)",
        [
            Term("volume", pressed.fullest, "m3", COMPUTED),
            Term("gel_time", foam.gel_time, "s", stated(foam, "gel_time")),
            Term("cream_time", foam.cream_time, "s", stated(foam, "cream_time")),
        ],
        unit="m3/s",
        source=COMMON_PRACTICE,
    )
    pressure = work_out(
        f"{name}: pressure that drives the air out",
        "air_density / 2 * (air_flow / (orifice_coefficient * open_area)) ** 2",
        [
            figure("air_density"),
            flow.term("air_flow"),
            figure("orifice_coefficient"),
            free.term("open_area"),
        ],
        unit="Pa",
        source=_ORIFICE,
        note="For clear holes; foam in a vent shuts it.",
    )
    return flow, pressure
