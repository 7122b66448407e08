"""Every printed formula has the dimension of the unit beside it.

The formula is evaluated a second time with dimensions in place of numbers: a sum of kilograms and
metres, or a quotient printed with the wrong unit, is an error wherever it stands.
"""

import ast
from collections.abc import Mapping
from dataclasses import replace
from functools import partial, reduce

import pour_boats
import pytest
from many_assessments import EVERY

from flotation.foamsystem import FoamHeat
from flotation.pour.plan import plan_pours
from flotation.units import dimension_of
from flotation.units.scales import SCALES, System
from flotation.workings import COMPUTED, Line, Term, work_out

Dimension = Mapping[str, float]
ANY: Dimension = {"any": 1.0}  # of a bare zero, which may stand beside anything
NONE: Dimension = {}


def same(one: Dimension, other: Dimension) -> Dimension:
    if one == ANY:
        return other
    if other not in (ANY, one):
        raise AssertionError(f"{dict(one)} beside {dict(other)}")
    return one


def product(one: Dimension, other: Dimension, sign: float) -> Dimension:
    if ANY in (one, other):
        return ANY
    powers = {name: one.get(name, 0.0) + sign * other.get(name, 0.0) for name in {*one, *other}}
    return {name: power for name, power in powers.items() if power != 0.0}


def power(base: Dimension, exponent: float) -> Dimension:
    return {name: one * exponent for name, one in base.items()}


def raised(base: Dimension, node: ast.expr, exponent: Dimension) -> Dimension:
    """A power: of a plain number to any plain number, of a quantity to a written number only."""
    assert exponent == NONE, "an exponent has a unit"
    if base == NONE:
        return NONE
    assert isinstance(node, ast.Constant), "a quantity is raised to what is no written number"
    return power(base, float(node.value))


def call(name: str, arguments: list[Dimension]) -> Dimension:
    if name in ("min", "max"):
        return reduce(same, arguments)
    (argument,) = arguments
    if name == "sqrt":
        return power(argument, 0.5)
    assert argument == NONE, f"{name} of a quantity with a unit"
    return NONE


def dimension(  # noqa: PLR0911 - one return for each kind of arithmetic
    node: ast.expr, terms: Mapping[str, Dimension]
) -> Dimension:
    inside = partial(dimension, terms=terms)
    match node:
        case ast.Name(id=name):
            return terms[name]
        case ast.Constant(value=value):
            return ANY if value == 0 else NONE
        case ast.UnaryOp(operand=operand):
            return inside(operand)
        case ast.BinOp(left=left, op=ast.Add() | ast.Sub(), right=right):
            return same(inside(left), inside(right))
        case ast.BinOp(left=left, op=ast.Mult() | ast.Div() as op, right=right):
            return product(inside(left), inside(right), -1.0 if isinstance(op, ast.Div) else 1.0)
        case ast.BinOp(left=left, op=ast.Pow(), right=right):
            return raised(inside(left), right, inside(right))
        case ast.Call(func=ast.Name(id=name), args=arguments):
            return call(name, [inside(argument) for argument in arguments])
    raise AssertionError(ast.dump(node))


def check(line: Line) -> None:
    """Raises AssertionError if the formula does not have the dimension of the line's unit."""
    terms = {term.symbol: dimension_of(term.unit) for term in line.terms}
    try:
        same(dimension(ast.parse(line.formula, mode="eval").body, terms), dimension_of(line.unit))
    except AssertionError as error:
        raise AssertionError(f"{line.label}: {line.formula} in {line.unit}: {error}") from error


@pytest.mark.parametrize("assessed", EVERY, ids=lambda made: made.__name__)
def test_every_formula_of_an_assessment_has_the_dimension_of_its_unit(assessed) -> None:
    lines = assessed().lines
    assert len(lines) > 20
    for line in lines:
        check(line)


def test_every_formula_of_a_pour_plan_has_the_dimension_of_its_unit() -> None:
    shop = replace(pour_boats.SHOP, crew=1)
    whole = plan_pours(pour_boats.boat(pour_boats.side(), shop=shop))
    for plan in (whole, pour_boats.interrupted(shop)):
        lines = pour_boats.lines_of(plan)
        assert len(lines) > 20
        for line in lines:
            check(line)


def test_the_formulas_of_what_stays_empty_have_the_dimension_of_their_unit() -> None:
    low = replace(pour_boats.side(), holes=(pour_boats.hole("F", (1.5, 0.6, 0.5)),))
    foam = replace(pour_boats.FOAM, flow_length=1.0)
    lines = [
        line for pour in plan_pours(pour_boats.boat(low, foam=foam)).pours for line in pour.lines
    ]
    formulas = {line.formula for line in lines}
    assert {"trap_1", "volume - caught - unreached"} <= formulas
    assert "unreached * (water - density - uptake)" in formulas
    for line in lines:
        check(line)


@pytest.mark.parametrize("heat", [pour_boats.RECIPE, pour_boats.MEASURED], ids=["recipe", "core"])
def test_every_formula_of_heat_and_pressure_has_the_dimension_of_its_unit(heat: FoamHeat) -> None:
    lines = pour_boats.effects_lines(heat)
    assert len(lines) > 20
    for line in lines:
        check(line)


SHOWN_ALIKE = {"EUR", "USD", "mol/kg"}  # money, and chemistry, which has one system everywhere


def test_every_result_is_shown_in_both_systems_of_units() -> None:
    plan = plan_pours(pour_boats.boat(pour_boats.side()))
    lines = [line for assessed in EVERY for line in assessed().lines]
    lines += pour_boats.lines_of(plan)
    lines += pour_boats.effects_lines(pour_boats.RECIPE)
    units = {line.unit for line in lines} - SHOWN_ALIKE
    assert {"kg", "m3", "Pa", "m3/s"} <= units
    for unit in units:
        assert {(unit, system) for system in System} <= set(SCALES), unit


KG, M, M3 = Term("kg", 1.0, "kg"), Term("m", 1.0, "m"), Term("m3", 1.0, "m3")


@pytest.mark.parametrize(
    ("formula", "terms", "unit"),
    [
        ("kg + m", [KG, M], "kg"),
        ("kg / m3", [KG, M3], "kg"),
        ("max(kg, m)", [KG, M], "kg"),
        ("floor(kg)", [KG], "1"),
        ("kg + 1", [KG], "kg"),
        ("m ** 2", [M], "m3"),
        ("sqrt(m)", [M], "m"),
        ("2 ** m", [M], "1"),
        ("m ** n", [M, Term("n", 2.0, "1")], "m2"),
    ],
)
def test_a_formula_of_the_wrong_dimension_is_found(
    formula: str, terms: list[Term], unit: str
) -> None:
    with pytest.raises(AssertionError):
        check(work_out("wrong", formula, terms, unit=unit, source=COMPUTED))


@pytest.mark.parametrize(
    ("formula", "terms", "unit"),
    [
        ("kg / m3", [KG, M3], "kg/m3"),
        ("max(kg - kg2, 0)", [KG, Term("kg2", 1.0, "kg")], "kg"),
        ("sqrt(m ** 2) * m", [M], "m2"),
        ("kg * m", [KG, M], "kg m"),
        ("0", [], "kg"),
    ],
)
def test_a_formula_of_the_right_dimension_passes(
    formula: str, terms: list[Term], unit: str
) -> None:
    check(work_out("right", formula, terms, unit=unit, source=COMPUTED))
