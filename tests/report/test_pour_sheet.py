"""The sheet prints the plan's numbers, all of them, and nothing when the pour is stopped."""

import io
import re
from collections.abc import Callable
from dataclasses import replace

import pypdf
import pytest
from boat_by_hand import boat_by_hand
from hypothesis import given, settings
from hypothesis import strategies as st
from on_paper import inside_the_paper
from plan_by_hand import SHOP, timed_by_hand

from flotation.boat import Boat
from flotation.foamsystem import MachineMixing
from flotation.pour.outlook import Flush, Timetable
from flotation.pour.pourplan import Caution, Check, CheckKind, PourPlan, ShownAt
from flotation.report.pour_sheet import pour_sheet

Read = Callable[[bytes], str]
LOCAL = "supplier's data sheet and local rules come first"


@pytest.fixture(scope="session")
def plan() -> PourPlan:
    return timed_by_hand()


@pytest.fixture(scope="module")
def sheet(boat: Boat, plan: PourPlan) -> bytes:
    return pour_sheet(boat, plan)


@pytest.fixture(scope="module")
def words(sheet: bytes, text_of: Read) -> str:
    return text_of(sheet)


def pages_of(pdf: bytes) -> list[str]:
    return [" ".join(p.extract_text().split()) for p in pypdf.PdfReader(io.BytesIO(pdf)).pages]


def pours_of(pdf: bytes) -> str:
    return " ".join(page for page in pages_of(pdf) if page.startswith("POURS, IN THIS ORDER"))


def test_every_bucket_of_every_lift_is_on_it(words: str, plan: PourPlan) -> None:
    for lift in plan.lifts:
        for shot in lift.shots:
            assert f"A {shot.weigh_a:.3f} kg" in words
            assert f"B {shot.weigh_b:.3f} kg" in words


def test_each_batch_has_its_number_start_and_boxes_in_pouring_order(sheet: bytes) -> None:
    pours, wanted = pours_of(sheet), timed_by_hand()
    found = re.findall(r"batch (\d+), start (\d+:\d\d) A ([\d.]+) kg", pours)
    shots = [shot for lift in wanted.lifts for shot in lift.shots]
    assert [(int(n), f"{float(a):.3f}") for n, _, a in found] == [
        (shot.batch, f"{shot.weigh_a:.3f}") for shot in shots
    ]
    assert [start for _, start, _ in found][:3] == ["0:00", "1:40", "3:20"]
    assert pours.count("A, kg") == pours.count("B, kg") == len(shots)
    assert pours.count("dip name") == len(wanted.lifts)


def test_the_sums_on_it_are_those_of_the_plan_to_the_gram(words: str, plan: PourPlan) -> None:
    shots = [shot for lift in plan.lifts for shot in lift.shots]
    found = re.search(
        r"all (\d+) batches together: A ([\d.]+) kg, B ([\d.]+) kg, A \+ B ([\d.]+)", words
    )
    assert found is not None
    assert int(found[1]) == len(shots)
    assert float(found[2]) == pytest.approx(sum(shot.weigh_a for shot in shots), abs=5e-4)
    assert float(found[3]) == pytest.approx(sum(shot.weigh_b for shot in shots), abs=5e-4)
    assert float(found[4]) == pytest.approx(sum(shot.mass for shot in shots), abs=5e-4)


def test_amounts_have_their_cup_mark_and_stand_in_pounds_and_fluid_ounces(words: str) -> None:
    assert "A 0.985 kg 2.17 lb 801 mL 27.1 fl oz" in words


def test_a_later_lift_says_from_when_on_and_that_the_dip_comes_first(sheet: bytes) -> None:
    pours = pours_of(sheet)
    assert "foam stops, below the rim 170–190 mm 6 11/16–7 1/2 in dip name more from 12:00" in pours
    assert "Not before 13:40. Measure the dip first: another than before? Amounts on page" in pours
    assert pours.count("at the rim") == 6
    assert "clock at 0:00, the first stir" in pours


