"""One followed number: its formula, the numbers put in, its unit and where the rule stands.

The text of the formula is what is calculated. `work_out` reads the formula, puts the terms in
and returns the line, so a report can never show another formula than the one that was used.
"""

import ast
import math
import operator
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache


class Mark(StrEnum):
    """How well a number is founded."""

    READ = "read"
    REPRODUCED = "reproduced in"
    RECALLED = "recalled"
    COMPUTED = "computed"
    COMMON = "common practice, no source"
    STATED = "stated"
    MEASURED = "measured"


@dataclass(frozen=True)
class Source:
    """Where a formula or a number stands.

    publication  its title; for a stated number, the file or sheet that states it
    section      section, page, table or entry
    edition      edition or date in force; "" where there is none
    mark         how it is known here; "recalled" is printed with "compare with the current text"
    """

    publication: str
    section: str = ""
    edition: str = ""
    mark: Mark = Mark.READ

    def __str__(self) -> str:
        """Publication, section, edition and, unless plainly read, the mark."""
        words = ", ".join(part for part in (self.publication, self.section, self.edition) if part)
        if self.mark is Mark.RECALLED:
            return f"{words} (recalled, compare with the current text)"
        if self.mark in (Mark.READ, Mark.STATED) or words.startswith(self.mark):
            return words
        return f"{words} ({self.mark})"


COMPUTED = Source("computed here", mark=Mark.COMPUTED)
COMMON_PRACTICE = Source(str(Mark.COMMON), mark=Mark.COMMON)


@dataclass(frozen=True)
class Term:
    """A number put into a formula: symbol as the formula writes it, SI value and unit.

    of  label of the line whose result it is, so that a report can refer to it; "" for an input
    """

    symbol: str
    value: float
    unit: str
    source: Source | None = None
    of: str = ""


@dataclass(frozen=True)
class Line:
    """One followed number. `value` is `formula` with `terms` put in, in SI `unit`."""

    label: str
    formula: str
    terms: tuple[Term, ...]
    value: float
    unit: str
    source: Source
    note: str = ""

    def term(self, symbol: str) -> Term:
        """The result as a term of a later formula."""
        return Term(symbol, self.value, self.unit, self.source, self.label)


_BINARY: dict[type[ast.operator], Callable[[float, float], float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}
_FUNCTIONS: dict[str, Callable[..., float]] = {
    "min": min,
    "max": max,
    "sqrt": math.sqrt,
    "floor": math.floor,
    "ceil": math.ceil,
}


def work_out(
    label: str,
    formula: str,
    terms: Sequence[Term],
    *,
    unit: str,
    source: Source,
    note: str = "",
) -> Line:
    """Put the terms into the formula and return the followed number.

    formula  arithmetic on the symbols of `terms`: + - * / **, min, max, sqrt, floor, ceil and
             numbers; a symbol is a Python name ("persons_capacity", "P")
    unit     SI unit of the result; the reports convert it, this function does not
    Returns a Line. Raises ValueError for a formula that is no such arithmetic, names a symbol
    twice, leaves a term unused or uses one that is not given; ZeroDivisionError as Python does.

    >>> work_out("Sum", "a + max(b, 0)", [Term("a", 2.0, "kg"), Term("b", -1.0, "kg")],
    ...          unit="kg", source=COMPUTED).value
    2.0
    """
    values = {term.symbol: float(term.value) for term in terms}
    if len(values) != len(terms):
        raise ValueError(f"{formula!r} is given a symbol twice")
    tree, used = _parsed(formula)
    if used != set(values):
        raise ValueError(f"{formula!r} uses {sorted(used)} but is given {sorted(values)}")
    value = float(_evaluate(tree.body, values, formula))
    return Line(label, formula, tuple(terms), value, unit, source, note)


@lru_cache(maxsize=4096)
def _parsed(formula: str) -> tuple[ast.Expression, frozenset[str]]:
    """The tree of a formula and the symbols in it; a plan uses the same few texts for each lift."""
    tree = ast.parse(formula, mode="eval")
    names = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
    return tree, frozenset(names - set(_FUNCTIONS))


def _evaluate(node: ast.expr, values: dict[str, float], formula: str) -> float:
    match node:
        case ast.Name(id=name):
            return values[name]
        case ast.Constant(value=int() | float() as number):
            return float(number)
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            return -_evaluate(operand, values, formula)
        case ast.BinOp(op=op) if type(op) in _BINARY:
            return _chain(node, values, formula)
        case ast.Call(func=ast.Name(id=name), args=args, keywords=[]) if name in _FUNCTIONS:
            return _FUNCTIONS[name](*(_evaluate(arg, values, formula) for arg in args))
    raise ValueError(f"{formula!r} is not arithmetic on its terms")


def _chain(node: ast.BinOp, values: dict[str, float], formula: str) -> float:
    """A chain of operations from its left end, so that a sum of any length needs no recursion."""
    chain: list[tuple[type[ast.operator], ast.expr]] = []
    left: ast.expr = node
    while isinstance(left, ast.BinOp) and type(left.op) in _BINARY:
        chain.append((type(left.op), left.right))
        left = left.left
    value = _evaluate(left, values, formula)
    for op, right in reversed(chain):
        value = _BINARY[op](value, _evaluate(right, values, formula))
    return value
