"""An answer as lines: what was given, the working with the reader's own numbers, the results. Must not calculate."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from hangtag.answers import Answer, Given, Result
from hangtag.book import Book
from hangtag.calculators import Calculator, ChoiceInput, Constant, Option
from hangtag.entries import Band
from hangtag.formula.nodes import Binary, Call, Compare, If, In, Name, Negate, Node, Number
from hangtag.formula.to_text import text as formula_text
from hangtag.strings import DEFAULT_LANGUAGE
from hangtag.terminal.lines import BLANK, Kind, Line, Words, amount_text, shown_text


def answer_lines(book: Book, answer: Answer, language: str = DEFAULT_LANGUAGE) -> list[Line]:
    """What was given, the working step by step, the results with their bands, what they hold for, and the caution."""
    return list(_lines(Words(book, language), answer))


def _lines(w: Words, answer: Answer) -> Iterator[Line]:
    calculator = answer.calculator
    yield Line(w.plain(calculator.name), Kind.TITLE)
    yield Line(w.plain(calculator.question))
    yield from w.heading("work-given")
    for given in answer.inputs:
        yield from _given(w, calculator, given)
    if calculator.constants:
        yield from w.heading("calculator-numbers-title")
        for constant in calculator.constants:
            yield from _constant(w, constant)
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


def _given(w: Words, calculator: Calculator, given: Given) -> Iterator[Line]:
    option = _option(calculator, given)
    chosen = f"{w.plain(option.label)}, {amount_text(option.amount)}" if option else ""
    value = shown_text(given.shown) if given.shown else chosen
    start = f" ({w.say('work-start')})" if given.origin == "start" else ""
    yield Line(f"{given.label}: {value}{start}", indent=2)
    if option:
        yield Line(w.basis(option.basis), Kind.SOFT, indent=4)
    yield from _band(w, given.band)


def _constant(w: Words, constant: Constant) -> Iterator[Line]:
    label = w.plain(constant.label) if constant.label else constant.name
    yield Line(w.say("calculator-constant", label=label, value=amount_text(constant.amount)), indent=2)
    yield Line(w.basis(constant.basis), Kind.SOFT, indent=4)


def _working(w: Words, answer: Answer) -> Iterator[Line]:
    yield from w.heading("calc-working")
    values = _values(answer)
    trees = {step.name: step.tree for step in answer.calculator.steps}
    for number, result in enumerate(answer.steps, start=1):
        yield Line(f"{number}. {result.label}", indent=2)
        for text in (
            formula_text(trees[result.name]),
            formula_text(_filled(trees[result.name], values)),
            shown_text(result.shown),
        ):
            yield Line(text, indent=5, mark="= ")


def _result(w: Words, result: Result) -> Iterator[Line]:
    also = ", ".join(shown_text(other) for other in result.also)
    yield Line(f"{result.label}: {shown_text(result.shown)}{f' ({also})' if also else ''}", Kind.RESULT, indent=2)
    yield from _band(w, result.band)


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
    """The text of every name a formula may use: constants, inputs and steps."""
    values = {constant.name: amount_text(constant.amount) for constant in answer.calculator.constants}
    for given in answer.inputs:
        option = _option(answer.calculator, given)
        if given.shown:
            values[given.name] = shown_text(given.shown)
        elif option:
            values[given.name] = amount_text(option.amount)
    values.update((result.name, shown_text(result.shown)) for result in answer.steps)
    return values


def _filled(node: Node, values: Mapping[str, str]) -> Node:
    """The same formula with values for names; what could be misread, such as `/` in a unit, is bracketed."""

    def filled(part: Node) -> Node:
        return _filled(part, values)

    match node:
        case Name(name=name) if name in values:
            text = values[name]
            bracket = "/" in text or text.startswith(("-", "\u2212"))
            return Number(f"({text})" if bracket else text, None, node.span)
        case Negate():
            return Negate(filled(node.of), node.span)
        case Binary():
            return Binary(node.operator, filled(node.left), filled(node.right), node.at, node.span)
        case Compare():
            return Compare(node.operator, filled(node.left), filled(node.right), node.at, node.span)
        case If():
            return If(filled(node.condition), filled(node.then), filled(node.otherwise), node.span)
        case Call():
            return Call(node.function, tuple(filled(part) for part in node.arguments), node.at, node.span)
        case In():
            return In(filled(node.of), node.unit, node.at, node.span)
        case _:
            return node
