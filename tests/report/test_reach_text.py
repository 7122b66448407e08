"""The table of what foam fills, for a terminal."""

from dataclasses import replace

import pour_boats
from pour_boats import FOAM, boat, hole, side

from flotation import plan_pours
from flotation.report.reach_text import reach_table
from flotation.report.tables import pour_text

LOW = replace(side(), holes=(hole("F", (1.5, 0.6, 0.5)),))


def row(table: str) -> list[str]:
    (line,) = [line for line in table.splitlines() if line.startswith("side port")]
    return line.removeprefix("side port").split("  ")


def test_what_counts_is_plain_and_what_is_filled_on_paper_is_in_brackets() -> None:
    counted = plan_pours(boat(LOW, foam=replace(FOAM, flow_length=1.2)))
    cells = [cell.strip() for cell in row(reach_table(counted)) if cell.strip()]
    assert cells[2] == "60.00 L"
    assert cells[1].endswith(" L")
    shown = plan_pours(boat(LOW))
    cells = [cell.strip() for cell in row(reach_table(shown)) if cell.strip()]
    assert cells[0].startswith("240")
    assert cells[1].startswith("(")


def test_a_full_cavity_has_dashes_and_one_without_a_hole_no_table() -> None:
    near = replace(LOW, holes=pour_boats.side().holes)
    full = plan_pours(boat(near, foam=replace(FOAM, flow_length=9.0)))
    cells = [cell.strip() for cell in row(reach_table(full)) if cell.strip()]
    assert cells[1:] == ["-", "-"]
    bare = plan_pours(boat(replace(LOW, holes=())))
    assert reach_table(bare) == ""
    assert reach_table(full) in pour_text(full)
