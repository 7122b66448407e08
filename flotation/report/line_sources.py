"""Where the lines of a block come from, each source said once."""

from collections.abc import Sequence

from flotation.workings import COMPUTED, Line, Mark, Term

_MANY = 4


def sources(lines: Sequence[Line]) -> list[str]:
    """The lines' own source, then where terms come from that are no results of lines.

    lines  of one way, or x, y and z of one centre
    Sums over many inputs and rows of one list name the file once, and the geometry of the
    cavities in one phrase; a recalled source is always named in full.
    """
    own = lines[0].source
    given = [term for line in lines for term in line.terms if term.source and not term.of]
    given = [term for term in given if term.source not in (COMPUTED, own)]
    many = len({term.source for term in given}) > _MANY
    by_source: dict[str, dict[str, None]] = {}
    for term in given:
        several = len({other.source for other in given if other.symbol == term.symbol}) > 1
        where = _where(term, many=many or several)
        by_source.setdefault(where, {})[term.symbol.replace("_", " ")] = None
    found = [] if own == COMPUTED else [str(own)]
    return found + [f"{_run(list(symbols))}: {source}" for source, symbols in by_source.items()]


def _where(term: Term, *, many: bool) -> str:
    source = term.source or COMPUTED
    if not many or source.mark is Mark.RECALLED:
        return str(source)
    if source.mark is Mark.COMPUTED:
        return "the inputs (computed)"
    file = source.publication.partition(" ")[0]
    return file if "." in file else source.publication


def _run(symbols: list[str]) -> str:
    """All symbols, or the first and the last of many."""
    if len(symbols) <= _MANY:
        return ", ".join(symbols)
    return f"{symbols[0]} \u2026 {symbols[-1]}"
