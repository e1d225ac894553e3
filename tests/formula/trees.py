"""Hypothesis strategies: well-dimensioned formulas grown from the grammar, texts that look like formulas, and inputs.

A tree is drawn for a wanted kind of quantity, so that it always passes the check. Must not run anything.
"""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from hangtag.formula.nodes import Binary, Call, Compare, If, In, Name, Negate, Node, Number
from hangtag.problems import Span

NAMES = {
    "a": "plain", "b": "plain", "c": "plain",
    "len": "m", "wid": "m",
    "area": "m^2", "plot": "m^2",
    "mass": "kg",
    "warm": "degC", "cold": "degC",
    "rise": "K",
}  # fmt: skip
KINDS = ("plain", "m", "m^2", "kg", "degC", "K")
_LITERALS: dict[str, list[tuple[str, str | None]]] = {
    "plain": [("0", None), ("1", None), ("2", None), ("3", None), ("10", None), ("1000", None), ("30", "deg")],
    "m": [("2.5", "mm"), ("1", "in"), ("0.3", "m")],
    "m^2": [("1", "m^2"), ("0.25", "m^2")],
    "kg": [("16", "oz"), ("0.5", "kg"), ("120", "g")],
    "degC": [("20", "degC"), ("0", "degC")],
    "K": [("5", "delta_degC"), ("1.5", "K")],
}
_IN = {"m": ["mm", "in", "m"], "m^2": ["m^2"], "kg": ["g", "oz", "kg"], "degC": ["degC", "K"], "K": ["K", "delta_degC"]}
NOWHERE = Span(1, 1, 1, 2)

Draw = Any


@st.composite
def trees(draw: Draw, kind: str = "plain", depth: int = 3) -> Node:
    """A formula of one kind that uses only what gives the same bits in both languages."""
    if depth == 0 or draw(st.integers(0, 4)) == 0:
        return draw(_leaves(kind))  # type: ignore[no-any-return]
    return draw(_compounds(kind, depth - 1))  # type: ignore[no-any-return]


def _leaves(kind: str) -> st.SearchStrategy[Node]:
    names = st.sampled_from([Name(name, NOWHERE) for name, unit in NAMES.items() if unit == kind])
    numbers = st.sampled_from([Number(text, unit, NOWHERE) for text, unit in _LITERALS[kind]])
    both: list[st.SearchStrategy[Any]] = [names, numbers]
    if kind == "plain":
        both.append(st.just(Name("pi", NOWHERE)))
    return st.one_of(*both)


def _compounds(kind: str, depth: int) -> st.SearchStrategy[Node]:
    def some(of: str) -> st.SearchStrategy[Node]:
        return trees(of, depth)

    def pair(operator: str, left: str, right: str) -> st.SearchStrategy[Node]:
        return st.builds(lambda x, y: Binary(operator, x, y, NOWHERE, NOWHERE), some(left), some(right))

    def call(name: str, *kinds: str) -> st.SearchStrategy[Node]:
        return st.builds(lambda *of: Call(name, of, NOWHERE, NOWHERE), *map(some, kinds))

    def power(of: str, exponents: list[Node]) -> st.SearchStrategy[Node]:
        return st.builds(
            lambda base, exponent: Binary("^", base, exponent, NOWHERE, NOWHERE), some(of), st.sampled_from(exponents)
        )

    choices = [_choose(kind, depth), call("min", kind, kind), call("max", kind, kind, kind)]
    if kind == "degC":
        return st.one_of(*choices, pair("+", "degC", "K"), pair("-", "degC", "K"), pair("+", "K", "degC"))
    choices += [
        pair("+", kind, kind),
        pair("-", kind, kind),
        st.builds(lambda of: Negate(of, NOWHERE), some(kind)),
        call("abs", kind),
    ]
    if kind == "plain":
        choices += [pair("*", "plain", "plain"), pair("/", "plain", "plain"), call("sqrt", "plain")]
        choices += [pair("/", "m", "m"), power("plain", _exponents()), _in(depth)]
    else:
        choices += [pair("*", "plain", kind), pair("*", kind, "plain"), pair("/", kind, "plain")]
    if kind == "m":
        choices += [call("sqrt", "m^2"), pair("/", "m^2", "m"), power("m^2", [_ratio("1", "2")])]
    if kind == "m^2":
        choices += [pair("*", "m", "m"), power("m", [Number("2", None, NOWHERE)])]
    if kind == "K":
        choices.append(pair("-", "degC", "degC"))
    return st.one_of(*choices)


def _exponents() -> list[Node]:
    whole: list[Node] = [Number(str(power), None, NOWHERE) for power in range(1, 9)]
    halves = [_ratio("1", "2"), _ratio("3", "2"), Number("0.5", None, NOWHERE)]
    return [*whole, *halves, Negate(Number("2", None, NOWHERE), NOWHERE)]


def _ratio(top: str, bottom: str) -> Node:
    return Binary("/", Number(top, None, NOWHERE), Number(bottom, None, NOWHERE), NOWHERE, NOWHERE)


@st.composite
def _in(draw: Draw, depth: int) -> Node:
    kind = draw(st.sampled_from(sorted(_IN)))
    return In(draw(trees(kind, depth)), draw(st.sampled_from(_IN[kind])), NOWHERE, NOWHERE)


@st.composite
def _choose(draw: Draw, kind: str, depth: int) -> Node:
    compared = draw(st.sampled_from(KINDS))
    operator = draw(st.sampled_from(["<", "<=", ">", ">=", "=", "!="]))
    left, right = draw(trees(compared, min(depth, 2))), draw(trees(compared, min(depth, 1)))
    condition = Compare(operator, left, right, NOWHERE, NOWHERE)
    return If(condition, draw(trees(kind, depth)), draw(trees(kind, depth)), NOWHERE)


def kinds() -> st.SearchStrategy[str]:
    """The kinds of quantity a tree may be of."""
    return st.sampled_from(KINDS)


def inputs() -> st.SearchStrategy[dict[str, float]]:
    """A float for every name: everyday sizes, zeros, ties and extremes."""
    everyday = st.floats(min_value=-1e4, max_value=1e4, allow_nan=False)
    edges = st.sampled_from([0.0, -0.0, 1.0, 0.1, 0.3, 1e-300, -1e300, 1e154, 5e-324, 273.15, 0.0254])
    return st.fixed_dictionaries({name: st.one_of(everyday, edges) for name in NAMES})


def texts() -> st.SearchStrategy[str]:
    """Any text, and texts of pieces that formulas are made of."""
    pieces = [
        *NAMES, "pi", "sqrt", "min", "exp", "if", "then", "else", "in", "where", "mm", "m^2", "degC", "furlong", "k",
        "1", "2.5", ".5", "3.", "1e3", "1e999", "1,500", "0", "+", "-", "*", "/", "^", "<", "<=", "=", "!=", "(", ")",
        ",", " ", "  ", "\n", "\t", "×", "−", "²", "π", "é", "\x00", "\u2028", "🙂", "_", "[", "]", "{", "}", "'", '"',
        ";", ":", "!", ".",
    ]  # fmt: skip
    return st.one_of(st.text(max_size=60), st.lists(st.sampled_from(pieces), max_size=25).map("".join))
