"""The timetable and what stands beside the quantities, in 80 columns."""

from dataclasses import replace

import pytest
from pour_boats import FOAM, MACHINE, SHOP, boat, side

from flotation import plan_pours
from flotation.boat import Boat, Jig
from flotation.foamsystem import FoamPack
from flotation.pour.remaining import replan
from flotation.report.plan_text import clock
from flotation.report.tables import pour_csv
from flotation.report.text_tables import pour_text

PACKS = (FoamPack("kit", 10.6, 9.4, 184.0, "EUR"), FoamPack("drum of A", 250.0, None, None, ""))


def sold() -> Boat:
    jig = Jig(0.0, 0.0, trim_range=(-0.05, 0.05))
    both = (side(depth=0.6), side("side starboard", -1.0, depth=0.6))
    shop = replace(SHOP, crew=1)
    return boat(*both, foam=replace(FOAM, packs=PACKS), shop=shop, jig=jig)


def text_of(one: Boat) -> str:
    return pour_text(plan_pours(one))


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [(0.0, "0:00"), (59.2, "1:00"), (788.0, "13:08"), (3600.0, "1:00:00"), (4000.0, "1:06:40")],
)
def test_a_time_is_rounded_up_so_that_nobody_is_too_early(seconds: float, shown: str) -> None:
    assert clock(seconds) == shown


def test_every_line_fits_a_terminal() -> None:
    assert max(len(line) for line in text_of(sold()).splitlines()) <= 80


def test_each_lift_stands_with_its_batch_and_its_times() -> None:
    text = text_of(sold())
    assert "Timetable for a crew of 1: 16 batches" in text
    assert "No turnaround between batches is stated." in " ".join(text.split())
    (row,) = [line for line in text.splitlines() if line.split()[:1] == ["2"] and ":" in line]
    assert row.split() == ["2", "F", "side", "starboard", "2", "0:29", "0:57", "4:57"]


def test_what_decides_what_to_order_and_what_moves_it_are_told() -> None:
    text = " ".join(text_of(sold()).split())
    assert "largest batch: side port, side starboard" in text
    assert "2 x kit, 368.00 EUR; left over A" in text
    assert "1 x drum of A; left over A" in text
    assert "a cup 1 % heavier takes" in text
    assert "foam 0.34 % heavier by the gas alone, and more in truth" in text
    assert "Attitude in the jig, a proposal only: - as stated: heel 0°, trim 0°: 16 lifts" in text


def test_a_better_attitude_is_named_with_its_numbers() -> None:
    turned = replace(sold(), jig=Jig(0.0, 0.05, trim_range=(-0.05, 0.05)))
    text = " ".join(text_of(turned).split())
    assert "better in both: heel 0°, trim 0°: 16 lifts" in text


def test_flushes_of_a_machine_are_told() -> None:
    mixing = replace(MACHINE, idle_limit=30.0, flush_mass=0.4)
    one = replace(sold(), shop=replace(SHOP, mixing=mixing))
    assert "Flush the mixing head after step 2, 4: 800 g of A and B." in text_of(one)


def test_what_was_poured_before_is_counted() -> None:
    one = sold()
    plan = plan_pours(one)
    rest = replan(plan, one, [(lift.order, lift.mixed_mass) for lift in plan.lifts[:2]])
    assert "Poured before: 2 lifts, 3.33" in pour_text(rest)
    assert pour_csv(rest).splitlines()[1].startswith("3,")


def test_a_row_of_the_table_for_machines_has_its_batch_and_times() -> None:
    head, first, *_ = pour_csv(plan_pours(sold())).splitlines()
    row = dict(zip(head.split(","), first.split(","), strict=True))
    assert (row["batch"], row["start_s"]) == ("1", "0")
    assert float(row["next_after_s"]) == pytest.approx(float(row["end_s"]) + 240.0)
