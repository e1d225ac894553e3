"""A file of calculators/ becomes a Calculator: fields, formulas parsed and checked, examples read.

The tables of keys stand here: the JSON Schema is made from them. Must not run a formula.
"""

from __future__ import annotations

from hangtag.amounts import Amount, AmountReader, within
from hangtag.calculator_fields import CONSTANT_KEYS, INPUT_KEYS, TABLE_KEYS, FieldReader, Names
from hangtag.calculators import (
    Calculator,
    ChoiceColumn,
    ChoiceInput,
    Column,
    Constant,
    Curve,
    Example,
    Expected,
    Input,
    Picture,
    QuantityColumn,
    QuantityInput,
    Requirement,
    RowsInput,
    Step,
)
from hangtag.entry_reader import KEPT_KEYS, Context, places_of, read_history
from hangtag.formula import core
from hangtag.formula.check import Checked, check, check_condition, check_solve, names_in
from hangtag.formula.domain import Domain, ListColumn
from hangtag.formula.nodes import Compare, Solve
from hangtag.formula.nodes import Node as FormulaNode
from hangtag.formula.parser import parse
from hangtag.formula.program import Program, names_of, ulps_of
from hangtag.formula.scope import CHOSEN
from hangtag.numbers import exact, is_author_number
from hangtag.problems import Label, ProblemError, Span, near_hint
from hangtag.shape import AMOUNT, LINE, TEXT, YES_NO, Fields, Key, Keys, many, named, schema_of
from hangtag.sources import BASIS_KEYS, CLAIM_KEYS, read_basis, read_claims
from hangtag.strings import LocalText
from hangtag.units import Unit
from hangtag.yaml_source import Mapping, Node, Scalar, Sequence

