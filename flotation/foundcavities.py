"""Cavities found between the parts of a boat file, under the names that cavities refer to."""

from dataclasses import dataclass

from flotation.geometry.solid import Skin, Solid
from flotation.geometry.voids import OUTSIDE, CavityFinding, Leak, Void
from flotation.geometry.voids.naming import names_by_place

Point = tuple[float, float, float]


@dataclass(frozen=True, eq=False)
class FoundCavities:
    """What a search between the parts of a boat gives.

    boat           name of the boat
    parts          what was searched between; plugs are not among them
    finding        voids, gaps and leaks, as the search gives them
    called         name of the [[cavity]] that each void is used as; "" where there is none
    closed         names of the openings that were closed
    left_open      names of openings that the file says stay open
    surface_error  m by which the surfaces of the parts may be off
    notes          what the reader of a report should know of the parts' files
    """

    boat: str
    parts: tuple[Solid | Skin, ...]
    finding: CavityFinding
    called: tuple[str, ...]
    closed: tuple[str, ...]
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

    def named(self, number: int) -> str:
        """A void for a sentence: as the boat file calls it, or by its place; or the outside."""
        if number == OUTSIDE:
            return "the outside"
        return f'"{self.called[number] or self.names[number]}"'

    def leads(self, leak: Leak) -> str:
        """Which way foam or water goes through a leak."""
        if leak.is_passage:
            return f"between two chambers of {self.named(leak.cavity)}: pouring one feeds the other"
        home = (
            "a space that would be a cavity" if leak.cavity == OUTSIDE else self.named(leak.cavity)
        )
        return f"from {home} to {self.named(leak.to)}"
