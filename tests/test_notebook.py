"""Results show as tables in a notebook, and text from files stays text."""

from dataclasses import replace

import pour_boats
import pytest
import small_boats

from flotation.geometry.solid import Solid
from flotation.notebook import html_table
from flotation.pour.plan import plan_pours
from flotation.swamped.assess import assess

NASTY = "<b onclick='x'>&"
SAFE = "&lt;b onclick=&#x27;x&#x27;&gt;&amp;"


def test_a_table_has_its_texts_escaped() -> None:
    html = html_table(NASTY, [NASTY], [[NASTY]], after=[NASTY])
    assert html.count(SAFE) == 4
    assert "<b" not in html


def test_a_row_of_another_length_is_refused() -> None:
    with pytest.raises(ValueError, match="each row needs 2 texts"):
        html_table("", ["a", "b"], [["1"]])


def test_an_assessment_shows_each_limit_with_its_margin() -> None:
    found = assess(small_boats.skiff(), small_boats.skiff_foam())
    html = replace(found, boat=NASTY)._repr_html_()
    assert html.startswith(f"<table><caption>{SAFE}</caption>")
    assert html.count("<tr>") == 1 + len(found.limits)
    for limit in found.limits:
        assert f"<td>{limit.sentence}</td>" in html
    assert "It calculates; it does not certify." in html


def test_a_plan_shows_its_layers_and_a_stopped_one_no_quantity() -> None:
    plan = replace(plan_pours(pour_boats.boat(pour_boats.side())), boat=NASTY)
    html = plan._repr_html_()
    assert SAFE in html
    assert html.count("<tr>") == 1 + len(plan.lifts)
    assert html.count(" kg</td>") + html.count(" g</td>") == 2 * len(plan.lifts)
    stopped = replace(plan, stops=("The cup is too heavy.",))._repr_html_()
    assert "The cup is too heavy." in stopped
    assert "kg" not in stopped


def test_a_solid_shows_what_it_measures() -> None:
    solid = small_boats.skiff_foam()[0].solid
    html = Solid(solid.vertices, solid.faces, name=NASTY)._repr_html_()
    assert SAFE in html
    assert f"<td>{solid.volume:.6g} m\u00b3</td>" in html
    assert f"<td>{len(solid.faces)}</td>" in html
