"""The card at the mixer has every batch, the data sheet's times and limits, and what to do."""

import io
import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pypdf
import pytest
from on_paper import inside_the_paper
from plan_by_hand import SHOP, timed_by_hand

from flotation.boat import Boat
from flotation.foamsystem import MachineMixing
from flotation.pour.pourplan import Caution, PourPlan, Response, ShownAt
from flotation.report.mixing_card import batch_sizes, mixing_card

Read = Callable[[bytes], str]


@pytest.fixture(scope="session")
def plan() -> PourPlan:
    return timed_by_hand()


def numbers(batches: str) -> set[int]:
    """The batches that a row names."""
    found: set[int] = set()
    for part in batches.split(", "):
        low, _, high = part.partition("\u2013")
        found |= set(range(int(low), int(high or low) + 1))
    return found


def test_every_batch_is_in_the_row_of_its_amounts(plan: PourPlan) -> None:
    rows: Any = batch_sizes(plan, plan.pours[0].foam, 0.005)
    shots = {shot.batch: shot for lift in plan.lifts for shot in lift.shots}
    told = [number for row in rows for number in numbers(str(row["batches"]))]
    assert sorted(told) == sorted(shots)
    for row in rows:
        for number in numbers(str(row["batches"])):
            assert row["a"]["si"] == f"{shots[number].weigh_a:.3f}"
            assert row["b"]["si"] == f"{shots[number].weigh_b:.3f}"
            assert row["cup_a"]["si"] == f"{shots[number].volume_a * 1e6:.0f} mL"


def test_the_card_is_a_page_with_ratio_times_and_limits(
    boat: Boat, plan: PourPlan, text_of: Read
) -> None:
    pdf = mixing_card(boat, plan)
    inside_the_paper(pdf)
    assert len(pypdf.PdfReader(io.BytesIO(pdf)).pages) == 1
    words = text_of(pdf)
    for said in (
        "MIX: pour foam 2 lb",
        "A 113 : 100 B",
        "never more than 2 kg",
        "cream 45 s gel 2 min 50 s tack-free 4 min",
        "at 20 °C (68 °F)",
        "21 to 27 °C",
        "30.5 to 33.5 kg/m³",
        "a cup test of 31.6 kg/m³",
        "Stir 15 s, carry 10 s, pour at once",
        "Never seal or stack hot foam",
    ):
        assert said in words
    for lift in plan.lifts:
        for shot in lift.shots:
            assert re.search(rf"{shot.weigh_a:.3f} {shot.volume_a * 1e6:.0f} mL", words)


def test_it_carries_what_concerns_the_mixer_and_no_more(
    boat: Boat, plan: PourPlan, text_of: Read
) -> None:
    safety = tuple(Caution(f"Mind the {place.value}.", SHOP, (place,)) for place in ShownAt)
    answers = tuple(
        Response(f"Sign of the {place.value}", ("Stop.",), SHOP, (place,)) for place in ShownAt
    )
    words = text_of(mixing_card(boat, replace(plan, safety=safety, if_then=answers)))
    for place in ShownAt:
        assert (f"Mind the {place.value}." in words) == (place is ShownAt.MIX)
        assert (f"Sign of the {place.value}" in words) == (place is ShownAt.MIX)


def test_a_machine_is_told_seconds(boat: Boat, plan: PourPlan, text_of: Read) -> None:
    shop = replace(boat.shop, mixing=MachineMixing(0.2, 3.0, 0.1))
    pour = plan.pours[0]
    lifts = tuple(
        replace(lift, shots=tuple(replace(shot, seconds=9.3) for shot in lift.shots))
        for lift in pour.lifts
    )
    changed = replace(plan, pours=(replace(pour, lifts=lifts), *plan.pours[1:]))
    words = text_of(mixing_card(replace(boat, shop=shop), changed))
    assert "1\u20134 9.3 0.985 kg, 801 mL" in words
    assert "never more than 3 kg" in words


@pytest.mark.parametrize("count", [9, 20])
def test_many_sizes_still_stand_on_the_page(boat: Boat, plan: PourPlan, count: int) -> None:
    pour = plan.pours[0]
    lift = pour.lifts[0]
    shots = tuple(
        replace(lift.shots[0], weigh_a=0.5 + 0.005 * n, batch=n + 1) for n in range(count)
    )
    changed = replace(plan, pours=(replace(pour, lifts=(replace(lift, shots=shots),)),))
    for paper in ("a4", "letter"):
        pdf = mixing_card(boat, changed, paper)
        inside_the_paper(pdf)
        assert len(pypdf.PdfReader(io.BytesIO(pdf)).pages) == 1


def test_a_stopped_plan_gives_no_quantity(boat: Boat, stopped: PourPlan, text_of: Read) -> None:
    words = text_of(mixing_card(boat, stopped))
    assert "DO NOT POUR" in words
    assert "113" not in words
