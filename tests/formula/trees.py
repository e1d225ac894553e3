"""Hypothesis strategies: well-dimensioned formulas grown from the grammar, texts that look like formulas, and inputs.

A tree is drawn for a wanted kind of quantity, so that it always passes the check. Must not run anything.
"""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from hangtag.formula.check import children
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
    Sum,
    Word,
)
from hangtag.formula.scope import CHOSEN
from hangtag.problems import Span

QUANTITIES = {
    "a": "plain", "b": "plain", "c": "plain",
    "len": "m", "wid": "m",
    "area": "m^2", "plot": "m^2",
    "mass": "kg",
    "warm": "degC", "cold": "degC",
    "rise": "K",
}  # fmt: skip
CHOICES = {"ground": ["road", "snow", "bog"], "fibre": ["down", "wool"]}
COLUMNS: dict[str, dict[str, Any]] = {
    "kit": {"what": "text", "weight": "kg", "count": "plain", "side": "m", "goes": ["back", "used"], "roof": "tick"},
    "spare": {"depth": "m", "heat": "K", "state": ["old", "new", "torn"]},
}
TABLES: dict[str, dict[str, Any]] = {
    "factor": {"by": "ground", "unit": "plain", "table": [["snow", 1.5], ["road", 1], ["bog", 1.8]]},
    "sink": {"x_unit": "mm", "rule": "linear", "unit": "m", "table": [[-500, 1], [0, 1.1], [100, 3], [3e7, 3.5]]},
    "worth": {"x_unit": "plain", "rule": "step", "unit": "kg", "table": [[-3, 1], [0, 2], [0.1, 3], [1000, 4]]},
    "limit": {"x_unit": "kg", "rule": "up_to", "unit": "K", "table": [[0, 1], [0.3, 2], [100, 3]]},
    "even": {"x_unit": "plain", "rule": "exact", "unit": "m^2", "table": [[0, 1], [1, 2], [2, 4], [10, 7]]},
    "freezes": {"x_unit": "degC", "rule": "linear", "unit": "degC", "table": [[-50, 0], [0, 10], [20, 11]]},
}
NAMES: dict[str, Any] = {
    **QUANTITIES,
    **{name: {"choice": words} for name, words in CHOICES.items()},
    **{name: {"rows": columns} for name, columns in COLUMNS.items()},
    **TABLES,
}
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
def trees(draw: Draw, kind: str = "plain", depth: int = 3, rows: str | None = None) -> Node:
    """A formula of one kind that uses only what gives the same bits in both languages.

    `rows` is the list whose columns it may use: that of the sum it stands in.
    """
    if depth == 0 or draw(st.integers(0, 4)) == 0:
        return draw(_leaves(kind, rows))  # type: ignore[no-any-return]
    return draw(_compounds(kind, depth - 1, rows))  # type: ignore[no-any-return]


def _leaves(kind: str, rows: str | None) -> st.SearchStrategy[Node]:
    known = {**QUANTITIES, **(COLUMNS[rows] if rows else {})}
    names = st.sampled_from([Name(name, NOWHERE) for name, unit in known.items() if unit == kind])
    numbers = st.sampled_from([Number(text, unit, NOWHERE) for text, unit in _LITERALS[kind]])
    both: list[st.SearchStrategy[Any]] = [names, numbers]
    if kind == "plain":
        both.append(st.just(Name("pi", NOWHERE)))
    return st.one_of(*both)


def _compounds(kind: str, depth: int, rows: str | None) -> st.SearchStrategy[Node]:
    def some(of: str) -> st.SearchStrategy[Node]:
        return trees(of, depth, rows)

    def pair(operator: str, left: str, right: str) -> st.SearchStrategy[Node]:
        return st.builds(lambda x, y: Binary(operator, x, y, NOWHERE, NOWHERE), some(left), some(right))

    def call(name: str, *kinds: str) -> st.SearchStrategy[Node]:
        return st.builds(lambda *of: Call(name, of, NOWHERE, NOWHERE), *map(some, kinds))

    def power(of: str, exponents: list[Node]) -> st.SearchStrategy[Node]:
        return st.builds(
            lambda base, exponent: Binary("^", base, exponent, NOWHERE, NOWHERE), some(of), st.sampled_from(exponents)
        )

    choices = [_choose(kind, depth, rows), call("min", kind, kind), call("max", kind, kind, kind)]
    choices += [_lookup(name, depth, rows) for name, table in TABLES.items() if table["unit"] == kind]
    if kind == "degC":
        return st.one_of(*choices, pair("+", "degC", "K"), pair("-", "degC", "K"), pair("+", "K", "degC"))
    if rows is None:
        choices.append(sums(kind, depth))
    choices += [
        pair("+", kind, kind),
        pair("-", kind, kind),
        st.builds(lambda of: Negate(of, NOWHERE), some(kind)),
        call("abs", kind),
    ]
    if kind == "plain":
        choices += [pair("*", "plain", "plain"), pair("/", "plain", "plain"), call("sqrt", "plain")]
        choices += [pair("/", "m", "m"), power("plain", _exponents()), _in(depth, rows)]
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
def _in(draw: Draw, depth: int, rows: str | None) -> Node:
    kind = draw(st.sampled_from(sorted(_IN)))
    return In(draw(trees(kind, depth, rows)), draw(st.sampled_from(_IN[kind])), NOWHERE, NOWHERE)


@st.composite
def _choose(draw: Draw, kind: str, depth: int, rows: str | None) -> Node:
    condition = draw(conditions(depth, rows))
    return If(condition, draw(trees(kind, depth, rows)), draw(trees(kind, depth, rows)), NOWHERE)


