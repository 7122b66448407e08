"""Bounds, walls and plugs of found cavities on the sheet, in the report and in JSON."""

import io
import json
from dataclasses import replace

import pypdf
import pytest
from pour_boats import SHOP, boat, side
from small_boats import between, found_skiff, skiff, skiff_foam

from flotation import assess, plan_pours
from flotation.boat import Boat
from flotation.report.calculation import calculation_report
from flotation.report.pour_sheet import pour_sheet
from flotation.report.tables import pour_json
from flotation.report.text_tables import pour_text


def words(pdf: bytes) -> str:
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def report(one: Boat) -> str:
    ready = replace(one, shop=SHOP)
    return words(calculation_report(ready, plan_pours(ready), assess(ready, skiff_foam())))


@pytest.fixture(scope="module")
def found_report() -> str:
    return report(found_skiff(0.001))


def test_the_report_has_bound_walls_gaps_and_plugs_at_the_cavity(found_report: str) -> None:
    for told in (
        "± 1 L (34 US fl oz)",
        "Found between the parts at 1.90 port 0.75 up 0.50, bound ± 0.45 %",
        "Walls: hull moulding; side moulding. 4 gaps sealed (they hold 0.2 L (6.8 US fl oz))",
        "closed by name: limber hole",
        "every surface of the parts be off by 0.1 mm",
    ):
        assert told in found_report, told


def test_the_effect_on_foam_and_margin_is_stated_once(found_report: str) -> None:
    assert found_report.count("Were all of them off by their bounds") == 1
    assert "tolerances of the weights and the bounds of found volumes, all against" in found_report
    assert "volumes found between parts" in found_report


def test_a_boat_without_found_cavities_has_none_of_it() -> None:
    plain = report(skiff())
    for word in ("Found between", "bounds of found volumes", "± "):
        assert word not in plain


def test_sheet_table_and_json_carry_the_bound_and_the_plugs() -> None:
    one = side()
    made = boat(replace(one, found=between(one.solid, 0.0015)))
    plan = plan_pours(made)
    sheet, table = words(pour_sheet(made, plan)), " ".join(pour_text(plan).split())
    for told in ("may be off by up to 0.5 % (side port)", "seal them before the pour"):
        assert told in sheet
        assert told in table
    assert "here: limber hole" in sheet
    (pour,) = json.loads(pour_json(plan))["pours"]
    assert pour["volume_error_m3"] == 0.0015
