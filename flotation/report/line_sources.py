"""Where the lines of a block come from, each source said once."""

from collections.abc import Sequence

from flotation.workings import COMPUTED, Line, Mark, Term

_MANY = 4
_OF_EACH_CAVITY = ("cavity ", "foam in ")
_GIVEN = "what each cavity is given, its table (computed)"


def sources(lines: Sequence[Line]) -> list[str]:
    """The lines' own source, then where terms come from that are no results of lines.

    lines  of one way, or x, y and z of one centre
    Sums over many inputs and rows of one list name the file once, and what the cavities hold the
    table that has it; a recalled source is always named in full.
    """
    own = lines[0].source
    given = [term for line in lines for term in line.terms if term.source and not term.of]
    given = [term for term in given if term.source not in (COMPUTED, own)]
    many = len({term.source for term in given}) > _MANY
    by_source: dict[str, dict[str, None]] = {}
    for term in given:
        several = len({other.source for other in given if other.symbol == term.symbol}) > 1
        where = _where(term, many=many, several=several)
        by_source.setdefault(where, {})[term.symbol.replace("_", " ")] = None
    found = [] if own == COMPUTED else [str(own)]
    return found + [f"{_run(list(symbols))}: {source}" for source, symbols in by_source.items()]


def _where(term: Term, *, many: bool, several: bool) -> str:
    """The source, or where to look for it if it is one of many.

    several  terms of this symbol have different sources
    """
    source = term.source or COMPUTED
    if not (many or several) or source.mark is Mark.RECALLED:
        return str(source)
    if source.mark is Mark.COMPUTED:
        if source.publication.startswith(_OF_EACH_CAVITY):
            return _GIVEN
        return "the inputs (computed)" if several else str(source)
    file = source.publication.partition(" ")[0]
    return file if "." in file else source.publication


def _run(symbols: list[str]) -> str:
    """All symbols, or the first and the last of many."""
    if len(symbols) <= _MANY:
        return ", ".join(symbols)
    return f"{symbols[0]} \u2026 {symbols[-1]}"
