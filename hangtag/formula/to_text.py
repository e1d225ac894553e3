"""Nodes back to the text of a formula, with the fewest brackets: for messages, the terminal and the API.

Parsing the text again gives the same tree. Must not know units' printed forms.
"""

from __future__ import annotations

from hangtag.formula.nodes import (
    Binary,
    Call,
    Compare,
    If,
    In,
    Logic,
    Lookup,
    Name,
    Negate,
    Node,
    Number,
    Solve,
    Sum,
    Word,
)

# How tightly each kind binds; a child that binds less than its place asks for gets brackets.
IN, CONDITIONAL, OR, AND, COMPARISON, SUM, PRODUCT, SIGN, POWER, ATOM = range(10)


def strength(node: Node) -> int:
    """How tightly a node binds."""
    match node:
        case In():
            return IN
        case If():
            return CONDITIONAL
        case Logic():
            return OR if node.operator == "or" else AND
        case Compare():
            return COMPARISON
        case Binary(operator="+" | "-"):
            return SUM
        case Binary(operator="*" | "/"):
            return PRODUCT
        case Negate():
            return SIGN
        case Binary():
            return POWER
        case _:
            return ATOM


def text(node: Node) -> str:
    """The formula as its author could have written it."""
    match node:
        case Number():
            return f"{node.text} {node.unit}" if node.unit else node.text
        case Name():
            return node.name
        case Negate():
            return f"-{_inside(node.of, SIGN)}"
        case Binary(operator="^"):
            return f"{_base(node.left)}^{_inside(node.right, SIGN)}"
        case Binary():
            own = strength(node)
            return f"{_inside(node.left, own)} {node.operator} {_inside(node.right, own + 1)}"
        case Compare():
            return f"{_inside(node.left, SUM)} {node.operator} {_inside(node.right, SUM)}"
        case Logic():
            own = strength(node)
            return f"{_inside(node.left, own)} {node.operator} {_inside(node.right, own + 1)}"
        case Word():
            return f'"{node.text}"'
        case Sum():
            return f"sum({text(node.of)}{f' where {text(node.where)}' if node.where else ''})"
        case Lookup():
            return f"table({text(node.of)}, {node.table})"
        case Solve():
            return f"{node.unknown} where {text(node.where)}"
        case If():
            condition, then, otherwise = (
                _inside(node.condition, OR),
                _inside(node.then, CONDITIONAL),
                _inside(node.otherwise, CONDITIONAL),
            )
            return f"if {condition} then {then} else {otherwise}"
        case Call():
            return f"{node.function}({', '.join(text(argument) for argument in node.arguments)})"
        case In():
            # `x^2 in m` would be read as two inches
            of = f"({text(node.of)})" if _ends_in_number(node.of) else _inside(node.of, CONDITIONAL)
            return f"{of} in {node.unit}"


def _inside(node: Node, least: int) -> str:
    return text(node) if strength(node) >= least else f"({text(node)})"


def _ends_in_number(node: Node) -> bool:
    match node:
        case Number():
            return node.unit is None
        case Negate():
            return _ends_in_number(node.of)
        case Binary() | Compare() | Logic():
            return _ends_in_number(node.right)
        case If():
            return _ends_in_number(node.otherwise)
        case _:
            return False


def _base(node: Node) -> str:
    # a number with a unit is one atom elsewhere, but `2 m^3` would be read as cubic metres
    if isinstance(node, Number) and node.unit:
        return f"({text(node)})"
    return _inside(node, ATOM)
