"""Places in a boat: points, boxes along the axes, and where no hole may be drilled."""

from dataclasses import dataclass

Point = tuple[float, float, float]
Box = tuple[Point, Point]
"""Along the axes: its lowest and its highest corner, m."""


@dataclass(frozen=True)
class KeepOut:
    """A box within which no further hole is proposed: what stands there must not be drilled."""

    name: str
    box: Box
