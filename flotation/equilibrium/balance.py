"""The balance of a boat at one attitude, and its energy around there.

A boat of mass m with its centre of gravity G floats with the surface {n . (x - G) = depth}, so
`depth` is how far G lies under the surface. With V the volume under water, M its first moment
about G and w the density of the water, the potential energy over g is

    E(n, depth) = w (depth V - n . M) - m depth

    dE/d depth = w V - m              dE/dn = - w M
    d2E/d depth2 = w A                d2E/d depth dn = - w S        d2E/dn2 = w T

with A, S, T the waterplane's area and its first and second moments about G. On the unit sphere
of n the curvature along a tangent gains - n . dE/dn. Masses enter through m and G alone.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from flotation.equilibrium.bodies import Body, Sinks
from flotation.equilibrium.buoyancy import Buoyancy, buoyancy

Floats = NDArray[np.float64]

TOLERANCE = 1e-9  # of the weight, and of weight x length


@dataclass(frozen=True, eq=False)
class Afloat:
    """A boat to be set afloat: what it weighs, where, and what lifts it. kg, m, kg/m3."""

    mass: float
    centre: Floats
    water_density: float
    buoyancy: Buoyancy

    @property
    def lift(self) -> float:
        """Kg of water displaced with everything under water."""
        return self.water_density * self.buoyancy.volume

    def depths(self, normal: Floats) -> tuple[float, float]:
        """Depths of the centre of gravity with everything dry and with everything under water."""
        middle = 0.5 * (self.buoyancy.low + self.buoyancy.high) - self.centre
        reach = float(np.abs(normal) @ (self.buoyancy.high - self.buoyancy.low)) * 0.5
        level = float(normal @ middle)
        margin = 1e-9 * self.buoyancy.length
        return level - reach - margin, level + reach + margin

    def at(self, normal: Floats, depth: float) -> "Attitude":
        """The balance with the centre of gravity this deep under the surface."""
        volume = area = 0.0
        moment, first, second = np.zeros(3), np.zeros(3), np.zeros((3, 3))
        for sign, part in self.buoyancy.parts:
            arm = self.centre - part.origin
            sums = part.sums(normal, depth + float(normal @ arm))
            volume += sign * sums.volume
            area += sign * sums.area
            moment += sign * (sums.moment - sums.volume * arm)
            first += sign * (sums.area_moment - sums.area * arm)
            cross = np.outer(sums.area_moment, arm)
            square = sums.area * np.outer(arm, arm)
            second += sign * (sums.area_second_moments - cross - cross.T + square)
        return Attitude(self, normal, depth, volume, moment, Plane(area, first, second))


def let_go(
    bodies: Sequence[Body], water_density: float, joined: Buoyancy | None = None
) -> Afloat | Sinks:
    """The boat that these bodies make, or Sinks; ValueError as `float_freely` says."""
    if not (math.isfinite(water_density) and water_density > 0.0):
        raise ValueError(f"water density must be above zero, got {water_density!r}")
    mass = math.fsum(body.mass for body in bodies)
    if not mass > 0.0:
        raise ValueError(f"the bodies weigh {mass:.6g} kg together; that cannot be floated")
    if joined is not None and not joined.fits(bodies):
        raise ValueError("`joined` was made of bodies that displace something else")
    centre = np.array([math.fsum(b.mass * b.at[i] for b in bodies) / mass for i in range(3)])
    afloat = Afloat(mass, centre, water_density, buoyancy(bodies) if joined is None else joined)
    if mass >= afloat.lift * (1.0 - TOLERANCE):
        return Sinks(mass, afloat.lift)
    return afloat


@dataclass(frozen=True, eq=False)
class Plane:
    """The waterplane about the centre of gravity: m2, (3,) m3, (3, 3) m4."""

    area: float
    first: Floats
    second: Floats


@dataclass(frozen=True, eq=False)
class Attitude:
    """A boat at one attitude and depth; volume (m3) and moment ((3,) m4) of what is under water.

    moment  about the centre of gravity
    """

    afloat: Afloat
    normal: Floats
    depth: float
    volume: float
    moment: Floats
    plane: Plane

    @property
    def excess(self) -> float:
        """Kg that the water lifts more than the boat weighs: dE/d depth."""
        return self.afloat.water_density * self.volume - self.afloat.mass

    @property
    def energy(self) -> float:
        """E, kg m."""
        lever = self.depth * self.volume - float(self.normal @ self.moment)
        return self.afloat.water_density * lever - self.afloat.mass * self.depth

    @property
    def offset(self) -> float:
        """M, the surface is normal . x = offset in the boat's own coordinates."""
        return self.depth + float(self.normal @ self.afloat.centre)

    @property
    def force_residual(self) -> float:
        """|lift - weight| / weight."""
        return abs(self.excess) / self.afloat.mass

    def moment_residual(self, directions: Floats) -> float:
        """Moment left over / (weight x length), for turns along these (k, 3) tangents."""
        left = self.afloat.water_density * float(np.linalg.norm(directions @ self.moment))
        return left / (self.afloat.mass * self.afloat.buoyancy.length)


@dataclass(frozen=True, eq=False)
class Valley:
    """Energy around an attitude to second order, the depth following so that weight floats.

    directions  (k, 3) unit tangents along which the attitude may turn
    energy      kg m, at the depth where the weight floats
    slope       (k,) kg m per rad
    curvature   (k, k) kg m per rad2, at constant displacement
    follow      (k,) m per rad: how the depth follows a turn; `sink` m that it is off by now
    """

    directions: Floats
    energy: float
    slope: Floats
    curvature: Floats
    follow: Floats
    sink: float


def valley(attitude: Attitude, directions: Floats) -> Valley:
    """Energy around an attitude, as its waterplane gives it; exact second derivatives."""
    density = attitude.afloat.water_density
    plane = attitude.plane
    slope = -density * (directions @ attitude.moment)
    curvature = density * (directions @ plane.second @ directions.T)
    curvature += density * float(attitude.normal @ attitude.moment) * np.eye(len(directions))
    flat = Valley(directions, attitude.energy, slope, curvature, np.zeros(len(directions)), 0.0)
    if plane.area <= 0.0:
        return flat
    lean = directions @ plane.first / plane.area
    sink = -attitude.excess / (density * plane.area)
    return replace(
        flat,
        energy=flat.energy + 0.5 * attitude.excess * sink,
        slope=slope - density * plane.area * lean * sink,
        curvature=curvature - density * plane.area * np.outer(lean, lean),
        follow=lean,
        sink=sink,
    )


def tangents(normal: Floats) -> Floats:
    """Unit tangents of a turn bow up and of a turn to starboard, (2, 3).

    The first is the boat's x axis made level, the second the level axis to its left: the way in
    which `normal` moves with trim and with heel.
    """
    x, y, z = normal.tolist()
    length = math.hypot(y, z)
    if length < 1e-9:  # on its end: the level axis that heel 0 has there
        forward = (0.0, 0.0, -math.copysign(1.0, x))
    else:
        forward = (length, -x * y / length, -x * z / length)
    u, v, w = forward
    return np.array([forward, (y * w - z * v, z * u - x * w, x * v - y * u)])


def turned(normal: Floats, turn: Floats) -> Floats:
    """The upward direction after a turn along a tangent, (3,) rad: along the great circle."""
    angle = float(np.linalg.norm(turn))
    if angle == 0.0:
        return normal
    moved = normal * math.cos(angle) + turn * (math.sin(angle) / angle)
    return moved / float(np.linalg.norm(moved))
