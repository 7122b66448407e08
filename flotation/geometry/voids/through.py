"""Which of the spaces beside an opening it joins to which. Works on what `putty` found.

Putty is laid along whole triangles: what stands between a stringer and the sole goes on through
every bulkhead that crosses them, and beside a thin wall it reaches behind it. What the walls cut
it into are openings of their own: only two spaces at one lump of it are joined by it.
"""

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.bodies import label_bodies
from flotation.geometry.voids.gathering import neighbours
from flotation.geometry.voids.plugs import FACES_OF_PLUG, PlugMesh
from flotation.geometry.voids.putty import LAP, OUTSIDE, Opening, Puttied
from flotation.geometry.voids.sealing import Region, Walls, hull_plugs, lumps, surface
from flotation.geometry.voids.winding import contains

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Surface = tuple[Floats, Integers]

# How far into the putty is looked from its face, as a share of its lap.
_INTO = 0.1
# A patch smaller than this, m2, is what rounding left of a face, and no mouth.
_CRUMB = LAP**2

# The lump that each piece of putty shows in one space, as rows of lump and piece; None where the
# lump of some face is not plain.
Shown = Integers | None


class Through:
    """The lumps of each opening's putty, and the spaces that each of them stands in.

    walls   all that stood before the putty: parts, and putty of narrower gaps
    """

    def __init__(self, state: Puttied, walls: Walls) -> None:
        self.state, self.walls = state, walls
        self.known: dict[int, dict[int, Shown]] = {}

    def between(self, opening: Opening, one: int, other: int) -> Opening | None:
        """What of the opening joins two of its sides; None where no lump stands in both.

        Where it is not plain which lump a face is of, all of the opening is taken to join them.
        """
        first = int(opening.pieces[0])
        if first not in self.known:
            self.known[first] = self._shown(opening)
        seen = self.known[first]
        at_one, at_other = seen[one], seen[other]
        if at_one is None or at_other is None:
            return opening
        both = np.intersect1d(at_one[:, 0], at_other[:, 0])
        if not both.size:
            return None
        rows = np.concatenate([rows for rows in seen.values() if rows is not None])
        here = np.isin(rows[:, 0], both)
        elsewhere = np.setdiff1d(rows[~here, 1], rows[here, 1])
        return replace(opening, pieces=np.setdiff1d(opening.pieces, elsewhere))

    def _shown(self, opening: Opening) -> dict[int, Shown]:
        """For each side, what it shows of the lumps."""
        found = lumps(self.walls, self._plugs(opening.pieces))
        regions, outer = self.state.sealed.regions, self.state.sealed.outer
        return {
            side: self._seen_in(outer, -1.0, opening.pieces, found)
            if side == OUTSIDE
            else self._seen_in((regions[side],), 1.0, opening.pieces, found)
            for side in opening.sides
        }

    def _seen_in(
        self, shells: Sequence[Region], out: float, pieces: Integers, found: Sequence[Surface]
    ) -> Shown:
        """The lumps whose faces are faces of the shells; `out` is 1 if these look into the putty.

        A patch of such faces that hang together is of one lump; its largest triangle tells of
        which. Behind a film of putty on a wall there is the wall, and no lump.
        """
        rows = [np.zeros((0, 2), dtype=np.intp)]
        for shell in shells:
            for patch in _patches(shell, pieces):
                into = _in_front(shell, int(patch[0]), out * _INTO * LAP)
                at = [number for number, body in enumerate(found) if contains(*body, into)]
                if not at and contains(*self._wall, into):
                    continue
                if len(at) != 1:
                    return None
                shown = np.unique(shell.plug[patch])
                rows.append(np.stack([np.full(len(shown), at[0]), shown], axis=1))
        return np.concatenate(rows)

    @cached_property
    def _wall(self) -> Surface:
        return surface(self.walls)

    def _plugs(self, pieces: Integers) -> list[PlugMesh]:
        """The bodies of putty that have a face of one of the pieces."""
        meshes = [_some(plugs, pieces) for plugs in self.state.plugs]
        first = len(self.state.pieces)
        tied = pieces[pieces >= first] - first
        return [
            *(mesh for mesh in meshes if mesh is not None),
            *hull_plugs(self.state.ties.points[tied], first, LAP),
        ]


def _some(plugs: PlugMesh, pieces: Integers) -> PlugMesh | None:
    """Those bodies of a mesh of plugs that have a face of one of the pieces."""
    of_them = np.isin(plugs.face // FACES_OF_PLUG, pieces)
    if not of_them.any():
        return None
    body = label_bodies(plugs.faces)
    whole = np.isin(body, np.unique(body[of_them]))
    used, faces = np.unique(plugs.faces[whole], return_inverse=True)
    return PlugMesh(plugs.vertices[used], faces.reshape(-1, 3), plugs.face[whole])


def _patches(shell: Region, pieces: Integers) -> list[Integers]:
    """Faces of the pieces' putty that hang together by their edges, in each the largest first."""
    rows = np.flatnonzero(np.isin(shell.plug, pieces))
    if not rows.size:
        return []
    rows = rows[np.argsort(-shell.areas[rows], kind="stable")]
    place = np.full(len(shell.faces), -1)
    place[rows] = np.arange(len(rows))
    beyond = place[neighbours(shell.faces)[rows]]
    here, edge = np.nonzero(beyond >= 0)
    links = np.stack([here, beyond[here, edge]], axis=1)
    alone = np.stack([np.arange(len(rows))] * 2, axis=1)
    label = label_bodies(np.concatenate([alone, links]))[: len(rows)]
    patches = [rows[label == number] for number in range(int(label.max()) + 1)]
    return [patch for patch in patches if float(shell.areas[patch].sum()) > _CRUMB]


def _in_front(shell: Region, face: int, by: float) -> Floats:
    """A place so far, m, in front of the middle of a face."""
    a, b, c = shell.vertices[shell.faces[face]]
    normal = np.cross(b - a, c - a)
    result: Floats = (a + b + c) / 3.0 + by * normal / np.linalg.norm(normal)
    return result
