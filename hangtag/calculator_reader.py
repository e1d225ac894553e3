"""A file of calculators/ becomes a Calculator: fields, formulas parsed and checked, examples read.

The tables of keys stand here: the JSON Schema is made from them. Must not run a formula.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from hangtag.amounts import Amount, AmountReader
from hangtag.calculators import (
    Calculator,
    ChoiceInput,
    Constant,
    Example,
    Expected,
    Input,
    Option,
    QuantityInput,
    Requirement,
    Step,
)
from hangtag.entry_reader import Context
from hangtag.formula import core
from hangtag.formula.check import check, check_condition, names_in
from hangtag.formula.functions import FUNCTIONS
from hangtag.formula.nodes import Node as FormulaNode
from hangtag.formula.parser import KEYWORDS, parse
from hangtag.formula.program import Program
from hangtag.numbers import exact, is_author_number, snap
from hangtag.problems import Label, ProblemError, Span, near_hint
from hangtag.shape import AMOUNT, LINE, TEXT, YES_NO, Fields, Key, Keys, many, named, schema_of
from hangtag.sources import BASIS_KEYS, CLAIM_KEYS, read_basis, read_claims
from hangtag.strings import LocalText
from hangtag.units import PLAIN_UNIT, Dimension, Unit
from hangtag.yaml_source import Node, Scalar

COUNT = {"type": "integer", "minimum": 0, "maximum": 15}
OPTION_KEYS: Keys = {
    "label": Key("What the reader sees.", TEXT, required=True),
    "is": Key("The value it stands for.", AMOUNT, required=True),
    **BASIS_KEYS,
}
INPUT_KEYS: Keys = {
    "label": Key("What the field is called.", TEXT, required=True),
    "unit": Key("The unit of a bare number.", LINE, required=True),
    "also": Key("Other units the reader may choose.", many(LINE)),
    "range": Key("The lowest and highest value that is taken.", many(AMOUNT)),
    "start": Key("The value a newcomer starts from; of a choice, its name.", AMOUNT, required=True),
    "whole": Key("Whether only whole numbers make sense.", YES_NO),
    "scale": Key("The entry whose scale this value sits on.", LINE),
    "hint": Key("A few words below the label.", TEXT),
    "choice": Key("Named values instead of a number.", named(schema_of(OPTION_KEYS))),
}
CONSTANT_KEYS: Keys = {
    "is": Key("Its value.", AMOUNT, required=True),
    "label": Key("What it is.", TEXT),
    **BASIS_KEYS,
}
STEP_KEYS: Keys = {
    "is": Key("The formula.", LINE, required=True),
    "unit": Key("The unit it is shown in.", LINE, required=True),
    "also": Key("Other units to show.", many(LINE)),
    "label": Key("What it is, as a short noun phrase.", TEXT, required=True),
    "digits": Key("Significant figures shown; 4 where it is not said.", COUNT),
    "places": Key("Decimals shown at most; 6 where it is not said.", COUNT),
    "whole": Key("Whether it is a count.", YES_NO),
    "scale": Key("The entry whose scale this value sits on.", LINE),
}
REQUIRES_KEYS: Keys = {
    "that": Key("A comparison between inputs.", LINE, required=True),
    "say": Key("What to tell the reader where it fails.", TEXT, required=True),
}
EXAMPLE_KEYS: Keys = {
    "given": Key("Inputs and their values.", named(AMOUNT), required=True),
    "gives": Key("What must come out.", named(AMOUNT), required=True),
    "within": Key("How far our result may lie from theirs: `2 %` or `1 mm`.", LINE),
    "because": Key("Why it may.", LINE),
    "says": Key("The example in words.", TEXT),
    **BASIS_KEYS,
}
CALCULATOR_KEYS: Keys = {
    "name": Key("What it calculates.", TEXT, required=True),
    "question": Key("The reader's question: a question word first, a question mark last.", TEXT, required=True),
    "inputs": Key("The fields.", named(schema_of(INPUT_KEYS)), required=True),
    "constants": Key("Named numbers of the formulas, each with its basis.", named(schema_of(CONSTANT_KEYS))),
    "requires": Key("Conditions between inputs.", many(schema_of(REQUIRES_KEYS))),
    "working": Key("Steps that are shown but are no answer.", named(schema_of(STEP_KEYS))),
    "outputs": Key("The answers.", named(schema_of(STEP_KEYS)), required=True),
    "examples": Key("Worked examples; they are tests.", many(schema_of(EXAMPLE_KEYS)), required=True),
    "holds_for": Key("When the answer holds, in a sentence.", TEXT),
    "caution": Key("Where somebody could be hurt, in Markdown.", TEXT),
    "sources": Key("What the formulas stand on.", many(schema_of(CLAIM_KEYS))),
}


def read_calculator(node: Node, calculator_id: str, path: str, context: Context) -> Calculator:
    """The calculator of one file. Where formulas have Problems, `program` holds only the steps that are sound."""
    return _Reader(node, calculator_id, path, context).read()


@dataclass
class _Names:
    """Every name of a calculator: its dimension, where it stands, and whether a formula uses it."""

    dimensions: dict[str, Dimension] = field(default_factory=dict)
    spans: dict[str, Span] = field(default_factory=dict)
    broken: set[str] = field(default_factory=set)  # named, but unusable for another Problem already told
    used: set[str] = field(default_factory=set)


class _Reader:
    def __init__(self, node: Node, calculator_id: str, path: str, context: Context) -> None:
        self._fields = Fields(node, CALCULATOR_KEYS, path, context.problems, "a calculator", context.languages)
        self._id = calculator_id
        self._path = path
        self._context = context
        self._amounts = AmountReader(context.units, path, context.problems)
        self._names = _Names()
        self._unread = False

    def read(self) -> Calculator:
        fields = self._fields
        inputs = tuple(its for its in (self._input(key, node) for key, node in fields.pairs("inputs")) if its)
        constants = tuple(its for its in (self._constant(key, node) for key, node in fields.pairs("constants")) if its)
        requires, conditions = self._requires({its.name for its in inputs})
        steps, trees = self._steps()
        self._unused()
        examples = tuple(self._example(node, inputs, steps) for node in fields.items("examples"))
        program = Program(
            inputs=tuple(its.name for its in inputs),
            constants={its.name: its.amount.si for its in constants},
            requires=tuple(conditions),
            steps=tuple(trees),
        )
        return Calculator(
            id=self._id,
            name=fields.text("name") or LocalText({"en": self._id}),
            question=fields.text("question") or LocalText({"en": ""}),
            inputs=inputs,
            constants=constants,
            requires=tuple(requires),
            steps=tuple(steps),
            examples=examples,
            holds_for=fields.text("holds_for"),
            caution=fields.text("caution"),
            claims=read_claims(fields),
            program=program,
            path=self._path,
            span=fields.span,
            places=fields.places(),
        )

    # ------------------------------------------------------------------------------------------------------- names

    def _name(self, key: Scalar) -> bool:
        """Take a name into use; False, with a Problem, where it cannot be one."""
        name = key.text
        good = (
            name[:1].isascii()
            and name[:1].islower()
            and all(c.isascii() and (c.islower() or c.isdigit() or c == "_") for c in name)
        )
        if not good or name in KEYWORDS or name in FUNCTIONS or name == "pi":
            self._fields.add("bad-name", key.span, name=name)
            self._names.broken.add(name)
            return False
        if name in self._names.spans:
            labels = [Label(self._names.spans[name], "first here")]
            self._fields.add("name-twice", key.span, name=name, labels=labels)
            return False
        self._names.spans[name] = key.span
        return True

    def _unused(self) -> None:
        if self._unread:
            return  # what a formula that could not be read uses is not known
        for name in set(self._names.dimensions) - self._names.used:
            self._fields.add("unused-name", self._names.spans[name], name=name)

    def _sub(self, node: Node, keys: Keys, what: str) -> Fields:
        return Fields(node, keys, self._path, self._context.problems, what, self._context.languages)

    # ------------------------------------------------------------------------------------------------------ inputs

    def _input(self, key: Scalar, node: Node) -> Input | None:
        fields = self._sub(node, INPUT_KEYS, f"the input {key.text}")
        if not self._name(key):
            return None
        unit = self._amounts.unit(fields.scalar("unit"))
        if unit is None:
            self._names.broken.add(key.text)
            return None
        self._names.dimensions[key.text] = unit.dimension
        if fields.has("choice"):
            return self._choice(key, fields, unit)
        return self._quantity(key, fields, unit)

    def _quantity(self, key: Scalar, fields: Fields, unit: Unit) -> QuantityInput | None:
        limits = [self._amounts.amount(node, unit) for node in fields.items("range")]
        start = self._amounts.amount(fields.get("start"), unit)
        if len(limits) != 2:  # noqa: PLR2004  lowest and highest
            fields.add("range-needs-two", fields.place("range"))
            return None
        low, high = limits
        if low is None or high is None or start is None:
            return None
        if low.si >= high.si:
            fields.add("range-not-ascending", fields.place("range"))
            return None
        if not within(start.si, low, high):
            fields.add("start-outside-range", start.span, start=start.written, low=low.written, high=high.written)
        return QuantityInput(
            name=key.text,
            label=fields.text("label") or LocalText({"en": key.text}),
            unit=unit,
            also=self._also(fields, unit),
            low=low,
            high=high,
            start=start,
            whole=fields.yes("whole"),
            scale=fields.line("scale"),
            hint=fields.text("hint"),
            span=key.span,
            scale_span=fields.place("scale"),
        )

    def _choice(self, key: Scalar, fields: Fields, unit: Unit) -> ChoiceInput | None:
        for other in ("range", "whole", "also", "scale"):
            if fields.has(other):
                fields.add("choice-takes-no", fields.place(other), key=other)
        options = []
        for name, node in fields.pairs("choice"):
            its = self._sub(node, OPTION_KEYS, f"the choice {name.text}")
            amount = self._amounts.amount(its.get("is"), unit)
            if amount:
                label = its.text("label") or LocalText({"en": name.text})
                options.append(Option(name.text, label, amount, read_basis(its), name.span))
        start = fields.scalar("start")
        names = [option.name for option in options]
        if start and start.text not in names:
            fields.add("unknown-choice", start.span, name=start.text, hint=near_hint(start.text, names))
        if not options or start is None:
            return None
        return ChoiceInput(
            name=key.text,
            label=fields.text("label") or LocalText({"en": key.text}),
            unit=unit,
            options=tuple(options),
            start=start.text,
            hint=fields.text("hint"),
            span=key.span,
        )

    def _also(self, fields: Fields, unit: Unit) -> tuple[Unit, ...]:
        units = []
        for scalar in fields.scalars("also"):
            other = self._amounts.unit(scalar)
            if other and other.dimension != unit.dimension:
                names = self._context.units
                got, wanted = names.described(other.dimension), names.described(unit.dimension)
                fields.add("amount-wrong-dimension", scalar.span, text=other.id, got=got, wanted=wanted)
            elif other:
                units.append(other)
        return tuple(units)

    def _constant(self, key: Scalar, node: Node) -> Constant | None:
        fields = self._sub(node, CONSTANT_KEYS, f"the constant {key.text}")
        if not self._name(key):
            return None
        plain = self._context.units.units[PLAIN_UNIT]
        value = fields.get("is")
        bare = isinstance(value, Scalar) and is_author_number(value.text)
        amount = self._amounts.amount(value, plain if bare else None)
        if amount is None:
            self._names.broken.add(key.text)
            return None
        self._names.dimensions[key.text] = amount.unit.dimension
        return Constant(key.text, fields.text("label"), amount, read_basis(fields), key.span)

    # ---------------------------------------------------------------------------------------------------- formulas

    def _formula(self, fields: Fields, name: str) -> tuple[Scalar, FormulaNode] | None:
        scalar = fields.scalar(name)
        if scalar is None:
            return None
        if not scalar.has_places:
            fields.add("formula-has-no-places", scalar.span)
            self._unread = True
            return None
        try:
            tree = parse(scalar.text, self._context.units.units, scalar.place, self._path)
        except ProblemError as error:
            self._context.problems.extend(error.problems)
            self._unread = True
            return None
        used = names_in(tree)
        self._names.used |= set(used)
        # A name that is broken for another reason must not be told a second time.
        return None if self._names.broken & set(used) else (scalar, tree)

    def _requires(self, inputs: set[str]) -> tuple[list[Requirement], list[core.Condition]]:
        requirements: list[Requirement] = []
        conditions: list[core.Condition] = []
        for node in self._fields.items("requires"):
            fields = self._sub(node, REQUIRES_KEYS, "a requirement")
            formula = self._formula(fields, "that")
            if formula is None:
                continue
            scalar, tree = formula
            try:
                condition = check_condition(tree, self._names.dimensions, self._context.units, self._path)
            except ProblemError as error:
                self._context.problems.extend(error.problems)
                continue
            conditions.append(condition)
            say = fields.text("say") or LocalText({"en": ""})
            requirements.append(Requirement(tree, say, scalar.span, frozenset(set(names_in(tree)) & inputs)))
        return requirements, conditions

    def _steps(self) -> tuple[list[Step], list[tuple[str, core.CoreNode]]]:
        steps: list[Step] = []
        trees: list[tuple[str, core.CoreNode]] = []
        later = {key.text: key.span for part in ("working", "outputs") for key, _ in self._fields.pairs(part)}
        for part in ("working", "outputs"):
            for key, node in self._fields.pairs(part):
                fields = self._sub(node, STEP_KEYS, f"the step {key.text}")
                if not self._name(key):
                    continue
                checked = self._step(key, fields, part == "outputs", later)
                later.pop(key.text, None)
                if checked is None:
                    self._names.broken.add(key.text)
                    continue
                step, tree = checked
                self._names.dimensions[key.text] = step.dimension
                if step.is_output:
                    self._names.used.add(key.text)
                steps.append(step)
                trees.append((key.text, tree))
        return steps, trees

    def _step(
        self, key: Scalar, fields: Fields, is_output: bool, later: dict[str, Span]
    ) -> tuple[Step, core.CoreNode] | None:
        unit = self._amounts.unit(fields.scalar("unit"))
        formula = self._formula(fields, "is")
        if formula is None or unit is None:
            return None
        scalar, tree = formula
        ahead = [name for name in names_in(tree) if name in later and name not in self._names.dimensions]
        if ahead:
            code = "step-of-itself" if ahead[0] == key.text else "step-out-of-order"
            fields.add(code, names_in(tree)[ahead[0]], name=ahead[0])
            return None
        try:
            checked = check(tree, self._names.dimensions, self._context.units, self._path)
        except ProblemError as error:
            self._context.problems.extend(error.problems)
            return None
        if checked.dimension != unit.dimension:
            names = self._context.units
            got, wanted = names.described(checked.dimension), names.described(unit.dimension)
            labels = [Label(scalar.span, got)]
            fields.add("step-wrong-unit", fields.place("unit"), unit=unit.id, wanted=wanted, got=got, labels=labels)
            return None
        step = Step(
            name=key.text,
            label=fields.text("label") or LocalText({"en": key.text}),
            tree=tree,
            dimension=checked.dimension,
            unit=unit,
            also=self._also(fields, unit),
            digits=fields.count("digits", 4),
            places=fields.count("places", 6),
            whole=fields.yes("whole"),
            scale=fields.line("scale"),
            is_output=is_output,
            span=scalar.span,
            scale_span=fields.place("scale"),
        )
        return step, checked.tree

    # ---------------------------------------------------------------------------------------------------- examples

    def _example(self, node: Node, inputs: tuple[Input, ...], steps: list[Step]) -> Example:
        fields = self._sub(node, EXAMPLE_KEYS, "an example")
        basis = read_basis(fields)
        if fields.has("basis") and not basis.may_judge:
            fields.add("basis-cannot-judge", fields.place("basis"), basis=basis.kind)
        if fields.has("within") and not fields.has("because"):
            fields.add("within-needs-because", fields.place("within"))
        return Example(
            given=self._given(fields, inputs),
            gives=self._gives(fields, steps),
            basis=basis,
            within=self._within(fields),
            because=fields.line("because"),
            says=fields.text("says"),
            span=fields.span,
        )

    def _given(self, fields: Fields, inputs: tuple[Input, ...]) -> dict[str, str]:
        known = {its.name: its for its in inputs}
        outputs = {key.text for part in ("working", "outputs") for key, _ in self._fields.pairs(part)}
        given: dict[str, str] = {}
        for key, node in fields.pairs("given"):
            its = known.get(key.text)
            if its is None:
                if key.text in outputs:
                    fields.add("output-as-input", key.span, name=key.text)
                elif key.text not in self._names.spans and key.text not in self._names.broken:
                    fields.add("unknown-input", key.span, name=key.text, hint=near_hint(key.text, known))
                continue
            scalar = fields.as_scalar(node, key.text)
            if scalar is None:
                continue
            if isinstance(its, ChoiceInput):
                names = [option.name for option in its.options]
                if scalar.text not in names:
                    fields.add("unknown-choice", scalar.span, name=scalar.text, hint=near_hint(scalar.text, names))
                    continue
            else:
                amount = self._amounts.amount(scalar, its.unit)
                if amount is None:
                    continue
                if not within(amount.si, its.low, its.high):
                    fields.add(
                        "start-outside-range",
                        scalar.span,
                        start=amount.written,
                        low=its.low.written,
                        high=its.high.written,
                    )
                    continue
            given[key.text] = scalar.text
        return given

    def _gives(self, fields: Fields, steps: list[Step]) -> tuple[Expected, ...]:
        known = {step.name: step for step in steps}
        expected = []
        for key, node in fields.pairs("gives"):
            step = known.get(key.text)
            if step is None:
                self._no_step(fields, key, known)
                continue
            amount = self._amounts.amount(node, step.unit)
            if amount:
                text = f"{amount.text} {amount.unit.id}"
                expected.append(Expected(key.text, text, amount.text, amount.unit, amount.span))
        return tuple(expected)

    def _no_step(self, fields: Fields, key: Scalar, known: dict[str, Step]) -> None:
        if any(name.text == key.text for name, _ in self._fields.pairs("inputs")):
            fields.add("input-as-output", key.span, name=key.text)
        elif key.text not in self._names.spans and key.text not in self._names.broken:
            fields.add("unknown-output", key.span, name=key.text, hint=near_hint(key.text, known))

    def _within(self, fields: Fields) -> Amount | float | None:
        scalar = fields.scalar("within")
        if scalar is None:
            return None
        if scalar.text.endswith("%"):
            number = scalar.text.removesuffix("%").rstrip()
            if is_author_number(number):
                return float(exact(number) / 100)
            fields.add("bad-share", scalar.span)
            return None
        return self._amounts.amount(scalar)


def within(si: float, low: Amount, high: Amount) -> bool:
    """Whether an SI value lies in a range, both compared in their limit's own unit, snapped to 15 digits."""
    return snap(low.unit.from_si(si)) >= snap(float(exact(low.text))) and snap(high.unit.from_si(si)) <= snap(
        float(exact(high.text))
    )
