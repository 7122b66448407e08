"""Air that stays in a closed space when foam or liquid rises in it: what lies above the last way
out.

The surface rises level along `up`. The air above it falls into connected parts; a part whose open
holes all lie below the surface is caught. So a dome is caught above its highest hole, and a
second peak without a vent is caught from the level of the saddle where it splits off.

The parts of {height > level} change only where the level passes a corner of the mesh: between two
corners one question settles it. The surface is asked first: above the level at which a peak's part
of it joins a higher one, or a way out, its air may be caught, and below not. Then the solid is cut
and its pieces told apart, so that a ring round a pillar or a hollow inside counts as what it is.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from flotation.geometry.cavities import NOTHING
from flotation.geometry.cavities_cut import LevelCuts, without_top
from flotation.geometry.nearness import distance_to_surface, nearest_on_surface, nearest_triangle
from flotation.geometry.peaks import Peak, lasting_peaks
from flotation.geometry.solid import Floats, Integers, Solid

_HAIR = 1e-9
"""Of the solid's height: levels closer than this are one, and a cut lies this far above its own."""
_ON = 1e-6
"""Of the solid's height: what lies farther from a piece is not on it."""


@dataclass(frozen=True, eq=False)
class AirTrap:
    """Air that is caught.

    solid  the space that it takes, m
    level  m along `up`, from which it is cut off from every open hole
    top    (3,) m, its highest point; of a level ceiling the middle of its corners
    """

    solid: Solid
    level: float
    top: Floats

    @property
    def volume(self) -> float:
        """m3."""
        return self.solid.volume

    @property
    def centroid(self) -> Floats:
        """(3,) m."""
        return self.solid.centroid


def caught_air(solid: Solid, up: ArrayLike, open_points: ArrayLike) -> tuple[AirTrap, ...]:
    """Where does air stay in a closed space that fills from below, and how much, largest first?

    up           (3,) direction straight up, of any length above zero
    open_points  (n, 3) m, holes that let air out; each counts at the point of the surface nearest
                 to it, and with its middle: what its upper half would still let out stays caught
    Without an open point in a piece of the solid, all of that piece is caught.

    Volumes are exact but for the 1e-9 of the solid's height by which a cut lies above its level,
    and traps below 1e-9 of the solid's volume are left off. Foam that is thick enough to stand
    uneven, and air that bubbles through it, are not in this.
    """
    direction = np.asarray(up, dtype=np.float64)
    length = float(np.linalg.norm(direction))
    if direction.shape != (3,) or not 0.0 < length < np.inf:
        raise ValueError(f"up must be a direction of three numbers, got {up!r}")
    points = np.asarray(open_points, dtype=np.float64).reshape(-1, 3)
    space = _Space(solid, direction / length, _on_surface(solid, points))
    traps: list[AirTrap] = []
    for peak in space.peaks:
        if not any(_holds(trap, space, peak.vertex) for trap in traps):
            trap = space.trap_of(peak)
            if trap is not None:
                traps.append(trap)
    return tuple(sorted(traps, key=lambda trap: -trap.volume))


def without_air(solid: Solid, up: ArrayLike, traps: Sequence[AirTrap]) -> Solid | None:
    """What foam can fill of a solid: all but the traps that `caught_air` found; None for nothing.

    up  (3,) as it was given there
    """
    upward = np.asarray(up, dtype=np.float64) / np.linalg.norm(up)
    across = np.cross(np.eye(3)[np.abs(upward).argmin()], upward)
    across /= np.linalg.norm(across)
    axes = np.stack([across, np.cross(upward, across), upward])
    left: Solid | None = solid
    for trap in traps:
        if left is not None:
            left = without_top(left, trap.solid, axes, trap.level)
    return left


def _on_surface(solid: Solid, points: Floats) -> Floats:
    return nearest_on_surface(solid, points) if len(points) else points


def _holds(trap: AirTrap, space: "_Space", peak: int) -> bool:
    at = space.solid.vertices[peak][None]
    low, high = trap.solid.bounds
    if (at < low - space.hair).any() or (at > high + space.hair).any():
        return False
    return bool(distance_to_surface(trap.solid, at)[0] <= space.hair)


