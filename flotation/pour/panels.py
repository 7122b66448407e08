"""A panel under the pressure of foam: deflection, stress, pull on its flange, and what it takes."""

import tomllib
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from itertools import pairwise

from flotation.boat_panels import Panel
from flotation.pour.effects import PanelLoad
from flotation.pour.figures import figure
from flotation.pour.foam import IDEAL_GAS
from flotation.workings import COMMON_PRACTICE, Line, Mark, Source, Term, work_out


@dataclass(frozen=True)
class Coefficients:
    """Of a clamped plate: deflection = that * q b^4 / (E t^3), stress = that * q b^2 / t^2."""

    deflection: Term
    stress: Term


@dataclass(frozen=True)
class Loaded:
    """A panel's load, and how it was calculated."""

    load: PanelLoad
    lines: tuple[Line, ...]


def coefficients(short_span: float, long_span: float) -> Coefficients:
    """Of a rectangular plate with clamped edges under an even load.

    A straight line over short / long span between the rows of data/clamped_plates.toml; that is
    within 3 % of the plate theory. Raises ValueError unless 0 < short <= long.
    """
    if not 0.0 < short_span <= long_span:
        raise ValueError(f"the short span, {short_span!r} m, is not within the long, {long_span!r}")
    rows, source = _table()
    ratio = short_span / long_span
    above = max(1, bisect_left([row[0] for row in rows], ratio))
    low, high = rows[above - 1], rows[above]
    share = (ratio - low[0]) / (high[0] - low[0])
    deflection, stress = (a + share * (b - a) for a, b in zip(low[1:], high[1:], strict=True))
    return Coefficients(
        Term("plate_deflection", deflection, "1", source), Term("plate_stress", stress, "1", source)
    )


@cache
def _table() -> tuple[tuple[tuple[float, float, float], ...], Source]:
    text = files("flotation").joinpath("data", "clamped_plates.toml").read_text(encoding="utf-8")
    table = tomllib.loads(text)
    rows = tuple(
        (row["short_over_long"], row["deflection"], row["stress"]) for row in table["rows"]
    )
    assert all(a[0] < b[0] for a, b in pairwise(rows))
    return rows, Source(table["publication"], mark=Mark(table["mark"]))


def load_on(panel: Panel, cavity: str, pressure: Term, heating: Term, minimum: Term) -> Loaded:
    """What a pressure does to a panel, and the largest overpack that it takes.

    pressure  Pa, of the foam with its heating; heating  Pa, the part that comes from heating
    minimum   kg/m3, minimum fill today
    Small deflection, edges clamped: a deflection of more than half the thickness comes out too
    large, because the plate then carries as a skin too; an edge that gives way makes it larger.
    The flange is taken to carry what comes to the middle of the long edge of a long panel.
    """
    label = f"{cavity}, panel {panel.name}"
    found = coefficients(panel.short_span, panel.long_span)
    q = Term("pressure", pressure.value, "Pa", pressure.source, pressure.of)
    stiff = [_of(panel, "modulus", "Pa"), _of(panel, "thickness", "m")]
    b, thickness = _of(panel, "short_span", "m"), stiff[1]
    deflection = work_out(
        f"{label}: deflection",
        "plate_deflection * pressure * short_span ** 4 / (modulus * thickness ** 3)",
        [found.deflection, q, b, *stiff],
        unit="m",
        source=_plate(),
    )
    stress = work_out(
        f"{label}: stress at the middle of the long edge",
        "plate_stress * pressure * short_span ** 2 / thickness ** 2",
        [found.stress, q, b, thickness],
        unit="Pa",
        source=_plate(),
    )
    pull = work_out(
        f"{label}: pull on each metre of its flange",
        "pressure * short_span / 2",
        [q, b],
        unit="N/m",
        source=COMMON_PRACTICE,
        note="As on the long edges of a long panel; prying of the edge comes on top.",
    )
    allowed = _allowed(label, panel, found)
    lines: list[Line] = [deflection, stress, pull, *_bond(label, panel, pull), *allowed]
    overpack = None
    if allowed:
        overpack = _largest_overpack(label, allowed, heating, minimum)
        lines.append(overpack)
    return Loaded(
        PanelLoad(
            panel=panel.name,
            deflection=deflection.value,
            deflection_limit=panel.deflection_limit,
            stress=stress.value,
            strength=panel.strength,
            edge_load=pull.value,
            peel_strength=panel.peel_strength,
            largest_overpack=None if overpack is None else overpack.value,
            within=all(pressure.value <= line.value for line in allowed),
        ),
        tuple(lines),
    )


