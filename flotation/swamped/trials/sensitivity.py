"""How the stated tolerances of the weights move a boat at rest: to first order, item by item.

With F the centroid of the waterplane, K the stiffness of the two turns at constant displacement
(kg m per rad, mass x GM) and T the level axes along which the upward direction moves, a weight w
at p and a lift l at b added to a boat at rest give

    sinkage = (w - l) / (density area)        turn = - K^-1 T (w (p - F) - l (b - F))

which is the second derivative of the energy at work; common practice, no source.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.boat_places import Point
from flotation.equilibrium.balance import tangents
from flotation.equilibrium.bodies import Rest, as_point
from flotation.swamped.trials.immersed import Immersed

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Moved:
    """The rest after one item went up by its tolerance, and after it went down by it."""

    item: str
    surfaces: tuple[tuple[Point, float], ...]


def moved_by_tolerances(
    rest: Rest, parts: Sequence[Immersed], shares: Mapping[str, float], water: float
) -> tuple[Moved, ...]:
    """Where the water surface goes when each item of the weight list is off by its tolerance.

    parts   the boat's pieces at the rest
    shares  tolerance over mass, by item; the item's displaced volume moves with its mass
    water   density, kg/m3
    The rest must be stable, with a waterplane. Half the effect is right within the square of the
    turn; a boat near the end of its stability moves further than this says.
    """
    return tuple(
        Moved(
            item, tuple(_surface(rest, *_loads(own, sign * share, water)) for sign in (1.0, -1.0))
        )
        for item, share in shares.items()
        if (own := [part for part in parts if part.piece.item == item])
    )


def spread_over(
    moved: Sequence[Moved], rest: Rest, measure: Callable[[Point, float], Sequence[float]]
) -> tuple[float, ...]:
    """What the tolerances add up to, all against the boat, in what `measure` gives of a surface."""
    at_rest = np.array(measure(rest.normal, rest.offset))
    whole = np.zeros(len(at_rest))
    for one in moved:
        away = [np.abs(np.array(measure(*surface)) - at_rest) for surface in one.surfaces]
        whole += np.max(away, axis=0)
    return tuple(whole.tolist())


def _loads(own: Sequence[Immersed], share: float, water: float) -> tuple[float, Floats]:
    """Kg that is added, weight less lift, and its first moment, kg m about the boat's origin."""
    weights = [(share * part.piece.body.mass, part.piece.body.at) for part in own]
    lifts = [(-share * water * part.volume, part.centre) for part in own]
    both = [*weights, *lifts]
    total = math.fsum(mass for mass, _ in both)
    moment = np.array([math.fsum(mass * at[axis] for mass, at in both) for axis in range(3)])
    return total, moment


def _surface(rest: Rest, added: float, moment: Floats) -> tuple[Point, float]:
    """The water surface after a small load, to first order."""
    normal, middle = np.array(rest.normal), rest.waterplane.centroid
    directions = tangents(normal)
    turn = -np.linalg.solve(_stiffness(rest, directions), directions @ (moment - added * middle))
    density = rest.mass / rest.displaced_volume
    sinkage = added / (density * rest.waterplane.area)
    new = normal + turn @ directions
    new /= float(np.linalg.norm(new))
    depth = rest.offset - float(normal @ middle) + sinkage
    return as_point(new), depth + float(new @ middle)


def _stiffness(rest: Rest, directions: Floats) -> Floats:
    """(2, 2) kg m per rad: density x second moments of the waterplane, less mass x BG."""
    density = rest.mass / rest.displaced_volume
    height = np.array(rest.centre_of_buoyancy) - np.array(rest.centre_of_gravity)
    plane: Floats = density * (directions @ rest.waterplane.second_moments @ directions.T)
    return plane + rest.mass * float(np.array(rest.normal) @ height) * np.eye(2)