@st.composite
def conditions(draw: Draw, depth: int, rows: str | None) -> Node:
    """A comparison of two formulas or of a choice with a word, or several joined by `and` and `or`."""
    form = draw(st.integers(0, 5))
    if form == 0 and depth:
        part = conditions(depth - 1, rows)
        return Logic(draw(st.sampled_from(["and", "or"])), draw(part), draw(part), NOWHERE)
    if form <= 2:
        known = {**CHOICES, **_word_columns(rows)}
        name = draw(st.sampled_from(sorted(known)))
        sides = [Name(name, NOWHERE), Word(draw(st.sampled_from(known[name])), NOWHERE)]
        left, right = draw(st.permutations(sides))
        return Compare(draw(st.sampled_from(["=", "!="])), left, right, NOWHERE, NOWHERE)
    compared = draw(st.sampled_from(KINDS))
    operator = draw(st.sampled_from(["<", "<=", ">", ">=", "=", "!="]))
    left, right = draw(trees(compared, min(depth, 2), rows)), draw(trees(compared, min(depth, 1), rows))
    return Compare(operator, left, right, NOWHERE, NOWHERE)


def _word_columns(rows: str | None) -> dict[str, list[str]]:
    columns = COLUMNS[rows] if rows else {}
    found = {name: kind for name, kind in columns.items() if isinstance(kind, list)}
    return found | {name: ["no", "yes"] for name, kind in columns.items() if kind == "tick"}


@st.composite
def sums(draw: Draw, kind: str, depth: int) -> Node:
    """A sum over a list, with a condition or without; what it sums always holds a column of the list."""
    rows = draw(st.sampled_from(sorted(COLUMNS)))
    own = Name({"kit": "weight", "spare": "depth"}[rows], NOWHERE)
    of = draw(trees(kind, depth, rows))
    where = draw(st.none() | conditions(depth, rows))
    always = Compare("=", own, own, NOWHERE, NOWHERE)
    return Sum(of, always if where is None else Logic("and", always, where, NOWHERE), NOWHERE, NOWHERE)


def _lookup(name: str, depth: int, rows: str | None) -> st.SearchStrategy[Node]:
    table = TABLES[name]
    if "by" in table:
        return st.just(Lookup(Name(table["by"], NOWHERE), name, NOWHERE, NOWHERE))
    kind = {"mm": "m"}.get(table["x_unit"], table["x_unit"])
    return st.builds(lambda of: Lookup(of, name, NOWHERE, NOWHERE), trees(kind, depth, rows))


@st.composite
def equations(draw: Draw, kind: str) -> tuple[Compare, str]:
    """An equation between quantities of one kind whose left side rises or falls with the unknown, and its name."""
    unknown: Node = Name("x", NOWHERE)
    left = draw(trees(kind, 1))
    for _ in range(draw(st.integers(1, 2))):
        form = draw(st.integers(0, 2))
        if form == 0:
            left = Binary("+", left, Binary("*", unknown, draw(trees(kind, 1)), NOWHERE, NOWHERE), NOWHERE, NOWHERE)
        elif form == 1:
            left = Binary("*", unknown, left, NOWHERE, NOWHERE)
        else:
            left = If(draw(conditions(1, None)), left, Binary("/", left, unknown, NOWHERE, NOWHERE), NOWHERE)
    if not _holds(left, "x"):
        left = Binary("*", unknown, left, NOWHERE, NOWHERE)
    return Compare("=", left, draw(trees(kind, 2)), NOWHERE, NOWHERE), "x"


def _holds(node: Node, name: str) -> bool:
    return (isinstance(node, Name) and node.name == name) or any(_holds(child, name) for child in children(node))


def kinds() -> st.SearchStrategy[str]:
    """The kinds of quantity a tree may be of."""
    return st.sampled_from(KINDS)


def inputs() -> st.SearchStrategy[dict[str, Any]]:
    """What a run is given: floats of everyday sizes, zeros, ties and extremes; options; lists of up to four rows."""
    everyday = st.floats(min_value=-1e4, max_value=1e4, allow_nan=False)
    edges = st.sampled_from([0.0, -0.0, 1.0, 0.1, 0.3, 1e-300, -1e300, 1e154, 5e-324, 273.15, 0.0254])
    one = st.one_of(everyday, edges)
    given: dict[str, st.SearchStrategy[Any]] = dict.fromkeys(QUANTITIES, one)
    for name, words in CHOICES.items():
        given[name + CHOSEN] = _option(words)
    for name, columns in COLUMNS.items():
        words_of = _word_columns(name)
        cells = [
            _option(words_of[column]) if column in words_of else st.just(0.0) if kind == "text" else one
            for column, kind in columns.items()
        ]
        given[name] = st.lists(st.tuples(*cells), max_size=4)
    return st.fixed_dictionaries(given)


def _option(words: list[str]) -> st.SearchStrategy[float]:
    return st.integers(0, len(words) - 1).map(float)


def texts() -> st.SearchStrategy[str]:
    """Any text, and texts of pieces that formulas are made of."""
    pieces = [
        *NAMES, *COLUMNS["kit"], "sum", "table", "and", "or", '"road"', '"back"',
        "pi", "sqrt", "min", "exp", "if", "then", "else", "in", "where", "mm", "m^2", "degC", "furlong", "k",
        "1", "2.5", ".5", "3.", "1e3", "1e999", "1,500", "0", "+", "-", "*", "/", "^", "<", "<=", "=", "!=", "(", ")",
        ",", " ", "  ", "\n", "\t", "×", "−", "²", "π", "é", "\x00", "\u2028", "🙂", "_", "[", "]", "{", "}", "'", '"',
        ";", ":", "!", ".",
    ]  # fmt: skip
    return st.one_of(st.text(max_size=60), st.lists(st.sampled_from(pieces), max_size=25).map("".join))
