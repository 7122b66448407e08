"""Heat and pressure on a terminal: a line or two for each cavity, said once for alike ones."""

from dataclasses import replace

from pour_boats import FOAM, PANEL, boat, side

from flotation import plan_pours
from flotation.foamsystem import FoamHeat
from flotation.pour.pourplan import PourPlan
from flotation.report.effects_text import effects_parts
from flotation.report.text_tables import pour_text


def words(plan: PourPlan) -> str:
    return " ".join(" ".join(effects_parts(plan)).split())


def plan(heat: FoamHeat | None = None, span: float = 0.2) -> PourPlan:
    foam = FOAM if heat is None else replace(FOAM, heat=heat)
    panels = (replace(PANEL, short_span=span),)
    cavities = (replace(side(), panels=panels), replace(side("side starboard", -1.0)))
    return plan_pours(boat(*cavities, foam=foam))


def test_cavities_of_which_the_same_is_said_share_a_line() -> None:
    text = words(plan())
    assert text.count("core 13") == 1
    assert "side port, side starboard: core 138 °C (280 °F) to" in text
    assert "by the range of the literature, above 150 °C for up to" in text
    assert "below 60 °C after" in text
    assert "presses with 5.2 kPa, with heating 16 kPa" in text


def test_a_core_within_its_limit_has_no_time_above_it() -> None:
    sheet = FoamHeat(adiabatic_low=100.0, adiabatic_high=110.0, cool_to=330.0)
    text = words(plan(sheet))
    assert "by the data sheet, below 56.85 °C after" in text
    assert "above" not in text


def test_a_panel_is_shown_beside_its_limits() -> None:
    assert "side port: panel lid bends" in words(plan())
    assert "too much" not in words(plan())
    assert ": too much, see below" in words(plan(span=0.8))


def test_they_stand_in_the_plan_of_the_terminal() -> None:
    text = pour_text(plan())
    assert "Heat where the foam is thickest" in text
    assert max(map(len, text.splitlines())) <= 80


def test_a_plan_of_nothing_says_nothing() -> None:
    assert effects_parts(plan_pours(boat())) == []
