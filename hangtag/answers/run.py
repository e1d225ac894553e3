"""Running a calculator with a reader's own values: fields, refusals in words, steps with their ends, bands.

The browser does the same from the same data; shared cases hold the two together. Must not print or format pages.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from hangtag.answers.fields import read_field
from hangtag.answers.model import Answer, Given, Refusal, Result, Shown
from hangtag.answers.words import band_of, measured
from hangtag.book import Book
from hangtag.calculators import Calculator, QuantityInput, Step
from hangtag.formula.bounds import Ends, corners, ends_of
from hangtag.formula.by_hand import NoAnswer, Rows
from hangtag.numbers import show
from hangtag.problems import Problem, ProblemError, near_hint
from hangtag.strings import DEFAULT_LANGUAGE, LocalText
from hangtag.units import Unit


def work(book: Book, calculator: Calculator, given: Mapping[str, str], language: str = DEFAULT_LANGUAGE) -> Answer:
    """Run a calculator. `given` maps input names to typed text; an input that is not given takes its start value.

    Raises ProblemError for an unknown input, a text that is no number, a unit of the wrong dimension or a value out of
    range: each names the input. A failed requirement or a result that does not exist is an Answer with `refused`.
    """
    problems = unknown_inputs(calculator, given)
    inputs: list[Given] = []
    for its in calculator.inputs:
        try:
            inputs.append(read_field(book, its, given.get(its.name), language))
        except ProblemError as error:
            problems.extend(error.problems)
    if problems:
        raise ProblemError(*problems)
    return run(book, calculator, tuple(inputs), language)


def run(book: Book, calculator: Calculator, inputs: tuple[Given, ...], language: str = DEFAULT_LANGUAGE) -> Answer:
    """Run a calculator with fields already read."""
    values = run_values(calculator, inputs)
    uncertain = uncertain_of(calculator, inputs)
    program = calculator.program
    try:
        # what holds at the middle of a range may fail at its ends
        asked = (program.first_failed({**values, **corner}) for corner in ({}, *corners(uncertain)))
        failed = next((index for index in asked if index >= 0), -1)
        if failed >= 0:
            requirement = calculator.requires[failed]
            blamed = next(iter(requirement.inputs)) if len(requirement.inputs) == 1 else None
            return Answer(calculator, inputs, (), Refusal(requirement.say.within(language), blamed))
        results = program.run(values)
        ends = ends_of(program.run, values, uncertain, program.bounds) if uncertain else {}
    except NoAnswer as error:
        labels = {step.name: step.label.within(language) for step in calculator.steps}
        words = book.strings.say(f"no-answer-{error.code}", language, label=labels.get(error.step, error.step))
        return Answer(calculator, inputs, (), Refusal(words, None))
    steps = tuple(
        _result(book, calculator, step, results[step.name], ends.get(step.name), language) for step in calculator.steps
    )
    return Answer(calculator, inputs, steps, None)


def run_values(calculator: Calculator, inputs: Sequence[Given]) -> dict[str, float | Rows]:
    """What a run is given: fields as read, and uncertain constants at the middle of their range."""
    values: dict[str, float | Rows] = {}
    for given in inputs:
        values.update(given.values or {given.name: given.si})
    for name, (low, high) in calculator.program.domain.uncertain.items():
        values[name] = (low + high) / 2
    return values


def uncertain_of(calculator: Calculator, inputs: Sequence[Given]) -> dict[str, tuple[float, float]]:
    """Every value that is only known to lie between two ends: constants, and fields for a range."""
    uncertain = dict(calculator.program.domain.uncertain)
    for given in inputs:
        if given.ends:
            low, high = (end.unit.to_si(end.value) for end in given.ends)
            if low < high:
                uncertain[given.name] = (low, high)
    return uncertain


def unknown_inputs(calculator: Calculator, given: Mapping[str, str]) -> list[Problem]:
    """A Problem for every name that is no input."""
    known = [field.name for field in calculator.inputs]
    outputs = {step.name for step in calculator.steps}
    problems = []
    for name in given:
        if name in outputs:
            problems.append(Problem("output-as-input", {"name": name}, hint=f"Its inputs are {', '.join(known)}."))
        elif name not in known:
            hint = near_hint(name, known) or f"Its inputs are {', '.join(known)}."
            problems.append(Problem("unknown-input", {"name": name}, hint=hint))
    return problems


def _result(  # noqa: PLR0913  each says one thing about the result
    book: Book, calculator: Calculator, step: Step, si: float, ends: Ends | None, language: str
) -> Result:
    def shown_at(unit: Unit, si: float) -> Shown:
        value = unit.from_si(si)
        return Shown(value, unit, show(value, step.digits, step.places, step.whole))

    def ends_at(unit: Unit, ends: Ends) -> tuple[Shown, Shown]:
        low, high = shown_at(unit, ends.low), shown_at(unit, ends.high)
        return (low, high) if unit.factor > 0 else (high, low)

    return Result(
        name=step.name,
        label=step.label.within(language),
        si=si,
        shown=shown_at(step.unit, si),
        also=tuple(shown_at(unit, si) for unit in step.also),
        band=band_of(book, step.scale, si),
        is_output=step.is_output,
        ends=ends_at(step.unit, ends) if ends else None,
        also_ends=tuple(ends_at(unit, ends) for unit in step.also) if ends else (),
        bands=(band_of(book, step.scale, ends.low), band_of(book, step.scale, ends.high)) if ends else (None, None),
        low_when=_when(calculator, ends.low_at, language) if ends else None,
        high_when=_when(calculator, ends.high_at, language) if ends else None,
    )


def _when(calculator: Calculator, at: Mapping[str, float], language: str) -> str:
    """The uncertain values at one end, in words: `Conductivity 0.04 W/(m·K)`."""
    units = {its.name: (its.label or its.name, its.amount.unit) for its in calculator.constants}
    units |= {its.name: (its.label, its.unit) for its in calculator.inputs if isinstance(its, QuantityInput)}
    parts = []
    for name, si in at.items():
        label, unit = units[name]
        words = label.within(language) if isinstance(label, LocalText) else label
        parts.append(f"{words} {measured(show(unit.from_si(si), 4), unit)}")
    return ", ".join(parts)
