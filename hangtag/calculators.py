"""A calculator: the frozen data classes of its inputs, steps and examples.

`calculator_reader.py` makes them from a file of calculators/. Must hold data only: answering is `answers.py`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from hangtag.amounts import Amount
from hangtag.formula.nodes import Node
from hangtag.formula.program import Program
from hangtag.problems import Span
from hangtag.sources import Basis, Claim
from hangtag.strings import LocalText
from hangtag.units import Dimension, Unit


@dataclass(frozen=True)
class QuantityInput:
    """A field for a number with a unit. `scale` names the entry whose scale this value sits on."""

    name: str
    label: LocalText
    unit: Unit
    also: tuple[Unit, ...]
    low: Amount
    high: Amount
    start: Amount
    whole: bool
    scale: str | None
    hint: LocalText | None
    span: Span
    scale_span: Span | None = None


@dataclass(frozen=True)
class Option:
    """One named value of a choice."""

    name: str
    label: LocalText
    amount: Amount
    basis: Basis
    span: Span


@dataclass(frozen=True)
class ChoiceInput:
    """A field that offers named values, each with its basis (such as fibre to density)."""

    name: str
    label: LocalText
    unit: Unit
    options: tuple[Option, ...]
    start: str
    hint: LocalText | None
    span: Span


Input = QuantityInput | ChoiceInput


@dataclass(frozen=True)
class Constant:
    """A named number of a formula, with its basis."""

    name: str
    label: LocalText | None
    amount: Amount
    basis: Basis
    span: Span


@dataclass(frozen=True)
class Step:
    """One named formula: a `working` step, or an output (then `is_output`)."""

    name: str
    label: LocalText
    tree: Node
    dimension: Dimension
    unit: Unit
    also: tuple[Unit, ...]
    digits: int
    places: int
    whole: bool
    scale: str | None
    is_output: bool
    span: Span  # of the formula
    scale_span: Span | None = None


@dataclass(frozen=True)
class Requirement:
    """A condition between inputs, and what to say where it fails."""

    tree: Node
    say: LocalText
    span: Span
    inputs: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Expected:
    """One value an example's author wrote: text as written, number as a decimal text, and its unit."""

    name: str
    text: str
    number: str
    unit: Unit
    span: Span


@dataclass(frozen=True)
class Example:
    """A worked example: inputs as a reader would type them, and what must come out."""

    given: dict[str, str]
    gives: tuple[Expected, ...]
    basis: Basis
    within: Amount | float | None
    because: str | None
    says: LocalText | None
    span: Span


@dataclass(frozen=True)
class Calculator:
    """One calculator. `steps` are in order of calculation, working and outputs together."""

    id: str
    name: LocalText
    question: LocalText
    inputs: tuple[Input, ...]
    constants: tuple[Constant, ...]
    requires: tuple[Requirement, ...]
    steps: tuple[Step, ...]
    examples: tuple[Example, ...]
    holds_for: LocalText | None
    caution: LocalText | None
    claims: tuple[Claim, ...]  # `sources:` of the formula itself
    program: Program
    path: str
    span: Span
    inherited_caution: LocalText | None = None
    places: dict[str, Span] = field(default_factory=dict, compare=False)

    @property
    def outputs(self) -> tuple[Step, ...]:
        """The steps that are answers, in order."""
        return tuple(step for step in self.steps if step.is_output)

    @property
    def bases(self) -> Iterator[Basis]:
        """Every basis of the calculator: options, constants, examples and the formulas themselves."""
        for its in self.inputs:
            if isinstance(its, ChoiceInput):
                yield from (option.basis for option in its.options)
        yield from (constant.basis for constant in self.constants)
        yield from (example.basis for example in self.examples)
        yield from (claim.basis for claim in self.claims)
