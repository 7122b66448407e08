"""From what was closed off to what is handed back: voids, gaps and leaks in the parts' frame."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.solid import Solid
from flotation.geometry.voids.chambers import Chamber, as_triangles
from flotation.geometry.voids.error_bound import volume_error
from flotation.geometry.voids.facing import Triangles, in_front, opposite
from flotation.geometry.voids.finding import OUTSIDE, CavityFinding, Gap, Leak, Void
from flotation.geometry.voids.gathering import Gathered
from flotation.geometry.voids.openings import figures, measure, sections
from flotation.geometry.voids.proximity import facing_triangles
from flotation.geometry.voids.putty import LAP, TOUCH, Puttied

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

# Voids with less than this between them, m, over more than this area, m2, share a wall.
_WALL = 0.03
_WALL_AREA = 1e-4
_ENOUGH = 500
_CRUMBS = 0.1


@dataclass(frozen=True, eq=False)
class Outcome:
    """What was asked, and what leaks.

    off     (parts,) m, how far each part's surface may be off
    widest  (plugs,) m, that the walls stand apart at each plug of the putty
    """

    gap: float
    looked_to: float
    names: Sequence[str]
    off: Floats
    widest: Floats
    leaks: Sequence[Leak]
    cautions: Sequence[str]


def assemble(
    gathered: Gathered,
    state: Puttied,
    closed: Sequence[Chamber],
    slots: Sequence[int],
    outcome: Outcome,
) -> CavityFinding:
    """The finding; `closed` in the order that its voids shall have, `slots` no voids at all."""
    gaps = _gaps(gathered, state, closed, outcome)
    beside = _touching(closed, gaps)
    voids = tuple(
        _void(number, chamber, gathered, (gaps, beside), outcome)
        for number, chamber in enumerate(closed)
    )
    leaks = tuple(
        replace(
            leak,
            place=leak.place + gathered.origin,
            cavity_place=leak.cavity_place + gathered.origin,
            to_place=leak.to_place + gathered.origin,
        )
        for leak in outcome.leaks
    )
    return CavityFinding(
        gap=outcome.gap,
        looked_to=outcome.looked_to,
        voids=voids,
        gaps=gaps,
        leaks=leaks,
        pockets=float(sum(state.sealed.regions[n].volume for n in slots)),
        apart=_apart(state, outcome.names),
        cautions=(*gathered.cautions, *outcome.cautions),
    )


def _void(
    number: int,
    chamber: Chamber,
    gathered: Gathered,
    around: tuple[tuple[Gap, ...], set[tuple[int, int]]],
    outcome: Outcome,
) -> Void:
    region, names = chamber.region, outcome.names
    gaps = tuple(gap for gap in around[0] if number in gap.between)
    walls = np.unique(region.part[region.part >= 0])
    return Void(
        solid=Solid(region.vertices + gathered.origin, region.faces, name=f"void {number + 1}"),
        volume=region.volume,
        volume_error=volume_error(region, outcome.gap, outcome.off, outcome.widest),
        centroid=region.centroid + gathered.origin,
        parts=tuple(names[part] for part in walls),
        gaps=gaps,
        touching=tuple(sorted(b for a, b in around[1] if a == number)),
        adrift=tuple(tuple(names[part] for part in body) for body in region.adrift),
        gap_volume=sum(gap.volume for gap in gaps),
    )


def _gaps(
    gathered: Gathered, state: Puttied, closed: Sequence[Chamber], outcome: Outcome
) -> tuple[Gap, ...]:
    """Every opening that was sealed and is more than a touch, longest first."""
    void = {chamber.number: number for number, chamber in enumerate(closed)}
    triangles, names = gathered.triangles, outcome.names
    wide = state.widest > 2.0 * TOUCH
    numbers = figures(state, triangles.normals)
    found = []
    for opening in state.openings:
        if not wide[opening.pieces].any():
            continue
        size = measure(state, numbers, opening, 2.0 * TOUCH)
        most = outcome.gap if size.widest <= state.width + LAP else size.widest
        one, other = (names[triangles.part[n]] for n in state.sides(int(opening.pieces[0])))
        sides = {void.get(side, side if side == OUTSIDE else None) for side in opening.sides}
        between = tuple(sorted(side for side in sides if side is not None))
        first, second = sorted((one, other))
        found.append(
            Gap(
                parts=(first, second),
                place=size.place + gathered.origin,
                narrowest=min(size.narrowest, most),
                widest=min(size.widest, most),
                length=size.length,
                volume=size.volume,
                between=between,
            )
        )
    return tuple(sorted(found, key=lambda gap: -gap.length))


def _touching(closed: Sequence[Chamber], gaps: Sequence[Gap]) -> set[tuple[int, int]]:
    """Ordered pairs of voids that share a sealed gap or a wall."""
    pairs = {(a, b) for gap in gaps for a in gap.between for b in gap.between if a != b}
    pairs = {(a, b) for a, b in pairs if OUTSIDE not in (a, b)}
    if len(closed) < 2:
        return pairs
    triangles = _facing_others(_surfaces(closed))
    if not len(triangles.corners):
        return pairs
    one, other = _across(triangles)
    pieces = opposite(triangles, one, other, (-TOUCH, _WALL))
    area, _, _ = sections(pieces, triangles.normals)
    shared = np.zeros((len(closed), len(closed)))
    np.add.at(shared, (triangles.part[pieces.one], triangles.part[pieces.other]), area)
    found = np.argwhere(np.maximum(shared, shared.T) > _WALL_AREA)
    return pairs | {(int(a), int(b)) for a, b in found}


def _across(triangles: Triangles) -> tuple[Integers, Integers]:
    """Pairs of triangles of two voids with a wall between them; of each two voids the largest.

    A few hundred of the largest tell whether two voids share a wall as well as all of them do.
    """

    def across(one: Integers, other: Integers) -> NDArray[np.bool_]:
        differ = np.asarray(triangles.part[one] != triangles.part[other])
        differ[differ] = in_front(triangles, one[differ], other[differ], (-TOUCH, _WALL))
        return differ

    one, other = facing_triangles(triangles.corners, triangles.normals, _WALL, across)
    _, radius = triangles.circles
    order = np.argsort(-np.minimum(radius[one], radius[other]), kind="stable")
    one, other = one[order], other[order]
    count = int(triangles.part.max()) + 1
    kind = triangles.part[one] * count + triangles.part[other]
    rank = np.argsort(kind, kind="stable")
    first = np.searchsorted(kind[rank], kind[rank])
    few = np.sort(rank[np.arange(len(rank)) - first < _ENOUGH])
    return one[few], other[few]


def _surfaces(closed: Sequence[Chamber]) -> Triangles:
    """The surfaces of all voids as one list, each void a part; neighbours are not needed."""
    shells = [as_triangles(c.region.vertices, c.region.faces) for c in closed]
    sizes = [len(shell.corners) for shell in shells]
    return Triangles(
        np.concatenate([shell.corners for shell in shells]),
        np.concatenate([shell.normals for shell in shells]),
        np.repeat(np.arange(len(shells)), sizes),
        np.zeros((sum(sizes), 3), dtype=np.intp),
    )


def _facing_others(triangles: Triangles) -> Triangles:
    """Those near enough to another void to share a wall with it, less crumbs that cannot matter.

    The smallest triangles of each void, a tenth of the area asked for together, are left out:
    booleans leave many, and each costs as much as a large one.
    """
    low, high = triangles.corners.min(axis=1), triangles.corners.max(axis=1)
    count = int(triangles.part.max()) + 1
    boxes = [(low[at].min(axis=0), high[at].max(axis=0)) for at in _rows_of(triangles.part, count)]
    near = np.zeros(len(low), dtype=bool)
    for number, (start, end) in enumerate(boxes):
        beside = (low <= end + _WALL).all(axis=1) & (high >= start - _WALL).all(axis=1)
        near |= beside & (triangles.part != number)
    sides = np.roll(triangles.corners, -1, axis=1) - triangles.corners
    area = 0.5 * np.linalg.norm(np.cross(sides[:, 0], sides[:, 1]), axis=1)
    for at in _rows_of(triangles.part, count):
        smallest = at[np.argsort(area[at], kind="stable")]
        near[smallest[np.cumsum(area[smallest]) <= _CRUMBS * _WALL_AREA]] = False
    return Triangles(
        triangles.corners[near],
        triangles.normals[near],
        triangles.part[near],
        np.zeros((int(near.sum()), 3), dtype=np.intp),
    )


def _rows_of(part: Integers, count: int) -> list[Integers]:
    """The triangles of each part."""
    return [np.flatnonzero(part == number) for number in range(count)]


def _apart(state: Puttied, names: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    """The bodies that nothing encloses, where they are more than one, the largest left out."""
    outer = sorted(state.sealed.outer, key=lambda shell: -shell.volume)
    found = []
    for shell in outer[1:]:
        walls = np.unique(shell.part[shell.part >= 0])
        if walls.size:
            found.append(tuple(names[part] for part in walls))
    return tuple(found)
