"""A calculator's formulas as readable JavaScript: two functions over a Map of SI floats.

Fully bracketed; every name has a prefix; what could hide a value that is not finite goes through a helper of
`site_templates/scripts/formulas.js`. Must not decide anything: it prints `core` nodes.
"""

from __future__ import annotations

from collections.abc import Mapping

from hangtag.formula import core
from hangtag.formula.functions import FUNCTIONS
from hangtag.formula.program import Program

_COMPARISONS = {"<": "<", "<=": "<=", ">": ">", ">=": ">=", "=": "===", "!=": "!=="}
_SIMPLE = (core.Const, core.Var)


def number(value: float) -> str:
    """A float as a JavaScript literal: the shortest digits that read back as the same float."""
    text = repr(value).removesuffix(".0")
    return f"({text})" if text.startswith("-") else text


def expression(node: core.CoreNode, constants: Mapping[str, float]) -> str:
    """One expression, fully bracketed; `F` is the helper object."""

    def sub(child: core.CoreNode) -> str:
        return expression(child, constants)

    match node:
        case core.Const():
            return number(node.value)
        case core.Var():
            return number(constants[node.name]) if node.name in constants else f"v_{node.name}"
        case core.Neg():
            return f"(-{sub(node.of)})"
        case core.Arith(operator="/"):
            if isinstance(node.right, core.Const) and node.right.value:
                return f"({sub(node.left)} / {sub(node.right)})"
            return f"F.div({sub(node.left)}, {sub(node.right)})"
        case core.Arith():
            return f"({sub(node.left)} {node.operator} {sub(node.right)})"
        case core.WholePower():
            if isinstance(node.of, _SIMPLE):
                return f"({' * '.join([sub(node.of)] * node.times)})"
            return f"F.times({sub(node.of)}, {node.times})"
        case core.Power():
            return f"F.call(Math.pow, {sub(node.base)}, {sub(node.exponent)})"
        case core.Snap():
            return f"F.snap({sub(node.of)})"
        case core.Choose():
            return f"({condition(node.condition, constants)} ? {sub(node.then)} : {sub(node.otherwise)})"
        case core.Apply():
            row = FUNCTIONS[node.function]
            arguments = ", ".join(map(sub, node.arguments))
            return f"F.call({row.javascript}, {arguments})" if row.javascript else f"F.{row.name}({arguments})"
        case core.Column():
            return f"r[{node.index}]"
        case core.RowSum():
            where = f", (r) => {condition(node.where, constants)}" if node.where else ""
            return f"F.sum(v_{node.rows}, (r) => {sub(node.of)}{where})"
        case core.TableLookup():
            xs, ys = (f"[{', '.join(map(number, values))}]" for values in (node.xs, node.ys))
            return f'F.lookup({sub(node.of)}, {xs}, {ys}, "{node.rule}")'
        case core.Root():
            sides = f"[{sub(node.left)}, {sub(node.right)}]"
            return f"F.root((v_{node.unknown}) => {sides}, {number(node.low)}, {number(node.high)})"


def condition(node: core.AnyCondition, constants: Mapping[str, float]) -> str:
    """A comparison; both sides must be finite to be compared."""
    if isinstance(node, core.Both):
        mark = "&&" if node.operator == "and" else "||"
        return f"({condition(node.left, constants)} {mark} {condition(node.right, constants)})"

    def side(child: core.CoreNode) -> str:
        text = expression(child, constants)
        return text if isinstance(child, core.Const | core.Snap) else f"F.finite({text})"

    return f"({side(node.left)} {_COMPARISONS[node.operator]} {side(node.right)})"


def functions(program: Program) -> str:
    """The members `requires` and `run`, functions of (v, F): a Map of SI floats, and hangtag.formulas."""
    inputs, constants = program.inputs, program.constants
    lines = ["requires: function (v, F) {"]
    if program.requires:
        lines += [f'    const v_{name} = v.get("{name}");' for name in inputs]
    for index, its in enumerate(program.requires):
        lines.append(f"    if (!{condition(its, constants)}) return {index};")
    lines += ["    return -1;", "  },", "  run: function (v, F) {"]
    lines += [f'    const v_{name} = v.get("{name}");' for name in inputs]
    lines.append("    const out = new Map();")
    for name, tree in program.steps:
        lines.append(f'    const v_{name} = F.step("{name}", out, () => {expression(tree, constants)});')
    lines += ["    return out;", "  }"]
    return "\n".join(lines)
