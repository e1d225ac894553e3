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
from hangtag.answers import Result, Shown, measured, work
from hangtag.basis_words import basis_words
from hangtag.book import Book
from hangtag.browser.fields_view import field_view
from hangtag.browser.parts import backwards_view, curve_view
from hangtag.browser.pictures import picture_of
from hangtag.browser.printed import TYPED_DIGITS, Printed, nothing, result_places, typed_ends
from hangtag.browser.working_view import working
from hangtag.calculators import Calculator, Step
from hangtag.entries import Band, Scale
from hangtag.resources import template_dirs
from hangtag.strings import DEFAULT_LANGUAGE

Say = Callable[..., str]


# ------------------------------------------------------------------------------------------------- what a template sees


@dataclass(frozen=True)
class OutputView:
    """One answer, and how a screen reader would say it. `when` says which end of a range is which."""

    step: Step
    label: str
    shown: Printed
    also: tuple[Printed, ...]
    scale: Scale | None
    bands: tuple[BandAt, ...]
    spoken: str
    when: str


@dataclass(frozen=True)
class BandAt:
    """A place for the band of one end (`low`, `high`), or of an answer that has no ends; `name` says of which."""

    end: str
    name: str
    band: Band | None
    hidden: bool


@dataclass(frozen=True)
class UncertainView:
    """A constant that is only known to lie between two ends, and why that is believed."""

    name: str
    label: str
    text: str
    basis: str


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
    fields = [field_view(book, calculator, its, taken[its.name], language) for its in calculator.inputs]
    results = {its.name: its for its in answer.steps}

    def say(name: str, **values: object) -> str:
        return book.strings.say(name, language, **values)

    page = _template(tuple(template_dirs(book))).render(
        calculator=calculator,
        heading=heading,
        language=language,
        fields=fields,
        input_ids=" ".join(field.id for field in fields if not field.rows),
        outputs=[_output(book, calculator, step, results.get(step.name), say) for step in calculator.outputs],
        ranged=_is_ranged(calculator),
        uncertain=_uncertain(book, calculator, language),
        picture=picture_of(book, calculator, answer, language),
        totals={
            step.name: result_places(results[step.name])[0] if step.name in results else nothing(step.unit)
            for step in calculator.steps
        },
        curve=curve_view(book, calculator, answer, language),
        backwards=backwards_view(calculator, language),
        steps=working(book, calculator, taken, results, language),
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
def _environment(folders: tuple[Path, ...]) -> Environment:
    return Environment(loader=FileSystemLoader(folders), autoescape=True, undefined=StrictUndefined, trim_blocks=False)


def _template(folders: tuple[Path, ...]) -> Template:
    # asked for each time: a live preview shows a template that its author has just changed
    return _environment(folders).get_template("calculator.html.j2")


def _is_ranged(calculator: Calculator) -> bool:
    """Whether answers may have two ends."""
    return bool(calculator.program.domain.uncertain or calculator.program.domain.ranges)


def _output(book: Book, calculator: Calculator, step: Step, result: Result | None, say: Say) -> OutputView:
    shown, *also = result_places(result) if result else [nothing(unit) for unit in (step.unit, *step.also)]
    label = result.label if result else str(step.label)
    text = say("field-between", low=shown.text, high=shown.high) if shown.high is not None else shown.text
    value = f"{text} {shown.unit.says}" if measured("", shown.unit) else text
    scale = book.entries[step.scale].scale if step.scale else None
    return OutputView(
        step=step,
        label=label,
        shown=shown,
        also=tuple(also),
        scale=scale,
        bands=_bands(result, say, ranged=_is_ranged(calculator)) if scale else (),
        spoken=say("result-spoken", label=label, value=value),
        when=_when(result, shown, say),
    )


def _when(result: Result | None, shown: Printed, say: Say) -> str:
    if result is None or shown.high is None:
        return ""
    low, high = (measured(text, shown.unit) for text in (shown.text, shown.high))
    return say("range-when", low=low, high=high, low_when=result.low_when, high_when=result.high_when)


def _bands(result: Result | None, say: Say, *, ranged: bool) -> tuple[BandAt, ...]:
    """One place where an answer has no ends; else one at each, or one for both where they lie in one band."""
    if not ranged:
        return (BandAt("", "", result.band if result else None, hidden=False),)
    if result is None or result.ends is None or result.ends[0].text == result.ends[1].text:
        alone = result.band if result else None
        return BandAt("low", "", alone, hidden=False), BandAt("high", "", alone, hidden=True)
    low, high = result.bands
    if low is high:
        return BandAt("low", say("range-at-both"), low, hidden=False), BandAt("high", "", high, hidden=True)
    return (
        BandAt("low", say("range-at-low"), low, hidden=False),
        BandAt("high", say("range-at-high"), high, hidden=False),
    )


def _uncertain(book: Book, calculator: Calculator, language: str) -> list[UncertainView]:
    """The constants that are known only as a range."""
    found = []
    for its in calculator.constants:
        if its.between:
            label = its.label.within(language) if its.label else its.name
            low, high = (Shown(float(end.text), end.unit, end.text) for end in its.between)
            printed = typed_ends((low, high), TYPED_DIGITS)
            text = measured(printed.words(book, language), printed.unit)
            found.append(UncertainView(its.name, label, text, basis_words(book, its.basis, language)))
    return found


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