def test_a_caution_stands_where_its_work_is(boat: Boat, plan: PourPlan, text_of: Read) -> None:
    places = {
        ShownAt.START: "START HERE",
        ShownAt.POUR: "POURS, IN THIS ORDER",
        ShownAt.WHEN: "WHAT TO DO WHEN",
        ShownAt.AFTER: "AFTER THE LAST POUR",
    }
    safety = tuple(Caution(f"Mind the {p.value} of it.", SHOP, (p,)) for p in ShownAt)
    pages = pages_of(pour_sheet(boat, replace(plan, safety=safety)))
    for place, title in places.items():
        (page,) = (page for page in pages if f"Mind the {place.value} of it." in page)
        assert page.startswith(title)
    assert not any("Mind the mix of it." in page for page in pages)


def test_every_page_says_that_sheet_and_local_rules_come_first(sheet: bytes) -> None:
    for page in pages_of(sheet):
        assert LOCAL in page.replace("\u2019", "'")


def test_a_head_that_stands_too_long_is_flushed_after_its_step(
    boat: Boat, plan: PourPlan, text_of: Read
) -> None:
    flush = Flush(3, 500.0, plan.pours[0].foam, 0.08, 0.07)
    times = Timetable(1, 15.0, 12, 900.0, 1200.0, 1100.0, (flush,))
    words = text_of(pour_sheet(boat, replace(plan, timetable=times)))
    assert "Now flush the mixing head: A 0.080 kg, B 0.070 kg" in words
    step = words.index("3 P1 side port")
    assert step < words.index("Now flush") < words.index("4 P2 side port")
    assert "A 13.52 kg" in words  # 13.44 poured and wasted, 0.08 flushed


@settings(max_examples=6, deadline=None)
@given(shots=st.lists(st.integers(1, 9), min_size=1, max_size=12))
def test_nothing_is_cut_off_however_many_batches_a_step_has(shots: list[int]) -> None:
    boat, plan = boat_by_hand(), timed_by_hand()
    pour = plan.pours[0]
    lifts = tuple(
        replace(pour.lifts[0], order=place, shots=pour.lifts[0].shots[:1] * count)
        for place, count in enumerate(shots, start=1)
    )
    pdf = pour_sheet(boat, replace(plan, pours=(replace(pour, lifts=lifts, ladder=()),)), "letter")
    assert pours_of(pdf).count("A, kg") == sum(shots)
    inside_the_paper(pdf)


@pytest.mark.parametrize("dip", [0.0, -0.06])
def test_foam_that_comes_up_to_the_rim_has_no_depth(
    boat: Boat, plan: PourPlan, dip: float, text_of: Read
) -> None:
    pour = plan.pours[0]
    lifts = tuple(replace(lift, dip=dip, dip_least=dip) for lift in pour.lifts)
    words = text_of(pour_sheet(boat, replace(plan, pours=(replace(pour, lifts=lifts),))))
    assert words.count("at the rim") == len(lifts)
    assert "below the rim" not in words
    assert "\u221260 mm" not in words


def test_it_begins_with_the_limits_and_what_to_plug_brace_and_keep_open(
    sheet: bytes, plan: PourPlan
) -> None:
    first = pages_of(sheet)[0]
    assert first.startswith("START HERE")
    for limits in ("21 to 27 °C", "16 to 38 °C", "30.5 to 33.5 kg/m³"):
        assert limits in first
    for check in plan.before:
        assert check.text in first
    assert "A 13.44 kg" in first


def test_what_cavities_have_in_common_is_said_once(
    boat: Boat, plan: PourPlan, text_of: Read
) -> None:
    words = ("plug every drain. Note it.", "plug every drain, and the tube. Note it.")
    plugs = [
        Check(CheckKind.PLUG, f"{name}: {text}", SHOP, name)
        for name, text in zip(
            ("stringer grid", "side starboard", "side port"), (words[0], *words), strict=True
        )
    ]
    opened = "fill hole P1, fill hole P2, vent hole P3 and vent hole P4 open and clear."
    opens = [Check(CheckKind.OPEN, f"side port: {opened}", SHOP, "side port")]
    first = pages_of(pour_sheet(boat, replace(plan, before=(*plugs, *opens))))[0]
    assert first.count("Plug every drain. Note it.") == 1
    assert first.count("And the tube") == 1
    assert "P1 P2 P3 P4" in first.replace("\u200b", " ").replace("  ", " ")
    assert "Open and clear." in first


