"""[[keep_out]] and [[cavity.drill]]: where further holes may be drilled, and where not."""

from flotation.boat_places import Box, KeepOut, Point
from flotation.boatfile.place import Place, metres, once_each
from flotation.boatfile.schema import BoxTable, KeepOutTable
from flotation.geometry.solid import Solid


def read_keep_out(file: Place, raw: object) -> tuple[KeepOut, ...]:
    """Every [[keep_out]] that can be used."""
    tables = file.tables("keep_out", raw)
    once_each((place, table.get("name")) for place, table in tables)
    found = [place.check(KeepOutTable, table) for place, table in tables]
    return tuple(KeepOut(one.name, _box(one.corner, one.size)) for one in found if one is not None)


def read_drill(place: Place, raw: object) -> list[tuple[Place, Box]]:
    """The boxes of a cavity within which further holes may be drilled, and where each stands."""
    found = [(own, own.check(BoxTable, table)) for own, table in place.tables("drill", raw)]
    return [(own, _box(read.corner, read.size)) for own, read in found if read is not None]


def check_drill(boxes: list[tuple[Place, Box]], solid: Solid) -> None:
    """Each box meets the box around its cavity, or it is in the wrong place."""
    (low_x, low_y, low_z), (high_x, high_y, high_z) = solid.bounds
    for place, (low, high) in boxes:
        meets = (
            low[0] <= high_x
            and low[1] <= high_y
            and low[2] <= high_z
            and high[0] >= low_x
            and high[1] >= low_y
            and high[2] >= low_z
        )
        if not meets:
            problem = (
                f"the box lies beside the cavity, which reaches from x {metres(low_x)} to "
                f"{metres(high_x)}, y {metres(low_y)} to {metres(high_y)}, z {metres(low_z)} to "
                f"{metres(high_z)}"
            )
            place.fault("corner", problem, "Give the aft, starboard, lower corner and the size.")


def other_side(box: Box) -> Box:
    """The box mirrored across the centreline."""
    (x, y, z), (far_x, far_y, far_z) = box
    return (x, 0.0 - far_y, z), (far_x, 0.0 - y, far_z)


def _box(corner: Point, size: Point) -> Box:
    x, y, z = corner
    return corner, (x + size[0], y + size[1], z + size[2])
