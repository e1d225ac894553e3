"""A calculator's HTML: fields, answers and working, complete and correct without a script.

Every number comes from `answers.work`. Must not compute anything.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template
from markupsafe import Markup

from hangtag import markup
from hangtag.amounts import Amount
from hangtag.answers import Given, Result, Shown, measured, work
from hangtag.basis_words import basis_words
from hangtag.book import Book
from hangtag.browser.scripts import field_units
from hangtag.calculators import Calculator, ChoiceInput, Input, Option, Step
from hangtag.entries import Band, Scale
from hangtag.formula import to_mathml
from hangtag.numbers import show
from hangtag.resources import template_dirs
from hangtag.strings import DEFAULT_LANGUAGE
from hangtag.units import Unit

Say = Callable[..., str]
_TYPED_DIGITS = 15  # a field shows a number whole: every decimal number of 15 digits survives as a float
_FORMULA_DIGITS = 8  # in a formula a converted number would otherwise run off the page


# ------------------------------------------------------------------------------------------------- what a template sees


@dataclass(frozen=True)
class OptionView:
    """One named value of a choice, with its number as text."""

    name: str
    label: str
    text: str
    option: Option


@dataclass(frozen=True)
class FieldView:
    """One field of the form with its start value."""

    id: str
    name: str
    label: str
    hint: str | None
    shown: Shown
    units: tuple[Unit, ...]
    options: tuple[OptionView, ...]
    chosen: str | None
    decimal: bool
    scale: Scale | None
    scale_of: str | None
    band: Band | None
    described_by: str


@dataclass(frozen=True)
class OutputView:
    """One answer, and how a screen reader would say it."""

    step: Step
    label: str
    shown: Shown
    also: tuple[Shown, ...]
    scale: Scale | None
    band: Band | None
    spoken: str


@dataclass(frozen=True)
class StepView:
    """One step of the working: its formula in words, and with the numbers of this page."""

    step: Step
    label: str
    formula: Markup
    with_numbers: Markup


@dataclass(frozen=True)
class CautionView:
    """One caution and whose it is."""

    title: str
    html: Markup


# ----------------------------------------------------------------------------------------------------------- the HTML


def calculator_html(
    book: Book,
    calculator: Calculator,
    language: str = DEFAULT_LANGUAGE,
    heading: str = "",
    given: Mapping[str, str] | None = None,
) -> Markup:
    """One calculator as a block of HTML with its answers and working.

    `heading` is the element of its heading (`h3`), or empty where the page's own heading names it already. `given` are
    texts as a reader would type them; other fields take their start values. Raises ProblemError as `answers.work` does.
    """
    answer = work(book, calculator, given or {}, language)
    taken = {its.name: its for its in answer.inputs}
    fields = [_field(book, calculator, its, taken[its.name], language) for its in calculator.inputs]
    results = {its.name: its for its in answer.steps}

    def say(name: str, **values: object) -> str:
        return book.strings.say(name, language, **values)

    page = _template(tuple(template_dirs(book))).render(
        calculator=calculator,
        heading=heading,
        language=language,
        fields=fields,
        input_ids=" ".join(field.id for field in fields),
        outputs=[_output(book, step, results.get(step.name), say) for step in calculator.outputs],
        steps=_working(book, calculator, fields, results, language),
        cautions=_cautions(book, calculator, language),
        refused=answer.refused.because if answer.refused else None,
        say=say,
        grouped=markup.grouped,
        limits=markup.limits,
        symbol=lambda unit: measured("", unit),
        inline=lambda text: markup.inline(book, text),
        plain=lambda text: markup.plain_text(book, text),
        basis=lambda basis: basis_words(book, basis, language),
    )
    # a blank line would end the block for Markdown
    return Markup("\n".join(line for line in page.splitlines() if line.strip()) + "\n")  # noqa: S704  autoescaped above


@cache
def _template(folders: tuple[Path, ...]) -> Template:
    environment = Environment(
        loader=FileSystemLoader(folders), autoescape=True, undefined=StrictUndefined, trim_blocks=False
    )
    return environment.get_template("calculator.html.j2")


def field_id(calculator: Calculator, name: str) -> str:
    """The id of a field's element: two calculators of a page may share an input's name."""
    return f"{calculator.id}-{name}"


def _field(book: Book, calculator: Calculator, its: Input, given: Given, language: str) -> FieldView:
    id_ = field_id(calculator, its.name)
    options: tuple[OptionView, ...] = ()
    units: tuple[Unit, ...] = ()
    scale = None
    if isinstance(its, ChoiceInput):
        options = tuple(
            OptionView(option.name, option.label.within(language), _typed(option.amount), option)
            for option in its.options
        )
        chosen = next(option for option in its.options if option.name == given.choice)
        shown = Shown(float(chosen.amount.text), chosen.amount.unit, _typed(chosen.amount))
        decimal = False
    else:
        units = field_units(its)
        scale = book.entries[its.scale].scale if its.scale else None
        shown = given.shown or Shown(float(its.start.text), its.start.unit, _typed(its.start))
        # the pad of digits that some telephones show for `decimal` has no minus
        decimal = not any(limit.text.startswith("-") for limit in (its.low, its.high)) and not any(
            unit.from_si(its.low.si) < 0 for unit in units
        )
    described = [f"{id_}-unit"] * (len(units) == 1) + [f"{id_}-hint"] * bool(its.hint) + [f"{id_}-echo"]
    return FieldView(
        id=id_,
        name=its.name,
        label=its.label.within(language),
        hint=its.hint.within(language) if its.hint else None,
        shown=shown,
        units=units,
        options=options,
        chosen=given.choice,
        decimal=decimal,
        scale=scale,
        scale_of=getattr(its, "scale", None),
        band=given.band,
        described_by=" ".join(described),
    )


def _output(book: Book, step: Step, result: Result | None, say: Say) -> OutputView:
    shown = result.shown if result else _nothing(step.unit)
    label = result.label if result else str(step.label)
    value = f"{shown.text} {shown.unit.says}" if measured("", shown.unit) else shown.text
    return OutputView(
        step=step,
        label=label,
        shown=shown,
        also=result.also if result else tuple(_nothing(unit) for unit in step.also),
        scale=book.entries[step.scale].scale if step.scale else None,
        band=result.band if result else None,
        spoken=say("result-spoken", label=label, value=value),
    )


def _working(
    book: Book, calculator: Calculator, fields: list[FieldView], results: Mapping[str, Result], language: str
) -> list[StepView]:
    labels = {its.name: its.label.within(language) for its in (*calculator.inputs, *calculator.steps)}
    values = {field.name: _in_formula(field.shown) for field in fields}
    for constant in calculator.constants:
        labels[constant.name] = constant.label.within(language) if constant.label else constant.name
        amount = constant.amount
        values[constant.name] = _in_formula(Shown(float(amount.text), amount.unit, _typed(amount)))
    shown = {
        step.name: results[step.name].shown if step.name in results else _nothing(step.unit)
        for step in calculator.steps
    }
    values |= {name: _bracketed(_with_unit(its)) for name, its in shown.items()}
    return [
        StepView(
            step=step,
            label=labels[step.name],
            formula=_equals(to_mathml.formula(step.tree, labels, book.units)),
            with_numbers=_equals(
                to_mathml.with_values(step.tree, values, book.units)
                + str(
                    Markup('<mo>=</mo><mn data-value="{}" data-result="">{}</mn>').format(
                        step.name, _with_unit(shown[step.name])
                    )
                )
            ),
        )
        for step in calculator.steps
    ]


def _equals(inner: str) -> Markup:
    return Markup(f"<mrow><mo rspace='0.4em'>=</mo>{inner}</mrow>")  # noqa: S704  written by to_mathml, which escapes


def _in_formula(shown: Shown) -> str:
    """A given value as it stands in a formula."""
    return _bracketed(measured(show(shown.value, _FORMULA_DIGITS, _TYPED_DIGITS), shown.unit))


def _bracketed(text: str) -> str:
    return f"({text})" if text.startswith("−") else text


def _with_unit(shown: Shown) -> str:
    return measured(shown.text, shown.unit)


def _typed(amount: Amount) -> str:
    return show(float(amount.text), _TYPED_DIGITS, _TYPED_DIGITS)


def _nothing(unit: Unit) -> Shown:
    """What stands in the place of a result where the start values have no answer."""
    return Shown(float("nan"), unit, "–")


def _cautions(book: Book, calculator: Calculator, language: str) -> list[CautionView]:
    """What must stand beside the answer: the calculator's cautions, else those of its entries; a club's always."""
    entries = book.entries_with(calculator.id)

    def say(name: str, **values: object) -> str:
        return book.strings.say(name, language, **values)

    own = [(say("calc-caution"), calculator.caution), (say("calc-caution-inherited"), calculator.inherited_caution)]
    if not any(text for _, text in own):
        own += [(say("calc-caution"), entry.caution) for entry in entries]
    own += [(say("calc-caution-inherited"), entry.inherited_caution) for entry in entries]
    own += [
        (say("addition-by", by=addition.by, date=addition.date), addition.caution)
        for entry in entries
        for addition in entry.additions
    ]
    texts = {text.within(language): title for title, text in reversed(own) if text is not None}
    return [CautionView(title, markup.block(book, text)) for text, title in reversed(texts.items())]
