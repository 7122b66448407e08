"""Lines for a terminal."""

import pytest

from flotation.report.terminal import bar, table


@pytest.mark.parametrize(
    ("share", "drawn"),
    [(0.0, "[....................]   0 %"), (0.5, "[##########..........]  50 %"),
     (1.0, "[####################] 100 %"), (1.7, "[####################] 100 %")],
)  # fmt: skip
def test_a_bar_shows_the_share_and_what_comes_next(share: float, drawn: str) -> None:
    assert bar(share, "sealing gaps").rstrip() == f"{drawn}  sealing gaps"


def test_each_bar_wipes_the_one_before_and_stays_on_its_line() -> None:
    assert len(bar(0.1, "")) == len(bar(0.1, "a long word " * 20)) == 79


def test_the_stretched_column_gives_way() -> None:
    lines = table(("a", "b"), [("1", "long " * 40)], right=(0,), stretch=1).splitlines()
    assert max(map(len, lines)) <= 80
