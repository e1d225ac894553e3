"""What the tests of formulas share: a small list of units, a formula made ready, and V8 with the browser's helpers.

Must not calculate: expected values stand in the tests.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from py_mini_racer import MiniRacer

from hangtag.examples import tolerance
from hangtag.formula import by_hand, core, to_javascript, witness
from hangtag.formula.by_hand import Values
from hangtag.formula.check import Checked, check, check_solve
from hangtag.formula.nodes import Compare, Node, Solve
from hangtag.formula.parser import parse
from hangtag.formula.program import Program, parts_of
from hangtag.formula.scope import CHOSEN, ColumnOf, Scope, TableOf
from hangtag.problems import Problems
from hangtag.units import PLAIN, Dimension, UnitList, read_units
from hangtag.yaml_source import Mapping as MappingNode
from hangtag.yaml_source import read_text

SCRIPTS = Path(__file__).parents[2] / "site_templates" / "scripts"

_UNITS = """
m: {is: meter, says: metres}
cm: {is: centimeter, says: centimetres}
mm: {is: millimeter, says: millimetres}
km: {is: kilometer, says: kilometres}
in: {is: inch, says: inches}
ft: {is: foot, says: feet}
m^2: {is: meter**2, says: square metres}
m^3: {is: meter**3, says: cubic metres}
kg: {is: kilogram, says: kilograms}
g: {is: gram, says: grams}
oz: {is: ounce, says: ounces}
s: {is: second, says: seconds}
min: {is: minute, says: minutes}
h: {is: hour, says: hours}
N: {is: newton, says: newtons}
Pa: {is: pascal, says: pascals}
W: {is: watt, says: watts}
J: {is: joule, says: joules}
degC: {is: degC, kind: temperature, says: degrees Celsius}
K: {is: kelvin, says: kelvins}
delta_degC: {is: delta_degC, says: Celsius degrees}
deg: {is: degree, says: degrees}
g/cm^3: {is: gram/centimeter**3, says: grams per cubic centimetre}
m^2*K/W: {is: meter**2*kelvin/watt, says: square metre kelvins per watt}
dimensions: {length: m, area: m^2, volume: m^3, mass: kg, time: s, force: N, pressure: Pa, power: W, energy: J}
"""


@cache
def units() -> UnitList:
    """The units of the tests' formulas."""
    problems = Problems()
    node = read_text(_UNITS, "units of the tests", problems)
    assert isinstance(node, MappingNode)
    found = read_units(node, "units of the tests", problems)
    problems.raise_if_any()
    return found


def dimension_of(unit: str) -> Dimension:
    """The dimension of a unit's id; of `plain`, none."""
    return PLAIN if unit == "plain" else units().units[unit].dimension


@dataclass(frozen=True)
class Formula:
    """One formula made ready: its tree, its one-step program and what its names stand for."""

    text: str
    node: Node
    dimension: Dimension
    program: Program
    scope: Scope


Names = Mapping[str, Any]  # as tests/compliance/formula/README.md says


def formula(text: str, names: Names, solve: Mapping[str, Any] | None = None) -> Formula:
    """Parse, check and lower a text; `names` says what each name stands for. Raises ProblemError.

    With `solve` (unknown, unit, low, high in SI) the text is an equation.
    """
    scope, inputs = scope_of(names)
    node: Node = parse(text, units().units)
    if solve is None:
        checked: Checked = check(node, scope, units())
    else:
        assert isinstance(node, Compare)
        node = Solve(solve["unknown"], node, float(solve["low"]), float(solve["high"]), node.span)
        checked = check_solve(node, dimension_of(solve["unit"]), scope, units())
    return Formula(text, node, checked.dimension, Program(inputs=inputs, steps=(("answer", checked.tree),)), scope)


def scope_of(names: Names) -> tuple[Scope, tuple[str, ...]]:
    """What names stand for, and which of them a run is given."""
    made = _Made()
    for name, what in names.items():
        if isinstance(what, str):
            made.dimensions[name] = dimension_of(what)
            made.inputs.append(name)
        elif "choice" in what:
            made.words[name] = tuple(what["choice"])
            made.inputs.append(name + CHOSEN)
        elif "rows" in what:
            made.inputs.append(name)
            for index, (column, kind) in enumerate(what["rows"].items()):
                made.columns[column] = _column(name, index, kind)
        else:
            made.tables[name] = _table(what, made.words)
    scope = Scope(made.dimensions, made.words, made.columns, made.tables)
    return scope, tuple(made.inputs)


@dataclass
class _Made:
    dimensions: dict[str, Dimension] = field(default_factory=dict)
    words: dict[str, tuple[str, ...]] = field(default_factory=dict)
    columns: dict[str, ColumnOf] = field(default_factory=dict)
    tables: dict[str, TableOf] = field(default_factory=dict)
    inputs: list[str] = field(default_factory=list)