COUNT = {"type": "integer", "minimum": 0, "maximum": 15}
STEP_KEYS: Keys = {
    "is": Key("The formula.", LINE),
    "solve": Key("Instead of is: the name of the unknown that makes an equation hold.", LINE),
    "where": Key("The equation: left = right.", LINE),
    "between": Key("The bounds between which the unknown lies.", many(AMOUNT)),
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
GIVEN = {"anyOf": [AMOUNT, many(named(AMOUNT))]}
ENDS_KEYS: Keys = {"low": Key("The lower end.", AMOUNT), "high": Key("The upper end.", AMOUNT)}
EXPECTED = {"anyOf": [AMOUNT, schema_of(ENDS_KEYS)]}
CURVE_KEYS: Keys = {
    "across": Key("The field along the bottom.", LINE, required=True),
    "of": Key("The answer that is drawn.", LINE, required=True),
    "from": Key("The left end, where it is not the field's lowest value.", AMOUNT),
    "to": Key("The right end, where it is not the field's highest value.", AMOUNT),
}
PICTURES = ("ladder", "steps")
PICTURE_KEYS: Keys = {
    "kind": Key(
        "ladder: each answer stands on the one before; steps: one answer over whole numbers of a field.",
        {"enum": list(PICTURES)},
        required=True,
    ),
    "of": Key("The answers that are drawn, in order.", many(LINE), required=True),
    "across": Key("Of steps: the field that is counted up.", LINE),
}
EXAMPLE_KEYS: Keys = {
    "given": Key("Inputs and their values; of a list, its rows.", named(GIVEN), required=True),
    "gives": Key("What must come out; of an uncertain answer also its ends.", named(EXPECTED), required=True),
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
    "tables": Key("Tables that formulas look up.", named(schema_of(TABLE_KEYS))),
    "requires": Key("Conditions between inputs.", many(schema_of(REQUIRES_KEYS))),
    "working": Key("Steps that are shown but are no answer.", named(schema_of(STEP_KEYS))),
    "outputs": Key("The answers.", named(schema_of(STEP_KEYS)), required=True),
    "examples": Key("Worked examples; they are tests.", many(schema_of(EXAMPLE_KEYS)), required=True),
    "curve": Key("The picture of one answer across one field.", schema_of(CURVE_KEYS)),
    "picture": Key("Another picture of the answers.", schema_of(PICTURE_KEYS)),
    "one_way": Key("Why it is not worked backwards, where that would be unsafe.", TEXT),
    "holds_for": Key("When the answer holds, in a sentence.", TEXT),
    "caution": Key("Where somebody could be hurt, in Markdown.", TEXT),
    "sources": Key("What the formulas stand on.", many(schema_of(CLAIM_KEYS))),
    **KEPT_KEYS,
}


def read_calculator(node: Node, calculator_id: str, path: str, context: Context) -> Calculator:
    """The calculator of one file. Where formulas have Problems, `program` holds only the steps that are sound."""
    return _Reader(node, calculator_id, path, context).read()


class _Reader:
    def __init__(self, node: Node, calculator_id: str, path: str, context: Context) -> None:
        self._fields = Fields(node, CALCULATOR_KEYS, path, context.problems, "a calculator", context.languages)
        self._id = calculator_id
        self._path = path
        self._context = context
        self._amounts = AmountReader(context.units, path, context.problems)
        self._read = FieldReader(path, context)
        self._unread = False

    @property
    def _names(self) -> Names:
        return self._read.names

    def read(self) -> Calculator:
        fields = self._fields
        reader = self._read
        inputs = tuple(its for its in (reader.input(key, node) for key, node in fields.pairs("inputs")) if its)
        constants = tuple(its for its in (reader.constant(key, node) for key, node in fields.pairs("constants")) if its)
        tables = tuple(its for its in (reader.table(key, node) for key, node in fields.pairs("tables")) if its)
        requires, conditions = self._requires({its.name for its in inputs})
        steps, trees = self._steps()
        self._unused()
        examples = tuple(self._example(node, inputs, steps) for node in fields.items("examples"))
        program = _program(inputs, constants, conditions, trees)
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
            tables=tables,
            curve=self._curve(inputs, steps),
            picture=self._picture(inputs, steps),
            one_way=fields.text("one_way"),
            history=read_history(fields),
            was=fields.lines("was"),
            scope=self._names.scope,
            path=self._path,
            span=fields.span,
            places=places_of(fields),
        )

    def _unused(self) -> None:
        if self._unread:
            return  # what a formula that could not be read uses is not known
        names = self._names
        formal = {name for name, column in names.columns.items() if column.dimension or column.words}
        for name in (set(names.dimensions) | set(names.words) | set(names.tables) | formal) - names.used - names.broken:
            self._fields.add("unused-name", self._names.spans[name], name=name)

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

    def _requires(self, inputs: set[str]) -> tuple[list[Requirement], list[core.AnyCondition]]:
        requirements: list[Requirement] = []
        conditions: list[core.AnyCondition] = []
        for node in self._fields.items("requires"):
            fields = self._read.sub(node, REQUIRES_KEYS, "a requirement")
            formula = self._formula(fields, "that")
            if formula is None:
                continue
            scalar, tree = formula
            try:
                condition = check_condition(tree, self._names.scope, self._context.units, self._path)
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
                fields = self._read.sub(node, STEP_KEYS, f"the step {key.text}")
                if not self._read.take(key):
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
        if fields.has("solve") == fields.has("is"):
            fields.add("step-is-or-solve", key.span, name=key.text)
            self._unread = True
            return None
        formula = self._equation(fields, unit) if fields.has("solve") else self._formula(fields, "is")
        if formula is None or unit is None:
            return None
        scalar, tree = formula
        ahead = [name for name in names_in(tree) if name in later and name not in self._names.dimensions]
        if ahead:
            code = "step-of-itself" if ahead[0] == key.text else "step-out-of-order"
            fields.add(code, names_in(tree)[ahead[0]], name=ahead[0])
            return None
        try:
            checked = self._check(tree, unit)
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
            also=self._read.also(fields, unit),
            digits=fields.count("digits", 4),
            places=fields.count("places", 6),
            whole=fields.yes("whole"),
            scale=fields.line("scale"),
            is_output=is_output,
            span=scalar.span,
            scale_span=fields.place("scale"),
        )
        if isinstance(tree, Solve) or self._is_inexact(checked.tree):
            self._names.inexact.add(key.text)
        return step, checked.tree

    def _is_inexact(self, tree: core.CoreNode) -> bool:
        known = dict.fromkeys(self._names.inexact, 1)
        return ulps_of(tree, known) > 0

    def _check(self, tree: FormulaNode, unit: Unit) -> Checked:
        if isinstance(tree, Solve):
            return check_solve(tree, unit.dimension, self._names.scope, self._context.units, self._path)
        return check(tree, self._names.scope, self._context.units, self._path)

    def _equation(self, fields: Fields, unit: Unit | None) -> tuple[Scalar, FormulaNode] | None:
        formula = self._formula(fields, "where")
        unknown = fields.scalar("solve")
        ends = [self._amounts.amount(node, unit) for node in fields.items("between")]
        if not fields.has("where"):
            fields.add("missing-key", fields.place("solve"), key="where", what="a step that solves")
            self._unread = True
        if len(ends) != 2:  # noqa: PLR2004  the two bounds
            fields.add("between-needs-two", fields.place("between"))
            return None
        low, high = ends
        if formula is None or unknown is None or low is None or high is None:
            return None
        if low.si >= high.si:
            fields.add("range-not-ascending", fields.place("between"))
            return None
        scalar, where = formula
        if unknown.text in self._names.spans:
            labels = [Label(self._names.spans[unknown.text], "first here")]
            fields.add("name-twice", unknown.span, name=unknown.text, labels=labels)
            return None
        if not isinstance(where, Compare):
            fields.add("formula-solve-wants-equation", scalar.span)
            return None
        return scalar, Solve(unknown.text, where, low.si, high.si, scalar.span)

    # ---------------------------------------------------------------------------------------------------- examples

    def _example(self, node: Node, inputs: tuple[Input, ...], steps: list[Step]) -> Example:
        fields = self._read.sub(node, EXAMPLE_KEYS, "an example")
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

    def _given(self, fields: Fields, inputs: tuple[Input, ...]) -> dict[str, str | tuple[dict[str, str], ...]]:
        known = {its.name: its for its in inputs}
        outputs = {key.text for part in ("working", "outputs") for key, _ in self._fields.pairs(part)}
        given: dict[str, str | tuple[dict[str, str], ...]] = {}
        for key, node in fields.pairs("given"):
            its = known.get(key.text)
            if its is None:
                if key.text in outputs:
                    fields.add("output-as-input", key.span, name=key.text)
                elif key.text not in self._names.spans and key.text not in self._names.broken:
                    fields.add("unknown-input", key.span, name=key.text, hint=near_hint(key.text, known))
                continue
            if isinstance(its, RowsInput):
                if not isinstance(node, Sequence):
                    fields.add("not-a-list", node.span, key=key.text)
                    continue
                given[key.text] = tuple(self._read.row(row, its.columns) for row in node.items)
                continue
            scalar = fields.as_scalar(node, key.text)
            if scalar and self._is_given(fields, its, scalar):
                given[key.text] = scalar.text
        return given

    def _is_given(self, fields: Fields, its: QuantityInput | ChoiceInput, scalar: Scalar) -> bool:
        if isinstance(its, ChoiceInput):
            if scalar.text not in its.words:
                fields.add("unknown-choice", scalar.span, name=scalar.text, hint=near_hint(scalar.text, its.words))
            return scalar.text in its.words
        ends = range_ends(scalar.text) if its.between else (scalar.text,)
        for text in ends:
            amount = self._amounts.amount(Scalar(text, scalar.span), its.unit)
            if amount is None:
                return False
            if not within(amount.si, its.low, its.high):
                values = {"start": amount.written, "low": its.low.written, "high": its.high.written}
                fields.add("start-outside-range", scalar.span, **values)
                return False
        return True

    def _gives(self, fields: Fields, steps: list[Step]) -> tuple[Expected, ...]:
        known = {step.name: step for step in steps}
        expected: list[Expected] = []
        for key, node in fields.pairs("gives"):
            step = known.get(key.text)
            if step is None:
                self._no_step(fields, key, known)
                continue
            parts: list[tuple[str | None, Node]] = [(None, node)]
            if isinstance(node, Mapping):
                self._read.sub(node, ENDS_KEYS, "an uncertain answer")
                parts = [(name.text, value) for name, value in node.items if name.text in ENDS_KEYS]
            for end, value in parts:
                amount = self._amounts.amount(value, step.unit)
                if amount:
                    text = f"{amount.text} {amount.unit.id}"
                    expected.append(Expected(key.text, text, amount.text, amount.unit, amount.span, end))
        return tuple(expected)

    # ---------------------------------------------------------------------------------------------------- pictures

    def _curve(self, inputs: tuple[Input, ...], steps: list[Step]) -> Curve | None:
        node = self._fields.get("curve")
        if node is None:
            return None
        fields = self._read.sub(node, CURVE_KEYS, "a curve")
        across, of = fields.scalar("across"), fields.scalar("of")
        its = next((one for one in inputs if across and one.name == across.text), None)
        outputs = [step.name for step in steps if step.is_output]
        if across and not isinstance(its, QuantityInput):
            names = [one.name for one in inputs if isinstance(one, QuantityInput)]
            code = "curve-needs-quantity" if its else "curve-unknown"
            fields.add(code, across.span, name=across.text, hint=near_hint(across.text, names))
            return None
        if of and of.text not in outputs:
            fields.add("curve-unknown", of.span, name=of.text, hint=near_hint(of.text, outputs))
            return None
        if across is None or of is None or not isinstance(its, QuantityInput):
            return None
        low = self._amounts.amount(fields.get("from"), its.unit) or its.low
        high = self._amounts.amount(fields.get("to"), its.unit) or its.high
        if low.si >= high.si:
            fields.add("range-not-ascending", fields.place("to"))
            return None
        return Curve(across.text, of.text, low, high, fields.span)

    def _picture(self, inputs: tuple[Input, ...], steps: list[Step]) -> Picture | None:
        node = self._fields.get("picture")
        if node is None:
            return None
        fields = self._read.sub(node, PICTURE_KEYS, "a picture")
        kind, across = fields.scalar("kind"), fields.scalar("across")
        if kind and kind.text not in PICTURES:
            fields.add("unknown-picture", kind.span, kind=kind.text, hint=near_hint(kind.text, PICTURES))
            return None
        names = [step.name for step in steps]
        for scalar in fields.scalars("of"):
            if scalar.text not in names:
                fields.add("unknown-output", scalar.span, name=scalar.text, hint=near_hint(scalar.text, names))
        if across and across.text not in [its.name for its in inputs]:
            fields.add("unknown-input", across.span, name=across.text)
        return Picture(kind.text if kind else "", fields.lines("of"), across.text if across else None, fields.span)

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


