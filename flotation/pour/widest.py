"""The widest place of the foam in a cavity: how thick it is where it is thickest."""

import math
from dataclasses import dataclass, field

import numpy as np

from flotation.boat_places import Point
from flotation.geometry.inscribed import Ball, largest_ball
from flotation.geometry.solid import Solid
from flotation.workings import Mark, Source

SHARE = 0.1
"""Error of the radius that is asked for: heat that stays goes by its square, and what is known of
conductivity and heat capacity leaves a fifth open."""


@dataclass(frozen=True)
class Widest:
    """The largest balls in the cavities of one plan; a mirrored twin has its like's.

    up  straight up in the jig
    """

    up: Point
    _found: dict[tuple[bytes, bytes, float], Ball] = field(default_factory=dict)

    def shape(self, solid: Solid) -> tuple[bytes, bytes]:
        """What a solid has in common with its mirrored twin on the other side."""
        vertices, faces = solid.vertices, np.sort(solid.faces, axis=1)
        beside = bool((vertices[:, 1] > 0.0).all() or (vertices[:, 1] < 0.0).all())
        if self.up[1] == 0.0 and beside:
            vertices = np.abs(vertices * (0.0, 1.0, 0.0)) + vertices * (1.0, 0.0, 1.0)
        return vertices.tobytes(), faces.tobytes()

    def of(self, solid: Solid, level: float) -> Ball:
        """The largest ball in the part below a level, m along `up`; infinite: in the whole."""
        key = (*self.shape(solid), level)
        if key not in self._found:
            self._found[key] = largest_ball(solid, self.up, level, SHARE)
        return self._found[key]

    def width(self, solid: Solid) -> float:
        """How thick a solid is where it is thickest, m, at the most."""
        return width_of(self.of(solid, math.inf))


def width_of(ball: Ball) -> float:
    """How thick it may be at the most, m, where that is the largest ball."""
    return 2.0 * (ball.radius + ball.error)


def largest(ball: Ball) -> Source:
    """The source of a thickness that is the largest ball's, at the most."""
    return Source(
        "largest ball in the foam, at the most",
        f"it may be smaller by {2000.0 * ball.error:.0f} mm",
        mark=Mark.COMPUTED,
    )
