"""What was typed after `work` as a question: `thickness="50 mm" fill_weight=?` fixes an answer and asks for a field.

`ask` may stand for `?`, which some shells expand. Must not look for the answer: `answers.work_backwards` does.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hangtag.calculators import Calculator, ChoiceInput, Input
from hangtag.problems import Problem, ProblemError, near_hint
from hangtag.terminal.lines import ascii_unit

ASKED = ("?", "ask")


@dataclass(frozen=True)
class Question:
    """The field that is asked for, the answer that is fixed and its text, and all other values."""

    unknown: str
    output: str
    wanted: str
    given: Mapping[str, str]


def question(calculator: Calculator, given: Mapping[str, str]) -> Question | None:
    """The question in what was typed; None where nothing is asked for. Raises ProblemError for one that is none."""
    outputs = [step.name for step in calculator.outputs]
    asked = [name for name, text in given.items() if text.lower() in ASKED]
    fixed = [name for name in given if name in outputs and name not in asked]
    if not asked:
        if fixed:
            hint = f"To work backwards, ask for one field: {calculator.inputs[0].name}=?"
            raise ProblemError(Problem("output-as-input", {"name": fixed[0]}, hint=hint))
        return None
    if len(asked) > 1:
        raise ProblemError(Problem("backwards-two-unknowns", {"names": " and ".join(asked)}))
    (unknown,) = asked
    if calculator.one_way:
        raise ProblemError(Problem("backwards-one-way", {"because": str(calculator.one_way)}))
    _check(calculator, unknown, outputs)
    if not fixed:
        step = calculator.outputs[-1]
        example = f"{step.name}={f'1 {ascii_unit(step.unit)}'.strip()!r}".replace("'", '"')
        raise ProblemError(Problem("backwards-nothing-fixed", {"example": example}))
    if len(fixed) > 1:
        raise ProblemError(Problem("backwards-two-fixed", {"names": " and ".join(fixed)}))
    (output,) = fixed
    others = {name: text for name, text in given.items() if name not in (unknown, output)}
    return Question(unknown, output, given[output], others)


def _check(calculator: Calculator, unknown: str, outputs: list[str]) -> None:
    inputs = [its.name for its in calculator.inputs]
    if unknown in outputs:
        raise ProblemError(
            Problem("backwards-answer-asked", {"name": unknown}, hint=f"Its inputs are {', '.join(inputs)}.")
        )
    field = next((its for its in calculator.inputs if its.name == unknown), None)
    if field is None:
        hint = near_hint(unknown, inputs) or f"Its inputs are {', '.join(inputs)}."
        raise ProblemError(Problem("unknown-input", {"name": unknown}, hint=hint))
    if _has_no_values(field):
        raise ProblemError(Problem("backwards-choice", {"name": unknown}))


def _has_no_values(field: Input) -> bool:
    return isinstance(field, ChoiceInput) and any(option.amount is None for option in field.options)
