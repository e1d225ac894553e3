"""Two pictures of answers: a ladder whose rungs each add their part, and steps over the whole numbers of a field.

Every value also stands in text beside its mark; marks are rectangles in percent, so that they fit any screen.
`scripts/pictures.js` redraws both. Must not know templates: an answer in, what a template prints out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from markupsafe import Markup

from hangtag.answers import Answer, Given, Shown, run
from hangtag.book import Book
from hangtag.calculators import Calculator, QuantityInput, Step
from hangtag.numbers import show
from hangtag.strings import DEFAULT_LANGUAGE

MOST_STEPS = 60
HEIGHT = 120  # of the steps, in CSS pixels
_TOP = 4  # the highest step's line is drawn whole
_THINNEST = 0.6  # percent: a part stays to be seen on a phone


@dataclass(frozen=True)
class Rung:
    """One answer of a ladder; `part` is what it adds, as text with its sign, None on the first."""

    step: Step
    label: str
    part: str | None
    x: str
    width: str


@dataclass(frozen=True)
class StepMark:
    """One step: the field's number and the answer there as texts, and its rectangle."""

    at: str
    shown: Shown
    here: bool
    x: str
    width: str
    y: str
    height: str


def percent(value: float) -> str:
    """A length of a drawing."""
    return f"{show(value, 6, 3)}%"


def ladder(calculator: Calculator, answer: Answer, language: str = DEFAULT_LANGUAGE) -> list[Rung]:
    """The rungs from the lowest up; where there is no answer, without parts."""
    picture = calculator.picture
    steps = {step.name: step for step in calculator.steps}
    if picture is None:
        return []
    totals = {its.name: its.si for its in answer.steps}
    top = max((abs(totals[name]) for name in picture.of if name in totals), default=0.0)
    rungs, below = [], 0.0
    for index, name in enumerate(picture.of):
        step, total = steps[name], totals.get(name, 0.0)
        x, width = span(below, total, top)
        part = added(step, total - below) if index and name in totals else None
        rungs.append(Rung(step, step.label.within(language), part, percent(x), percent(width)))
        below = total
    return rungs


def span(below: float, total: float, top: float) -> tuple[float, float]:
    """Where a part begins and how wide it is, in percent of the highest total."""
    if not top or below == total:
        return (max(0.0, min(below, total)) / top * 100 if top else 0.0), 0.0
    start, end = sorted((max(0.0, below) / top * 100, max(0.0, total) / top * 100))
    return min(start, 100 - _THINNEST), max(end - start, _THINNEST)


def added(step: Step, part: float) -> str:
    """`+ 5 kg`: what a rung adds, with the digits of its answer."""
    value = step.unit.from_si(abs(part)) - step.unit.from_si(0.0)
    sign = "−" if part < 0 else "+"
    printed = f"\u00a0{step.unit.prints}" if step.unit.prints and step.unit.id != "plain" else ""
    return f"{sign} {show(value, step.digits, step.places, step.whole)}{printed}"


# ------------------------------------------------------------------------------------------------------------- steps


def steps(book: Book, calculator: Calculator, answer: Answer, language: str = DEFAULT_LANGUAGE) -> list[StepMark]:
    """A mark for each whole number of the field that has an answer, with the other fields as they are."""
    picture = calculator.picture
    across = next((its for its in calculator.inputs if picture and its.name == picture.across), None)
    if picture is None or not isinstance(across, QuantityInput):
        return []
    here = next(given.si for given in answer.inputs if given.name == across.name)
    found = []
    for given in _whole_numbers(across, answer.inputs):
        inputs = tuple(given if its.name == across.name else its for its in answer.inputs)
        result = {its.name: its for its in run(book, calculator, inputs, language).steps}.get(picture.of[0])
        if result and given.shown:
            found.append((given.shown.text, result.shown, given.si == here))
    return _marks(found)


def _whole_numbers(across: QuantityInput, inputs: Sequence[Given]) -> Iterator[Given]:
    now = next(its for its in inputs if its.name == across.name)
    low, high = across.unit.from_si(across.low.si), across.unit.from_si(across.high.si)
    first = -int(-low // 1)
    for number in range(first, min(int(high // 1), first + MOST_STEPS - 1) + 1):
        shown = Shown(float(number), across.unit, show(float(number)))
        yield replace(now, si=across.unit.to_si(float(number)), shown=shown, values={})


def _marks(found: Sequence[tuple[str, Shown, bool]]) -> list[StepMark]:
    top = max((abs(shown.value) for _, shown, _ in found), default=0.0)
    wide = 100 / max(len(found), 1)
    marks = []
    for index, (at, shown, here) in enumerate(found):
        tall = (HEIGHT - _TOP) * max(shown.value, 0.0) / top if top else 0.0
        y, height = (show(value, 6, 2) for value in (HEIGHT - tall, tall))
        marks.append(StepMark(at, shown, here, percent(index * wide), percent(wide), y, height))
    return marks


def drawn(marks: Sequence[StepMark]) -> Markup:
    """The rectangles of all steps; the reader's own is the marked one."""
    rectangle = Markup('<rect class="{}" x="{}" y="{}" width="{}" height="{}"/>')
    return Markup("").join(
        rectangle.format("ht-stair ht-stair-here" if its.here else "ht-stair", its.x, its.y, its.width, its.height)
        for its in marks
    )


def picture_of(book: Book, calculator: Calculator, answer: Answer, language: str) -> Mapping[str, object] | None:
    """What the template prints: the kind of picture, and its rungs or steps."""
    if calculator.picture is None:
        return None
    labels = {its.name: its.label.within(language) for its in (*calculator.inputs, *calculator.steps)}
    names = {"of": labels.get(calculator.picture.of[0], ""), "across": labels.get(calculator.picture.across or "", "")}
    if calculator.picture.kind == "ladder":
        return {"kind": "ladder", "rungs": ladder(calculator, answer, language), **names}
    marks = steps(book, calculator, answer, language)
    return {"kind": "steps", "marks": marks, "drawn": drawn(marks), "height": HEIGHT, **names}