def _column(rows: str, index: int, kind: str | list[str]) -> ColumnOf:
    if kind == "text":
        return ColumnOf(rows, index, None, None)
    if kind == "tick":
        return ColumnOf(rows, index, None, ("no", "yes"))
    if isinstance(kind, list):
        return ColumnOf(rows, index, None, tuple(kind))
    return ColumnOf(rows, index, dimension_of(kind), None)


def _table(what: Mapping[str, Any], words: Mapping[str, tuple[str, ...]]) -> TableOf:
    unit = units().units[what["unit"]]
    ys = tuple(unit.to_si(float(y)) for _, y in what["table"])
    if "by" in what:
        known = words[what["by"]]
        xs = tuple(float(known.index(x)) for x, _ in what["table"])
        return TableOf("exact", known, None, xs, ys, unit.dimension)
    xs = tuple(float(x) for x, _ in what["table"])
    return TableOf(what["rule"], None, units().units[what["x_unit"]], xs, ys, unit.dimension)


def values_of(names: Names, inputs: Mapping[str, Any]) -> dict[str, Any]:
    """What a run is given for the inputs of a case: words of choices become the numbers of their options."""
    values: dict[str, Any] = {}
    for name, value in inputs.items():
        what = names[name]
        if isinstance(what, str):
            values[name] = float(value)
        elif "choice" in what:
            values[name + CHOSEN] = float(what["choice"].index(value))
        else:
            kinds = list(what["rows"].values())
            values[name] = [[_cell(kind, cell) for kind, cell in zip(kinds, row, strict=True)] for row in value]
    return values


def _cell(kind: str | list[str], cell: Any) -> float:  # noqa: ANN401  a word or a number
    if kind == "text":
        return 0.0
    if kind == "tick":
        return float(("no", "yes").index(cell))
    return float(kind.index(cell)) if isinstance(kind, list) else float(cell)


# ------------------------------------------------------------------------------------------------------------ outcomes


@dataclass(frozen=True)
class Outcome:
    """What a run gave: every step's float, or why there is none and in which step."""

    steps: Mapping[str, float]
    code: str | None = None
    step: str | None = None


def in_python(program: Program, values: Values) -> Outcome:
    """The compiled Python function, which walks by hand where it meets no finite number."""
    try:
        return Outcome(program.run(values))
    except by_hand.NoAnswer as stop:
        return Outcome({}, stop.code, stop.step)


def by_walking(program: Program, values: Values) -> Outcome:
    """The same steps, node by node."""
    try:
        return Outcome(by_hand.run_steps(values, program.constants, program.steps))
    except by_hand.NoAnswer as stop:
        return Outcome({}, stop.code, stop.step)


def helpers_script() -> str:
    """The helpers that generated formulas call."""
    return "\n".join((SCRIPTS / name).read_text(encoding="utf-8") for name in ("formulas.js", "lookups.js"))


class V8:
    """V8 with the scripts that the browser loads before any formula."""

    def __init__(self, helpers: str | None = None) -> None:
        self._context = MiniRacer()
        self._context.eval("var window = globalThis; var programs = [];")
        self._context.eval((SCRIPTS / "numbers.js").read_text(encoding="utf-8"))
        self._context.eval(helpers or helpers_script())
        self._context.eval(_HARNESS)
        self._count = 0

    def load(self, program: Program) -> int:
        """Hand a program's generated text to V8; gives its number."""
        text = to_javascript.functions(program)
        return self.load_text(text)

    def load_text(self, text: str) -> int:
        """Hand over the text of `requires` and `run`."""
        self._context.eval(f"programs.push({{{text}}}); 0")
        self._count += 1
        return self._count - 1

    def run(self, number: int, values: Values) -> Outcome:
        """Run a loaded program."""
        given = json.dumps([[name, _literal(value)] for name, value in values.items()])
        found = json.loads(str(self._context.eval(f"harness({number}, {given})")))
        if "code" in found:
            return Outcome({}, found["code"], found["step"])
        return Outcome({name: float(text) for name, text in found["steps"]})

    def first_failed(self, number: int, values: Values) -> int:
        """The index of the first requirement that fails, or -1."""
        given = json.dumps([[name, _literal(value)] for name, value in values.items()])
        return int(str(self._context.eval(f"failed({number}, {given})")))


