"""A test in real water: what to put where, what to measure, when to stop, and what it says."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.boat import PassengerArea
from flotation.boat_places import Point
from flotation.equilibrium.balance import tangents
from flotation.equilibrium.bodies import GRAVITY, up
from flotation.errors import Fault, InputError
from flotation.rulebook import Material
from flotation.swamped.factors import submergence_factor
from flotation.swamped.trials.cases import Case
from flotation.swamped.trials.condition import Kind
from flotation.swamped.trials.immersed import immersed
from flotation.swamped.trials.level_tests import Basin
from flotation.swamped.trials.loads import PERSONS
from flotation.swamped.trials.reference import depth_at
from flotation.swamped.trials.runs import Run, from_keel_down
from flotation.swamped.wording import both
from flotation.units import number

Floats = NDArray[np.float64]

_ROUNDS = 20
_SETTLED = 1e-12
_CENTRED = 0.005  # m
_PLACED = 0.1  # kg; a difference below this has no place to speak of


@dataclass(frozen=True)
class Put:
    """A weight to put aboard: what it stands for, where, kg under water and kg dry."""

    stands_for: str
    at: Point
    submerged: float
    dry: float


@dataclass(frozen=True)
class Mark:
    """A point to mark on the boat, and the depth foretold there, m, positive under water."""

    name: str
    at: Point
    depth: float


@dataclass(frozen=True)
class SwampTest:
    """The sheet of one test in real water.

    material    of the weights
    heel, trim  rad, foretold as stated; marks: the points of the reference areas
    before      what to do before the load goes aboard, in sentences
    stop        when to stop, in sentences
    """

    name: str
    material: str
    weights: tuple[Put, ...]
    heel: float
    trim: float
    marks: tuple[Mark, ...]
    before: tuple[str, ...]
    stop: tuple[str, ...]


@dataclass(frozen=True)
class Reconciled:
    """What measured depths say of the model.

    heel, trim   rad, of the plane through the measured depths
    off_plane    m, root of the mean square by which the depths lie off that plane
    added        kg that the boat must weigh more than the model to lie like this; below zero: less
    at           (x, y), m, where that weight would have to lie at the height of the sole; None
                 where it is too small to have a place
    heel_moment, trim_moment  N m of the difference, to starboard and bow up
    sentence     what to make of it
    """

    heel: float
    trim: float
    off_plane: float
    added: float
    at: tuple[float, float] | None
    heel_moment: float
    trim_moment: float
    sentence: str


def swamp_test(basin: Basin, case: Case, material: Material) -> SwampTest:
    """The sheet for one test of level or modified level flotation, as stated.

    material  of the weights that are put aboard; its dry weight is the weight under water over K
    Raises InputError where the boat sinks or turns over by calculation: it is not to be tried, and
    for a material that does not sink.
    """
    factor = _factor(basin, material)
    run = _run(basin, case)
    law, own = basin.law, basin.swamped.books.own
    tops = (("forward", basin.top.forward), ("aft", basin.top.aft))
    marks = tuple(
        Mark(f"{end} {place}", point, depth_at(point, run.normal, run.offset))
        for end, points in tops
        for place, point in enumerate(points, start=1)
    )
    hours = number(law.number("level_time").value / 3600.0, 3)
    return SwampTest(
        case.name,
        material.name,
        tuple(_weights(basin, case, factor)),
        run.heel,
        run.trim,
        marks,
        (
            f"let the boat lie swamped for {hours} h, every drain and scupper open",
            "let all air out of the flooded part; set the weights down where the sheet has them",
        ),
        (
            f"the heel passes {both(case.heel.value, 'rad')}",
            "both reference areas are under water",
            f"a depth is off by more than {both(own.number('swamp_stop').value, 'm')}: take the "
            "load off and reconcile the model first",
            "foam, a tank or an air chamber comes loose, or bubbles keep rising",
        ),
    )


def _factor(basin: Basin, material: Material) -> float:
    swamped = basin.swamped
    factor = submergence_factor(material, swamped.water, swamped.boat.method, swamped.books.guide)
    if factor.value > 0.0:
        return factor.value
    problem = f"weights of {material.name} do not sink"
    raise InputError(Fault(swamped.boat.name, problem, "Take steel or lead."))


def _run(basin: Basin, case: Case) -> Run:
    run = from_keel_down(basin.ready(case, basin.swamped.stated))
    if isinstance(run, Run) and not run.upside_down:
        return run
    fate = "turns over" if isinstance(run, Run) else "sinks"
    problem = f"by calculation the boat {fate} in {case.name}"
    raise InputError(Fault(basin.swamped.boat.name, problem, "Mend it before it is swamped."))


def _weights(basin: Basin, case: Case, factor: float) -> Iterator[Put]:
    """The load spread over the passenger area, and what stands for the machinery."""
    area = basin.swamped.boat.passenger_area
    for piece in basin.loads.aboard(case.share, case.side, basin.swamped.stated):
        spots = _spots(area, piece.body.at, case.side) if piece.item == PERSONS else [piece.body.at]
        for at in spots:
            submerged = piece.body.mass / len(spots)
            yield Put(piece.item, at, submerged, submerged / factor)
    for piece in basin.swamped.pieces(basin.swamped.stated):
        if piece.kind is Kind.MACHINERY and piece.body.displaces is None:
            mass = piece.body.mass
            yield Put(f"{piece.item}, if it is not aboard", piece.body.at, mass, mass / factor)


def _spots(area: PassengerArea, at: Point, side: str) -> list[Point]:
    """Four places about the middle of the area, or two on one side, with the same centre."""
    quarter = 0.25 * (area.forward - area.aft)
    off = [at[1]] if side else [-0.5 * area.half_breadth, 0.5 * area.half_breadth]
    return [(at[0] + along, y, at[2]) for along in (-quarter, quarter) for y in off]


def reconcile(basin: Basin, case: Case, measured: Mapping[str, float]) -> Reconciled:
    """What the model must change for the boat to lie as it was measured.

    measured  depth at each mark of the sheet, m, positive under water; at least three that do not
              lie in one line
    A plane is laid through the depths. What the model displaces under it is what the boat weighs,
    and its centre of gravity lies above that of the displaced water; the difference from the
    model's weights is one weight at one place. Only where it lies along and across is told: a boat
    at rest does not show how high a weight is. Raises InputError for marks that the sheet does
    not have or too few of them.
    """
    run = _run(basin, case)
    points = _points(basin, measured)
    heel, trim, offset, off_plane = _plane(points, list(measured.values()), run)
    normal = up(heel, trim)
    pieces = basin.ready(case, basin.swamped.stated).pieces
    parts = immersed(pieces, normal, offset)
    lift = basin.water * math.fsum(part.volume for part in parts)
    mass = math.fsum(piece.body.mass for piece in pieces)
    moment = np.zeros(3)
    for part in parts:
        moment += basin.water * part.volume * np.array(part.centre)
        moment -= part.piece.body.mass * np.array(part.piece.body.at)
    along, across = (tangents(np.array(normal)) @ moment).tolist()
    added = lift - mass
    at = _place(normal, (along / added, across / added), basin) if abs(added) >= _PLACED else None
    told = _told(basin, added, at)
    return Reconciled(heel, trim, off_plane, added, at, -GRAVITY * across, -GRAVITY * along, told)


def _points(basin: Basin, measured: Mapping[str, float]) -> Floats:
    """(n, 3) m, of the marks that were measured; InputError for unknown ones or too few."""
    tops = (("forward", basin.top.forward), ("aft", basin.top.aft))
    marks = {f"{end} {i}": p for end, points in tops for i, p in enumerate(points, start=1)}
    place = f"{basin.swamped.boat.name}, measured depths"
    remedy = f"The sheet has {', '.join(marks)}."
    faults = [
        Fault(place, f'"{name}" is no mark of the sheet', remedy)
        for name in measured
        if name not in marks
    ]
    if faults:
        raise InputError(faults)
    points = np.array([marks[name] for name in measured]).reshape(-1, 3)
    spread = points - points.mean(axis=0) if len(points) else points
    if np.linalg.matrix_rank(spread, tol=0.05) < 2:
        problem = "three marks that do not lie in one line are needed"
        raise InputError(Fault(place, problem, "Measure at both ends, and at both sides of one."))
    return points


def _plane(points: Floats, depths: Sequence[float], run: Run) -> tuple[float, float, float, float]:
    """Heel, trim and offset of the water surface nearest to the depths, and what is left over.

    Gauss-Newton from the rest that was foretold; least squares of the depths.
    """
    found = np.array([run.heel, run.trim, run.offset])
    wanted = np.array(depths)
    for _ in range(_ROUNDS):
        heel, trim, offset = found.tolist()
        cos_heel, sin_heel = math.cos(heel), math.sin(heel)
        cos_trim, sin_trim = math.cos(trim), math.sin(trim)
        off = offset - points @ np.array(up(heel, trim)) - wanted
        by_heel = points @ np.array((0.0, cos_heel * cos_trim, -sin_heel * cos_trim))
        by_trim = points @ np.array((cos_trim, -sin_heel * sin_trim, -cos_heel * sin_trim))
        slope = np.column_stack((-by_heel, -by_trim, np.ones(len(points))))
        step, *_ = np.linalg.lstsq(slope, -off, rcond=None)
        found = found + step
        if float(np.abs(step).max()) < _SETTLED:
            break
    heel, trim, offset = found.tolist()
    left = offset - points @ np.array(up(heel, trim)) - wanted
    return heel, trim, offset, float(np.sqrt(np.mean(left**2)))


def _place(normal: Point, levers: tuple[float, float], basin: Basin) -> tuple[float, float]:
    """Where in the boat, at the height of the sole, a weight has these level levers."""
    sole = basin.swamped.boat.passenger_area.sole
    axes = tangents(np.array(normal))
    x, y = np.linalg.solve(axes[:, :2], np.array(levers) - axes[:, 2] * sole).tolist()
    return x, y


def _told(basin: Basin, added: float, at: tuple[float, float] | None) -> str:
    if at is None:
        return f"the boat weighs what the model says, within {both(_PLACED, 'kg')}"
    way = "more" if added > 0.0 else "less"
    sentence = f"the boat lies as if it weighed {both(abs(added), 'kg')} {way} than the model"
    side = "to port" if at[1] > 0.0 else "to starboard"
    off = "on the centreline" if abs(at[1]) < _CENTRED else f"{abs(at[1]):.2f} m {side}"
    sentence += f", at x = {at[0]:.2f} m, {off}"
    tolerances = [entry.weight.tolerance for entry in basin.swamped.listed]
    stated = math.fsum(one for one in tolerances if one is not None)
    if any(one is not None for one in tolerances):
        within = "within" if abs(added) <= stated else "beyond"
        sentence += f"; {within} the stated tolerances, which add up to {both(stated, 'kg')}"
    return sentence
