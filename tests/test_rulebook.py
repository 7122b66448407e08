"""Published numbers as data: complete, cited, and nowhere else."""

import ast
from pathlib import Path

import pytest
import scipy.constants

from flotation import boat
from flotation.boat import Kind
from flotation.equilibrium.bodies import GRAVITY
from flotation.rulebook import load_rulebook, materials, water_density, waters
from flotation.workings import Mark

LB = 0.45359237
BOOKS = (
    "us_33cfr183",
    "us_boatbuilders_handbook",
    "us_46cfr170",
    "victoria_2012",
    "own_choices",
    "waters",
)
SWAMPED = Path(boat.__file__).parent / "swamped"
OTHER_FILES = {"assessment", "limits", "books", "wording", "open_points", "__init__"}
RULE_FILES = sorted({file.stem for file in SWAMPED.glob("*.py")} - OTHER_FILES)


@pytest.mark.parametrize("name", BOOKS)
def test_every_entry_says_what_it_rules_and_where_it_stands(name: str) -> None:
    book = load_rulebook(name)
    entries = [*book.numbers.values(), *book.clauses.values()]
    assert entries
    for entry in entries:
        assert entry.quote, entry.name
        assert entry.source.publication, entry.name
        if entry.source.mark in (Mark.READ, Mark.RECALLED, Mark.REPRODUCED):
            cited = entry.source.section or entry.source.mark is Mark.REPRODUCED
            assert cited, entry.name


def test_a_value_is_si_and_keeps_its_citation() -> None:
    first = load_rulebook("us_33cfr183").number("level_persons_first")
    assert first.value == pytest.approx(550.0 * LB, rel=1e-15)
    assert (first.unit, first.source.mark) == ("kg", Mark.READ)
    assert str(first.source) == "33 CFR Part 183, 183.220(b), undated copy"


def test_a_recalled_value_says_so_wherever_it_is_printed() -> None:
    heel = load_rulebook("us_33cfr183").number("one_side_heel")
    assert "recalled, compare with the current text" in str(heel.source)
    assert "recalled" in str(heel.term("heel").source)


def test_an_entry_of_another_publication_does_not_take_the_edition_of_the_file() -> None:
    source = load_rulebook("us_33cfr183").number("modified_motor").source
    assert "handbook" in source.publication
    assert source.edition == ""
    assert source.mark is Mark.REPRODUCED


def test_a_fraction_and_a_percentage_are_shares() -> None:
    law = load_rulebook("us_33cfr183")
    assert law.number("basic_persons_share").value == 2.0 / 15.0
    assert law.number("level_persons_rest_share").value == 0.125


def test_a_miss_names_the_file() -> None:
    with pytest.raises(KeyError, match="us_33cfr183 has no number 'inboard'"):
        load_rulebook("us_33cfr183").number("inboard")
    with pytest.raises(KeyError, match="us_33cfr183 has no clause 'level_heel'"):
        load_rulebook("us_33cfr183").clause("level_heel")
    with pytest.raises(FileNotFoundError):
        load_rulebook("iso_12217")


def test_the_kinds_left_out_are_kinds_of_boats() -> None:
    law = load_rulebook("us_33cfr183")
    kinds = {str(kind) for kind in Kind} - {"monohull", "multihull"}
    assert set(law.clause("excluded").names) == kinds
    assert law.clause("excluded").source.mark is Mark.READ
    assert law.clause("excluded_modified").source.mark is Mark.RECALLED


def test_a_material_takes_the_largest_factor_and_keeps_the_others() -> None:
    laminate = materials()["fibreglass laminate"]
    assert laminate.submergence == 0.375
    assert [factor.value for factor in laminate.published] == [0.33, 0.375]
    assert "Victoria" in laminate.source
    assert "handbook" in laminate.source


def test_every_material_has_a_factor_or_a_density() -> None:
    for material in materials().values():
        assert (material.density is None) != (material.submergence is None), material.name
        assert material.source


def test_wood_is_marked_as_wood() -> None:
    wood = {material.name for material in materials().values() if material.is_wood}
    assert {"fir plywood", "balsa", "Douglas-fir"} < wood
    assert not wood & {"fibreglass laminate", "aluminium", "steel", "ABS", "lead"}


def test_tables_cannot_be_changed() -> None:
    with pytest.raises(TypeError):
        materials()["balsa"] = materials()["lead"]  # type: ignore[index] # that is the point
    with pytest.raises(TypeError):
        waters()["fresh"] = waters()["salt"]  # type: ignore[index] # that is the point


def test_gravity_is_the_same_wherever_it_stands() -> None:
    own = load_rulebook("own_choices").number("gravity").value
    assert own == GRAVITY == scipy.constants.g


def test_salt_water_is_denser_than_fresh() -> None:
    assert water_density("salt") > water_density("fresh")


@pytest.mark.parametrize("stem", RULE_FILES)
def test_formulas_hold_no_number_of_a_rule(stem: str) -> None:
    """Counts, signs and halves are arithmetic; anything else belongs into a data file."""
    tree = ast.parse((SWAMPED / f"{stem}.py").read_text())
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and type(node.value) in (int, float):
            assert node.value in (0, 0.5, 1, 2, 3, 6), f"{stem}.py:{node.lineno} {node.value}"


def test_a_section_that_was_read_at_second_hand_says_so() -> None:
    law = load_rulebook("us_33cfr183")
    for name in ("level_heel", "level_depth"):
        assert "183.225 as guidance gives it" in law.number(name).source.section
    assert "recalled" in law.number("reference_length").source.section
    assert "183.112" in law.number("exposed_loss").source.section
