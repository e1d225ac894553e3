"""What a calculator's template sees of the parts that not every calculator has: its curve, and working backwards.

Must not draw or compute: that is `curve.py` and `answers`.
"""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup, escape

from hangtag import markup
from hangtag.answers import Answer, measured
from hangtag.basis_words import basis_words
from hangtag.book import Book
from hangtag.browser import curve as picture
from hangtag.calculators import Calculator, ChoiceInput, Input, QuantityInput
from hangtag.entries import Scale
from hangtag.numbers import show
from hangtag.pages.scale import stretches
from hangtag.units import Unit


@dataclass(frozen=True)
class AxisView:
    """The name of an axis and its unit."""

    label: str
    unit: Unit


@dataclass(frozen=True)
class BandLine:
    """One band behind the curve in words."""

    letter: str
    limits: str
    says: Markup
    basis: str


@dataclass(frozen=True)
class CurveView:
    """A curve's figure: the drawing, its axes, what is marked, and the same values as rows of text."""

    across: str
    of: str
    low: str
    high: str
    is_anywhere: bool
    svg: Markup
    x: AxisView
    y: AxisView
    here: Markup
    rows: tuple[picture.Row, ...]
    bands: tuple[BandLine, ...]


@dataclass(frozen=True)
class BackwardsView:
    """The sentence of working backwards: answers that may be fixed, and fields that may be asked for."""

    outputs: tuple[tuple[str, str], ...]
    inputs: tuple[tuple[str, str], ...]
    begins: tuple[str, ...]  # the answer and the field to begin with: those of the curve, where there is one


def curve_view(book: Book, calculator: Calculator, answer: Answer, language: str) -> CurveView | None:
    """The figure of a calculator's curve, where it has one."""
    its = calculator.curve
    if its is None:
        return None

    def say(name: str, **values: object) -> str:
        return book.strings.say(name, language, **values)

    step = next(one for one in calculator.steps if one.name == its.of)
    field = next(one for one in calculator.inputs if one.name == its.across)
    scale = book.entries[step.scale].scale if step.scale else None
    drawn = picture.plot(calculator, answer.inputs, lambda low, high: say("curve-between", low=low, high=high), scale)
    if drawn is None:
        return None
    x, y = field.label.within(language), step.label.within(language)
    title = say("curve-title", of=y, across=x)
    here = {"across": escape(x), "of": escape(y)}
    here |= {"x": _slot("x", drawn.here_x, drawn.across), "y": _slot("y", drawn.here_y, drawn.of)}
    return CurveView(
        across=its.across,
        of=its.of,
        low=repr(its.low.si),
        high=repr(its.high.si),
        is_anywhere=drawn.here is not None,
        svg=Markup(picture.draw(drawn, f"{calculator.id}-curve", title)),  # noqa: S704  drawn by curve.py, which escapes
        x=AxisView(x, drawn.across),
        y=AxisView(y, drawn.of),
        here=Markup(say("curve-here", **here)),  # noqa: S704  a label of ours, its values made safe
        rows=drawn.rows,
        bands=_band_lines(book, scale, language) if scale else (),
    )


def _slot(name: str, text: str, unit: Unit) -> Markup:
    """A number of the sentence below the curve, its unit printed for the eye and in words for the ear."""
    symbol = measured("", unit)
    return Markup(
        '<span data-here="{}"><span data-number translate="no">{}</span><span data-symbol translate="no" '
        'aria-hidden="true">{}</span><span class="ht-heard" data-says>{}</span></span>'
    ).format(name, markup.grouped(text.removesuffix(symbol)), symbol, f" {unit.says}" if symbol else "")


def _band_lines(book: Book, scale: Scale, language: str) -> tuple[BandLine, ...]:
    lines = []
    lower = ""
    for stretch in stretches(scale):
        band = stretch.band
        limit = band.below or band.up_to
        upper = measured(show(float(limit.text), 15, 15), limit.unit) if limit else ""
        name = ("under" if band.below else "up-to") if limit else "over" if lower else "all"
        words = book.strings.say(f"band-{name}", language, low=lower, high=upper)
        says = markup.inline(book, band.says.within(language))
        lines.append(BandLine(stretch.letter, words, says, basis_words(book, band.basis, language)))
        lower = upper
    return tuple(lines)


def backwards_view(calculator: Calculator, language: str) -> BackwardsView | None:
    """What the sentence offers; None where the calculator is one-way or has no field that can be asked for."""
    inputs = tuple((its.name, its.label.within(language)) for its in calculator.inputs if can_be_asked(its))
    if calculator.one_way or not inputs:
        return None
    outputs = tuple((step.name, step.label.within(language)) for step in calculator.outputs)
    curve = calculator.curve
    return BackwardsView(outputs, inputs, (curve.of, curve.across) if curve else ())


def can_be_asked(its: Input) -> bool:
    """Whether a field may be asked for: a number, or a choice whose options are values."""
    if isinstance(its, ChoiceInput):
        return all(option.amount for option in its.options)
    return isinstance(its, QuantityInput)
