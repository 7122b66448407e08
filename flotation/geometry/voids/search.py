"""Cavities from the parts themselves: the voids between them once every gap is sealed.

Nobody draws cavities; a drawing has the hull, the grid, the sole, and the cavity is what is left.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.solid import Skin, Solid
from flotation.geometry.voids.assembling import Outcome, assemble
from flotation.geometry.voids.chambers import Chamber, chambers
from flotation.geometry.voids.finding import CavityFinding, Closure
from flotation.geometry.voids.gathering import gather
from flotation.geometry.voids.leaks import Looking, find_leaks
from flotation.geometry.voids.putty import TOUCH, opposites, putty, with_closures
from flotation.geometry.voids.sealing import unite

Floats = NDArray[np.float64]
Progress = Callable[[float, str], None]

# Openings are looked for up to eight gaps, and at least this wide, m: a hand's access hole.
_LOOK_TO = 0.04
# Two voids whose centroids stand as close as this along the boat, m, are side by side.
_ABREAST = 0.005


def find_cavities(  # noqa: PLR0913 - one call that says all, each by its name
    parts: Sequence[Solid | Skin],
    *,
    gap: float,
    names: Sequence[str] = (),
    closures: Sequence[Closure] = (),
    look_to: float | None = None,
    surface_error: float = 0.0,
    progress: Progress | None = None,
) -> CavityFinding:
    """Which closed cavities do these parts form, how large are they, and where do they leak?

    parts          closed bodies, or sheets with a thickness; they may touch, overlap or poke
                   through each other
    gap            m, 0 or more: every gap up to it is sealed, as tape and putty do, and 10 um
                   beyond, so that rounding in a file does not open a gap drawn as wide as this
    names          of the parts; their own names where left out
    closures       wider openings that are closed by name before the pour
    look_to        m, leaks are looked for up to this width; None: eight gaps, at least 40 mm;
                   none are looked for at `gap` or less, and a caution says so
    surface_error  m, by how much the parts' surfaces may be off (chords of a curve, a scan)
    progress       told now and then what share of the work is done, 0 to 1, and what comes next

    A gap is where two walls stand opposite each other, its width measured square to one of them.
    It is filled flush with its mouth: no foam stands in a sealed gap, and `gap_volume` says how
    much would. Corners sharper than square belong to the cavity. `volume_error` lets every mouth
    stand half a gap farther in or out, and every surface be off by `surface_error`.

    Raises MeshError naming the part for one that the modeller cannot use, or whose size says that
    it is in another unit than the rest; ValueError for a gap that is not a length.
    """
    _check(parts, gap, names)
    labels = tuple(names) or tuple(p.name or f"part {i + 1}" for i, p in enumerate(parts))
    gathered = gather(parts, labels, TOUCH)
    local = [_moved(closure, -gathered.origin) for closure in closures]
    reach = max(8.0 * gap, _LOOK_TO) if look_to is None else max(look_to, gap)
    tell = progress or _silent
    tell(0.0, "joining the parts")
    walls = unite(gathered.bodies)
    tell(0.1, "looking where walls stand close")
    found = opposites(walls, gathered.triangles, gap + TOUCH)
    found = with_closures(found, local)
    tell(0.25, "sealing the gaps")
    state = putty(found, gap + TOUCH)
    tell(0.55, "looking for leaks")
    closed, slots = chambers(state.sealed.regions, gap)
    closed = _in_order(closed)
    leaks, cautions = find_leaks(found, state, closed, Looking(gap, reach, labels, gathered.origin))
    tell(0.9, "measuring the cavities")
    off = gathered.misfit + surface_error
    outcome = Outcome(gap, reach, labels, off, state.widest, leaks, cautions)
    finding = assemble(gathered, state, closed, slots, outcome)
    tell(1.0, "done")
    return finding


def _silent(share: float, stage: str) -> None:
    """Nobody asked for the progress."""


def _check(parts: Sequence[Solid | Skin], gap: float, names: Sequence[str]) -> None:
    if not parts:
        raise ValueError("no parts")
    if not 0.0 <= gap < float("inf"):
        raise ValueError(f"gap must be a length of zero or more, got {gap!r}")
    if names and len(names) != len(parts):
        raise ValueError(f"{len(names)} names for {len(parts)} parts")


def _moved(closure: Closure, by: Floats) -> Closure:
    x, y, z = (float(a + b) for a, b in zip(closure.at, by, strict=True))
    return replace(closure, at=(x, y, z))


def _in_order(closed: Sequence[Chamber]) -> list[Chamber]:
    """Forward to aft; side by side, port to starboard; then from the top down."""
    place = np.array([chamber.region.centroid for chamber in closed]).reshape(-1, 3)
    ahead = np.argsort(-place[:, 0], kind="stable")
    steps = np.diff(place[ahead, 0], prepend=place[ahead[:1], 0]) < -_ABREAST
    row = np.empty(len(closed), dtype=np.intp)
    row[ahead] = np.cumsum(steps)
    order = np.lexsort((-place[:, 2], -place[:, 1], row))
    return [closed[number] for number in order]
