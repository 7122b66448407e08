"""The hole map: plan and side view to scale with every hole, and where to drill them."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace

from flotation.boat import Boat
from flotation.boat_places import Point
from flotation.geometry.shapes_outline import View
from flotation.pour.pourplan import PourPlan
from flotation.report.drawings import Mark, Picture, draw, shadows
from flotation.report.holes import HolePoured, HoleProposed, holes_poured, holes_proposed
from flotation.report.paper import paper_named
from flotation.report.pour_sheet import sheet_head
from flotation.report.printing import both, tape
from flotation.report.typesetting import typeset

Marks = Mapping[View, Sequence[Mark]]

_MARGIN = 12.0  # mm, as page.typ has it
_REST = 51.0  # mm of the page that head, legend and foot take, as hole_map.typ has it
_SCALES = (5, 10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 200, 250, 300, 400, 500)
_SAME_PLACE = 0.02  # m; holes as near as that in a view share a mark
_LONGEST_NAME = 24  # letters of names that share a mark
_FILLS = {True: "fill", False: "vent"}
_ON_CENTRELINE = 0.0005  # m; less than a tape shows


def hole_map(boat: Boat, plan: PourPlan, paper: str = "a4") -> bytes:
    """The map as PDF, on its side: the drawings, a table of all holes, a table of those proposed.

    paper  "a4" or "letter"
    It has no quantity, so a plan that is stopped has the same map without the steps. Raises
    ValueError for another paper.
    """
    size = paper_named(paper)
    holes, proposed = holes_poured(boat, plan), holes_proposed(plan)
    data = {
        **sheet_head(boat, plan, size, "Hole map"),
        **_drawn(boat, marked(holes, proposed), (size.height - 2.0 * _MARGIN, size.width - _REST)),
        "rows": [_row(one) for one in holes],
        "proposed": [_proposed_row(one) for one in proposed],
        "recalled": any(one.recalled for one in proposed),
        "below_zero": any(_below_zero(one) for one in _places(holes, proposed)),
    }
    return typeset("hole_map.typ", data)


def _places(holes: Sequence[HolePoured], proposed: Sequence[HoleProposed]) -> list[Point]:
    return [*(one.hole.at for one in holes), *(one.at for one in proposed)]


def _below_zero(at: Point) -> bool:
    return at[0] < 0.0 or at[2] < 0.0


def _drawn(boat: Boat, marks: Marks, room: tuple[float, float]) -> dict[str, object]:
    """Both views at one round scale, 1 to so many, the largest at which they fit.

    room  mm across and down: both fit into it together, or else each of them alone
    """
    seen = {view: shadows(boat, view) for view in (View.PLAN, View.SIDE)}

    def pictures(marks: Marks, scale: int) -> list[dict[str, object]]:
        return [draw(boat, seen[v], _picture(v, marks, scale, room[0])) for v in seen]

    for down in (sum, max):
        for scale in _SCALES:
            if not _fits(pictures({}, scale), room, down):
                continue  # without the names already: they take time
            drawn = pictures(marks, scale)
            if _fits(drawn, room, down):
                return {"scale": str(scale), "pictures": drawn}
    return {"scale": str(_SCALES[-1]), "pictures": pictures(marks, _SCALES[-1])}


def _fits(
    pictures: Sequence[Mapping[str, object]],
    room: tuple[float, float],
    down: Callable[[Iterable[float]], float],
) -> bool:
    wide = max(_size(one["width"]) for one in pictures)
    return wide <= room[0] and down(_size(one["height"]) for one in pictures) <= room[1]


def _size(value: object) -> float:
    return value if isinstance(value, float) else 0.0


def _picture(view: View, marks: Marks, scale: int, width: float) -> Picture:
    return Picture(
        view,
        width,
        0.0,
        frozenset(),
        holes=False,
        marks=tuple(marks.get(view, ())),
        scale=1000.0 / scale,
        apart=True,
    )


def marked(holes: Sequence[HolePoured], proposed: Sequence[HoleProposed]) -> Marks:
    """What each view shows: holes that lie over one another in it share a mark and a name.

    Not those of different kinds, and no more than fit into a short name.
    """
    named = [(kind_of(one), one.hole.name, one.hole.at) for one in holes]
    named += [(f"proposed {_FILLS[one.fills]}", str(one.number), one.at) for one in proposed]
    return {view: _marks(named, view) for view in (View.PLAN, View.SIDE)}


def _marks(named: Sequence[tuple[str, str, Point]], view: View) -> list[Mark]:
    found: dict[tuple[str, int, int], list[Mark]] = {}
    for kind, name, at in named:
        across, up = (round(at[axis] / _SAME_PLACE) for axis in view.value)
        own = found.setdefault((kind, across, up), [])
        if own and len(own[-1].name) + len(name) < _LONGEST_NAME:
            own[-1] = replace(own[-1], name=f"{own[-1].name} {name}")
        else:
            lead = "proposed " if kind.startswith("proposed") else ""
            own.append(Mark(lead + name, kind, at))
    return [mark for own in found.values() for mark in own]


def kind_of(one: HolePoured) -> str:
    """How the drawing shows it: "fill" or "vent"."""
    return _FILLS[one.fills]


def _row(one: HolePoured) -> dict[str, object]:
    return {
        "hole": one.hole.name,
        "cavity": one.cavity.name,
        "kind": what_for(one),
        "open": not one.fills,
        "steps": ", ".join(str(order) for order in one.orders),
        "diameter": tape(one.hole.diameter),
        **_distances(one.hole.at),
    }


def _proposed_row(one: HoleProposed) -> dict[str, object]:
    return {
        "hole": one.name,
        "kind": "foam in" if one.fills else "air out",
        "cavity": one.cavity,
        "drillable": one.drillable,
        "recalled": one.recalled,
        "gains": both(one.gains, "m3", 3),
        **_distances(one.at),
    }


def _distances(at: Point) -> dict[str, object]:
    return {
        "transom": tape(at[0]),
        "centreline": tape(abs(at[1])),
        "side": side_of(at),
        "height": tape(at[2]),
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
