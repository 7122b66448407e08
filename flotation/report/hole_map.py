"""The hole map: plan and side view to scale with every hole, and where to drill them."""

from collections.abc import Sequence

from flotation.boat import Boat
from flotation.boat_places import Point
from flotation.geometry.shapes_outline import View
from flotation.pour.pourplan import PourPlan
from flotation.report.drawings import Mark, Picture, Shadows, draw, shadows
from flotation.report.holes import HolePoured, holes_poured
from flotation.report.paper import paper_named
from flotation.report.pour_sheet import sheet_head
from flotation.report.printing import tape
from flotation.report.typesetting import typeset

_MARGIN = 12.0  # mm, as page.typ has it
_HEAD_AND_FOOT = 40.0  # mm, as hole_map.typ has it
_LEGEND = 14.0  # mm
_SCALES = (5, 10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 200, 250, 300, 400, 500)
_SAME_PLACE = 0.02  # m; holes as near as that in a view share a mark
_ON_CENTRELINE = 0.0005  # m; less than a tape shows


def hole_map(boat: Boat, plan: PourPlan, paper: str = "a4") -> bytes:
    """The map as PDF, on its side: the drawings, then a table of all holes.

    paper  "a4" or "letter"
    It has no quantity, so a plan that is stopped has the same map without the steps. Raises
    ValueError for another paper.
    """
    size = paper_named(paper)
    holes = holes_poured(boat, plan)
    data = {
        **sheet_head(boat, plan, size, "Hole map"),
        **_drawn(boat, holes, (size.height - 2.0 * _MARGIN, size.width - _HEAD_AND_FOOT)),
        "rows": [_row(one) for one in holes],
        "below_zero": any(one.hole.at[0] < 0.0 or one.hole.at[2] < 0.0 for one in holes),
    }
    return typeset("hole_map.typ", data)


def _drawn(boat: Boat, holes: Sequence[HolePoured], room: tuple[float, float]) -> dict[str, object]:
    """Both views at one round scale, 1 to so many, the largest at which they fit."""
    views = {view: shadows(boat, view) for view in (View.PLAN, View.SIDE)}
    fitting = (scale for scale in _SCALES if _fits(boat, views, scale, room))
    scale = next(fitting, _SCALES[-1])
    return {
        "scale": str(scale),
        "pictures": [draw(boat, views[v], _picture(v, holes, scale)) for v in views],
    }


def _fits(boat: Boat, views: dict[View, Shadows], scale: int, room: tuple[float, float]) -> bool:
    sizes = [draw(boat, views[view], _picture(view, (), scale)) for view in views]
    wide = max(_size(size["width"]) for size in sizes)
    high = sum(_size(size["height"]) for size in sizes)
    return wide <= room[0] and high <= room[1] - _LEGEND


def _size(value: object) -> float:
    return value if isinstance(value, float) else 0.0


def _picture(view: View, holes: Sequence[HolePoured], scale: int) -> Picture:
    scale_mm = 1000.0 / scale
    return Picture(
        view, 0.0, 0.0, frozenset(), holes=False, marks=_marks(holes, view), scale=scale_mm
    )


def _marks(holes: Sequence[HolePoured], view: View) -> tuple[Mark, ...]:
    """A mark for each hole; those that lie over one another in this view share one."""
    found: dict[tuple[str, int, int], list[HolePoured]] = {}
    for one in holes:
        across, up = (round(one.hole.at[axis] / _SAME_PLACE) for axis in view.value)
        found.setdefault((kind_of(one), across, up), []).append(one)
    return tuple(
        Mark(" ".join(one.hole.name for one in own), kind, own[0].hole.at)
        for (kind, _, _), own in found.items()
    )


def kind_of(one: HolePoured) -> str:
    """How the drawing shows it: "fill" or "vent"."""
    return "fill" if one.fills else "vent"


def _row(one: HolePoured) -> dict[str, object]:
    return {
        "hole": one.hole.name,
        "cavity": one.cavity.name,
        "kind": what_for(one),
        "open": not one.fills,
        "steps": ", ".join(str(order) for order in one.orders),
        "diameter": tape(one.hole.diameter),
        "transom": tape(one.hole.at[0]),
        "centreline": tape(abs(one.hole.at[1])),
        "side": side_of(one.hole.at),
        "height": tape(one.hole.at[2]),
    }


def what_for(one: HolePoured) -> str:
    """What the hole is for, in two words."""
    if one.cavity.foam is None:
        return "no foam"
    return "foam in" if one.fills else "air out"


def side_of(at: Point) -> str:
    """On which side of the boat a point lies."""
    if abs(at[1]) < _ON_CENTRELINE:
        return "on it"
    return "port" if at[1] > 0.0 else "starboard"
