"""A calculator: the frozen data classes of its inputs, steps and examples.

`calculator_reader.py` makes them from a file of calculators/. Must hold data only: answering is `answers.py`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from hangtag.amounts import Amount
from hangtag.entries import Change
from hangtag.formula.nodes import Node
from hangtag.formula.program import Program
from hangtag.formula.scope import Scope
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
    between: tuple[Amount, Amount] | None = None  # a field for a range; `start` is then its lower end


@dataclass(frozen=True)
class Option:
    """One named value of a choice; without an amount it is a name alone, to compare or to look up."""

    name: str
    label: LocalText
    amount: Amount | None
    basis: Basis | None
    span: Span


@dataclass(frozen=True)
class ChoiceInput:
    """A field that offers named values, each with its basis (such as fibre to density)."""

    name: str
    label: LocalText
    unit: Unit | None
    options: tuple[Option, ...]
    start: str
    hint: LocalText | None
    span: Span

    @property
    def words(self) -> tuple[str, ...]:
        """The names of its options, in order."""
        return tuple(option.name for option in self.options)


@dataclass(frozen=True)
class QuantityColumn:
    """A column of numbers with a unit."""

    name: str
    label: LocalText
    unit: Unit
    also: tuple[Unit, ...]
    low: Amount
    high: Amount
    start: Amount
    whole: bool
    span: Span


@dataclass(frozen=True)
class ChoiceColumn:
    """A column of named choices; `tick` is one of two, `no` and `yes`, shown as a box to tick."""

    name: str
    label: LocalText
    options: tuple[tuple[str, LocalText], ...]
    start: str
    tick: bool
    span: Span

    @property
    def words(self) -> tuple[str, ...]:
        """The names of its options, in order: a row holds their numbers."""
        return tuple(name for name, _ in self.options)


@dataclass(frozen=True)
class TextColumn:
    """A column of free words, which no formula reads."""

    name: str
    label: LocalText
    span: Span


Column = QuantityColumn | ChoiceColumn | TextColumn


@dataclass(frozen=True)
class RowsInput:
    """A small table the reader fills. `start` holds, by column, what an author wrote in each row."""

    name: str
    label: LocalText
    columns: tuple[Column, ...]
    start: tuple[dict[str, str], ...]
    most: int
    hint: LocalText | None
    span: Span


Input = QuantityInput | ChoiceInput | RowsInput


@dataclass(frozen=True)
class TableRow:
    """One row of a table: what is looked up, as written, its value, and why it may be believed."""

    x: str
    amount: Amount
    basis: Basis
    span: Span
    at: Amount | None = None  # of a table of amounts: what is looked up


@dataclass(frozen=True)
class Table:
    """A table to look up: by the options of a choice, or by amounts in `x_unit`, with a rule."""

    name: str
    label: LocalText
    by: str | None
    rule: str
    x_unit: Unit | None
    unit: Unit
    rows: tuple[TableRow, ...]
    span: Span


@dataclass(frozen=True)
class Curve:
    """The picture: an output across one field, between two amounts."""

    across: str
    of: str
    low: Amount
    high: Amount
    span: Span


@dataclass(frozen=True)
class Picture:
    """Another picture of the answers: a ladder of rungs, or steps over whole numbers of a field."""

    kind: str
    of: tuple[str, ...]
    across: str | None
    span: Span


@dataclass(frozen=True)
class Constant:
    """A named number of a formula, with its basis."""

    name: str
    label: LocalText | None
    amount: Amount
    basis: Basis
    span: Span
    between: tuple[Amount, Amount] | None = None  # an uncertain constant; `amount` is then its lower end


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
    end: str | None = None  # low or high, of an uncertain answer; else the answer itself


@dataclass(frozen=True)
class Example:
    """A worked example: inputs as a reader would type them, and what must come out."""

    given: dict[str, str | tuple[dict[str, str], ...]]
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
    tables: tuple[Table, ...] = ()
    curve: Curve | None = None
    picture: Picture | None = None
    one_way: LocalText | None = None
    history: tuple[Change, ...] = ()
    was: tuple[str, ...] = ()
    scope: Scope = field(default_factory=Scope, compare=False)
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
                yield from (option.basis for option in its.options if option.basis)
        for table in self.tables:
            yield from (row.basis for row in table.rows)
        yield from (constant.basis for constant in self.constants)
        yield from (example.basis for example in self.examples)
        yield from (claim.basis for claim in self.claims)