@dataclass(frozen=True, eq=False)
class _Space:
    """A solid with its open holes, and the answers kept while its peaks are asked in turn."""

    solid: Solid
    up: Floats
    holes: Floats
    _pieces: dict[float, tuple[Solid, ...]] = field(default_factory=dict)

    @cached_property
    def _cuts(self) -> LevelCuts:
        return LevelCuts(self.solid)

    @cached_property
    def height(self) -> Floats:
        """(n,) m, of every vertex."""
        height: Floats = self.solid.vertices @ self.up
        return height

    @cached_property
    def hole_height(self) -> Floats:
        """(holes,) m."""
        height: Floats = self.holes @ self.up
        return height

    @cached_property
    def tall(self) -> float:
        """Height over all, m."""
        return float(np.ptp(self.height[self.solid.faces]))

    @property
    def hair(self) -> float:
        """m, the least difference of height that counts."""
        return _HAIR * self.tall

    @cached_property
    def levels(self) -> Floats:
        """(k,) m, sorted: every height at which the parts above can change."""
        heights = np.sort(np.r_[self.height[np.unique(self.solid.faces)], self.hole_height])
        return heights[np.r_[True, np.diff(heights) > self.hair]]

    @cached_property
    def peaks(self) -> list[Peak]:
        """Those that may hold air worth counting, the highest first."""
        out = list(zip(self.hole_height.tolist(), self._beside.tolist(), strict=True))
        peaks = lasting_peaks(self.height, self.solid.faces, self._roof, out)
        return [peak for peak in peaks if peak.roofed > NOTHING * self.solid.volume]

    @cached_property
    def _roof(self) -> Floats:
        """(m,) m2, each triangle that faces upward, seen from above; 0 for the others."""
        a, b, c = (self.solid.vertices[self.solid.faces[:, i]] for i in range(3))
        roof: Floats = np.maximum(0.5 * np.cross(b - a, c - a) @ self.up, 0.0)
        return roof

    @cached_property
    def _beside(self) -> Integers:
        """(holes,) for each hole the highest corner of the triangle that it lies in.

        The two hang together above every level below the hole.
        """
        faces = self.solid.faces[nearest_triangle(self.solid, self.holes)]
        highest = self.height[faces].argmax(axis=1)
        beside: Integers = faces[np.arange(len(faces)), highest]
        return beside

    def trap_of(self, peak: Peak) -> AirTrap | None:
        """The largest caught part around a peak; None where its air gets out to the last.

        It ends no lower than its piece of the surface, which mostly is where it ends.
        """
        span = self._caught_down_to(peak)
        if span is None:
            return None
        level = float(self.levels[span])
        parts = self._pieces_above(level + self.hair)
        home = self._piece_at(parts, self.solid.vertices[peak.vertex])
        if home is None or parts[home].volume <= NOTHING * self.solid.volume:
            return None
        return AirTrap(parts[home], level, self._top(parts[home]))

    def _caught_down_to(self, peak: Peak) -> int | None:
        """The lowest span between levels in which the air around a peak is caught."""
        top = self._level_at(float(self.height[peak.vertex]))
        low, high = self._level_at(peak.lasts), top - 1
        if high < low:
            return None
        if self._caught(low, peak.vertex):
            return low
        if not self._caught(high, peak.vertex):
            return None
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (low, middle) if self._caught(middle, peak.vertex) else (middle, high)
        return high

    def _level_at(self, height: float) -> int:
        """Number of a level: the lowest of the heights that are one with it, so none above it."""
        return max(int(self.levels.searchsorted(height, side="right")) - 1, 0)

    def _top(self, part: Solid) -> Floats:
        height = part.vertices @ self.up
        used = np.unique(part.faces)
        highest = used[height[used] >= height[used].max() - self.hair]
        top: Floats = part.vertices[highest].mean(axis=0)
        return top

    def _caught(self, span: int, peak: int) -> bool:
        """Is the air around a peak caught while the level stands between levels span, span + 1?"""
        middle = 0.5 * float(self.levels[span] + self.levels[span + 1])
        out = np.flatnonzero(self.hole_height > middle)
        if not out.size:
            return True
        parts = self._pieces_above(middle)
        home = self._piece_at(parts, self.solid.vertices[peak])
        if home is None:
            return True
        return all(self._piece_at(parts, self.holes[hole]) != home for hole in out)

    def _pieces_above(self, level: float) -> tuple[Solid, ...]:
        if level not in self._pieces:
            self._pieces[level] = self._cuts.pieces_above(self.up, level)
        return self._pieces[level]

    def _piece_at(self, parts: Sequence[Solid], point: Floats) -> int | None:
        """The piece whose surface a point is on; None where its own was left off as rounding."""
        away = np.full(len(parts), np.inf)
        for number, part in enumerate(parts):
            low, high = part.bounds
            if np.maximum(low - point, point - high).max() <= _ON * self.tall:
                away[number] = distance_to_surface(part, point[None])[0]
        if not len(away) or away.min() > _ON * self.tall:
            return None
        return int(away.argmin())
