"""The map has every hole at the boat file's distances, drawn at the scale that it names."""

import io
import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pypdf
import pytest
from boat_by_hand import boat_by_hand
from hypothesis import given, settings
from hypothesis import strategies as st
from on_paper import inside_the_paper
from plan_by_hand import plan_by_hand, proposing

from flotation.boat import Boat, Hole
from flotation.geometry.shapes_outline import View
from flotation.pour.pourplan import PourPlan
from flotation.report.hole_labels import hole_labels
from flotation.report.hole_map import _drawn, hole_map, marked, side_of
from flotation.report.holes import holes_poured, holes_proposed

Read = Callable[[bytes], str]
ROOM = (273.0, 159.0)
SIXTEENTH = 0.0254 / 16


def metres(words: str) -> float:
    """A length as the tape shows it, back in metres."""
    feet = re.search(r"(\d+) ft", words)
    inches = re.search(r"(?:ft )?(?:(\d+) )?(?:(\d+)/(\d+) )?in$", words)
    assert inches is not None, words
    whole, over, under = inches.groups()
    found = int(whole or 0) + (int(over) / int(under) if over else 0.0)
    return (12 * int(feet[1] if feet else 0) + found) * 0.0254


def row_of(words: str, hole: Hole) -> str:
    found = re.search(rf"\b{hole.name} (?:foam in|air out|no foam)( .*?)(?= [A-Z]\d+ |$)", words)
    assert found is not None, hole.name
    return found[1]


def test_every_hole_has_a_row_with_the_boats_distances(
    boat: Boat, plan: PourPlan, text_of: Read
) -> None:
    words = text_of(hole_map(boat, plan))
    table = words[words.index("From the transom") :]
    for cavity in boat.cavities:
        for hole in cavity.holes:
            row = row_of(table, hole)
            assert cavity.name in row
            lengths = re.findall(r"(\d+) mm ((?:\d+ ft )?[\d/ ]+in)", row)
            places = [hole.diameter, hole.at[0], abs(hole.at[1]), hole.at[2]]
            if side_of(hole.at) == "on it":
                del places[2]
            assert len(lengths) == len(places)
            for (millimetres, inches), place in zip(lengths, places, strict=True):
                assert int(millimetres) / 1000 == pytest.approx(place, abs=0.0005001)
                assert metres(inches) == pytest.approx(place, abs=SIXTEENTH / 2 + 1e-9)
            assert side_of(hole.at) in row


def test_sides_are_named_as_the_frame_has_them() -> None:
    assert side_of((1.0, 0.2, 0.0)) == "port"
    assert side_of((1.0, -0.2, 0.0)) == "starboard"
    assert side_of((1.0, 0.0, 0.0)) == "on it"


def test_every_hole_is_drawn_from_above_and_from_the_side(boat: Boat, plan: PourPlan) -> None:
    names = [hole.name for cavity in boat.cavities for hole in cavity.holes]
    drawn: Any = _drawn(boat, marked(holes_poured(boat, plan), ()), ROOM)
    for picture in drawn["pictures"]:
        labels = [name for label in picture["labels"] for name in label["text"].split()]
        assert sorted(labels) == sorted(names)


def test_holes_stand_on_the_paper_where_the_scale_puts_them(boat: Boat, plan: PourPlan) -> None:
    drawn: Any = _drawn(boat, marked(holes_poured(boat, plan), ()), ROOM)
    at = {hole.name: hole.at for cavity in boat.cavities for hole in cavity.holes}
    scale = float(drawn["scale"])
    for picture, (across, up) in zip(
        drawn["pictures"], (v.value for v in (View.PLAN, View.SIDE)), strict=True
    ):
        first, *others = picture["labels"]
        here = at[first["text"].split()[0]]
        for label in others:
            there = at[label["text"].split()[0]]
            for axis, sign, way in ((across, 1.0, 0), (up, -1.0, 1)):
                apart = sign * (there[axis] - here[axis]) * 1000.0 / scale
                assert label["at"][way] - first["at"][way] == pytest.approx(apart, abs=0.011)


@settings(max_examples=10, deadline=None)
@given(long=st.floats(2.0, 14.0), beam=st.floats(0.9, 4.5), paper=st.sampled_from(["a4", "letter"]))
def test_a_boat_of_any_size_stands_on_its_page(long: float, beam: float, paper: str) -> None:
    boat = replace(boat_by_hand(), length=long, beam=beam)
    pdf = hole_map(boat, plan_by_hand(), paper)
    inside_the_paper(pdf)
    first = pypdf.PdfReader(io.BytesIO(pdf)).pages[0].extract_text()
    assert "1 : " in first
    assert "From the side" in first


