"""An answer as lines: what was given, the working with the reader's own numbers, the results. Must not calculate."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from hangtag.answers import Answer, Cell, Given, Result, Shown, Solved, measured
from hangtag.book import Book
from hangtag.calculators import Calculator, ChoiceColumn, ChoiceInput, Column, Constant, Option, RowsInput, Table
from hangtag.entries import Band
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
from hangtag.formula.to_text import text as formula_text
from hangtag.numbers import show
from hangtag.pages.uses import table_x
from hangtag.strings import DEFAULT_LANGUAGE
from hangtag.terminal.lines import BLANK, Kind, Line, Words, amount_text, shown_text

_FORMULA_DIGITS = 8


def answer_lines(book: Book, answer: Answer, language: str = DEFAULT_LANGUAGE) -> list[Line]:
    """What was given, the working step by step, the results with their bands, what they hold for, and the caution."""
    return list(_lines(Words(book, language), answer))


def _lines(w: Words, answer: Answer) -> Iterator[Line]:
    calculator = answer.calculator
    yield Line(w.plain(calculator.name), Kind.TITLE)
    yield Line(w.plain(calculator.question))
    if answer.solved:
        yield from _solved(w, answer, answer.solved)
    yield from w.heading("work-given")
    for given in answer.inputs:
        yield from _given(w, calculator, given)
    if calculator.constants or calculator.tables:
        yield from w.heading("calculator-numbers-title")
        for constant in calculator.constants:
            yield from _constant(w, constant)
        for table in calculator.tables:
            yield from _table(w, calculator, table)
    if answer.refused:
        yield BLANK
        yield Line(answer.refused.because, Kind.HEADING)
    else:
        yield from _working(w, answer)
        yield from w.heading("calc-results")
        for output in answer.outputs:
            yield from _result(w, output)
    if calculator.holds_for:
        yield BLANK
        yield Line(w.plain(calculator.holds_for), Kind.SOFT)
    yield from w.cautions(calculator.caution, calculator.inherited_caution)


def _solved(w: Words, answer: Answer, solved: Solved) -> Iterator[Line]:
    """What was wanted, and every value of the asked field that gives it."""
    labels = {its.name: w.plain(its.label) for its in (*answer.calculator.inputs, *answer.calculator.steps)}
    options = {
        option.name: w.plain(option.label)
        for its in answer.calculator.inputs
        if its.name == solved.input and isinstance(its, ChoiceInput)
        for option in its.options
    }
    yield from w.heading("work-backwards")
    yield Line(w.say("work-wanted", output=labels[solved.output], value=shown_text(solved.wanted)), indent=2)
    for its in solved.answers:
        value = _stretch(w, its.ends) if its.ends else shown_text(its.shown) if its.shown else options[its.choice or ""]
        yield Line(f"{labels[solved.input]}: {value}", Kind.RESULT, indent=2)
    if solved.because and not answer.refused:
        yield Line(solved.because, indent=2)
    if len(solved.answers) > 1:
        yield Line(w.say("work-first"), indent=2)


def _given(w: Words, calculator: Calculator, given: Given) -> Iterator[Line]:
    option = _option(calculator, given)
    start = "" if given.origin == "given" else f" ({w.say(f'work-{given.origin}')})"
    yield Line(f"{given.label}: {_value(w, given, option)}{start}", indent=2)
    if given.rows:
        yield from _rows(w, calculator, given)
    if option and option.basis:
        yield Line(w.basis(option.basis), Kind.SOFT, indent=4)
    yield from _band(w, given.band)


def _value(w: Words, given: Given, option: Option | None) -> str:
    if given.rows is not None:
        count = len(given.rows)
        return w.say("work-rows", count=count) if count > 1 else w.say("work-row" if count else "work-no-rows")
    if given.ends:
        return _stretch(w, given.ends)
    if option:
        label = w.plain(option.label)
        return f"{label}, {amount_text(option.amount)}" if option.amount else label
    return shown_text(given.shown) if given.shown else ""


def _rows(w: Words, calculator: Calculator, given: Given) -> Iterator[Line]:
    """Each row of a list on a line: what is in its columns, in their order."""
    field = next(its for its in calculator.inputs if its.name == given.name)
    columns = {column.name: column for column in field.columns} if isinstance(field, RowsInput) else {}
    for number, row in enumerate(given.rows or (), start=1):
        cells = [_cell(w, columns[cell.column], cell) for cell in row]
        yield Line(", ".join(text for text in cells if text), indent=4, mark=f"{number}. ")


def _cell(w: Words, column: Column, cell: Cell) -> str:
    label = w.plain(column.label)
    if isinstance(column, ChoiceColumn):
        words = dict(column.options)[cell.text]
        if column.tick:
            return label if cell.si else ""
        return w.plain(words)
    if cell.unit is None:
        return cell.text
    number = shown_text(Shown(cell.si, cell.unit, cell.text))
    return number if measured("", cell.unit) else f"{label} {number}"


def _constant(w: Words, constant: Constant) -> Iterator[Line]:
    label = w.plain(constant.label) if constant.label else constant.name
    value = amount_text(constant.amount)
    if constant.between:
        low, high = constant.between
        value = w.say("calculator-between", low=amount_text(low), high=amount_text(high))
    yield Line(w.say("calculator-constant", label=label, value=value), indent=2)
    yield Line(w.basis(constant.basis), Kind.SOFT, indent=4)


def _table(w: Words, calculator: Calculator, table: Table) -> Iterator[Line]:
    """The rows of a table, then their basis: once for all that follow each other on the same."""
    words = [w.basis(row.basis) for row in table.rows]
    for row, basis, after in zip(table.rows, words, [*words[1:], None], strict=True):
        x = table_x(calculator, table, row)
        values = {"x": x if isinstance(x, str) else w.plain(x), "value": amount_text(row.amount)}
        yield Line(w.say("calculator-table", label=w.plain(table.label), **values), indent=2)
        if basis != after:
            yield Line(basis, Kind.SOFT, indent=4)


def _working(w: Words, answer: Answer) -> Iterator[Line]:
    yield from w.heading("calc-working")
    if any(result.ends for result in answer.steps):
        yield Line(w.say("work-middle"), Kind.SOFT, indent=2)
    values, chosen = _values(answer), _chosen(answer)
    trees = {step.name: step.tree for step in answer.calculator.steps}
    for number, result in enumerate(answer.steps, start=1):
        yield Line(f"{number}. {result.label}", indent=2)
        texts = (
            formula_text(trees[result.name]),
            formula_text(_filled(trees[result.name], values, chosen)),
            shown_text(result.shown),
        )
        # of a sum over a list, nothing can be filled in
        for text in dict.fromkeys(texts):
            yield Line(text, indent=5, mark="= ")


def _result(w: Words, result: Result) -> Iterator[Line]:
    if result.ends is None:
        also = ", ".join(shown_text(other) for other in result.also)
        value = shown_text(result.shown)
    else:
        also = ", ".join(_stretch(w, ends) for ends in result.also_ends)
        value = _stretch(w, result.ends)
    yield Line(f"{result.label}: {value}{f' ({also})' if also else ''}", Kind.RESULT, indent=2)
    if result.ends is None:
        yield from _band(w, result.band)
        return
    ends = zip(("low", "high"), result.ends, (result.low_when, result.high_when), result.bands, strict=True)
    for which, end, when, band in ends:
        words = {"which": w.say(f"work-{which}"), "value": shown_text(end), "when": _spaced(when or "")}
        yield Line(w.say("work-end", **words), indent=4)
        yield from _band(w, band)


def _stretch(w: Words, ends: tuple[Shown, Shown]) -> str:
    """Two ends in words: `1.2 to 3.4 clo`; one value where they are shown alike."""
    low, high = ends
    if (low.text, low.unit) == (high.text, high.unit):
        return shown_text(high)
    start = low.text if low.unit == high.unit else shown_text(low)
    return w.say("calculator-between", low=start, high=shown_text(high))


def _band(w: Words, band: Band | None) -> Iterator[Line]:
    if band:
        yield Line(f"{w.plain(band.says)} ({w.basis(band.basis)})", indent=4)


def _option(calculator: Calculator, given: Given) -> Option | None:
    options = (
        option
        for field in calculator.inputs
        if isinstance(field, ChoiceInput) and field.name == given.name
        for option in field.options
    )
    return next((option for option in options if option.name == given.choice), None)


# ------------------------------------------------------------------------------- a formula with the reader's numbers


def _values(answer: Answer) -> dict[str, str]:
    """The text of every name a formula may use: constants, inputs and steps; uncertain ones at their middle."""
    values = {constant.name: _middle(constant) for constant in answer.calculator.constants}
    for given in answer.inputs:
        option = _option(answer.calculator, given)
        if given.shown:
            values[given.name] = shown_text(given.shown)
        elif option and option.amount:
            values[given.name] = amount_text(option.amount)
    values.update((result.name, shown_text(result.shown)) for result in answer.steps)
    return values


def _middle(constant: Constant) -> str:
    if constant.between is None:
        return amount_text(constant.amount)
    unit = constant.amount.unit
    value = unit.from_si((constant.between[0].si + constant.between[1].si) / 2)
    return shown_text(Shown(value, unit, show(value, _FORMULA_DIGITS, _FORMULA_DIGITS)))


def _chosen(answer: Answer) -> dict[str, str]:
    """The option of every choice, in quotes, as a condition compares it."""
    return {given.name: f'"{given.choice}"' for given in answer.inputs if given.choice is not None}


def _filled(node: Node, values: Mapping[str, str], chosen: Mapping[str, str]) -> Node:
    """The same formula with values for names; what could be misread, such as `/` in a unit, is bracketed.

    Columns of a list and the unknown of an equation have no one value and keep their names.
    """

    def filled(part: Node) -> Node:
        return _filled(part, values, chosen)

    def choice(part: Node) -> Node:
        is_choice = isinstance(part, Name) and part.name in chosen
        return Number(chosen[part.name], None, part.span) if is_choice and isinstance(part, Name) else filled(part)

    match node:
        case Name(name=name) if name in values:
            text = values[name]
            bracket = "/" in text or text.startswith(("-", "\u2212"))
            return Number(f"({text})" if bracket else text, None, node.span)
        case Compare() if isinstance(node.left, Word) or isinstance(node.right, Word):
            return replace(node, left=choice(node.left), right=choice(node.right))
        case Lookup():
            return replace(node, of=choice(node.of))
        case Negate() | In():
            return replace(node, of=filled(node.of))
        case Binary() | Compare() | Logic():
            left = filled(node.left)
            if node.operator == "^" and isinstance(left, Number) and " " in left.text and "(" not in left.text:
                left = replace(left, text=f"({left.text})")  # `120 mm^2` would be an area
            return replace(node, left=left, right=filled(node.right))
        case If():
            return If(filled(node.condition), filled(node.then), filled(node.otherwise), node.span)
        case Call():
            return replace(node, arguments=tuple(filled(part) for part in node.arguments))
        case Sum():
            return replace(node, of=filled(node.of), where=filled(node.where) if node.where else None)
        case Solve():
            where = filled(node.where)
            return replace(node, where=where) if isinstance(where, Compare) else node
        case _:
            return node


def _spaced(text: str) -> str:
    # as every quantity of a terminal: with a plain space before the unit
    return text.replace("\u00a0", " ")
