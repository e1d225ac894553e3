"""Running a calculator with a reader's own values: reading fields, refusing in words, steps, bands.

Must not print or format pages. The browser does the same from the same data; shared cases hold the two together.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hangtag.book import Book
from hangtag.calculator_reader import within
from hangtag.calculators import Calculator, ChoiceInput, Input, Option, QuantityInput, Step
from hangtag.entries import Band
from hangtag.formula.by_hand import NoAnswer
from hangtag.formula.to_text import text as formula_text
from hangtag.numbers import NotANumber, exact, show, snap
from hangtag.problems import Problem, ProblemError, near_hint
from hangtag.strings import DEFAULT_LANGUAGE
from hangtag.typed import WrongUnit, read_quantity
from hangtag.units import Unit


@dataclass(frozen=True)
class Shown:
    """A number in a unit: the full float, and its rounded text (without the unit)."""

    value: float
    unit: Unit
    text: str


@dataclass(frozen=True)
class Result:
    """A step's value: in its own unit, in the others, and the band it falls in."""

    name: str
    label: str
    si: float
    shown: Shown
    also: tuple[Shown, ...]
    band: Band | None
    is_output: bool


@dataclass(frozen=True)
class Given:
    """What an input was taken to be: `typed` as read, `origin` is given or start. A choice's `shown` is None."""

    name: str
    label: str
    si: float
    shown: Shown | None
    choice: str | None
    origin: str
    band: Band | None


@dataclass(frozen=True)
class Refusal:
    """Why there is no answer, in words for a reader; `input` is the one field to blame, where it is one alone."""

    because: str
    input: str | None


@dataclass(frozen=True)
class Answer:
    """The whole of a run. `steps` is empty where `refused` is not None."""

    calculator: Calculator
    inputs: tuple[Given, ...]
    steps: tuple[Result, ...]
    refused: Refusal | None

    @property
    def outputs(self) -> tuple[Result, ...]:
        """The steps that are answers."""
        return tuple(step for step in self.steps if step.is_output)


def work(book: Book, calculator: Calculator, given: Mapping[str, str], language: str = DEFAULT_LANGUAGE) -> Answer:
    """Run a calculator. `given` maps input names to typed text; an input that is not given takes its start value.

    Raises ProblemError for an unknown input, a text that is no number, a unit of the wrong dimension or a value out of
    range: each names the input. A failed requirement or a result that does not exist is an Answer with `refused`.
    """
    problems = _unknown(calculator, given)
    inputs: list[Given] = []
    for field in calculator.inputs:
        try:
            inputs.append(read_field(book, field, given.get(field.name), language))
        except ProblemError as error:
            problems.extend(error.problems)
    if problems:
        raise ProblemError(*problems)
    return run(book, calculator, tuple(inputs), language)


def run(book: Book, calculator: Calculator, inputs: tuple[Given, ...], language: str = DEFAULT_LANGUAGE) -> Answer:
    """Run a calculator with fields already read."""
    values = {given.name: given.si for given in inputs}
    program = calculator.program
    try:
        failed = program.first_failed(values)
        if failed >= 0:
            requirement = calculator.requires[failed]
            blamed = next(iter(requirement.inputs)) if len(requirement.inputs) == 1 else None
            return Answer(calculator, inputs, (), Refusal(requirement.say.within(language), blamed))
        results = program.run(values)
    except NoAnswer as error:
        labels = {step.name: step.label.within(language) for step in calculator.steps}
        words = book.strings.say(f"no-answer-{error.code}", language, label=labels.get(error.step, error.step))
        return Answer(calculator, inputs, (), Refusal(words, None))
    steps = tuple(_result(book, step, results[step.name], language) for step in calculator.steps)
    return Answer(calculator, inputs, steps, None)


def _unknown(calculator: Calculator, given: Mapping[str, str]) -> list[Problem]:
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


# -------------------------------------------------------------------------------------------------------------- fields


def read_field(book: Book, field: Input, typed: str | None, language: str = DEFAULT_LANGUAGE) -> Given:
    """One field's value: what was typed, or the start value for None. Raises ProblemError with one Problem."""
    if isinstance(field, ChoiceInput):
        return _choice(field, typed, language)
    if typed is None:
        return quantity_given(book, field, field.start.text, field.start.unit, "start", language)
    own = (field.unit, *field.also)
    try:
        quantity = read_quantity(typed, own, book.units, language)
    except (NotANumber, WrongUnit) as error:
        raise _refused(book, field, error.code, error.values, language) from None
    return quantity_given(book, field, quantity.number, quantity.unit, "given", language)


def quantity_given(  # noqa: PLR0913  each is one part of a typed quantity
    book: Book, field: QuantityInput, number: str, unit: Unit, origin: str, language: str = DEFAULT_LANGUAGE
) -> Given:
    """A quantity in the author's grammar as a field's value. Raises ProblemError where it is out of range."""
    value = float(number)
    si = unit.to_si(value)
    if not within(si, field.low, field.high):
        low = snap(field.low.unit.from_si(si)) < snap(float(exact(field.low.text)))
        limit = field.low if low else field.high
        words = measured(show(float(exact(limit.text)), 15, 15), limit.unit)
        raise _refused(book, field, "field-too-low" if low else "field-too-high", {"limit": words}, language)
    if field.whole and exact(number).denominator != 1:
        raise _refused(book, field, "field-not-whole", {}, language)
    shown = Shown(value, unit, number.replace("-", "\u2212"))
    label = field.label.within(language)
    return Given(field.name, label, si, shown, None, origin, band_of(book, field.scale, si))


