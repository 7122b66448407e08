"""One meaning for each word: fields and symbols stand on the page of names."""

import re
from dataclasses import fields, replace
from importlib.resources import files

import pour_boats
import pytest
from many_assessments import EVERY

from flotation import boat, boat_panels, boat_places, foamsystem, foamsystem_agents, foundbetween
from flotation.foamsystem import FoamHeat, Shop
from flotation.pour.plan import plan_pours
from flotation.workings import Line

NAMES = files("flotation").joinpath("data", "names.md").read_text("utf-8")
BY_MACHINE = replace(pour_boats.SHOP, mixing=pour_boats.MACHINE)


def named() -> set[str]:
    """Words in the first column of the page of names."""
    rows = re.findall(r"^\| ([^|]+) \|", NAMES, re.MULTILINE)
    return {word.strip() for row in rows for word in row.split(",")}


CLASSES = (
    boat_panels.Panel,
    foamsystem.FoamHeat,
    foamsystem.MeasuredCore,
    foamsystem.Recipe,
    foamsystem_agents.Agent,
    boat.Boat,
    boat.Capacity,
    boat.Cavity,
    boat.Chamber,
    foamsystem.Foam,
    foamsystem.FoamPack,
    foundbetween.FoundBetween,
    boat.FoamInPlace,
    boat.HandCheck,
    foamsystem.HandMixing,
    boat.Hole,
    boat.IntactHull,
    boat.Jig,
    boat_places.KeepOut,
    foamsystem.MachineMixing,
    boat.Method,
    foamsystem.MixRatio,
    boat.Part,
    boat.PassengerArea,
    boat.Scale,
    foamsystem.Shop,
    boat.TakenOut,
    boat.Tank,
    boat.Top,
    foamsystem.WaterUptake,
    boat.Weighing,
    boat.Weight,
)
PLURALS = {"foams": "foam", "cavities": "cavity"}


@pytest.mark.parametrize("described", CLASSES, ids=lambda cls: cls.__name__)
def test_every_field_of_a_boat_is_on_the_page_of_names(described: type) -> None:
    words = named()
    for field in fields(described):
        assert PLURALS.get(field.name, field.name) in words, field.name


def bare(symbol: str) -> str:
    """A symbol without its counting number, and without the axis before the place of a weight."""
    counted = re.sub(r"[0-9]+", "1", symbol)
    return re.sub(r"^[xyz]_(?=([wcaf]1|load)(_lift)?$)", "", counted)


def missing(lines: list[Line]) -> set[str]:
    symbols = {bare(term.symbol) for line in lines for term in line.terms}
    assert len(symbols) > 10
    return symbols - named()


@pytest.mark.parametrize("assessed", EVERY, ids=lambda made: made.__name__)
def test_every_symbol_of_an_assessment_is_on_the_page_of_names(assessed) -> None:
    assert not missing(list(assessed().lines))


@pytest.mark.parametrize("shop", [pour_boats.SHOP, BY_MACHINE], ids=["by hand", "by machine"])
def test_every_symbol_of_a_pour_plan_is_on_the_page_of_names(shop: Shop) -> None:
    one = replace(shop, crew=1)
    whole = plan_pours(pour_boats.boat(pour_boats.side(), shop=one))
    for plan in (whole, pour_boats.interrupted(one)):
        assert not missing(pour_boats.lines_of(plan))


@pytest.mark.parametrize("heat", [pour_boats.RECIPE, pour_boats.MEASURED], ids=["recipe", "core"])
def test_every_symbol_of_heat_and_pressure_is_on_the_page_of_names(heat: FoamHeat) -> None:
    assert not missing(pour_boats.effects_lines(heat))


def test_a_name_has_one_row_in_its_table() -> None:
    for table in re.split(r"^## ", NAMES, flags=re.MULTILINE)[1:]:
        _, *rows = re.findall(r"^\| ([^|]+) \|", table, re.MULTILINE)  # less the heading
        words = [word.strip() for row in rows for word in row.split(",") if "..." not in word]
        assert len(words) == len(set(words)), table.splitlines()[0]
