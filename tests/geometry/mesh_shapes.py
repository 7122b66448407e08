"""Plain arrays of closed triangles that the tests of the immersion share."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Mesh = tuple[Floats, Integers]

CUBE_FACES = np.array(
    [
        *([0, 1, 3], [0, 3, 2], [4, 6, 7], [4, 7, 5], [0, 4, 5], [0, 5, 1]),
        *([2, 3, 7], [2, 7, 6], [0, 2, 6], [0, 6, 4], [1, 5, 7], [1, 7, 3]),
    ]
)


def box(low: tuple[float, float, float], high: tuple[float, float, float]) -> Mesh:
    """Twelve triangles between two corners."""
    corners = np.array([[x, y, z] for x in (0, 1) for y in (0, 1) for z in (0, 1)], dtype=float)
    return np.asarray(low) + corners * (np.asarray(high) - np.asarray(low)), CUBE_FACES


def tetrahedron() -> Mesh:
    """Corners at the origin and at 1 along each axis: volume 1/6."""
    vertices = np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1.0]])
    return vertices, np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]])


def globe(around: int, along: int) -> Mesh:
    """A unit sphere, inscribed, of `around` meridians and `along` bands."""
    turn = 2 * np.pi * np.arange(around) / around
    tilt = np.pi * np.arange(1, along) / along
    ring = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    bands = [np.column_stack([np.sin(t) * ring, np.full(around, -np.cos(t))]) for t in tilt]
    vertices = np.concatenate([*bands, [[0, 0, -1.0], [0, 0, 1.0]]])
    faces = []
    for j in range(around):
        k = (j + 1) % around
        faces.append([around * (along - 1), k, j])
        top = around * (along - 2)
        faces.append([around * (along - 1) + 1, top + j, top + k])
        for row in range(0, top, around):
            faces.append([row + j, row + k, row + around + k])
            faces.append([row + j, row + around + k, row + around + j])
    return vertices, np.array(faces)


def ring(around: int, section: int, radius: float = 1.0, thickness: float = 0.3) -> Mesh:
    """A torus about the z axis: not convex, and planes cut it in two loops."""
    turn = 2 * np.pi * np.arange(around) / around
    roll = 2 * np.pi * np.arange(section) / section
    out = radius + thickness * np.cos(roll)[None]
    height = np.broadcast_to(thickness * np.sin(roll), (around, section))
    vertices = np.stack(
        [out * np.cos(turn)[:, None], out * np.sin(turn)[:, None], height], axis=2
    ).reshape(-1, 3)
    i, j = np.meshgrid(np.arange(around), np.arange(section), indexing="ij")
    a, b = i * section + j, (i + 1) % around * section + j
    c, d = (i + 1) % around * section + (j + 1) % section, i * section + (j + 1) % section
    faces = np.stack([np.stack([a, b, c], axis=2), np.stack([a, c, d], axis=2)])
    return vertices, faces.reshape(-1, 3)


def together(*meshes: Mesh) -> Mesh:
    """Several meshes as one pair of arrays."""
    before = np.cumsum([0] + [len(vertices) for vertices, _ in meshes])
    return (
        np.concatenate([vertices for vertices, _ in meshes]),
        np.concatenate([faces + n for (_, faces), n in zip(meshes, before, strict=False)]),
    )


def inward(mesh: Mesh) -> Mesh:
    """The same surface wound the other way: a hollow."""
    return mesh[0], mesh[1][:, ::-1]


def moved(mesh: Mesh, by: tuple[float, float, float]) -> Mesh:
    return mesh[0] + np.asarray(by), mesh[1]


def rotation(axis: tuple[float, float, float], angle: float) -> Floats:
    """(3, 3), by Rodrigues' formula."""
    x, y, z = np.asarray(axis) / np.linalg.norm(axis)
    cross = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    return np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross


def turned(mesh: Mesh, axis: tuple[float, float, float], angle: float) -> Mesh:
    return mesh[0] @ rotation(axis, angle).T, mesh[1]


def random_body(rng: np.random.Generator) -> Mesh:
    """A closed body of some random shape, size, proportion and attitude, up to 600 triangles."""
    kind = rng.integers(6)
    if kind == 0:
        mesh = box((0, 0, 0), (1, 1, 1))
    elif kind == 1:
        mesh = tetrahedron()
    elif kind == 2:
        mesh = ring(int(rng.integers(3, 25)), int(rng.integers(3, 12)))
    elif kind == 3:
        around, along = int(rng.integers(3, 20)), int(rng.integers(2, 15))
        vertices, faces = globe(around, along)
        mesh = vertices * rng.uniform(0.4, 1.6, size=(len(vertices), 1)), faces
    elif kind == 4:
        hollow = inward(moved((globe(7, 5)[0] * 0.3, globe(7, 5)[1]), (0.5, 0.5, 0.5)))
        mesh = together(box((0, 0, 0), (1, 1, 1)), hollow)
    else:
        mesh = together(*(moved(globe(5, 4), (2.5 * i, 0, 0)) for i in range(3)))
    vertices = mesh[0] * rng.uniform(0.2, 2.0, size=3)
    turn = rotation(tuple(rng.normal(size=3)), rng.uniform(0, 2 * np.pi))
    return vertices @ turn.T * 10 ** rng.uniform(-1, 1) + rng.uniform(-3, 3, size=3), mesh[1]