def test_it_has_the_ladder_and_the_amounts_by_dip(words: str) -> None:
    assert "30.5 kg/m³ 1.90 lb/ft³ 2 × A 1.205 B 0.800" in words
    assert "100 mm 3 15/16 in 1 × A 1.060 B 0.940" in words


def test_steps_that_read_the_same_share_a_ladder_and_a_table_of_dips(words: str) -> None:
    assert words.count("2 × A 1.205 B 0.800") == 1
    assert words.count("1 × A 1.060 B 0.940") == 2  # once for each side


def test_it_says_what_to_do_when_and_ends_with_what_comes_after(words: str, plan: PourPlan) -> None:
    for answer in plan.if_then:
        assert answer.sign in words
        for step in answer.steps:
            assert step in words
    end = words.index("AFTER THE LAST POUR")
    for after in plan.after:
        assert words.index(after.text) > end
    for caution in (*plan.cautions, *(caution.text for caution in plan.safety)):
        assert caution in words


@pytest.mark.parametrize(("paper", "size"), [("a4", (595, 842)), ("letter", (612, 792))])
def test_both_papers(boat: Boat, plan: PourPlan, paper: str, size: tuple[int, int]) -> None:
    for page in pypdf.PdfReader(io.BytesIO(pour_sheet(boat, plan, paper))).pages:
        assert (round(page.mediabox.width), round(page.mediabox.height)) == size


def test_another_paper_is_refused(boat: Boat, plan: PourPlan) -> None:
    with pytest.raises(ValueError, match="paper must be one of"):
        pour_sheet(boat, plan, "a5")


def test_the_same_plan_gives_the_same_bytes(boat: Boat, plan: PourPlan, sheet: bytes) -> None:
    assert pour_sheet(boat, plan) == sheet


def test_a_stopped_plan_gives_reasons_and_no_quantity(
    boat: Boat, stopped: PourPlan, text_of: Read
) -> None:
    pdf = pour_sheet(boat, stopped)
    words = text_of(pdf)
    assert len(pypdf.PdfReader(io.BytesIO(pdf)).pages) == 1
    assert "DO NOT POUR" in words
    assert stopped.stops[0] in words
    assert LOCAL in words.replace("\u2019", "'")
    body = words.replace(stopped.stops[0], "")
    assert not re.search(r"\d\s*(kg|lb|L|fl oz|mm|s)\b", body)
    for lift in stopped.lifts:
        assert f"{lift.shots[0].weigh_a:.3f}" not in words


@pytest.mark.parametrize("name", ["#panic()", "$x$", "<b>bow</b>", "*_`@ref`_*", '"] + panic("'])
def test_markup_in_names_stays_text(boat: Boat, plan: PourPlan, name: str, text_of: Read) -> None:
    pours = tuple(replace(pour, group=f"{name} {pour.group}") for pour in plan.pours)
    words = text_of(pour_sheet(boat, replace(plan, boat=name, pours=pours, cautions=(name,))))
    assert words.count(name) >= 5


def test_a_machine_is_told_seconds(boat: Boat, plan: PourPlan, text_of: Read) -> None:
    shop = replace(boat.shop, mixing=MachineMixing(0.2, None, 0.1))
    pours = tuple(
        replace(
            pour,
            lifts=tuple(
                replace(
                    lift,
                    shots=tuple(replace(shot, seconds=26.4) for shot in lift.shots),
                    by_dip=tuple(replace(rung, seconds=9.3) for rung in lift.by_dip),
                )
                for lift in pour.lifts
            ),
            ladder=tuple(
                replace(rung, seconds=tuple(25.1 for _ in rung.seconds)) for rung in pour.ladder
            ),
        )
        for pour in plan.pours
    )
    words = text_of(pour_sheet(replace(boat, shop=shop), replace(plan, pours=pours)))
    assert "shot 1, start 0:00 26.4 s open" in words
    assert "2 × 25.1 s" in words
    assert "1 × 9.3 s" in words
    assert "bucket" not in words
