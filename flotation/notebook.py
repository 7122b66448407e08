"""How a result shows in a notebook: a plain table, every text escaped.

A class that should show so has a method `_repr_html_`, which notebooks call by that name.
"""

from collections.abc import Sequence
from html import escape


def html_table(
    caption: str, heads: Sequence[str], rows: Sequence[Sequence[str]], *, after: Sequence[str] = ()
) -> str:
    """A table as HTML.

    heads  one for each column; rows: as many texts each
    after  sentences below the table
    Raises ValueError for a row of another length.

    >>> html_table("a < b", ["n"], [["1"]])
    '<table><caption>a &lt; b</caption><tr><th>n</th></tr><tr><td>1</td></tr></table>'
    """
    if any(len(row) != len(heads) for row in rows):
        raise ValueError(f"each row needs {len(heads)} texts")
    head = "".join(f"<th>{escape(text)}</th>" for text in heads)
    body = "".join(
        f"<tr>{''.join(f'<td>{escape(text)}</td>' for text in row)}</tr>" for row in rows
    )
    below = "".join(f"<p>{escape(text)}</p>" for text in after)
    return f"<table><caption>{escape(caption)}</caption><tr>{head}</tr>{body}</table>{below}"