def range_ends(text: str) -> tuple[str, str]:
    """The two ends of an author's `0.04 to 0.08 W/(m*K)`, each with the unit; one amount is both ends."""
    low, separator, high = text.partition(" to ")
    if not separator:
        return text, text
    unit = high.partition(" ")[2]
    return (low if " " in low or not unit else f"{low} {unit}"), high


def _program(
    inputs: tuple[Input, ...],
    constants: tuple[Constant, ...],
    conditions: list[core.AnyCondition],
    trees: list[tuple[str, core.CoreNode]],
) -> Program:
    used = frozenset().union(*(names_of(tree) for tree in (*conditions, *(tree for _, tree in trees))))
    names: list[str] = []
    for its in inputs:
        if not isinstance(its, ChoiceInput) or its.unit is not None:
            names.append(its.name)
        if isinstance(its, ChoiceInput) and its.name + CHOSEN in used:
            names.append(its.name + CHOSEN)
    uncertain = {its.name: (its.between[0].si, its.between[1].si) for its in constants if its.between}
    return Program(
        inputs=(*names, *uncertain),
        domain=_domain(inputs, uncertain),
        constants={its.name: its.amount.si for its in constants if not its.between},
        requires=tuple(conditions),
        steps=tuple(trees),
    )


def _domain(inputs: tuple[Input, ...], uncertain: dict[str, tuple[float, float]]) -> Domain:
    quantities = [its for its in inputs if isinstance(its, QuantityInput)]
    return Domain(
        quantities={its.name: (its.low.si, its.high.si) for its in quantities},
        whole=frozenset(its.name for its in quantities if its.whole),
        choices={
            its.name: tuple(option_values(its, index) for index in range(len(its.options)))
            for its in inputs
            if isinstance(its, ChoiceInput)
        },
        lists={
            its.name: tuple(_list_column(column) for column in its.columns)
            for its in inputs
            if isinstance(its, RowsInput)
        },
        uncertain=uncertain,
        ranges=frozenset(its.name for its in quantities if its.between),
    )


def _list_column(column: Column) -> ListColumn:
    if isinstance(column, QuantityColumn):
        return ListColumn(column.low.si, column.high.si, column.whole)
    return ListColumn(0.0, float(len(column.words) - 1) if isinstance(column, ChoiceColumn) else 0.0, whole=True)


def option_values(its: ChoiceInput, index: int) -> dict[str, float]:
    """What a run is given for the option at `index` of a choice: its value, if it has one, and which one it is."""
    amount = its.options[index].amount
    chosen = {its.name + CHOSEN: float(index)}
    return chosen if amount is None else {its.name: amount.si, **chosen}
