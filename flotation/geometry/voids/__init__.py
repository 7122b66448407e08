"""Cavities from the parts themselves: what is left between them once every gap is sealed.

The search is read when it is first asked for: most boats name their cavities, and need none.
"""

from typing import TYPE_CHECKING

from flotation.geometry.voids.finding import OUTSIDE, CavityFinding, Closure, Gap, Leak, Void

if TYPE_CHECKING:
    from flotation.geometry.voids.search import find_cavities

__all__ = ["OUTSIDE", "CavityFinding", "Closure", "Gap", "Leak", "Void", "find_cavities"]


def __getattr__(name: str) -> object:
    """The search, when it is first asked for."""
    if name != "find_cavities":
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from flotation.geometry.voids.search import find_cavities  # noqa: PLC0415 - slow to read

    return find_cavities
