"""Cavities from the parts themselves: what is left between them once every gap is sealed."""

from flotation.geometry.voids.finding import OUTSIDE, CavityFinding, Gap, Leak, Void
from flotation.geometry.voids.putty import Closure
from flotation.geometry.voids.search import find_cavities

__all__ = ["OUTSIDE", "CavityFinding", "Closure", "Gap", "Leak", "Void", "find_cavities"]
