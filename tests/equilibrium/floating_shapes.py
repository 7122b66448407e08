"""Bodies that the tests set afloat."""

import math

import numpy as np
from scipy.spatial import ConvexHull

from flotation.equilibrium.bodies import Body, Box
from flotation.geometry.solid import Solid

WATER = 1000.0


def hull_of(points: np.ndarray, name: str = "") -> Solid:
    """The convex solid around points, its triangles turned outward."""
    hull = ConvexHull(points)
    faces = hull.simplices.copy()
    a, b, c = (points[faces[:, i]] for i in range(3))
    inward = np.einsum("ij,ij->i", np.cross(b - a, c - a), hull.equations[:, :3]) < 0.0
    faces[inward] = faces[inward][:, ::-1]
    return Solid(points, faces, name)


def circle(radius: float, sides: int) -> np.ndarray:
    """Points (sides, 2) of a polygon as large as the circle."""
    turns = 2.0 * math.pi * (np.arange(sides) + 0.5) / sides
    fit = radius * math.sqrt(2.0 * math.pi / (sides * math.sin(2.0 * math.pi / sides)))
    return fit * np.stack([np.cos(turns), np.sin(turns)], axis=1)


def log(radius: float, length: float, *, sides: int, y: float = 0.0) -> Solid:
    """A round log along x about the origin of its section, moved to port by y."""
    rim = circle(radius, sides)
    ends = [
        np.column_stack([np.full(sides, x), rim[:, 0] + y, rim[:, 1]])
        for x in (-0.5 * length, 0.5 * length)
    ]
    here = np.arange(sides)
    on = (here + 1) % sides
    fan = here[1:-1]
    faces = np.concatenate(
        [
            np.stack([here, on, here + sides], axis=1),
            np.stack([on, on + sides, here + sides], axis=1),
            np.stack([np.zeros_like(fan), fan + 1, fan], axis=1),
            np.stack([np.zeros_like(fan), fan, fan + 1], axis=1) + sides,
        ]
    )
    return Solid(np.concatenate(ends), faces)


def cone(radius: float, height: float, *, sides: int) -> Solid:
    """Apex down at the origin, about z."""
    rim = circle(radius, sides)
    return hull_of(np.vstack([np.column_stack([rim, np.full(sides, height)]), np.zeros((1, 3))]))


def box(size: tuple[float, float, float], at: tuple[float, float, float], mass: float) -> Body:
    """A homogeneous box."""
    return Body(mass, at, Box(size))


def pebble(seed: int, points: int = 30) -> Solid:
    """A convex lump of some half a metre, unlike itself in any mirror."""
    chance = np.random.default_rng(seed)
    places = chance.normal(size=(points, 3))
    places /= np.linalg.norm(places, axis=1)[:, None]
    return hull_of(places * chance.uniform(0.3, 0.8, size=3))


def boat(seed: int, share: float = 0.55) -> list[Body]:
    """Three pebbles and two weights without volume; a share of what would sink them."""
    chance = np.random.default_rng(seed)
    bodies = []
    for number in range(3):
        solid = pebble(seed * 3 + number)
        moved = Solid(solid.vertices + chance.uniform(-1.0, 1.0, size=3), solid.faces)
        x, y, z = moved.centroid.tolist()
        bodies.append(Body(share * 0.5 * WATER * moved.volume, (x, y, z), moved))
    lift = WATER * sum(body.displaces.volume for body in bodies)  # type: ignore[union-attr]
    for _ in range(2):
        x, y, z = chance.uniform(-0.5, 0.5, size=3).tolist()
        bodies.append(Body(0.25 * share * lift, (x, y, z)))
    return bodies


def turn_of(seed: int) -> np.ndarray:
    """A turn of the frame, (3, 3), right-handed."""
    axes, _ = np.linalg.qr(np.random.default_rng(seed).normal(size=(3, 3)))
    return np.asarray(axes * np.sign(np.linalg.det(axes)))


def reframed(bodies: list[Body], turn: np.ndarray, move: np.ndarray) -> list[Body]:
    """The same bodies described in another frame; a turn with determinant -1 mirrors them."""
    flipped = np.linalg.det(turn) < 0.0
    result = []
    for body in bodies:
        x, y, z = (turn @ np.array(body.at) + move).tolist()
        solid = body.displaces
        if isinstance(solid, Solid):
            faces = solid.faces[:, ::-1] if flipped else solid.faces
            solid = Solid(solid.vertices @ turn.T + move, faces)
        result.append(Body(body.mass, (x, y, z), solid))
    return result
