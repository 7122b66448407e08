"""Where foam gets to and where air stays, for a terminal: a row for each cavity."""

from flotation.pour.pourplan import PourPlan
from flotation.report.printing import si
from flotation.report.terminal import table

_NONE = "-"


def reach_table(plan: PourPlan) -> str:
    """What foam fills, what it does not get to, and caught air; "" without a fill hole anywhere.

    What stays empty is in brackets where it is only shown, and is filled on paper.
    """
    reach = {part.cavity: part for part in plan.reach}
    air = {part.cavity: part for part in plan.air}
    if not reach:
        return ""
    rows = []
    for pour in plan.pours:
        out, caught = reach.get(pour.cavity), air.get(pour.cavity)
        rows.append(
            (
                pour.cavity,
                si(pour.volume, "m3"),
                _NONE if out is None else _cell(out.unreached, out.counted, pour.volume),
                _NONE if caught is None else _cell(caught.caught, caught.counted, pour.volume),
            )
        )
    return table(("cavity", "foam fills", "out of reach", "air"), rows, right=(1, 2, 3), stretch=0)


def _cell(volume: float, counted: bool, whole: float) -> str:
    """A volume; in brackets where it is filled on paper; nothing below a thousandth."""
    if volume <= 1e-3 * whole and not counted:
        return _NONE
    return si(volume, "m3") if counted else f"({si(volume, 'm3')})"