def _choice(field: ChoiceInput, typed: str | None, language: str) -> Given:
    name = field.start if typed is None else typed.strip()
    option = next((its for its in field.options if its.name == name), None) or _by_label(field, name, language)
    if option is None:
        names = [its.name for its in field.options]
        hint = near_hint(name, names) or f"The choices are {', '.join(names)}."
        values = {"field": field.name, "because": f"there is no choice {name}"}
        raise ProblemError(Problem("field-refused", values, hint=hint))
    label = field.label.within(language)
    return Given(field.name, label, option.amount.si, None, option.name, "start" if typed is None else "given", None)


def _by_label(field: ChoiceInput, typed: str, language: str) -> Option | None:
    wanted = typed.lower()
    return next(
        (its for its in field.options if wanted in (its.name.lower(), its.label.within(language).lower())), None
    )


def _refused(book: Book, field: Input, code: str, values: Mapping[str, object], language: str) -> ProblemError:
    because = book.strings.say(code, language, **values)
    return ProblemError(Problem("field-refused", {"field": field.name, "because": because}))


# ------------------------------------------------------------------------------------------------------------- results


def _result(book: Book, step: Step, si: float, language: str) -> Result:
    def shown(unit: Unit) -> Shown:
        value = unit.from_si(si)
        return Shown(value, unit, show(value, step.digits, step.places, step.whole))

    return Result(
        name=step.name,
        label=step.label.within(language),
        si=si,
        shown=shown(step.unit),
        also=tuple(shown(unit) for unit in step.also),
        band=band_of(book, step.scale, si),
        is_output=step.is_output,
    )


def band_of(book: Book, entry_id: str | None, si: float) -> Band | None:
    """The band of an entry's scale that an SI value falls in, compared in each limit's own unit."""
    entry = book.entries.get(entry_id) if entry_id else None
    if entry is None or entry.scale is None:
        return None
    for band in entry.scale.bands:
        limit = band.below or band.up_to
        if limit is None:
            return band
        value, bound = snap(limit.unit.from_si(si)), snap(float(exact(limit.text)))
        if value < bound or (band.up_to is not None and value == bound):
            return band
    return None


def measured(text: str, unit: Unit) -> str:
    """A number and its unit as people print it: `50 mm`, `8°`, `12 %`; a plain number stands alone."""
    if not unit.prints or unit.id == "plain":
        return text
    return f"{text}{unit.prints}" if unit.prints == "°" else f"{text}\u00a0{unit.prints}"


# ---------------------------------------------------------------------------------------------------------------- JSON


def caution_of(calculator: Calculator, language: str = DEFAULT_LANGUAGE) -> str | None:
    """The calculator's caution, with that of the one it replaces."""
    cautions = [text.within(language) for text in (calculator.caution, calculator.inherited_caution) if text]
    return "\n\n".join(cautions) or None


def as_json(answer: Answer, language: str = DEFAULT_LANGUAGE) -> dict[str, object]:
    """An Answer as the document that `hangtag work --json` prints; absent is null, `value` is the full float."""
    trees = {step.name: formula_text(step.tree) for step in answer.calculator.steps}
    return {
        "calculator": answer.calculator.id,
        "inputs": {given.name: _given_json(answer.calculator, given, language) for given in answer.inputs},
        "steps": [{"name": step.name, "is": trees[step.name], **_result_json(step, language)} for step in answer.steps],
        "outputs": {step.name: _result_json(step, language) for step in answer.outputs},
        "refused": {"because": answer.refused.because, "input": answer.refused.input} if answer.refused else None,
        "solved": None,
        "caution": caution_of(answer.calculator, language),
    }


def _given_json(calculator: Calculator, given: Given, language: str) -> dict[str, object]:
    if given.shown is None:
        field = next(field for field in calculator.inputs if field.name == given.name)
        options = field.options if isinstance(field, ChoiceInput) else ()
        text = next(option.label.within(language) for option in options if option.name == given.choice)
        return {"value": given.choice, "unit": None, "text": text, "from": given.origin}
    return {**_shown_json(given.shown), "from": given.origin}


def _shown_json(shown: Shown) -> dict[str, object]:
    return {"value": shown.value, "unit": shown.unit.id, "text": shown.text}


def _result_json(result: Result, language: str) -> dict[str, object]:
    return {
        **_shown_json(result.shown),
        "also": [_shown_json(shown) for shown in result.also],
        "low": None,
        "high": None,
        "low_when": None,
        "band": band_json(result.band, language),
    }


def band_json(band: Band | None, language: str = DEFAULT_LANGUAGE) -> dict[str, object] | None:
    """A band's words and basis."""
    if band is None:
        return None
    basis = band.basis
    words = band.says.within(language)
    return {"says": words, "basis": basis.kind, "source": basis.source, "of": basis.of, "at": basis.at}
