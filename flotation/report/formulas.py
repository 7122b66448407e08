"""The text of a formula as a tree for the page: fractions, powers, symbols with their index.

The tree is read from the very text that `workings.work_out` evaluated, so the page cannot show
another formula. A node is a text, or a JSON list whose first item names it:

    ["row", node, node, ...]   ["fraction", over, under]   ["power", base, exponent]
    ["root", node]             ["symbol", "m", "A"]        name and index ("" without)
    ["line", "4.1"]            number of the line that the value before it comes from

Neighbouring texts are one text: a page of many formulas is set in half the time.
"""

import ast
from collections.abc import Callable

Node = str | list["Node"]

_SIGNS: dict[type[ast.operator], tuple[str, int]] = {
    ast.Add: (" + ", 1),
    ast.Sub: (" \u2212 ", 1),
    ast.Mult: (" \u00d7 ", 2),
    ast.Div: (" / ", 2),
}
_LONGEST_IN_FRACTION = 4
_HIGHEST = 9


def formula_tree(formula: str, *, tall: bool = True) -> Node:
    """The formula as it is written, with its symbols; `tall` builds fractions up."""
    return _merged(_Reader(_symbol).read(formula, tall))


def put_in_tree(
    formula: str, values: dict[str, str], references: dict[str, str], *, tall: bool = True
) -> Node:
    """The formula with the numbers put in.

    values      symbol -> text of its value with its unit
    references  symbol -> number of the line it comes from, "" for an input
    """
    reader = _Reader(lambda name: _value(values[name], references[name]))
    return _merged(reader.read(formula, tall))


def _value(text: str, reference: str) -> Node:
    """A number put in, unbroken; a negative one in brackets, so that no two signs meet."""
    unbroken = text.replace(" ", "\u00a0")
    said = f"({unbroken})" if text.startswith(("-", "\u2212")) else unbroken
    return ["row", said, ["line", reference]] if reference else said


def _symbol(name: str) -> Node:
    """Symbol with its index: "m_A" has one, "persons_capacity" is two words."""
    head, _, rest = name.partition("_")
    if rest and len(head) == 1:
        return ["symbol", head, rest.replace("_", " ")]
    return ["symbol", name.replace("_", " "), ""]


def _merged(node: Node) -> Node:
    """Rows within rows as one row, neighbouring texts as one text."""
    if isinstance(node, str):
        return node
    kind, *parts = node
    if kind in ("symbol", "line"):
        return node
    if kind != "row":
        return [kind, *(_merged(part) for part in parts)]
    found: list[Node] = []
    for part in parts:
        merged = _merged(part)
        for piece in merged[1:] if merged[0] == "row" else [merged]:
            if isinstance(piece, str) and found and isinstance(found[-1], str):
                found[-1] += piece
            else:
                found.append(piece)
    return found[0] if len(found) == 1 else ["row", *found]


class _Reader:
    """Turns the syntax tree of a formula into nodes; brackets only where they are needed."""

    def __init__(self, leaf: Callable[[str], Node]) -> None:
        self._leaf = leaf

    def read(self, formula: str, tall: bool) -> Node:
        return self._node(ast.parse(formula, mode="eval").body, 0, outermost=tall)

    def _node(self, tree: ast.expr, least: int, *, outermost: bool = False) -> Node:  # noqa: PLR0911 - a return for each kind of node
        """The node of `tree`, in brackets if it binds less tightly than `least`.

        One case for each kind of part that `work_out` evaluates, each with its own return.
        """
        match tree:
            case ast.Name(id=name):
                return self._leaf(name)
            case ast.Constant(value=number):
                return f"{number:g}" if isinstance(number, float) else str(number)
            case ast.UnaryOp(operand=operand):
                minus: Node = ["row", "\u2212", self._node(operand, 2)]
                return _bracketed(minus) if least > 1 else minus
            case ast.Call(func=ast.Name(id="sqrt"), args=[inner]):
                return ["root", self._node(inner, 0)]
            case ast.Call(func=ast.Name(id=name), args=args):
                return self._call(name, args)
            case ast.BinOp(left=left, op=ast.Pow(), right=right):
                base = self._node(left, _HIGHEST)
                base = _bracketed(base) if _has_unit(base) else base
                return ["power", base, self._node(right, 0)]
            case ast.BinOp(left=left, op=ast.Div(), right=right) if outermost:
                return self._fraction(left, right)
            case ast.BinOp():
                return self._operation(tree, least, outermost)
        raise ValueError(f"{ast.unparse(tree)!r} is no part of a followed formula")

    def _call(self, name: str, args: list[ast.expr]) -> Node:
        row: list[Node] = ["row", f"{name}("]
        for place, arg in enumerate(args):
            row += [", "] * (place > 0) + [self._node(arg, 0)]
        return [*row, ")"]

    def _fraction(self, left: ast.expr, right: ast.expr) -> Node:
        """A built-up fraction where both parts are short and low enough for one line each."""
        short = max(_size(left), _size(right)) <= _LONGEST_IN_FRACTION
        if short and not (_has_high_power(left) or _has_high_power(right)):
            return ["fraction", self._node(left, 0), self._node(right, 0)]
        return ["row", self._node(left, 2), " / ", self._node(right, 3)]

    def _operation(self, tree: ast.BinOp, least: int, outermost: bool) -> Node:
        sign, binds = _SIGNS[type(tree.op)]
        tighter = binds + isinstance(tree.op, ast.Sub | ast.Div)
        tall = outermost and binds >= least  # fractions are built up outside brackets only
        row: Node = [
            "row",
            self._node(tree.left, binds, outermost=tall),
            sign,
            self._node(tree.right, tighter, outermost=tall),
        ]
        return _bracketed(row) if binds < least else row


def _has_unit(node: Node) -> bool:
    """True for a number put in with its unit, which a power needs in brackets."""
    return "\u00a0" in (node if isinstance(node, str) else str(node[1]))


def _bracketed(node: Node) -> Node:
    return ["row", "(", node, ")"]


def _size(tree: ast.expr) -> int:
    """How many symbols and numbers a part has."""
    return sum(isinstance(node, ast.Name | ast.Constant) for node in ast.walk(tree))


def _has_high_power(tree: ast.expr) -> bool:
    """True if a part has an exponent that is more than a number."""
    return any(
        isinstance(node, ast.BinOp)
        and isinstance(node.op, ast.Pow)
        and not isinstance(node.right, ast.Constant)
        for node in ast.walk(tree)
    )
