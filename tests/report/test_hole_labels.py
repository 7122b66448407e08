"""Every hole has a label, on one grid for both papers; the kilograms are those of the plan."""

import io
import re
from collections.abc import Callable
from dataclasses import replace

import pypdf
import pytest
from on_paper import inside_the_paper

from flotation.boat import Boat
from flotation.pour.pourplan import PourPlan
from flotation.report.hole_labels import hole_labels
from flotation.report.holes import holes_poured

Read = Callable[[bytes], str]


def test_every_hole_has_a_label_with_cavity_kind_steps_and_kilograms(
    boat: Boat, plan: PourPlan, text_of: Read
) -> None:
    words = text_of(hole_labels(boat, plan))
    for cavity in boat.cavities:
        for hole in cavity.holes:
            lifts = [lift for lift in plan.lifts if lift.hole == hole.name]
            if not lifts:
                assert f"{hole.name} AIR OUT {cavity.name} keep open" in words
                continue
            steps = ", ".join(str(lift.order) for lift in lifts)
            mass = sum(shot.mass for lift in lifts for shot in lift.shots)
            plural = "s" if len(lifts) > 1 else ""
            said = f"{hole.name} FOAM IN step{plural} {steps} {cavity.name} {mass:.3f} kg"
            assert said in words


def test_labels_together_have_the_mass_of_the_plan_to_the_gram(
    boat: Boat, plan: PourPlan, text_of: Read
) -> None:
    labels = re.findall(r"([\d.]+) kg [\d.]+ lb, A \+ B in all", text_of(hole_labels(boat, plan)))
    mixed = sum(shot.mass for lift in plan.lifts for shot in lift.shots)
    assert sum(map(float, labels)) == pytest.approx(mixed, abs=5e-4)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_labels_stand_within_the_margins_of_both_papers(
    boat: Boat, plan: PourPlan, paper: str
) -> None:
    cavity = boat.cavities[0]
    many = tuple(replace(cavity.holes[0], name=f"P{place}") for place in range(30))
    wide = replace(boat, cavities=(replace(cavity, holes=many), *boat.cavities[1:]))
    pdf = hole_labels(wide, plan, paper)
    inside_the_paper(pdf)
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]
    assert [len(re.findall(r"FOAM IN|AIR OUT", page)) for page in pages] == [24, 12]


def test_a_hole_of_a_cavity_without_foam_says_so(boat: Boat, plan: PourPlan, text_of: Read) -> None:
    empty = replace(boat.cavities[3], holes=(replace(boat.cavities[0].holes[0], name="B1"),))
    changed = replace(boat, cavities=(*boat.cavities[:3], empty))
    assert "B1 NO FOAM bow void" in text_of(hole_labels(changed, plan))


def test_a_stopped_plan_has_no_label(boat: Boat, stopped: PourPlan, text_of: Read) -> None:
    words = text_of(hole_labels(boat, stopped))
    assert "DO NOT POUR" in words
    assert "FOAM IN" not in words


def test_lifts_that_a_stopped_plan_has_go_through_no_hole(boat: Boat, stopped: PourPlan) -> None:
    assert all(not one.lifts for one in holes_poured(boat, stopped))
