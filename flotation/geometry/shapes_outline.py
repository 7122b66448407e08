"""The outline of a solid as it is seen from above or from the side, for drawings."""

from enum import Enum

import numpy as np
from numpy.typing import NDArray

from flotation.errors import Fault, MeshError
from flotation.geometry.solid import Solid

Floats = NDArray[np.float64]


class View(Enum):
    """Which two of x, y, z a drawing shows: across the page, then up the page."""

    PLAN = (0, 1)
    SIDE = (0, 2)
    END = (1, 2)

    @property
    def turn(self) -> float:
        """-1 where the page's axis across runs against the boat's: from astern port is left."""
        return -1.0 if self is View.END else 1.0

    def seen(self, point: Floats) -> tuple[float, float]:
        """Across and up the page, m."""
        across, up = self.value
        return self.turn * float(point[across]), float(point[up])


def outline(solid: Solid, view: View, *, detail: float = 0.002) -> tuple[Floats, ...]:
    """Where does the solid's shadow end?

    view    from above (x across, y up the page), from starboard (x across, z up the page) or from
            astern (-y across, z up the page)
    detail  m; corners that move the outline by less are left out
    Returns rings of (n, 2) m: outer rings counterclockwise, holes clockwise. Exact but for
    `detail`. Bodies of one solid that meet in the drawing give one ring. Raises MeshError if the
    library of solids does not take it.
    """
    across, up = (np.eye(3)[axis] for axis in view.value)
    return outline_along(solid, view.turn * across, up, detail=detail)


def outline_along(
    solid: Solid, across: Floats, up: Floats, *, detail: float = 0.002
) -> tuple[Floats, ...]:
    """The same along any two directions, for a solid that lies askew.

    across, up  (3,) unit and square to each other: to the right and up on the page
    """
    from manifold3d import Error, Manifold, Mesh64  # noqa: PLC0415 - loaded only for drawings

    axes = np.array([across, up, np.cross(across, up)])  # right-handed, the third toward the eye
    body = Manifold(Mesh64(solid.vertices @ axes.T, solid.faces.astype(np.uint64)))
    if body.status() is not Error.NoError:
        problem = f"its outline cannot be drawn ({body.status().name})"
        raise MeshError(Fault(solid.name, problem, "Report it with the file: the solid is closed."))
    rings = body.project().simplify(detail).to_polygons()
    return tuple(np.asarray(ring) for ring in rings)
