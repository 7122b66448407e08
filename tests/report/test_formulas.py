"""A formula's tree says what the formula's text says."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flotation.report.formulas import Node, formula_tree, put_in_tree


def words(node: Node) -> str:
    """The tree as plain text: fractions in braces, powers with a caret."""
    if isinstance(node, str):
        return node
    kind, *parts = node
    said = [words(part) for part in parts]
    patterns = {
        "symbol": "{0}_{1}" if parts[-1] else "{0}",
        "line": "[{0}]",
        "fraction": "{{{0}//{1}}}",
        "power": "{0}^{1}",
        "root": "√[{0}]",
    }
    return "".join(said) if kind == "row" else patterns[str(kind)].format(*said)


@pytest.mark.parametrize(
    ("formula", "expected"),
    [
        ("0.5 * min(P, first) + max(P - first, 0)", "0.5 × min(P, first) + max(P − first, 0)"),
        ("a - (b - c) / d ** 2", "a − {b − c//d^2}"),
        ("a - (b - c)", "a − (b − c)"),
        ("a - b - c", "a − b − c"),
        ("a / b / c", "{a / b//c}"),
        ("a / (b / c)", "{a//b / c}"),
        ("(a + b / c) * d", "(a + b / c) × d"),
        ("V * (fill / free)", "V × {fill//free}"),
        ("(a - b) ** 2", "(a − b)^2"),
        ("-(a + b) * m_A", "(−(a + b)) × m_A"),
        ("sqrt(a / b)", "√[a / b]"),
        ("persons_capacity * rho_w", "persons capacity × rho w"),
        ("(a + b + c) / (d + e)", "{a + b + c//d + e}"),
        ("(a + b + c + d + e) / f", "(a + b + c + d + e) / f"),
        ("3", "3"),
        ("t / 2 ** (a / b)", "t / 2^a / b"),
        ("t / 2 ** 3", "{t//2^3}"),
        ("by_time - m_A", "by time − m_A"),
    ],
)
def test_a_formula_is_laid_out_as_it_is_written(formula: str, expected: str) -> None:
    assert words(formula_tree(formula)) == expected


def test_numbers_stand_where_their_symbols_stood_with_the_line_they_come_from() -> None:
    tree = put_in_tree("mass * K", {"mass": "182 kg", "K": "0.33"}, {"mass": "", "K": "4.1"})
    assert tree == ["row", "182\u00a0kg × 0.33", ["line", "4.1"]]


def test_a_negative_number_stands_in_brackets() -> None:
    tree = put_in_tree("a - b", {"a": "1 m", "b": "−3 m"}, {"a": "", "b": ""})
    assert words(tree) == "1\u00a0m − (−3\u00a0m)"


def test_a_quantity_with_a_power_stands_in_brackets() -> None:
    assert words(put_in_tree("a ** 2", {"a": "3 m"}, {"a": ""})) == "(3\u00a0m)^2"
    assert words(put_in_tree("a ** 2", {"a": "3 m"}, {"a": "1.2"})) == "(3\u00a0m[1.2])^2"


def test_what_no_followed_formula_holds_is_refused() -> None:
    with pytest.raises(ValueError, match="no part of a followed formula"):
        formula_tree("[a]")


formulas = st.recursive(
    st.sampled_from(["a", "b", "c"]),
    lambda part: st.tuples(part, st.sampled_from(["+", "-", "*", "/"]), part).map(
        lambda three: f"({three[0]} {three[1]} {three[2]})"
    ),
    max_leaves=8,
)


def value(node: Node, symbols: dict[str, float]) -> float:
    """What a reader of the page would work out, by the rules of written arithmetic."""
    written = words(node).replace("−", "-").replace("×", "*")
    written = written.replace("{", "((").replace("//", ")/(").replace("}", "))")
    return float(eval(written, {"__builtins__": {}}, symbols))


@given(formulas)
def test_the_page_works_out_to_the_formula(formula: str) -> None:
    symbols = {"a": 3.0, "b": 5.5, "c": 11.25}
    try:
        expected = float(eval(formula, {"__builtins__": {}}, symbols))
    except ZeroDivisionError:
        return
    assert value(formula_tree(formula), symbols) == pytest.approx(expected, rel=1e-9, abs=1e-9)
