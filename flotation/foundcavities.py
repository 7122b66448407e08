"""Cavities found between the parts of a boat file, under the names that cavities refer to."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.foundbetween import FoundBetween
from flotation.geometry.solid import Skin, Solid
from flotation.geometry.voids import OUTSIDE, CavityFinding, Leak, Void
from flotation.geometry.voids.naming import names_by_place
from flotation.units import si

Floats = NDArray[np.float64]
Progress = Callable[[float, str], None]
"""Is told, from time to time, the share of the work that is done, and what comes next."""


@dataclass(frozen=True, eq=False)
class FoundCavities:
    """What a search between the parts of a boat gives.

    boat           name of the boat
    parts          what was searched between; plugs are not among them
    finding        voids, gaps and leaks, as the search gives them
    called         name of the [[cavity]] that each void is used as; "" where there is none
    closed         names of the openings that were closed, and
    closes         numbers of the voids that each of them keeps in, in the same order
    left_open      names of openings that the file says stay open
    surface_error  m by which the surfaces of the parts may be off
    notes          what the reader of a report should know of the parts' files
    """

    boat: str
    parts: tuple[Solid | Skin, ...]
    finding: CavityFinding
    called: tuple[str, ...]
    closed: tuple[str, ...]
    closes: tuple[tuple[int, ...], ...]
    left_open: tuple[str, ...]
    surface_error: float
    notes: tuple[str, ...] = ()

    @property
    def voids(self) -> tuple[Void, ...]:
        """Forward to aft, port to starboard."""
        return self.finding.voids

    @property
    def names(self) -> tuple[str, ...]:
        """The voids' names, by place."""
        return names_by_place(self.finding.voids)

    def walls(self, number: int) -> tuple[str, ...]:
        """Names of the parts and plugs that wall a void, less those that stand free inside it."""
        void = self.voids[number]
        adrift = {name for body in void.adrift for name in body}
        return tuple(part for part in void.parts if part not in adrift)

    def named(self, number: int) -> str:
        """A void for a sentence: as the boat file calls it, or by its place; or the outside."""
        if number == OUTSIDE:
            return "the outside"
        return f'"{self.called[number] or self.names[number]}"'

    def leads(self, leak: Leak) -> str:
        """Which way foam or water goes through a leak."""
        if leak.is_passage:
            return (
                f"between two chambers of {self.named(leak.cavity)}, of which the smaller, round"
                f" {_place(leak.cavity_place)}, holds {si(leak.cavity_volume, 'm3')}: pouring one"
                f" feeds the other"
            )
        home = self.named(leak.cavity)
        if leak.cavity == OUTSIDE:
            home = f"a space of {si(leak.cavity_volume, 'm3')} that would be a cavity"
        return f"from {home} to {self.named(leak.to)}"

    @property
    def asides(self) -> tuple[str, ...]:
        """What stands free, with its size, what hangs on to nothing, and what stays open."""
        told = [
            f"{self._sized(body)} stands free in {self.named(number)}"
            for number, void in enumerate(self.voids)
            for body in void.adrift
        ]
        told += [f"{self._sized(body)} hangs on to no other part" for body in self.finding.apart]
        told += [f'the opening "{name}" is left open' for name in self.left_open]
        return tuple(told)

    def _sized(self, names: Sequence[str]) -> str:
        """The parts of one body; of a single part its size too, which shows a wrong unit."""
        sizes = {part.name: np.ptp(part.vertices, axis=0) for part in self.parts}
        if len(names) != 1 or names[0] not in sizes:
            return ", ".join(names)
        return f"{names[0]} ({' x '.join(str(si(float(side), 'm')) for side in sizes[names[0]])})"

    def leak_sentence(self, leak: Leak) -> str:
        """Where a leak is, how wide, between which parts, and where foam would go."""
        between = " and ".join(dict.fromkeys(leak.parts))
        return (
            f"up to {si(leak.widest, 'm')} wide at x, y, z = {_place(leak.place)}, in {between};"
            f" foam goes {self.leads(leak)}"
        )

    def between(self, number: int) -> FoundBetween:
        """What a cavity of the boat keeps of the void that it is."""
        void = self.voids[number]
        closed = zip(self.closed, self.closes, strict=True)
        leaks = [leak for leak in self.finding.leaks if number in (leak.cavity, leak.to)]
        return FoundBetween(
            by_place=self.names[number],
            volume=void.volume,
            volume_error=void.volume_error,
            sealed_to=self.finding.gap,
            surface_error=self.surface_error,
            walls=tuple(part for part in self.walls(number) if part not in self.closed),
            closed=tuple(name for name, voids in closed if number in voids),
            gaps=len(void.gaps),
            gap_volume=void.gap_volume,
            adrift=tuple(name for body in void.adrift for name in body),
            leaks=tuple(self.leak_sentence(leak) for leak in leaks),
        )


def _place(point: Floats) -> str:
    """x, y, z for a sentence, to the millimetre; the centreline is 0.000 from either side."""
    return ", ".join(f"{round(float(x), 3) + 0.0:.3f}" for x in point) + " m"
