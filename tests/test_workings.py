"""The text of a formula is what is calculated, and nothing else is."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from many_assessments import EVERY

from flotation.workings import COMMON_PRACTICE, COMPUTED, Line, Mark, Source, Term, work_out

NUMBERS = st.floats(-1e6, 1e6)
POSITIVE = st.floats(1e-3, 1e6)


def value(formula: str, **terms: float) -> float:
    given_terms = [Term(symbol, number, "1") for symbol, number in terms.items()]
    return work_out("line", formula, given_terms, unit="1", source=COMPUTED).value


@given(NUMBERS, NUMBERS, POSITIVE)
def test_a_formula_is_worked_out_as_python_would(a: float, b: float, c: float) -> None:
    assert value("a - b * -c", a=a, b=b, c=c) == a - b * -c
    assert value("(a + b) / c", a=a, b=b, c=c) == (a + b) / c
    assert value("max(a, b, 0) - min(a, b)", a=a, b=b) == max(a, b, 0) - min(a, b)
    assert value("sqrt(c) ** 2 + floor(a) + ceil(b)", a=a, b=b, c=c) == (
        math.sqrt(c) ** 2 + math.floor(a) + math.ceil(b)
    )


def test_a_formula_without_terms_is_its_number() -> None:
    assert value("0") == 0.0


def test_a_symbol_without_a_value_is_refused() -> None:
    with pytest.raises(ValueError, match=r"uses \['a', 'b'\] but is given \['a'\]"):
        value("a + b", a=1.0)


def test_a_value_that_the_formula_does_not_use_is_refused() -> None:
    with pytest.raises(ValueError, match=r"uses \['a'\] but is given \['a', 'b'\]"):
        value("a", a=1.0, b=2.0)


def test_a_symbol_given_twice_is_refused() -> None:
    terms = [Term("a", 1.0, "1"), Term("a", 2.0, "1")]
    with pytest.raises(ValueError, match="given a symbol twice"):
        work_out("line", "a", terms, unit="1", source=COMPUTED)


@pytest.mark.parametrize(
    "formula", ["abs(a)", "a if a else a", "a // 2", "a % 2", "a > 1", "max(a, key=a)", "a * '2'"]
)
def test_what_is_no_arithmetic_is_refused(formula: str) -> None:
    with pytest.raises(ValueError):
        value(formula, a=1.0)


def test_a_division_by_zero_is_no_number() -> None:
    with pytest.raises(ZeroDivisionError):
        value("a / b", a=1.0, b=0.0)


def test_a_line_is_a_term_of_the_next_and_says_where_it_comes_from() -> None:
    first = work_out("Weight", "a", [Term("a", 2.0, "kg")], unit="kg", source=COMPUTED)
    assert first.term("w") == Term("w", 2.0, "kg", COMPUTED, "Weight")


@pytest.mark.parametrize(
    ("source", "printed"),
    [
        (Source("Book", "table 3", "1983"), "Book, table 3, 1983"),
        (
            Source("Book", "p. 4", mark=Mark.RECALLED),
            "Book, p. 4 (recalled, compare with the current text)",
        ),
        (Source("boat.toml", "[boat]", mark=Mark.STATED), "boat.toml, [boat]"),
        (Source("Book", mark=Mark.REPRODUCED), "Book (reproduced in)"),
        (COMPUTED, "computed here"),
        (COMMON_PRACTICE, "common practice, no source"),
    ],
)
def test_a_source_prints_its_mark_unless_it_was_read(source: Source, printed: str) -> None:
    assert str(source) == printed


def lines_of(assessed) -> list[Line]:
    return list(assessed().lines)


@pytest.mark.parametrize("assessed", EVERY, ids=lambda made: made.__name__)
def test_every_line_of_an_assessment_can_be_worked_out_again_from_its_own_text(assessed) -> None:
    for line in lines_of(assessed):
        again = work_out(line.label, line.formula, line.terms, unit=line.unit, source=line.source)
        assert again.value == line.value


@pytest.mark.parametrize("assessed", EVERY, ids=lambda made: made.__name__)
def test_every_term_that_is_a_result_refers_to_one_line_that_stands_above(assessed) -> None:
    seen: dict[str, float] = {}
    for line in lines_of(assessed):
        for term in line.terms:
            if term.of:
                assert term.of in seen, f"{line.label} refers to {term.of}"
                assert seen[term.of] == term.value
        assert line.label not in seen, f"two lines are called {line.label}"
        seen[line.label] = line.value


@pytest.mark.parametrize("assessed", EVERY, ids=lambda made: made.__name__)
def test_every_input_says_where_it_stands(assessed) -> None:
    for line in lines_of(assessed):
        for term in line.terms:
            assert term.source is not None, f"{line.label}: {term.symbol}"
