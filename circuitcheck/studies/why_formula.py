"""A formula with its figures: written for people, and reckoned, so that nobody need believe it."""

from __future__ import annotations

import ast
import math
import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass

_SIGNS: Mapping[type[ast.AST], Callable[[float, float], float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
}


@dataclass(frozen=True)
class Term:
    """One figure of a formula: its letter there, its value [SI], what it is in shop words."""

    letter: str
    value: float
    quantity: str
    text: str


@dataclass(frozen=True)
class Formula:
    """``left`` = ``right``, in the letters of the terms, with + - * / ( ), root( ) and pi.

    ``quantity`` is that of the left side. A speed of rotation counts in turns per second
    here, as a displacement counts by turns: 16 cc/rev x 1450 rpm.
    """

    left: str
    quantity: str
    right: str
    terms: tuple[Term, ...]

    @property
    def value(self) -> float:
        """What the right side comes to [SI]."""
        known = {term.letter: counted(term.value, term.quantity) for term in self.terms}
        found = reckon(self.right, known)
        return found * math.tau if self.quantity == "rotation" else found


def counted(value: float, quantity: str) -> float:
    """Give a value as formulas count it: turns instead of radians, the rest in SI."""
    return value / math.tau if quantity == "rotation" else value


def reckon(right: str, known: Mapping[str, float]) -> float:
    """Give what an expression comes to.

    Raises ``ValueError`` where it has anything but figures, letters that are known and the
    signs of a `Formula`.
    """
    return _value(ast.parse(right, mode="eval").body, known)


def _value(node: ast.expr, known: Mapping[str, float]) -> float:
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        return float(node.value)
    if isinstance(node, ast.Name) and node.id == "pi":
        return math.pi
    if isinstance(node, ast.Name) and node.id in known:
        return known[node.id]
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        return -_value(node.operand, known)
    if isinstance(node, ast.BinOp) and type(node.op) in _SIGNS:
        return _SIGNS[type(node.op)](_value(node.left, known), _value(node.right, known))
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "root":
        return math.sqrt(_value(node.args[0], known))
    raise ValueError(f"'{ast.unparse(node)}' does not belong into a formula")