def test_a_stopped_plan_has_a_map_without_steps(
    boat: Boat, stopped: PourPlan, text_of: Read
) -> None:
    words = text_of(hole_map(boat, stopped))
    assert "P1 foam in side port" in words
    assert "kg" not in words


def test_a_hole_aft_of_the_transom_is_told(boat: Boat, plan: PourPlan, text_of: Read) -> None:
    cavity = boat.cavities[0]
    aft = replace(cavity, holes=(replace(cavity.holes[0], at=(-0.12, 0.7, 0.6)), *cavity.holes[1:]))
    words = text_of(hole_map(replace(boat, cavities=(aft, *boat.cavities[1:])), plan))
    assert "\u2212120 mm" in words
    assert "A minus: aft of the transom" in words
    assert "A minus" not in text_of(hole_map(boat, plan))


NOT_BEFORE = "Nothing that is proposed is drilled before the engineer says so."


def test_proposed_holes_are_drawn_in_both_views_unlike_holes(boat: Boat, plan: PourPlan) -> None:
    proposed = holes_proposed(proposing(plan))
    drawn: Any = _drawn(boat, marked(holes_poured(boat, plan), proposed), ROOM)
    above, beside = (
        {label["text"]: label["kind"] for label in picture["labels"]}
        for picture in drawn["pictures"]
    )
    assert above["proposed 1"] == above["proposed 2"] == "proposed fill"
    assert above["proposed 3"] == "proposed vent"
    assert beside["proposed 1 2"] == "proposed fill"  # mirrored: one over the other
    assert {kind for text, kind in above.items() if "proposed" not in text} == {"fill", "vent"}


def test_a_proposed_hole_stands_where_its_place_is(boat: Boat, plan: PourPlan) -> None:
    proposed = holes_proposed(proposing(plan))
    drawn: Any = _drawn(boat, marked(holes_poured(boat, plan), proposed), ROOM)
    at = {label["text"]: label["at"] for label in drawn["pictures"][0]["labels"]}
    scale = 1000.0 / float(drawn["scale"])
    assert at["proposed 1"][0] - at["P2"][0] == pytest.approx((3.25 - 2.5) * scale, abs=0.02)
    assert at["proposed 1"][1] - at["P2"][1] == pytest.approx((0.74 - 0.58) * scale, abs=0.02)


def test_the_map_gives_proposed_holes_their_distances_and_says_that_nothing_is_drilled(
    boat: Boat, plan: PourPlan, text_of: Read
) -> None:
    words = text_of(hole_map(boat, proposing(plan)))
    assert words.count(NOT_BEFORE) == 2  # beside the drawing, and over the table
    table = words[words.index("Proposed, not drilled.") :]
    first = table[table.index("proposed 1 ") : table.index("proposed 2 ")]
    assert "foam in (flow length recalled) side port 6.42 L" in first
    assert "3250 mm 10 ft 7 15/16 in 580 mm 1 ft 10 13/16 in port 680 mm" in first
    last = table[table.index("proposed 3 ") :]
    assert "air out (no place free to drill) stringer grid" in last
    assert "the data sheet comes first" in table


def test_a_map_without_proposals_speaks_of_none(boat: Boat, plan: PourPlan, text_of: Read) -> None:
    words = text_of(hole_map(boat, plan))
    assert "proposed" not in words.lower()


def test_proposed_holes_have_no_label(boat: Boat, plan: PourPlan) -> None:
    assert hole_labels(boat, proposing(plan)) == hole_labels(boat, plan)


def test_the_names_of_a_crowded_boat_stand_on_the_page(boat: Boat, plan: PourPlan) -> None:
    cavity = boat.cavities[0]
    holes = tuple(
        replace(cavity.holes[0], name=f"PS{place}", at=(0.5 + 0.021 * place, 0.7, 0.6))
        for place in range(90)
    )
    long = replace(cavity.holes[0], name="W" * 80)
    crowded = replace(boat, cavities=(replace(cavity, holes=(*holes, long)), *boat.cavities[1:]))
    drawn: Any = _drawn(crowded, marked(holes_poured(crowded, plan), ()), ROOM)
    for picture in drawn["pictures"]:
        assert picture["width"] <= ROOM[0]
        boxes = [(*label["to"], label["width"]) for label in picture["labels"]]
        for place, (x, y, width) in enumerate(boxes):
            assert 0.5 * width - 0.01 <= x <= picture["width"] - 0.5 * width + 0.01
            for across, up, wide in boxes[:place]:
                assert abs(across - x) >= 0.5 * (width + wide) or abs(up - y) >= 6.0
    assert sum(picture["height"] for picture in drawn["pictures"]) <= ROOM[1]
    inside_the_paper(hole_map(crowded, plan))
