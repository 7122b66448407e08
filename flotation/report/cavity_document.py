"""Found cavities as cavities.json has them: a field for each key, from which its schema follows.

SI; voids are numbered from 1, as everywhere that a person reads.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.boat_places import Point
from flotation.foundcavities import FoundCavities
from flotation.geometry.voids import OUTSIDE, Gap, Leak, Void


@dataclass(frozen=True)
class CavityEntry:
    """A closed space between the parts.

    number           in this list, from 1: forward to aft, port to starboard
    found            its name by place, for `found` of a [[cavity]]: of its centroid, from the
                     transom, off the centreline and above the baseline, in metres
    cavity           name of the [[cavity]] that refers to it; null for none
    volume_m3        without what lies in sealed gaps
    volume_error_m3  bound on the error of the volume, either way
    centroid_m       centre of the volume; x, y, z
    parts            names of the parts and plugs that wall it, and of those that stand free in it
    closed           names of the openings, closed by the boat file, that keep it in
    touching         numbers of the cavities that have a wall or a gap in common with it
    adrift           bodies that stand free in it: for each the names of its parts
    gap_volume_m3    of the sealed gaps that open into it; no foam is counted there
    """

    number: int
    found: str
    cavity: str | None
    volume_m3: float
    volume_error_m3: float
    centroid_m: Point
    parts: tuple[str, ...]
    closed: tuple[str, ...]
    touching: tuple[int, ...]
    adrift: tuple[tuple[str, ...], ...]
    gap_volume_m3: float


@dataclass(frozen=True)
class LeakEntry:
    """An opening wider than the gap that is sealed: it stays open unless an [[opening]] closes it.

    place_m           the middle of its mouths; x, y, z
    narrowest_m       its least width
    widest_m          its greatest width, square to the walls
    parts             names of the two parts that it lies between; one name twice for a slot in one
                      part
    cavity            number of the cavity that it is a chamber of; null for a space that is open to
                      the outside through it
    cavity_volume_m3  of the cavity or chamber that there would be if the opening were closed
    cavity_place_m    a place in that; x, y, z
    to                number of the cavity that foam would go into; null for the outside
    to_place_m        a place there; x, y, z; null for the outside
    passage           true: it joins two chambers of one cavity
    """

    place_m: Point
    narrowest_m: float
    widest_m: float
    parts: tuple[str, ...]
    cavity: int | None
    cavity_volume_m3: float
    cavity_place_m: Point
    to: int | None
    to_place_m: Point | None
    passage: bool


@dataclass(frozen=True)
class GapEntry:
    """A gap that was sealed.

    parts        names of the two parts that it lies between; one name twice for a slot in one part
    place_m      the middle of its mouths; x, y, z
    narrowest_m  its least width
    widest_m     its greatest width, square to the walls
    length_m     of its longest mouth
    volume_m3    of what seals it
    between      numbers of the cavities that it opens into; null for the outside
    """

    parts: tuple[str, ...]
    place_m: Point
    narrowest_m: float
    widest_m: float
    length_m: float
    volume_m3: float
    between: tuple[int | None, ...]


@dataclass(frozen=True)
class CavitiesDocument:
    """All that a search between the parts found.

    gap_m            gaps up to this width are sealed
    looked_to_m      openings were looked for up to this width
    surface_error_m  the surfaces of the parts may be off by so much
    closed           names of the openings that the boat file closes
    left_open        names of the openings that the boat file says stay open
    cavities         every closed space
    leaks            every opening that is not sealed
    gaps             every sealed gap, the longest first
    pockets_m3       of closed spaces that are nowhere wider than the gap: no cavities
    apart            bodies that hang on to none of the others: for each the names of its parts
    notes            what a reader should know of the search and of the files
    """

    boat: str
    gap_m: float
    looked_to_m: float
    surface_error_m: float
    closed: tuple[str, ...]
    left_open: tuple[str, ...]
    cavities: tuple[CavityEntry, ...]
    leaks: tuple[LeakEntry, ...]
    gaps: tuple[GapEntry, ...]
    pockets_m3: float
    apart: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]


def cavities_document(found: FoundCavities) -> CavitiesDocument:
    """The entries of a finding."""
    finding = found.finding
    return CavitiesDocument(
        boat=found.boat,
        gap_m=finding.gap,
        looked_to_m=finding.looked_to,
        surface_error_m=found.surface_error,
        closed=found.closed,
        left_open=found.left_open,
        cavities=tuple(_cavity(found, number, void) for number, void in enumerate(found.voids)),
        leaks=tuple(_leak(leak) for leak in finding.leaks),
        gaps=tuple(_gap(gap) for gap in finding.gaps),
        pockets_m3=finding.pockets,
        apart=finding.apart,
        notes=(*found.asides, *finding.cautions, *found.notes),
    )


def _cavity(found: FoundCavities, number: int, void: Void) -> CavityEntry:
    return CavityEntry(
        number=number + 1,
        found=found.names[number],
        cavity=found.called[number] or None,
        volume_m3=void.volume,
        volume_error_m3=void.volume_error,
        centroid_m=_point(void.centroid),
        parts=void.parts,
        closed=found.between(number).closed,
        touching=tuple(other + 1 for other in void.touching),
        adrift=void.adrift,
        gap_volume_m3=void.gap_volume,
    )


def _leak(leak: Leak) -> LeakEntry:
    return LeakEntry(
        place_m=_point(leak.place),
        narrowest_m=leak.narrowest,
        widest_m=leak.widest,
        parts=leak.parts,
        cavity=_numbered(leak.cavity),
        cavity_volume_m3=leak.cavity_volume,
        cavity_place_m=_point(leak.cavity_place),
        to=_numbered(leak.to),
        to_place_m=None if np.isnan(leak.to_place).any() else _point(leak.to_place),
        passage=leak.is_passage,
    )


def _gap(gap: Gap) -> GapEntry:
    return GapEntry(
        parts=gap.parts,
        place_m=_point(gap.place),
        narrowest_m=gap.narrowest,
        widest_m=gap.widest,
        length_m=gap.length,
        volume_m3=gap.volume,
        between=tuple(_numbered(number) for number in gap.between),
    )


def _numbered(number: int) -> int | None:
    return None if number == OUTSIDE else number + 1


def _point(place: NDArray[np.float64]) -> Point:
    x, y, z = (float(value) for value in place)
    return x, y, z
