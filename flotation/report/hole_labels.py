"""Labels to cut out and stick beside the holes: name, what for, when and how much in all."""

from flotation.boat import Boat
from flotation.pour.pourplan import PourPlan
from flotation.report.hole_map import what_for
from flotation.report.holes import HolePoured, holes_poured
from flotation.report.paper import paper_named
from flotation.report.pour_sheet import scale_step, sheet_head
from flotation.report.printing import on_scale
from flotation.report.typesetting import typeset


def hole_labels(boat: Boat, plan: PourPlan, paper: str = "a4") -> bytes:
    """A label for every hole of the boat, three across and eight down, as PDF.

    paper  "a4" or "letter"; the grid is the same on both
    A plan that is stopped gives the page that says why, for labels carry quantities. Raises
    ValueError for another paper.
    """
    head = sheet_head(boat, plan, paper_named(paper), "Hole labels")
    if not plan.go:
        return typeset("stop_sheet.typ", {**head, "stops": list(plan.stops)})
    step = scale_step(boat)
    labels = [_label(one, step) for one in holes_poured(boat, plan)]
    return typeset("hole_labels.typ", {**head, "labels": labels})


def _label(one: HolePoured, step: float) -> dict[str, object]:
    mass = on_scale(one.mass_a + one.mass_b, step)
    return {
        "hole": one.hole.name,
        "cavity": one.cavity.name,
        "kind": what_for(one).upper(),
        "open": not one.fills,
        "steps": ", ".join(str(order) for order in one.orders),
        "several": len(one.orders) > 1,
        "mass": mass if one.lifts else None,
    }
