"""What the tests of formulas share: a small list of units, a formula made ready, and V8 with the browser's helpers.

Must not calculate: expected values stand in the tests.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from py_mini_racer import MiniRacer

from hangtag.formula import by_hand, core, to_javascript, witness
from hangtag.formula.check import check
from hangtag.formula.nodes import Node
from hangtag.formula.parser import parse
from hangtag.formula.program import Program
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
    """One formula made ready: its tree, its one-step program and the dimensions of its names."""

    text: str
    node: Node
    dimension: Dimension
    program: Program
    names: Mapping[str, Dimension]


def formula(text: str, names: Mapping[str, str]) -> Formula:
    """Parse, check and lower a text; `names` gives each name a unit that tells its dimension. Raises ProblemError."""
    dimensions = {name: dimension_of(unit) for name, unit in names.items()}
    node = parse(text, units().units)
    checked = check(node, dimensions, units())
    return Formula(
        text, node, checked.dimension, Program(inputs=tuple(names), steps=(("answer", checked.tree),)), dimensions
    )


# ------------------------------------------------------------------------------------------------------------ outcomes


@dataclass(frozen=True)
class Outcome:
    """What a run gave: every step's float, or why there is none and in which step."""

    steps: Mapping[str, float]
    code: str | None = None
    step: str | None = None


def in_python(program: Program, values: Mapping[str, float]) -> Outcome:
    """The compiled Python function, which walks by hand where it meets no finite number."""
    try:
        return Outcome(program.run(values))
    except by_hand.NoAnswer as stop:
        return Outcome({}, stop.code, stop.step)


def by_walking(program: Program, values: Mapping[str, float]) -> Outcome:
    """The same steps, node by node."""
    try:
        return Outcome(by_hand.run_steps(values, program.constants, program.steps))
    except by_hand.NoAnswer as stop:
        return Outcome({}, stop.code, stop.step)


class V8:
    """V8 with the scripts that the browser loads before any formula."""

    def __init__(self) -> None:
        self._context = MiniRacer()
        self._context.eval("var window = globalThis; var programs = [];")
        for name in ("numbers.js", "formulas.js"):
            self._context.eval((SCRIPTS / name).read_text(encoding="utf-8"))
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

    def run(self, number: int, values: Mapping[str, float]) -> Outcome:
        """Run a loaded program."""
        given = json.dumps([[name, _literal(value)] for name, value in values.items()])
        found = json.loads(str(self._context.eval(f"harness({number}, {given})")))
        if "code" in found:
            return Outcome({}, found["code"], found["step"])
        return Outcome({name: float(text) for name, text in found["steps"]})

    def first_failed(self, number: int, values: Mapping[str, float]) -> int:
        """The index of the first requirement that fails, or -1."""
        given = json.dumps([[name, _literal(value)] for name, value in values.items()])
        return int(str(self._context.eval(f"failed({number}, {given})")))


# Floats cross as text: JSON has no minus zero.
_HARNESS = """
function given(pairs) { return new Map(pairs.map(([name, text]) => [name, Number(text)])); }
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


def _literal(value: float) -> str:
    return repr(value)


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


def agree(left: Outcome, right: Outcome, ulps: Mapping[str, int]) -> None:
    """Raise Disagreement where two outcomes differ by more than each step's budget (none: not a bit)."""
    if (left.code, left.step) != (right.code, right.step) or left.steps.keys() != right.steps.keys():
        raise Disagreement(f"{left} but {right}")
    for name, value in left.steps.items():
        other = right.steps[name]
        budget = ulps.get(name, 0)
        if same_bits(value, other) if budget == 0 else ulps_between(value, other) <= budget:
            continue
        raise Disagreement(f"{name}: {value!r} but {other!r}; {budget} ulps allowed")


def by_witness(
    steps: Iterable[tuple[str, Node, Dimension]],
    values: Mapping[str, float],
    dimensions: Mapping[str, Dimension],
    known_units: UnitList,
) -> Outcome:
    """The author's own trees through pint, each step's dimension looked at as well."""
    known = {name: witness.quantity(value, dimensions[name]) for name, value in values.items()}
    found: dict[str, float] = {}
    for name, node, dimension in steps:
        quantity = witness.evaluate(node, known, known_units)
        if not witness.has_dimension(quantity, dimension):
            raise Disagreement(f"{name} has another dimension in the witness")
        known[name] = quantity
        found[name] = float(quantity.magnitude)
    return Outcome(found)


def prove(made: Formula, values: Mapping[str, float], ulps: Mapping[str, int] | None = None) -> Outcome:
    """All runs of one formula agree; gives what they found. The witness is asked only where there is an answer."""
    program = made.program
    budget = program.ulps if ulps is None else ulps
    found = in_python(program, values)
    agree(found, by_walking(program, values), {})
    agree(found, v8().run(v8().load(program), values), budget)
    if found.code is None:
        seen = by_witness([("answer", made.node, made.dimension)], values, made.names, units())
        agree(found, seen, {})
    return found


def kinds_in(node: core.CoreNode | core.Condition) -> set[str]:
    """The kinds of node a lowered tree holds, operators and functions told apart."""
    match node:
        case core.Const() | core.Var():
            return {type(node).__name__}
        case core.Neg() | core.Snap() | core.WholePower():
            return {type(node).__name__} | kinds_in(node.of)
        case core.Arith():
            return {f"Arith {node.operator}"} | kinds_in(node.left) | kinds_in(node.right)
        case core.Power():
            return {"Power"} | kinds_in(node.base) | kinds_in(node.exponent)
        case core.Condition():
            return {f"Condition {node.operator}"} | kinds_in(node.left) | kinds_in(node.right)
        case core.Choose():
            return {"Choose"} | kinds_in(node.condition) | kinds_in(node.then) | kinds_in(node.otherwise)
        case core.Apply():
            return {f"Apply {node.function}"}.union(*map(kinds_in, node.arguments))
