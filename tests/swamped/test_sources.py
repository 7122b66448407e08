"""Every number that is put into a line has a source or a line that a reader can go to."""

import pytest
from many_assessments import EVERY

from flotation.workings import COMPUTED


@pytest.mark.parametrize("assessed", EVERY, ids=lambda made: made.__name__)
def test_a_number_put_in_comes_from_a_line_or_says_where_it_is_from(assessed) -> None:
    lines = assessed().lines
    labels = {line.label for line in lines}
    for line in lines:
        for term in line.terms:
            if term.of:
                assert term.of in labels, f"{line.label}: {term.symbol}"
            else:
                assert term.source not in (None, COMPUTED), f"{line.label}: {term.symbol}"
