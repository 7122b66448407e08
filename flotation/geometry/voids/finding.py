"""What a search for cavities is told beside the parts, and what it hands back."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.solid import Solid

Floats = NDArray[np.float64]

OUTSIDE = -1


@dataclass(frozen=True)
class Closure:
    """An opening that is closed before the pour: where, and how wide at most, m.

    What stands opposite within `width` of the place is closed however wide it is, up to `width`.
    """

    name: str
    at: tuple[float, float, float]
    width: float


@dataclass(frozen=True, eq=False)
class Gap:
    """A gap that was sealed.

    parts       the two parts that it lies between; one name twice for a slot in one part
    place       (3,) m, the middle of its mouths
    narrowest   m, and
    widest      m, of the gap and not of its putty: measured square to one of the walls, or from
                edge to edge where two pass each other; up to 10 um beyond `gap` counts as `gap`
    length      m, of its longest mouth
    volume      m3 of putty in it
    between     numbers of the voids that it opens into, OUTSIDE where it leads out
    """

    parts: tuple[str, str]
    place: Floats
    narrowest: float
    widest: float
    length: float
    volume: float
    between: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class Void:
    """A cavity that is closed once every gap up to the width asked for is sealed.

    solid         its closed surface; where something floats inside, with that surface too
    volume        m3, no foam in the sealed gaps: it ends where a gap begins
    volume_error  m3, the true volume lies within volume +- volume_error
    centroid      (3,) m
    parts         names of the parts that wall it
    gaps          the sealed gaps that open into it
    touching      numbers of voids that have a wall or a gap in common with it
    adrift        bodies that float free inside: the names of the parts in each
    gap_volume    m3, of the gaps that open into it; foam enters them where nobody fills them first
    """

    solid: Solid
    volume: float
    volume_error: float
    centroid: Floats
    parts: tuple[str, ...]
    gaps: tuple[Gap, ...]
    touching: tuple[int, ...]
    adrift: tuple[tuple[str, ...], ...]
    gap_volume: float


@dataclass(frozen=True, eq=False)
class Leak:
    """An opening wider than the gap that was sealed, out of what would be a cavity.

    place, narrowest, widest, parts   as for a Gap
    cavity_volume, cavity_place       m3 and (3,) m, of the cavity if the opening were closed
    cavity    the number of the void that it is a chamber of; OUTSIDE when it is open to the outside
    to        where foam or water would go: the number of a void, or OUTSIDE
    to_place  (3,) m, a place in the chamber beyond; nan where the opening leads outside
    """

    place: Floats
    narrowest: float
    widest: float
    parts: tuple[str, str]
    cavity_volume: float
    cavity_place: Floats
    cavity: int
    to: int
    to_place: Floats

    @property
    def is_passage(self) -> bool:
        """Whether it joins two chambers of one void, so that pouring one feeds the other."""
        return self.cavity != OUTSIDE and self.cavity == self.to


@dataclass(frozen=True, eq=False)
class CavityFinding:
    """All that was found with every gap up to `gap` sealed.

    gap       m
    voids     forward to aft, port to starboard
    gaps      all sealed gaps, those that open into no void too
    leaks     openings wider than `gap` and up to `looked_to`, widest first: out of what would be a
              cavity, or between two chambers of one void
    pockets   m3, of closed spaces that are nowhere wider than `gap`: no voids
    apart     bodies that hang on to none of the others: the names of the parts in each
    cautions  what a reader should know
    """

    gap: float
    looked_to: float
    voids: tuple[Void, ...]
    gaps: tuple[Gap, ...]
    leaks: tuple[Leak, ...]
    pockets: float
    apart: tuple[tuple[str, ...], ...]
    cautions: tuple[str, ...]
