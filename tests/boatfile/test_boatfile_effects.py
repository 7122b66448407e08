"""Heat of a foam and panels of a cavity in a boat file, and what is refused of them."""

from pathlib import Path

import pytest
from boatfile_writing import Change, only_fault, write

from flotation.boatfile import read_boat, template
from flotation.foamsystem import FoamHeat, MeasuredCore

FOAM = 'water_uptake = { share = "2 %", basis = "volume" }'
HEAT = FOAM + "\n[foam.heat]\n"
CAVITY = 'hold_down_by = "side deck bonded to hull and liner"\n'
PANEL = """
[[cavity.panel]]
name = "side deck"
short_span = "220 mm"
long_span = "900 mm"
thickness = "6 mm"
modulus = "9 GPa"
"""


def heat(text: str) -> Change:
    return FOAM, HEAT + text


def panel(text: str, *changed: tuple[str, str]) -> Change:
    table = PANEL
    for old, new in changed:
        table = table.replace(old, new)
    return CAVITY, CAVITY + table + text + "\n"


def test_heat_is_read(tmp_path: Path) -> None:
    text = """adiabatic_rise = ["112 K", "126 K"]
core_limit = "150 degC"
cool_to = "140 degF"
measured_core = { temperature = "139 degC", start = "22 degC", thickness = "200 mm", date = "2026-04-10" }
recipe = { nco = "31 %", index = 1.10, water = "1.2 %", agent = "n-pentane", agent_share = "4 %" }
"""  # noqa: E501 - as a boat file has it
    (foam,) = read_boat(write(tmp_path, heat(text), cavities=False)).foams
    found = foam.heat
    assert (found.adiabatic_low, found.adiabatic_high) == (112.0, 126.0)
    assert found.core_limit == pytest.approx(423.15)
    assert found.cool_to == pytest.approx(333.15)
    assert found.measured_core == MeasuredCore(412.15, 295.15, 0.2, "2026-04-10")
    assert found.recipe is not None
    assert (found.recipe.nco, found.recipe.index, found.recipe.water) == (0.31, 1.1, 0.012)
    assert found.recipe.agent is not None
    assert found.recipe.agent.latent_heat == 357_000.0


def test_a_foam_without_heat_states_nothing(tmp_path: Path) -> None:
    (foam,) = read_boat(write(tmp_path, cavities=False)).foams
    assert foam.heat == FoamHeat()


@pytest.mark.parametrize(
    ("text", "entry", "problem"),
    [
        ("", "heat", "nothing is stated"),
        ('adiabatic_rise = ["126 K", "112 K"]', "heat adiabatic_rise", "above the upper one"),
        ('adiabatic_rise = ["120 degC", "126 K"]', "low", "is not a rise of temperature"),
        ('core_limit = "20 degC"', "core_limit", "is not between 40 and 400 degC"),
        ('core_limit = "100 degC"\ncool_to = "120 degC"', "cool_to", "it is above core_limit"),
        ('glow = "red"', "glow", "not known here"),
        ('recipe = { nco = "31 %", index = 11, water = "1 %" }', "index", "none of a rigid foam"),
        ('recipe = { nco = "31 %", index = 1.1, water = "4 %" }', "water", "more isocyanate"),
        (
            'recipe = { nco = "31 %", index = 1.1, water = "1 %", agent = "n-pentane" }',
            "agent",
            "without agent_share",
        ),
        (
            'recipe = { nco = "31 %", index = 1.1, water = "1 %", agent_share = "3 %" }',
            "agent_share",
            "without agent",
        ),
        (
            'recipe = { nco = "31 %", index = 1.1, water = "1 %", agent = "air", '
            'agent_share = "3 %" }',
            "agent",
            "no blowing agent that is known here",
        ),
        (
            'measured_core = { temperature = "41 degC", start = "22 degC", thickness = "1 m", '
            'date = "2026-04-10" }',
            "temperature",
            "hardly warmer",
        ),
    ],
)
def test_heat_that_cannot_be_is_refused(
    tmp_path: Path, text: str, entry: str, problem: str
) -> None:
    fault = only_fault(tmp_path, heat(text + "\n"), cavities=False)
    assert fault.place.endswith(entry)
    assert problem in fault.problem
    assert fault.remedy


def test_panels_are_read_and_the_twin_has_them_too(tmp_path: Path) -> None:
    text = """strength = "90 MPa"
deflection_limit = "4 mm"
flange_width = "50 mm"
peel_strength = "4 kN/m"
"""
    boat = read_boat(write(tmp_path, panel(text)))
    (port,), (starboard,) = (boat.cavity(f"side {side}").panels for side in ("port", "starboard"))
    assert port == starboard
    assert (port.short_span, port.long_span, port.thickness) == (0.22, 0.9, 0.006)
    assert (port.modulus, port.strength) == (9e9, 9e7)
    assert (port.deflection_limit, port.flange_width, port.peel_strength) == (0.004, 0.05, 4000.0)
    assert "panel" in port.entry
    assert boat.cavity("stringer port").panels == ()


@pytest.mark.parametrize(
    ("changed", "text", "entry", "problem"),
    [
        (('"220 mm"', '"1.2 m"'), "", "short_span", "longer than long_span"),
        (('"6 mm"', '"60 mm"'), "", "thickness", "no plate"),
        (('"9 GPa"', '"9 Pa"'), "", "modulus", "between 10 MPa"),
        (("", ""), 'flange_width = "50 mm"', "flange_width", "without peel_strength"),
        (("", ""), 'peel_strength = "4 kN/m"', "peel_strength", "without flange_width"),
        (("", ""), 'peel_strength = "4 kN"', "peel_strength", "is not a force per length"),
        (('modulus = "9 GPa"\n', ""), "", "panel", '"modulus" is missing'),
    ],
)
def test_panels_that_cannot_be_are_refused(
    tmp_path: Path, changed: tuple[str, str], text: str, entry: str, problem: str
) -> None:
    fault = only_fault(tmp_path, panel(text, *([changed] if changed[0] else [])))
    assert entry in fault.place
    assert problem in fault.problem
    assert fault.remedy


def test_two_panels_of_one_name_are_refused(tmp_path: Path) -> None:
    fault = only_fault(tmp_path, panel(PANEL))
    assert 'the name "side deck" stands twice' in fault.problem


def test_the_commented_entries_of_the_template_are_read_once_their_mark_is_taken_away(
    tmp_path: Path,
) -> None:
    text = template()
    for first, last in (
        ("# [foam.heat]", "# recipe = "),
        ("# [[cavity.panel]]", "# peel_strength"),
    ):
        start = text.index(first)
        end = text.index("\n", text.index(last, start))
        block = "\n".join(line.removeprefix("# ") for line in text[start:end].split("\n"))
        text = text[:start] + block + text[end:]
    file = tmp_path / "boat.toml"
    file.write_text(text, encoding="utf-8")
    boat = read_boat(file)
    heat = boat.foams[0].heat
    assert heat.adiabatic_low is not None
    assert heat.core_limit is not None
    assert heat.cool_to is not None
    assert heat.measured_core is not None
    assert heat.recipe is not None
    assert boat.cavity("side port").panels[0].peel_strength == 4000.0
