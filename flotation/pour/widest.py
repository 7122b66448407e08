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

_ODD = np.array([[False, False, True], [True, False, False], [False, True, False]])
"""Whether an order of three that begins with these two swaps an odd number of them."""


@dataclass(frozen=True)
class Widest:
    """The largest balls in the cavities of one plan; a mirrored twin has its like's.

    up  straight up in the jig
    """

    up: Point
    _found: dict[tuple[bytes, bytes, float], Ball] = field(default_factory=dict)

    def of(self, solid: Solid, level: float) -> Ball:
        """The largest ball in the part below a level, m along `up`; infinite: in the whole."""
        alike = self._to_port(solid)
        key = (alike.vertices.tobytes(), alike.faces.tobytes(), level)
        if key not in self._found:
            self._found[key] = largest_ball(alike, self.up, level, SHARE)
        return self._found[key]

    def _to_port(self, solid: Solid) -> Solid:
        """The solid, or its mirror image where it lies to starboard and the hull is not heeled.

        Corners of triangles are put in one order, so that twins are one solid to the last bit and
        it does not matter which of them is asked for first.
        """
        side = solid.vertices[:, 1]
        beside = self.up[1] == 0.0 and bool((side > 0.0).all() or (side < 0.0).all())
        mirrored = beside and bool((side < 0.0).all())
        vertices = solid.vertices * ((1.0, -1.0, 1.0) if mirrored else (1.0, 1.0, 1.0))
        order = np.argsort(solid.faces, axis=1)
        faces = np.take_along_axis(solid.faces, order, axis=1)
        backwards = _ODD[order[:, 0], order[:, 1]] != mirrored
        faces[backwards] = faces[backwards][:, (0, 2, 1)]
        return Solid(vertices, faces, name=solid.name)

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
