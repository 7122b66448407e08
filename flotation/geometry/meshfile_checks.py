"""Triangles of a file -> the closed surface they form, or every reason why they form none.

Positions are told in the file's own unit, because that is what the drawing program shows, and
triangles are counted from 1 in the order in which the file gives them.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.errors import Fault, MeshError
from flotation.geometry.bodies import label_bodies, nesting_depth, signed_volumes
from flotation.geometry.overlap import find_crossings, find_overlap

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

_SHOWN = 5
_BRUTE_FORCE = 2000
_MERGE_HINT = 1e-4


@dataclass(frozen=True)
class Drawing:
    """How messages name the file and its unit."""

    place: str
    unit: str

    def point(self, position: Floats) -> str:
        """A position as the drawing program shows it."""
        x, y, z = (f"{float(value) + 0.0:.6g}" for value in position)
        return f"({x}, {y}, {z}) {self.unit}"


def join_corners(vertices: Floats, faces: Integers) -> tuple[Floats, Integers, Integers]:
    """Give corners at one position one number, which is all that closes a surface of triangles.

    vertices  (n, 3), finite; faces (m, 3)
    Returns the vertices in use, each position once; the faces renumbered, without those of
    which two corners fell on one position; and the rows of `faces` that so fell away. They have
    no area, and what was on either side of them now meets, so neither closedness nor volume
    changes. Only exactly equal positions are joined: there is no tolerance.
    """
    used = faces.ravel()
    positions = vertices[used] + 0.0
    order = np.lexsort(positions.T)
    ordered = positions[order]
    first = np.ones(len(ordered), dtype=bool)
    first[1:] = (ordered[1:] != ordered[:-1]).any(axis=1)
    number = np.empty(len(used), dtype=np.intp)
    number[order] = np.cumsum(first) - 1
    renumbered = number.reshape(-1, 3)
    a, b, c = renumbered.T
    fell_away = (a == b) | (b == c) | (c == a)
    return ordered[first], renumbered[~fell_away], np.flatnonzero(fell_away)


def check_finite(vertices: Floats, faces: Integers, drawing: Drawing) -> None:
    """Raise MeshError unless every triangle names corners that exist and are numbers."""
    missing = np.flatnonzero(((faces < 0) | (faces >= len(vertices))).any(axis=1))
    if missing.size:
        problem = f"{_triangles(missing)} naming a corner that the file does not have"
        raise MeshError(Fault(drawing.place, problem, "Export the mesh again from the drawing."))
    unreal = np.flatnonzero(~np.isfinite(vertices[faces]).all(axis=(1, 2)))
    if unreal.size:
        problem = f"{_triangles(unreal)} with a coordinate that is not a finite number"
        raise MeshError(
            Fault(drawing.place, problem, "Repair these faces in the drawing and export again.")
        )


def check_solid(vertices: Floats, faces: Integers, drawing: Drawing) -> None:
    """Raise MeshError, with every fault found, unless the triangles bound a solid.

    vertices  (n, 3) in the file's unit, as `join_corners` gives them
    faces     (m, 3)
    Each edge must have exactly two triangles which run along it in opposite directions; each
    body must be wound outward, and a body inside another must be a hollow, wound inward.
    Only then is it asked whether the surface goes through itself.
    """
    edges = _Edges.of(faces)
    faults = [*_open(vertices, edges, drawing), *_crowded(vertices, faces, edges, drawing)]
    faults += _flipped(vertices, faces, edges, drawing)
    if not faults:
        faults = _inside_out(vertices, faces, edges, drawing)
    if not faults:
        faults = _overlapping(vertices, faces, drawing)
    if faults:
        raise MeshError(faults)


def check_sheet(vertices: Floats, faces: Integers, drawing: Drawing) -> None:
    """Raise MeshError, with every fault found, unless the triangles are a sheet.

    vertices, faces as for `check_solid`. A sheet may be open, may branch and need not be wound
    alike; no triangle may stand there twice, and it must not go through itself.
    """
    _, first = np.unique(np.sort(faces, axis=1), axis=0, return_index=True)
    twice = np.setdiff1d(np.arange(len(faces)), first)
    faults = []
    if twice.size:
        problem = f"{_triangles(twice)} standing there twice"
        remedy = "Export one side of the sheet only: its thickness is stated in the boat file."
        faults.append(Fault(drawing.place, problem, remedy))
    faults = faults or _meeting(vertices, faces, find_crossings(vertices, faces), drawing)
    if faults:
        raise MeshError(faults)


@dataclass(frozen=True)
class _Edges:
    """Every edge once.

    ends     (e, 2) vertices, the lower first
    of_face  (m, 3) which edge each side of a triangle is
    sides    (e,) triangles at the edge
    ahead    (e,) how many of them run from the lower to the higher vertex
    """

    ends: Integers
    of_face: Integers
    sides: Integers
    ahead: Integers

    @classmethod
    def of(cls, faces: Integers) -> "_Edges":
        start = faces.ravel().astype(np.int64)
        end = np.roll(faces, -1, axis=1).ravel().astype(np.int64)
        count = int(faces.max()) + 1
        key = np.minimum(start, end) * count + np.maximum(start, end)
        unique, which, sides = np.unique(key, return_inverse=True, return_counts=True)
        ahead = np.bincount(which, weights=(start < end)).astype(np.intp)
        ends = np.stack([unique // count, unique % count], axis=1)
        return cls(ends, which.reshape(faces.shape), sides, ahead)


def _open(vertices: Floats, edges: _Edges, drawing: Drawing) -> list[Fault]:
    """Edges with one triangle only, told as the holes that they run round."""
    rim = np.flatnonzero(edges.sides == 1)
    if not rim.size:
        return []
    ends = edges.ends[rim]
    hole = label_bodies(ends)
    places = []
    for label in np.unique(hole)[:_SHOWN]:
        around = vertices[np.unique(ends[hole == label])]
        low, high = around.min(axis=0), around.max(axis=0)
        across = float(np.linalg.norm(high - low))
        places.append(f"at {drawing.point((low + high) / 2)}, {across:.6g} {drawing.unit} across")
    holes = len(np.unique(hole))
    more = "; ..." if holes > _SHOWN else ""
    problem = (
        f"the surface is open: {rim.size} edges have no second triangle, round {holes} "
        f"{'hole' if holes == 1 else 'holes'}: {'; '.join(places)}{more}"
    )
    return [Fault(drawing.place, problem, _closing_advice(vertices, ends, drawing))]


def _closing_advice(vertices: Floats, rim: Integers, drawing: Drawing) -> str:
    """What to do about an open edge; other words where corners were meant to be one."""
    corners = np.unique(rim)
    if 1 < corners.size <= _BRUTE_FORCE:
        points = vertices[corners]
        apart = np.linalg.norm(points[:, None] - points[None], axis=2)
        np.fill_diagonal(apart, np.inf)
        longest = float(np.linalg.norm(vertices[rim[:, 0]] - vertices[rim[:, 1]], axis=1).max())
        nearest = float(np.median(apart.min(axis=1)))
        if nearest < _MERGE_HINT * longest:
            return (
                f"Corners along these edges lie {nearest:.2g} {drawing.unit} apart where one "
                "belongs: join the faces in the drawing ('sew', 'weld') and export again."
            )
    return "Close the surface in the drawing and export again; nothing is closed here."


def _crowded(vertices: Floats, faces: Integers, edges: _Edges, drawing: Drawing) -> list[Fault]:
    """Edges with three triangles or more, doubled triangles among them."""
    crowded = np.flatnonzero(edges.sides > 2)
    if not crowded.size:
        return []
    middle = vertices[edges.ends[crowded[0]]].mean(axis=0)
    twice = len(faces) - len(np.unique(np.sort(faces, axis=1), axis=0))
    doubled = f", and {twice} triangles stand there twice" if twice else ""
    problem = (
        f"{crowded.size} edges have more than two triangles, the first at "
        f"{drawing.point(middle)}{doubled}"
    )
    remedy = (
        "Export one closed skin: remove doubled faces and walls inside, and unite bodies that "
        "touch each other."
    )
    return [Fault(drawing.place, problem, remedy)]


def _flipped(vertices: Floats, faces: Integers, edges: _Edges, drawing: Drawing) -> list[Fault]:
    """Triangles wound against their neighbours: the smaller share of each body."""
    against = (edges.sides == 2) & (edges.ahead != 1)
    if not against.any():
        return []
    turned = np.flatnonzero(_turned(faces, edges, against))
    middle = vertices[faces[turned[0]]].mean(axis=0)
    problem = (
        f"{_triangles(turned)} wound against their neighbours, the first at {drawing.point(middle)}"
    )
    return [Fault(drawing.place, problem, "Turn these faces over in the drawing and export again.")]


def _turned(faces: Integers, edges: _Edges, against: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Which triangles to turn so that neighbours agree; in each body the smaller share.

    Walked triangle by triangle: this runs only for a file that is refused.
    """
    side_of = edges.of_face.ravel()
    order = np.argsort(side_of, kind="stable")
    paired = order[np.isin(side_of[order], np.flatnonzero(edges.sides == 2))].reshape(-1, 2)
    neighbours: list[list[tuple[int, bool]]] = [[] for _ in faces]
    for one, other in paired:
        odd = bool(against[side_of[one]])
        neighbours[one // 3].append((int(other) // 3, odd))
        neighbours[other // 3].append((int(one) // 3, odd))
    turned = np.zeros(len(faces), dtype=bool)
    seen = np.zeros(len(faces), dtype=bool)
    for start in range(len(faces)):
        if seen[start]:
            continue
        seen[start] = True
        body = [start]
        for face in body:
            for neighbour, odd in neighbours[face]:
                if not seen[neighbour]:
                    seen[neighbour] = True
                    turned[neighbour] = turned[face] ^ odd
                    body.append(neighbour)
        if 2 * turned[body].sum() > len(body):
            turned[body] ^= True
    return turned


def _inside_out(vertices: Floats, faces: Integers, edges: _Edges, drawing: Drawing) -> list[Fault]:
    """Bodies wound the wrong way for where they lie."""
    body = label_bodies(edges.of_face)
    volume = signed_volumes(vertices, faces, body)
    depth = nesting_depth(vertices, faces, body)
    faults = []
    for label, (size, levels) in enumerate(zip(volume, depth, strict=True)):
        corners = vertices[faces[body == label]].reshape(-1, 3)
        middle = drawing.point((corners.min(axis=0) + corners.max(axis=0)) / 2)
        which = "the surface" if len(volume) == 1 else f"the body round {middle}"
        if size == 0.0:
            problem = f"{which} encloses no volume"
            remedy = "Remove it, or export a solid with thickness."
        elif levels % 2 == 0 and size < 0.0:
            problem = f"{which} is inside out: its volume is {size:.6g} {drawing.unit}3"
            remedy = "Turn its normals outward in the drawing and export again."
        elif levels % 2 == 1 and size > 0.0:
            problem = f"{which} lies inside another and would count twice"
            remedy = "Subtract it, or unite the two, in the drawing and export one solid."
        else:
            continue
        faults.append(Fault(drawing.place, problem, remedy))
    return faults


def _overlapping(vertices: Floats, faces: Integers, drawing: Drawing) -> list[Fault]:
    """Triangles that go through others, as those of two bodies that share a space do."""
    return _meeting(vertices, faces, find_overlap(vertices, faces), drawing)


def _meeting(vertices: Floats, faces: Integers, pairs: Integers, drawing: Drawing) -> list[Fault]:
    if not len(pairs):
        return []
    middle = vertices[faces[pairs[0]]].mean(axis=(0, 1))
    problem = (
        f"the surface goes through itself: {_triangles(np.unique(pairs))} meeting others, the "
        f"first near {drawing.point(middle)}; what is there twice would count twice"
    )
    remedy = "Unite the bodies, or mend the surface, in the drawing and export it again."
    return [Fault(drawing.place, problem, remedy)]


def _triangles(rows: Integers) -> str:
    """'3 triangles (17, 18, 40)', counted from 1."""
    shown = ", ".join(str(row + 1) for row in rows[:_SHOWN])
    more = ", ..." if rows.size > _SHOWN else ""
    return f"{rows.size} {'triangle' if rows.size == 1 else 'triangles'} ({shown}{more})"
