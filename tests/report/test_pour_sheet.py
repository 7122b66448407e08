"""The sheet prints the plan's numbers, all of them, and nothing when the pour is stopped."""

import io
import re
from collections.abc import Callable
from dataclasses import replace

import pypdf
import pytest
from plan_by_hand import SHOP

from flotation.boat import Boat
from flotation.foamsystem import MachineMixing
from flotation.pour.pourplan import Check, CheckKind, PourPlan
from flotation.report.pour_sheet import pour_sheet

Read = Callable[[bytes], str]
CAUTION = "A = isocyanate, B = polyol: check the drum label."


@pytest.fixture(scope="module")
def sheet(boat: Boat, plan: PourPlan) -> bytes:
    return pour_sheet(boat, plan)


@pytest.fixture(scope="module")
def words(sheet: bytes, text_of: Read) -> str:
    return text_of(sheet)


def pages_of(pdf: bytes) -> list[str]:
    return [" ".join(p.extract_text().split()) for p in pypdf.PdfReader(io.BytesIO(pdf)).pages]


def page_of(group: str, pdf: bytes) -> str:
    return next(page for page in pages_of(pdf) if page.startswith(f"{group} step"))


def test_every_bucket_of_every_lift_is_on_it(words: str, plan: PourPlan) -> None:
    for lift in plan.lifts:
        for shot in lift.shots:
            assert f"A {shot.weigh_a:.3f} kg" in words
            assert f"B {shot.weigh_b:.3f} kg" in words


def test_every_hole_has_a_row_on_its_groups_page(sheet: bytes, plan: PourPlan) -> None:
    for pour in plan.pours:
        page = page_of(pour.group, sheet)
        rows = [page.index(f"{lift.order} {lift.hole} ") for lift in pour.lifts]
        assert rows == sorted(rows)
        assert page.count("dip after") == len(pour.lifts)
        assert page.count("A kg") == sum(len(lift.shots) for lift in pour.lifts)


def test_holes_that_get_the_same_share_a_card(sheet: bytes) -> None:
    assert page_of("grid", sheet).count("each hole") == 1
    assert "lift 1 of 1 each hole 2 buckets A 0.985 kg" in page_of("grid", sheet)
    assert page_of("port side", sheet).count("each hole") == 4


def test_amounts_stand_in_pounds_litres_and_fluid_ounces_too(words: str) -> None:
    assert "A 0.985 kg · 2.17 lb 0.801 L · 27.1 fl oz" in words


def test_it_says_where_foam_should_stop_and_how_long_to_wait(sheet: bytes) -> None:
    page = page_of("port side", sheet)
    assert "then wait 4 min" in page
    assert "3 P1 170–190 mm 6 11/16–7 1/2 in below the rim" in page
    assert "1 G1 at the rim" in page_of("grid", sheet)


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


def test_the_cautions_are_on_every_page(sheet: bytes) -> None:
    for page in pypdf.PdfReader(io.BytesIO(sheet)).pages:
        text = " ".join(page.extract_text().split())
        assert CAUTION in text
        assert "supplier’s data sheet and local rules come first" in text


def test_each_group_of_cavities_begins_a_page(sheet: bytes, plan: PourPlan) -> None:
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(sheet)).pages]
    for group in {pour.group for pour in plan.pours}:
        assert sum(page.startswith(f"{group} ") for page in pages) == 1


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
    assert CAUTION in words
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
    assert "each hole 2 shots of 26.4 s" in words
    assert "2 × 25.1 s" in words
    assert "1 × 9.3 s" in words
    assert "bucket" not in words


def test_buckets_that_differ_have_a_row_each(boat: Boat, plan: PourPlan, text_of: Read) -> None:
    pour = plan.pours[0]
    lift = pour.lifts[0]
    other = replace(lift.shots[1], weigh_a=0.990, weigh_b=0.875)
    lifts = (replace(lift, shots=(lift.shots[0], lift.shots[0], other)), *pour.lifts[1:])
    numbered = tuple(replace(shot, number=i + 1) for i, shot in enumerate(lifts[0].shots))
    lifts = (replace(lifts[0], shots=numbered), *lifts[1:])
    changed = replace(plan, pours=(replace(pour, lifts=lifts), *plan.pours[1:]))
    words = text_of(pour_sheet(boat, changed))
    assert "buckets 1–2 A 0.985 kg" in words
    assert "bucket 3 A 0.990 kg" in words


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_dozen_steps_and_their_map_stand_on_one_page(
    boat: Boat, plan: PourPlan, paper: str
) -> None:
    one = plan.pours[1].lifts[0]
    names = [f"P{place}" for place in range(1, 13)]
    cavity = boat.cavities[0]
    holes = tuple(
        replace(cavity.holes[0], name=name, at=(0.2 * place + 0.6, 0.74, 0.68))
        for place, name in enumerate(names)
    )
    lifts = tuple(
        replace(one, hole=name, order=place, number=1, of=1)
        for place, name in enumerate(names, start=1)
    )
    pours = (replace(plan.pours[1], lifts=lifts, ladder=()),)
    wide = replace(boat, cavities=(replace(cavity, holes=holes), *boat.cavities[1:]))
    pages = pages_of(pour_sheet(wide, replace(plan, pours=pours), paper))
    (page,) = (page for page in pages if page.startswith("port side step"))
    assert page.count("dip after") == 12


def test_tables_without_room_stand_together_and_their_groups_say_where(
    boat: Boat, plan: PourPlan
) -> None:
    pour = plan.pours[1]
    lifts = tuple(replace(lift, shots=lift.shots * 2) for lift in pour.lifts)
    pages = pages_of(pour_sheet(boat, replace(plan, pours=(replace(pour, lifts=lifts),))))
    (last,) = (n for n, page in enumerate(pages, start=1) if page.startswith("ANOTHER CUP"))
    assert "Ladder: another cup test today" in pages[last - 1]
    cards = " ".join(page for page in pages if page.startswith("port side step"))
    assert f"Another cup test or another dip: page {last}." in cards
    assert "Ladder" not in cards


def test_tables_follow_cards_that_need_a_second_page(boat: Boat, plan: PourPlan) -> None:
    pour = plan.pours[1]
    lifts = tuple(replace(lift, shots=lift.shots * 8) for lift in pour.lifts)
    pages = pages_of(pour_sheet(boat, replace(plan, pours=(replace(pour, lifts=lifts),))))
    assert not any(page.startswith("ANOTHER CUP") for page in pages)
    own = [page for page in pages if page.startswith("port side step")]
    assert len(own) > 1
    assert "Ladder: another cup test today" in own[-1]
