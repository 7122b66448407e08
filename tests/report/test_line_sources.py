"""Each source is said once, and one of many by where a reader finds it."""

from flotation.report.line_sources import sources
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out


def summed(terms: list[Term]) -> Line:
    formula = " + ".join(term.symbol for term in terms)
    return work_out("Sum", formula, terms, unit="m3", source=COMPUTED)


def computed(symbol: str, words: str) -> Term:
    return Term(symbol, 1.0, "m3", Source(words, mark=Mark.COMPUTED))


def test_what_many_cavities_hold_is_looked_up_in_their_table() -> None:
    for of_each in ("cavity bay {}", "foam in bay {}"):
        line = summed([computed(f"v{i}", of_each.format(i)) for i in range(1, 8)])
        assert sources([line]) == ["v1 \u2026 v7: what each cavity is given, its table (computed)"]


def test_few_cavities_are_named() -> None:
    line = summed([computed("v1", "cavity bay 1"), computed("v2", "cavity bay 2")])
    assert sources([line]) == ["v1: cavity bay 1 (computed)", "v2: cavity bay 2 (computed)"]


def test_one_source_of_many_symbols_keeps_its_words_beside_many_others() -> None:
    others = [computed(f"v{i}", f"cavity bay {i}") for i in range(1, 8)]
    line = summed([*others, computed("t1", "half of it"), computed("t2", "half of it")])
    assert "t1, t2: half of it (computed)" in sources([line])


def test_symbols_of_several_sources_in_one_table_are_told_as_inputs() -> None:
    lines = [summed([computed("width", f"ball {i}")]) for i in range(1, 8)]
    assert sources(lines) == ["width: the inputs (computed)"]
