"""`when` expressions: names, constants, comparisons, and, or, not; nothing else.

The text is parsed to a tree, the tree is checked against that list, and the tree is walked. It
is never compiled or run, so no text can do more than compare.
"""

from __future__ import annotations

import ast
import operator
from collections.abc import Callable, Mapping

Value = bool | int | float | str

_COMPARE: dict[type[ast.cmpop], Callable[[object, object], bool]] = {
    ast.Eq: operator.eq,
    ast.NotEq: operator.ne,
    ast.Lt: operator.lt,  # type: ignore[dict-item]
    ast.LtE: operator.le,  # type: ignore[dict-item]
    ast.Gt: operator.gt,  # type: ignore[dict-item]
    ast.GtE: operator.ge,  # type: ignore[dict-item]
}
MAX_LENGTH = 200


class BadExpression(ValueError):
    """Not an expression of the allowed form, or one that cannot be settled."""


class MissingValue(BadExpression):
    """The expression needs a value that the job does not state."""

    def __init__(self, name: str) -> None:
        super().__init__(f"{name} is not known for this job")
        self.name = name


def parse(text: str) -> ast.expr:
    """Parse and check an expression.

    Raises:
        BadExpression: anything but names, constants, comparisons, and, or, not.
    """
    if len(text) > MAX_LENGTH:
        raise BadExpression(f"longer than {MAX_LENGTH} characters")
    try:
        tree = ast.parse(text.strip(), mode="eval").body
    except (SyntaxError, ValueError, RecursionError, MemoryError):
        raise BadExpression("cannot be read") from None
    _allowed(tree)
    return tree


def _allowed(node: ast.expr) -> None:
    if isinstance(node, ast.BoolOp):
        for part in node.values:
            _allowed(part)
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        _allowed(node.operand)
    elif isinstance(node, ast.Compare):
        if len(node.ops) != 1 or type(node.ops[0]) not in _COMPARE:
            raise BadExpression("only one comparison at a time, with == != < <= > >=")
        for side in (node.left, node.comparators[0]):
            if not isinstance(side, (ast.Name, ast.Constant)):
                raise BadExpression("only names and constants can be compared")
            _allowed(side)
    elif isinstance(node, ast.Constant):
        if not isinstance(node.value, (bool, int, float, str)):
            raise BadExpression("only words, numbers, True and False")
    elif not isinstance(node, ast.Name):
        raise BadExpression("only names, constants, comparisons, and, or, not")


def names(tree: ast.expr) -> set[str]:
    """The names an expression asks for."""
    return {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}


def settle(text: str, values: Mapping[str, Value | None]) -> bool:
    """Whether the expression holds.

    Raises:
        MissingValue: a name it needs has no value (None).
        BadExpression: an unknown name, or things that cannot be compared.
    """
    return bool(_value(parse(text), values))


def _value(node: ast.expr, values: Mapping[str, Value | None]) -> Value:
    if isinstance(node, ast.Constant):
        constant: Value = node.value  # type: ignore[assignment]
        return constant
    if isinstance(node, ast.Name):
        if node.id not in values:
            raise BadExpression(f"{node.id} is not a known name")
        value = values[node.id]
        if value is None:
            raise MissingValue(node.id)
        return value
    if isinstance(node, ast.UnaryOp):
        return not _value(node.operand, values)
    if isinstance(node, ast.BoolOp):
        # No short cut: a missing value is a finding wherever it stands in the expression.
        parts = [bool(_value(part, values)) for part in node.values]
        return all(parts) if isinstance(node.op, ast.And) else any(parts)
    assert isinstance(node, ast.Compare)
    left, right = _value(node.left, values), _value(node.comparators[0], values)
    if isinstance(left, str) != isinstance(right, str):
        raise BadExpression("a word cannot be compared with a number")
    return _COMPARE[type(node.ops[0])](left, right)
