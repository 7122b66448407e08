"""A solid cut at a level plane: the separate pieces above it, and what is left without some.

Exact booleans by manifold3d, asked for their status and their volumes as in `cavities`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from flotation.errors import Fault, MeshError
from flotation.geometry.cavities import NOTHING, checked, pieces, to_manifold, to_solid
from flotation.geometry.solid import Floats, Solid

if TYPE_CHECKING:
    from manifold3d import Manifold

_IRONED = 1e-5
_ROOM = 1e-6
_SIMPLER = "Export a cleaner mesh: without needles and without faces that nearly coincide."


@dataclass(frozen=True, eq=False)
class LevelCuts:
    """A solid that is cut at many levels: made ready for the library once, half of their time."""

    solid: Solid

    @cached_property
    def _whole(self) -> "Manifold":
        return to_manifold(self.solid)

    def pieces_above(self, up: Floats, level: float) -> tuple[Solid, ...]:
        """The separate pieces of the part where up . x >= level, the largest first.

        up  (3,) unit
        Pieces and hollows of less than 1e-9 of the solid's volume are left off as rounding.
        """
        solid = self.solid
        part = checked(self._whole.trim_by_plane(tuple(up), level), solid.name)
        if part.volume() <= NOTHING * solid.volume:
            return ()
        return pieces(to_solid(part, solid.name, crumb=NOTHING * solid.volume))


def without_top(solid: Solid, part: Solid, axes: Floats, level: float) -> Solid | None:
    """What is left of a solid when a part above a level is taken away; None where nothing is.

    part  a piece of what lies above the level, as `LevelCuts` gives it
    axes  (3, 3) unit rows: two directions across, and the upward one

    Cut with an upright block around the part, so that no face of the cut lies in a face of the
    solid; only where such a block would take something of another piece too, with the part itself.
    """
    from manifold3d import Manifold  # noqa: PLC0415 - loaded only for booleans

    local = part.vertices[np.unique(part.faces)] @ axes.T
    room = _ROOM * float(np.ptp(local, axis=0).max())
    low, high = local.min(axis=0) - room, local.max(axis=0) + room
    low[2] = level
    block = Manifold.cube(tuple(high - low)).translate(tuple(low))
    block = block.transform(np.column_stack([axes.T, np.zeros(3)]))
    inside = (to_manifold(solid) ^ block).volume()
    alone = abs(inside - part.volume) <= _IRONED * solid.volume
    return _without(solid, [block if alone else to_manifold(part)])


def without_boxes(solid: Solid, boxes: Sequence[tuple[Floats, Floats]]) -> Solid | None:
    """What is left of a solid when boxes are taken away; None where nothing is.

    boxes  each by its lowest and highest corner, (3,) m; they may poke out of the solid
    Checked: what is left and what is taken add up to the solid. The library irons out needles
    before and after it cuts; on a faceted moulded face that moved volumes by 2e-6 of the solid,
    and 1e-5 is refused.
    """
    from manifold3d import Manifold  # noqa: PLC0415 - loaded only for booleans

    return _without(
        solid, [Manifold.cube(tuple(high - low)).translate(tuple(low)) for low, high in boxes]
    )


def _without(solid: Solid, parts: "Sequence[Manifold]") -> Solid | None:
    from manifold3d import Manifold, OpType  # noqa: PLC0415 - loaded only for booleans

    if not parts:
        return solid
    whole = to_manifold(solid)
    cut = Manifold.batch_boolean(list(parts), OpType.Add)
    left, taken = checked(whole - cut, solid.name), checked(whole ^ cut, solid.name)
    if left.volume() <= NOTHING * solid.volume:
        return None
    if abs(left.volume() + taken.volume() - solid.volume) > _IRONED * solid.volume:
        raise MeshError(Fault(solid.name, "the volumes taken away do not add up", _SIMPLER))
    return to_solid(left, solid.name, crumb=NOTHING * solid.volume)