# Floats cross as text: JSON has no minus zero.
_HARNESS = """
function read(given) { return Array.isArray(given) ? given.map(read) : Number(given); }
function given(pairs) { return new Map(pairs.map(([name, text]) => [name, read(text)])); }
function written(x) { return Object.is(x, -0) ? "-0" : String(x); }
function harness(number, pairs) {
  try {
    const out = programs[number].run(given(pairs), hangtag.formulas);
    return JSON.stringify({steps: [...out].map(([name, x]) => [name, written(x)])});
  } catch (error) {
    if (!(error instanceof hangtag.formulas.NoAnswer)) throw error;
    return JSON.stringify({code: error.code, step: error.step});
  }
}
function failed(number, pairs) { return String(programs[number].requires(given(pairs), hangtag.formulas)); }
"""


def _literal(value: Any) -> Any:  # noqa: ANN401  a float, or rows of floats
    return repr(value) if isinstance(value, float) else [_literal(part) for part in value]


@cache
def v8() -> V8:
    """One V8 for the whole run of the tests."""
    return V8()


# ----------------------------------------------------------------------------------------------------------- agreement


class Disagreement(AssertionError):
    """Two runs of one formula that differ."""


def ulps_between(left: float, right: float) -> float:
    """How many floats apart two values are, measured in ulps of the larger."""
    if left == right:
        return 0.0
    return abs(left - right) / math.ulp(max(abs(left), abs(right)))


def same_bits(left: float, right: float) -> bool:
    """Equal to the last bit, the sign of zero included."""
    return left == right and math.copysign(1.0, left) == math.copysign(1.0, right)


def agree(left: Outcome, right: Outcome, ulps: Mapping[str, int], solving: Program | None = None) -> None:
    """Raise Disagreement where two outcomes differ by more than each step's budget (none: not a bit).

    Steps of `solving` that solve an equation, or use one that does, may differ by two brackets instead.
    """
    if (left.code, left.step) != (right.code, right.step) or left.steps.keys() != right.steps.keys():
        raise Disagreement(f"{left} but {right}")
    for name, value in left.steps.items():
        other = right.steps[name]
        budget = ulps.get(name, 0)
        if solving and name in solving.solved and abs(value - other) <= tolerance(solving, name, value):
            continue
        if same_bits(value, other) if budget == 0 else ulps_between(value, other) <= budget:
            continue
        raise Disagreement(f"{name}: {value!r} but {other!r}; {budget} ulps allowed")


def agree_within(left: Outcome, right: Outcome, bounds: Mapping[str, float]) -> None:
    """The same with an absolute bound for each step; a bound of 0 asks for the same bits."""
    if (left.code, left.step) != (right.code, right.step) or left.steps.keys() != right.steps.keys():
        raise Disagreement(f"{left} but {right}")
    for name, value in left.steps.items():
        other, bound = right.steps[name], bounds.get(name, 0.0)
        if not (same_bits(value, other) if bound == 0 else abs(value - other) <= bound):
            raise Disagreement(f"{name}: {value!r} but {other!r}; {bound!r} allowed")


def by_witness(
    steps: Iterable[tuple[str, Node, Dimension]], known: Mapping[str, Any], known_units: UnitList, scope: Scope
) -> Outcome:
    """The author's own trees through pint, each step's dimension looked at as well."""
    known = dict(known)
    found: dict[str, float] = {}
    for name, node, dimension in steps:
        quantity = witness.evaluate(node, known, known_units, scope, dimension)
        if not witness.has_dimension(quantity, dimension):
            raise Disagreement(f"{name} has another dimension in the witness")
        known[name] = quantity
        found[name] = float(quantity.magnitude)
    return Outcome(found)


def prove(made: Formula, values: Values, ulps: Mapping[str, int] | None = None, engine: V8 | None = None) -> Outcome:
    """All runs of one formula agree; gives what they found. The witness is asked only where there is an answer."""
    program = made.program
    engine = engine or v8()
    budget = program.ulps if ulps is None else ulps
    found = in_python(program, values)
    agree(found, by_walking(program, values), {})
    agree(found, engine.run(engine.load(program), values), budget, program)
    if found.code is None:
        known = {
            name: witness.quantity(value, made.scope.dimensions[name])
            if isinstance(value, float) and name in made.scope.dimensions
            else value
            for name, value in values.items()
        }
        seen = by_witness([("answer", made.node, made.dimension)], known, units(), made.scope)
        agree(found, seen, {}, program)
    return found


def kinds_in(node: core.CoreNode | core.AnyCondition) -> set[str]:
    """The kinds of node a lowered tree holds, operators, functions and rules told apart."""
    return {kind_of(node)}.union(*map(kinds_in, parts_of(node)))


def kind_of(node: core.CoreNode | core.AnyCondition) -> str:
    """The kind of one node."""
    detail = next((getattr(node, name) for name in ("operator", "function", "rule") if hasattr(node, name)), None)
    return f"{type(node).__name__} {detail}" if detail else type(node).__name__
