"""Working backwards: an answer is fixed, and one input is asked for.

64 equal steps over the asked input's range; every change of sign is halved 40 times; all answers are listed. Where
there is none, or the formula is uncertain, it says so. `site_templates/scripts/backwards.js` does the same in the same
order. Must not guess: a value outside the input's range is no answer.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from hangtag.amounts import within
from hangtag.answers.fields import read_field
from hangtag.answers.model import Answer, Given, Refusal, Shown, Solution, Solved
from hangtag.answers.run import run, run_values, uncertain_of, unknown_inputs
from hangtag.answers.words import band_of, measured
from hangtag.book import Book
from hangtag.calculator_reader import option_values
from hangtag.calculators import Calculator, ChoiceInput, QuantityInput, RowsInput, Step
from hangtag.formula.bounds import corners
from hangtag.formula.by_hand import NoAnswer, Values
from hangtag.formula.numeric import AT_END, HALVINGS
from hangtag.numbers import Refused, show, snap
from hangtag.problems import Problem, ProblemError, near_hint
from hangtag.strings import DEFAULT_LANGUAGE
from hangtag.typed import read_quantity

STEPS = 64
JUMP = 1e-5  # of the output's change over a step: what is left of it after all halvings is no answer but a jump
NEAR = 1e-6  # of the range: so far from a root the output is looked at again
_DIGITS = 6


def work_backwards(  # noqa: PLR0913  the question has that many parts
    book: Book,
    calculator: Calculator,
    given: Mapping[str, str],
    output: str,
    wanted: str,
    unknown: str,
    language: str = DEFAULT_LANGUAGE,
) -> Answer:
    """Find the `unknown` input at which `output` is `wanted`; every other input is given or takes its start value.

    The Answer is that of the first solution, with `solved` listing all. Raises ProblemError for a wrong name or text, a
    list as the unknown, and a calculator that is one-way.
    """
    if calculator.one_way:
        raise ProblemError(Problem("backwards-one-way", {"because": calculator.one_way.within(language)}))
    field, step = _asked(calculator, unknown), _fixed(calculator, output)
    others = {name: text for name, text in given.items() if name not in (unknown, output)}
    problems = unknown_inputs(calculator, others)
    if problems:
        raise ProblemError(*problems)
    inputs = tuple(read_field(book, its, others.get(its.name), language) for its in calculator.inputs)
    question = _Question(book, calculator, inputs, field, step, wanted, language)
    return question.answer()


@dataclass(frozen=True)
class _Found:
    """What a search found: the roots, the output at all tried points, and where it jumps over the wanted value."""

    roots: Sequence[float]
    reached: Sequence[float]
    jumps: Sequence[Shown]
    level: bool  # whether the output stays the wanted one beside a root


class _Question:
    def __init__(  # noqa: PLR0913
        self,
        book: Book,
        calculator: Calculator,
        given: tuple[Given, ...],
        field: QuantityInput | ChoiceInput,
        step: Step,
        wanted: str,
        language: str,
    ) -> None:
        self._book = book
        self._calculator = calculator
        self._language = language
        self._given = given
        self._field = field
        self._step = step
        self._target, self._wanted = self._read_wanted(wanted)
        self._values = run_values(calculator, given)

    def _read_wanted(self, text: str) -> tuple[float, Shown]:
        step = self._step
        try:
            quantity = read_quantity(text, (step.unit, *step.also), self._book.units, self._language)
        except Refused as error:
            because = self._book.strings.say(error.code, self._language, **error.values)
            raise ProblemError(Problem("field-refused", {"field": step.name, "because": because})) from None
        return quantity.si, Shown(float(quantity.number), quantity.unit, quantity.number.replace("-", "\u2212"))

    # ----------------------------------------------------------------------------------------------------- answers

    def answer(self) -> Answer:
        if isinstance(self._field, ChoiceInput):
            solutions, because = self._choices(self._field)
        else:
            solutions, because = self._quantities(self._field)
        solved = Solved(self._field.name, self._step.name, self._wanted, tuple(solutions), because)
        if not solutions:
            return Answer(self._calculator, self._given, (), Refusal(because or "", self._field.name), solved)
        inputs = tuple(self._with(its, solutions[0]) for its in self._given)
        return replace(run(self._book, self._calculator, inputs, self._language), solved=solved)

    def _with(self, given: Given, solution: Solution) -> Given:
        if given.name != self._field.name:
            return given
        if isinstance(self._field, ChoiceInput):
            values = option_values(self._field, self._field.words.index(solution.choice or ""))
            return replace(given, choice=solution.choice, origin="solved", values=values, si=solution.si)
        band = band_of(self._book, self._field.scale, solution.si)
        return replace(given, si=solution.si, shown=solution.shown, origin="solved", band=band, ends=None)

    def _choices(self, field: ChoiceInput) -> tuple[list[Solution], str | None]:
        wanted = self._in_words(self._target)
        found = []
        for index, option in enumerate(field.options):
            value = self._run({**self._values, **option_values(field, index)})
            if value is not None and self._in_words(value) == wanted:
                found.append(Solution(option.amount.si if option.amount else 0.0, None, option.name, None))
        return found, None if found else self._say("backwards-no-choice", wanted=wanted)

    def _quantities(self, field: QuantityInput) -> tuple[list[Solution], str | None]:
        uncertain = uncertain_of(self._calculator, self._given)
        uncertain.pop(field.name, None)
        found = self._roots(field, self._values)
        middle = found.roots
        if not uncertain:
            if field.whole and middle:
                return self._wholes(field, middle)
            solutions = [Solution(si, self._shown(field, si), None, None) for si in middle]
            return solutions, self._because(found)
        at_ends = [self._roots(field, {**self._values, **corner}).roots for corner in corners(uncertain)]
        if middle and all(len(roots) == len(middle) for roots in at_ends):
            groups = [[si, *(roots[index] for roots in at_ends)] for index, si in enumerate(middle)]
            return [self._interval(field, group) for group in groups], self._because(found)
        every = [*middle, *(root for roots in at_ends for root in roots)]
        if not every:
            return [], self._because(found)
        return [self._interval(field, every)], self._say("backwards-not-at-every-end")

    def _wholes(self, field: QuantityInput, roots: Sequence[float]) -> tuple[list[Solution], str | None]:
        """The whole numbers beside the roots that give the wanted output as it is shown."""
        wanted = self._in_words(self._target)
        numbers: dict[float, Solution] = {}
        beside: list[tuple[float, float]] = []
        for root in roots:
            number = snap(field.unit.from_si(root))
            for whole in dict.fromkeys((float(math.floor(number)), float(math.ceil(number)))):
                si = field.unit.to_si(whole)
                value = self._run({**self._values, field.name: si}) if within(si, field.low, field.high) else None
                if value is None:
                    continue
                beside.append((whole, value))
                if self._in_words(value) == wanted:
                    numbers[whole] = Solution(si, self._shown(field, si), None, None)
        if numbers:
            several = self._say("backwards-several", count=len(numbers)) if len(numbers) > 1 else None
            return list(numbers.values()), several
        near = ", ".join(f"{show(whole, _DIGITS)}: {self._in_words(value)}" for whole, value in beside)
        return [], self._say("backwards-between-wholes", near=near)

    def _interval(self, field: QuantityInput, roots: Sequence[float]) -> Solution:
        ends = (self._shown(field, min(roots)), self._shown(field, max(roots)))
        return Solution(roots[0], self._shown(field, roots[0]), None, ends)

    def _shown(self, field: QuantityInput, si: float) -> Shown:
        value = field.unit.from_si(si)
        return Shown(value, field.unit, show(value, _DIGITS))

    # ------------------------------------------------------------------------------------------------------ search

    def _run(self, values: Values) -> float | None:
        program = self._calculator.program
        try:
            return program.run(values)[self._step.name] if program.first_failed(values) < 0 else None
        except NoAnswer:
            return None

    def _roots(self, field: QuantityInput, values: Values) -> _Found:
        """Every value of the field at which the output is the wanted one."""

        def difference(x: float) -> float | None:
            value = self._run({**values, field.name: x})
            return None if value is None else value - self._target

        low, high = field.low.si, field.high.si
        points = [low + (high - low) * (i / STEPS) for i in range(STEPS)] + [high]
        tried = [difference(x) for x in points]
        roots = [
            x
            for x, value in ((points[0], tried[0]), (points[-1], tried[-1]))
            if value is not None and abs(value) <= AT_END * abs(self._target)
        ]
        jumps: list[float] = []
        for i in range(STEPS):
            value, after = tried[i], tried[i + 1]
            if value is not None and after is not None and (value < 0) != (after < 0):
                size = JUMP * max(abs(value), abs(after))
                root, at = _halved(difference, points[i], points[i + 1], size, below=value < 0)
                if root is not None:
                    roots.append(root)
                elif at is not None:
                    jumps.append(at)
        roots.sort()
        apart = (high - low) * AT_END * 10
        distinct = [x for i, x in enumerate(roots) if i == 0 or x - roots[i - 1] > apart]
        reached = [value + self._target for value in tried if value is not None]
        beside = (x + side for x in distinct for side in (-NEAR * (high - low), NEAR * (high - low)))
        level = any(difference(x) == 0 for x in beside if low <= x <= high)
        return _Found(distinct, reached, [self._shown(field, at) for at in jumps], level)

    # ------------------------------------------------------------------------------------------------------- words

    def _because(self, found: _Found) -> str | None:
        roots = found.roots
        if not found.reached:
            return self._say("backwards-never-runs")
        low, high = min(found.reached), max(found.reached)
        if high - low <= AT_END * max(abs(low), abs(high)):
            return self._say("backwards-no-influence", value=self._in_words(low))
        if found.jumps and not roots:
            return self._say("backwards-jumps", at=measured(found.jumps[0].text, found.jumps[0].unit))
        if not roots:
            return self._say("backwards-out-of-reach", low=self._in_words(low), high=self._in_words(high))
        if found.level:
            return self._say("backwards-stretch")
        return self._say("backwards-several", count=len(roots)) if len(roots) > 1 else None

    def _in_words(self, si: float) -> str:
        step = self._step
        return measured(show(step.unit.from_si(si), step.digits, step.places, step.whole), step.unit)

    def _say(self, name: str, **values: object) -> str:
        language = self._language
        labels = {"input": self._field.label.within(language), "output": self._step.label.within(language)}
        return self._book.strings.say(name, language, **labels, **values)


def _asked(calculator: Calculator, name: str) -> QuantityInput | ChoiceInput:
    field = next((its for its in calculator.inputs if its.name == name), None)
    if field is None:
        known = [its.name for its in calculator.inputs]
        raise ProblemError(Problem("unknown-input", {"name": name}, hint=near_hint(name, known)))
    if isinstance(field, RowsInput):
        raise ProblemError(Problem("backwards-rows", {"name": name}))
    return field


def _fixed(calculator: Calculator, name: str) -> Step:
    step = next((its for its in calculator.outputs if its.name == name), None)
    if step is None:
        known = [its.name for its in calculator.outputs]
        hint = near_hint(name, known) or f"Its answers are {', '.join(known)}."
        raise ProblemError(Problem("unknown-output", {"name": name}, hint=hint))
    return step


def _halved(
    difference: Callable[[float], float | None], low: float, high: float, size: float, *, below: bool
) -> tuple[float | None, float | None]:
    """Where the difference is at most `size`, at the middle of the last bracket or at one of its ends; and the middle.

    No answer but a middle is a jump; neither is a point without an answer on the way.
    """
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        value = difference(middle)
        if value is None:
            return None, None
        if (value < 0) == below:
            low = middle
        else:
            high = middle
    middle = (low + high) / 2
    for x in (middle, high, low):
        value = difference(x)
        if value is not None and abs(value) <= size:
            return x, middle
    return None, middle
