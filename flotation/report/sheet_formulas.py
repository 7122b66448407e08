"""A followed formula as a formula of a spreadsheet, made from the text that was evaluated."""

import ast
from collections.abc import Mapping

_SIGNS: dict[type[ast.operator], tuple[str, int]] = {
    ast.Add: ("+", 1),
    ast.Sub: ("-", 1),
    ast.Mult: ("*", 2),
    ast.Div: ("/", 2),
}
_FUNCTIONS = {
    "min": "MIN({})",
    "max": "MAX({})",
    "sqrt": "SQRT({})",
    "floor": "INT({})",
    "ceil": "(-INT(-({})))",
}


def sheet_formula(formula: str, cells: Mapping[str, str]) -> str:
    """The formula with a cell for each symbol, as a spreadsheet takes it.

    formula  arithmetic as `workings.work_out` takes it
    cells    symbol -> address of its cell
    Raises ValueError for anything else, KeyError for a symbol without a cell.

    >>> sheet_formula("a - (b + max(c, 0)) ** 2", {"a": "B1", "b": "B2", "c": "Inputs!C3"})
    '=B1-POWER(B2+MAX(Inputs!C3,0),2)'
    """
    return f"={_part(ast.parse(formula, mode='eval').body, cells, 0)}"


def _part(node: ast.expr, cells: Mapping[str, str], least: int) -> str:
    """Text of a part; in brackets where it binds less than `least`."""
    match node:
        case ast.Name(id=name):
            return cells[name]
        case ast.Constant(value=int() | float() as number):
            return repr(number)
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            return f"(-{_part(operand, cells, 3)})"  # -2^2 is 4 in a spreadsheet
        case ast.BinOp(left=left, op=ast.Pow(), right=right):
            return f"POWER({_part(left, cells, 0)},{_part(right, cells, 0)})"
        case ast.BinOp(left=left, op=op, right=right) if type(op) in _SIGNS:
            sign, binds = _SIGNS[type(op)]
            tighter = binds + isinstance(op, ast.Sub | ast.Div)
            text = f"{_part(left, cells, binds)}{sign}{_part(right, cells, tighter)}"
            return f"({text})" if binds < least else text
        case ast.Call(func=ast.Name(id=name), args=args, keywords=[]) if name in _FUNCTIONS:
            return _FUNCTIONS[name].format(",".join(_part(arg, cells, 0) for arg in args))
    raise ValueError(f"{ast.unparse(node)!r} is no part of a followed formula")
