"""The hand-outs of a pour alone: of a whole one, or of what remains in the middle of one."""

from flotation.boat import Boat
from flotation.pour.pourplan import PourPlan
from flotation.report.mixing_card import mixing_card
from flotation.report.pour_sheet import pour_sheet
from flotation.report.tables import pour_csv

_REMAINING = "remaining_"
"""Before the names of what remains: it never takes the place of the sheet that it goes on from."""


def pour_handouts(boat: Boat, plan: PourPlan, *, paper: str = "a4") -> dict[str, bytes]:
    """Pour sheet, card for the mixer and table of batches: file name -> bytes.

    paper  "a4" or "letter"
    Where nothing remains there is no card. Hole map and labels stay as they were: the holes are
    those of the boat.
    """
    found = {"pour_sheet.pdf": pour_sheet(boat, plan, paper)}
    if plan.lifts or not plan.go:
        found["mixing_card.pdf"] = mixing_card(boat, plan, paper)
    found["pour.csv"] = pour_csv(plan).encode()
    lead = _REMAINING if plan.done else ""
    return {f"{lead}{name}": content for name, content in found.items()}