def _allowed(label: str, panel: Panel, found: Coefficients) -> tuple[Line, ...]:
    """The pressures at which each limit that is stated is reached."""
    modulus, thickness = _of(panel, "modulus", "Pa"), _of(panel, "thickness", "m")
    b = _of(panel, "short_span", "m")
    made = []
    if panel.deflection_limit is not None:
        made.append(
            work_out(
                f"{label}: pressure that brings it to its deflection limit",
                "deflection_limit * modulus * thickness ** 3"
                " / (plate_deflection * short_span ** 4)",
                [_of(panel, "deflection_limit", "m"), modulus, thickness, found.deflection, b],
                unit="Pa",
                source=_plate(),
            )
        )
    if panel.strength is not None:
        made.append(
            work_out(
                f"{label}: pressure that brings it to its strength",
                "strength * thickness ** 2 / (plate_stress * short_span ** 2)",
                [_of(panel, "strength", "Pa"), thickness, found.stress, b],
                unit="Pa",
                source=_plate(),
            )
        )
    if panel.peel_strength is not None:
        made.append(
            work_out(
                f"{label}: pressure that brings its flange to its peel strength",
                "2 * peel_strength / short_span",
                [_of(panel, "peel_strength", "N/m"), b],
                unit="Pa",
                source=COMMON_PRACTICE,
            )
        )
    return tuple(made)


def _bond(label: str, panel: Panel, pull: Line) -> tuple[Line, ...]:
    if panel.flange_width is None:
        return ()
    return (
        work_out(
            f"{label}: mean stress in the bond of its flange",
            "pull / flange_width",
            [pull.term("pull"), _of(panel, "flange_width", "m")],
            unit="Pa",
            source=COMMON_PRACTICE,
        ),
    )


def _largest_overpack(label: str, allowed: Sequence[Line], heating: Term, minimum: Term) -> Line:
    """The packing that presses, with heating, with no more than the least allowed pressure."""
    least = min(allowed, key=lambda line: line.value)
    return work_out(
        f"{label}: largest overpack within its limits",
        "1 / (minimum_fill * ((1 / minimum_fill - 1 / polymer_density)"
        " / (1 + (allowed - heating) / atmospheric_pressure) + 1 / polymer_density))",
        [
            Term("minimum_fill", minimum.value, "kg/m3", minimum.source, minimum.of),
            figure("polymer_density"),
            least.term("allowed"),
            Term("heating", heating.value, "Pa", heating.source, heating.of),
            figure("atmospheric_pressure"),
        ],
        unit="1",
        source=IDEAL_GAS,
        note="Below 1: even foam that just fills presses too hard once it heats, vents shut.",
    )


def _of(panel: Panel, entry: str, unit: str) -> Term:
    value = {
        "modulus": panel.modulus,
        "thickness": panel.thickness,
        "short_span": panel.short_span,
        "deflection_limit": panel.deflection_limit,
        "strength": panel.strength,
        "peel_strength": panel.peel_strength,
        "flange_width": panel.flange_width,
    }[entry]
    assert value is not None
    return Term(entry, value, unit, Source(panel.entry, entry, mark=Mark.STATED))


def _plate() -> Source:
    return _table()[1]
