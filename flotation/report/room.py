"""Whether the tables of a group stand under its cards, reckoned before the page is set.

The typesetter could measure it, but a page that depends on a measure is set twice.
"""

from math import ceil

from flotation.report.cards import Row

_SMALLEST_MAP = 44.0 + 6.0  # mm, with the line above it
_CARD, _ANOTHER_BATCH, _HOLE = 16.0, 10.0, 9.6
_TITLE, _LADDER_HEAD, _LADDER_ROW = 15.0, 12.0, 6.2
_DIPS_BESIDE, _DIP_HEAD, _DIP_ROW = 3, 6.0, 9.6


def tables_stay(cards: list[Row], ladders: list[Row], dips: list[Row], height: float) -> bool:
    """True if map, cards and tables surely stand on one page of so many mm, or the cards on none.

    Cards that need a second page leave room on it. Heights are those of the widest text, so that
    a table that just fits may be sent to the page of the tables, and never the other way round.
    """
    total = _SMALLEST_MAP
    for card in cards:
        rows, batches, shots = card["rows"], card["batches"], card["shots"]
        total += _CARD + _ANOTHER_BATCH * (_length(batches) - 1)
        total += _HOLE * _length(rows) * (shots if isinstance(shots, int) else 1)
    if total > height:
        return True
    for ladder in ladders:
        total += _TITLE + _LADDER_HEAD + _LADDER_ROW * _length(ladder["rows"])
    if dips:
        highest = max(_length(dip["rows"]) for dip in dips)
        beside = ceil(len(dips) / _DIPS_BESIDE)
        total += _TITLE + beside * (_DIP_HEAD + _DIP_ROW * highest)
    return total <= height


def _length(rows: object) -> int:
    return len(rows) if isinstance(rows, list) else 0
