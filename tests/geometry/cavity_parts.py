"""Parts whose cavities have closed-form volumes, built from corners alone."""

import numpy as np

from flotation.geometry.solid import Solid

# Of drilled holes. Corners stand on the circle, so facets face each other a little nearer than the
# diameter.
SIDES = 24


def block(low, high, name=""):
    """An upright box between two corners."""
    low, high = np.asarray(low, float), np.asarray(high, float)
    corner = np.array([[i, j, k] for i in (0, 1) for j in (0, 1) for k in (0, 1)], float)
    quads = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    faces = [t for a, b, c, d in quads for t in ((a, b, c), (a, c, d))]
    return Solid(low + corner * (high - low), faces, name=name)


def bar(section, start, end, name=""):
    """A ribbon section, two rows of as many points in y and z, drawn out along x.

    The first row runs so that the second lies on its left, seen against x.
    """
    one, two = (np.asarray(row, float) for row in section)
    count = len(one)
    ring = np.concatenate([one, two[::-1]])
    both = [np.column_stack([np.full(2 * count, x), ring]) for x in (start, end)]
    last = 2 * count - 1
    cap = [
        t for i in range(count - 1) for t in ((i, i + 1, last - i), (i + 1, last - i - 1, last - i))
    ]
    back = [(a, c, b) for a, b, c in cap]
    front = [(a + 2 * count, b + 2 * count, c + 2 * count) for a, b, c in cap]
    side = []
    for i in range(2 * count):
        j = (i + 1) % (2 * count)
        side += [(i, j, j + 2 * count), (i, j + 2 * count, i + 2 * count)]
    return Solid(np.concatenate(both), back + front + side, name=name)


def polygon(radius, sides, turn=0.0):
    """Corners of a regular polygon in y and z, by the radius of its corners."""
    angle = turn + 2.0 * np.pi * np.arange(sides) / sides
    return radius * np.column_stack([np.cos(angle), np.sin(angle)])


def polygon_area(radius, sides):
    """Area of that polygon."""
    return 0.5 * sides * radius**2 * np.sin(2.0 * np.pi / sides)


def disc(radius, sides, start, end, name="", turn=0.0):
    """A regular prism along x."""
    ring = polygon(radius, sides, turn)
    both = np.concatenate([np.column_stack([np.full(sides, x), ring]) for x in (start, end)])
    back = [(0, i + 1, i) for i in range(1, sides - 1)]
    front = [(sides, sides + i, sides + i + 1) for i in range(1, sides - 1)]
    side = []
    for i in range(sides):
        j = (i + 1) % sides
        side += [(i, j, j + sides), (i, j + sides, i + sides)]
    return Solid(both, back + front + side, name=name)


def pipe(inner, outer, sides, ends, name="", steps=1):
    """A regular tube along x with open ends."""
    xs = np.linspace(*ends, steps + 1)
    rings = [
        np.column_stack([np.full(sides, x), polygon(r, sides)]) for x in xs for r in (outer, inner)
    ]
    faces = []
    for i in range(sides):
        j = (i + 1) % sides
        for step in range(steps):
            a, b = 2 * sides * step, 2 * sides * (step + 1)
            faces += [(a + i, a + j, b + j), (a + i, b + j, b + i)]
            c, d = a + sides, b + sides
            faces += [(c + i, d + j, c + j), (c + i, d + i, d + j)]
        end = 2 * sides * steps
        faces += [(i, j + sides, j), (i, i + sides, j + sides)]
        faces += [(end + i, end + j, end + j + sides), (end + i, end + j + sides, end + i + sides)]
    return Solid(np.concatenate(rings), faces, name=name)


def plates(size, wall, lid_gap=0.0):
    """A box of inner `size` made of six plates that touch; the lid stands inside the walls."""
    length, breadth, height = size
    t, g = wall, lid_gap
    return [
        block((-t, -t, -t), (length + t, breadth + t, 0.0), "bottom"),
        block((-t, -t, 0.0), (0.0, breadth + t, height + t), "aft"),
        block((length, -t, 0.0), (length + t, breadth + t, height + t), "forward"),
        block((0.0, -t, 0.0), (length, 0.0, height + t), "starboard"),
        block((0.0, breadth, 0.0), (length, breadth + t, height + t), "port"),
        block((g, g, height), (length - g, breadth - g, height + t), "lid"),
    ]


def hat(bore, flange, wall, at, ends, name=""):
    """A hat-section stringer along x on a floor at height `at[1]`, bore centred on y `at[0]`."""
    width, height = bore
    y, z = at
    half = width / 2.0
    inner = [(-half - flange, 0), (-half, 0), (-half, height), (half, height), (half, 0)]
    inner += [(half + flange, 0)]
    outer = [(-half - flange, wall), (-half - wall, wall), (-half - wall, height + wall)]
    outer += [(half + wall, height + wall), (half + wall, wall), (half + flange, wall)]
    return bar((np.add(inner, (y, z)), np.add(outer, (y, z))), *ends, name=name)


def turned(parts, seed):
    """The parts in an arbitrary attitude and place."""
    chance = np.random.default_rng(seed)
    turn, _ = np.linalg.qr(chance.normal(size=(3, 3)))
    if np.linalg.det(turn) < 0.0:
        turn[:, 0] *= -1.0
    shift = chance.uniform(-3.0, 3.0, 3)
    moved = [Solid(p.vertices @ turn.T + shift, p.faces, name=p.name) for p in parts]
    return moved, lambda point: np.asarray(point) @ turn.T + shift


def drilled_plate(low, high, hole, name):
    """A plate square to x with a round hole along x: `hole` is y, z and diameter."""
    (x0, y0, z0), (x1, y1, z1) = low, high
    y, z, diameter = hole
    corner = np.array([(y0, z0), (y1, z0), (y1, z1), (y0, z1)], float)
    ring = np.add(polygon(diameter / 2.0, SIDES, np.pi / SIDES), (y, z))
    flat = np.concatenate([corner, ring])
    points = np.concatenate([np.column_stack([np.full(len(flat), x), flat]) for x in (x0, x1)])
    count = len(flat)
    face = around(corner, ring)
    faces = [(a, c, b) for a, b, c in face]
    faces += [(a + count, b + count, c + count) for a, b, c in face]
    for rim, sense in (([0, 1, 2, 3], 1), (list(range(4, count)), -1)):
        for a, b in zip(rim, [*rim[1:], rim[0]], strict=True):
            side = [(a, b, b + count), (a, b + count, a + count)]
            faces += side if sense > 0 else [t[::-1] for t in side]
    return Solid(points, faces, name=name)


def around(corner, ring):
    """Triangles between a rectangle, numbered 0 to 3, and a ring, from 4, both counterclockwise."""
    middle = ring.mean(axis=0)
    spokes = np.arctan2(*(ring - middle).T[::-1])

    def towards(direction):
        return int(np.argmin(np.abs(np.angle(np.exp(1j * (spokes - direction))))))

    nearest = [towards(angle) for angle in np.arctan2(*(corner - middle).T[::-1])]
    faces = []
    for c in range(4):
        d = (c + 1) % 4
        side = corner[d] - corner[c]
        # Seen from a corner the ring is in sight up to the point nearest to the side.
        last = towards(np.arctan2(-side[0], side[1]))
        for start, end, eye in ((nearest[c], last, c), (last, nearest[d], d)):
            k = start
            while k != end:
                after = (k + 1) % len(ring)
                faces.append((eye, 4 + after, 4 + k))
                k = after
        faces.append((c, d, 4 + last))
    return faces
