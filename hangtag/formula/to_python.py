"""A calculator's formulas as one compiled Python function of SI floats.

The `ast` is built from our own checked nodes, never from text, and compiled once: the one allowed compile-and-exec.
The compiled function is the fast road; where it meets no finite number, `by_hand.py` walks the tree and says where.
Must not see an author's text.
"""

from __future__ import annotations

import ast
import math
from collections.abc import Callable, Mapping, Sequence

from hangtag.formula import by_hand, core
from hangtag.formula.functions import FUNCTIONS
from hangtag.formula.numeric import lookup, root
from hangtag.numbers import snap

Steps = Sequence[tuple[str, core.CoreNode]]
Run = Callable[[by_hand.Values], dict[str, float]]


class _NotFinite(ArithmeticError):
    pass


def compile_steps(inputs: Sequence[str], constants: Mapping[str, float], steps: Steps) -> Run:
    """A function from SI floats by input name to the SI float of every step.

    It raises `by_hand.NoAnswer` where a step divides by zero, leaves a function's domain or grows too large.
    """

    def walk(values: by_hand.Values) -> dict[str, float]:
        return by_hand.run_steps(values, constants, steps)

    writer = _Writer(constants)
    body: list[ast.stmt] = [
        ast.Assign([_store(_local(name))], ast.Subscript(_load("values"), ast.Constant(name), ast.Load()))
        for name in inputs
    ]
    body += [ast.Assign([_store(_local(name))], writer.expression(tree)) for name, tree in steps]
    # A kept local of a branch that does not run must exist all the same.
    body[:0] = [ast.Assign([_store(name)], ast.Constant(0.0)) for name in writer.uncertain]
    locals_ = [*(_local(name) for name, _ in steps), *writer.kept]
    looked = ast.Compare(_sum_of_differences(locals_), [ast.NotEq()], [ast.Constant(0.0)])
    body.append(ast.If(looked, [ast.Raise(_load("NotFinite"), None)], []))
    names = [name for name, _ in steps]
    results: list[ast.expr] = [_load(_local(name)) for name in names]
    body.append(ast.Return(ast.Dict([ast.Constant(name) for name in names], results)))
    failed = ast.Return(ast.Call(_load("walk"), [_load("values")], []))
    caught = ast.Tuple([_load("ArithmeticError"), _load("ValueError")], ast.Load())
    whole = ast.Try(body, [ast.ExceptHandler(caught, None, [failed])], [], [])
    arguments = ast.arguments([], [ast.arg("values")], None, [], [], None, [])
    function = ast.FunctionDef("formulas", arguments, [whole], [], None, None)
    setattr(function, "type_params", [])  # noqa: B010  a field since 3.12, unknown to 3.11
    module = ast.fix_missing_locations(ast.Module([function], []))
    known: dict[str, object] = {"NotFinite": _NotFinite, "walk": walk, **_HELPERS, **_MATH}
    exec(compile(module, "<formulas>", "exec"), known)
    run: Run = known["formulas"]  # type: ignore[assignment]
    return run


def _finite(value: float) -> float:
    if math.isfinite(value):
        return value
    raise _NotFinite


def _row_sum(
    rows: by_hand.Rows, of: Callable[[Sequence[float]], float], where: Callable[[Sequence[float]], bool] | None
) -> float:
    total = 0.0
    for row in rows:
        if where is None or where(row):
            total += of(row)
    return total


def _times(value: float, times: int) -> float:
    product = value
    for _ in range(times - 1):
        product *= value
    return product


_HELPERS: dict[str, object] = {
    "snap": snap,
    "finite": _finite,
    "row_sum": _row_sum,
    "times": _times,
    "lookup": lookup,
    "root": root,
    "smallest": FUNCTIONS["min"].run,
    "largest": FUNCTIONS["max"].run,
}
_MATH = {f"math_{row.python}": getattr(math, row.python) for row in FUNCTIONS.values() if row.python} | {
    "math_pow": math.pow
}
_OPERATORS = {"+": ast.Add, "-": ast.Sub, "*": ast.Mult, "/": ast.Div}
_COMPARISONS = {"<": ast.Lt, "<=": ast.LtE, ">": ast.Gt, ">=": ast.GtE, "=": ast.Eq, "!=": ast.NotEq}


def _local(name: str) -> str:
    return f"v_{name}"  # an input may be called `lambda`


def _load(name: str) -> ast.Name:
    return ast.Name(name, ast.Load())


def _store(name: str) -> ast.Name:
    return ast.Name(name, ast.Store())


class _Writer:
    """Writes expressions; what could hide a value that is not finite is kept in a local and looked at in the end."""

    def __init__(self, constants: Mapping[str, float]) -> None:
        self._constants = constants
        self._branches = 0
        self._inside = 0  # lambdas: their locals are gone when the step is looked at, so they look for themselves
        self.kept: list[str] = []
        self.uncertain: list[str] = []  # those of the kept that stand in a branch, which may not run

    def expression(self, tree: core.CoreNode) -> ast.expr:
        """The expression of one step."""
        return self._expression(tree)

    def _expression(self, node: core.CoreNode) -> ast.expr:
        match node:
            case core.Const():
                return ast.Constant(node.value)
            case core.Var():
                return (
                    ast.Constant(self._constants[node.name])
                    if node.name in self._constants
                    else _load(_local(node.name))
                )
            case core.Neg():
                return ast.UnaryOp(ast.USub(), self._expression(node.of))
            case core.Arith():
                right = self._kept_expression(node.right) if node.operator == "/" else self._expression(node.right)
                return ast.BinOp(self._expression(node.left), _OPERATORS[node.operator](), right)
            case core.WholePower():
                return self._whole_power(node)
            case core.Power():
                arguments = [self._kept_expression(node.base), self._kept_expression(node.exponent)]
                return ast.Call(_load("math_pow"), arguments, [])
            case core.Snap():
                return ast.Call(_load("snap"), [self._kept_expression(node.of)], [])
            case core.Choose():
                condition = self._condition(node.condition)
                self._branches += 1
                then, otherwise = self._expression(node.then), self._expression(node.otherwise)
                self._branches -= 1
                return ast.IfExp(condition, then, otherwise)
            case core.Apply():
                return self._apply(node)
            case core.Column():
                return ast.Subscript(_load("row"), ast.Constant(node.index), ast.Load())
            case core.RowSum():
                where: ast.expr = ast.Constant(None)
                if node.where is not None:
                    where = self._lambda("row", lambda: self._condition(node.where))
                each = self._lambda("row", lambda: self._expression(node.of))
                return ast.Call(_load("row_sum"), [_load(_local(node.rows)), each, where], [])
            case core.TableLookup():
                x = self._kept_expression(node.of)
                return ast.Call(_load("lookup"), [x, _numbers(node.xs), _numbers(node.ys), ast.Constant(node.rule)], [])
            case core.Root():
                sides = self._lambda(_local(node.unknown), lambda: self._sides(node))
                return ast.Call(_load("root"), [sides, ast.Constant(node.low), ast.Constant(node.high)], [])

    def _lambda(self, argument: str, body: Callable[[], ast.expr]) -> ast.Lambda:
        self._inside += 1
        expression = body()
        self._inside -= 1
        return ast.Lambda(ast.arguments([], [ast.arg(argument)], None, [], [], None, []), expression)

    def _sides(self, node: core.Root) -> ast.expr:
        return ast.Tuple([self._kept_expression(node.left), self._kept_expression(node.right)], ast.Load())

    def _condition(self, node: core.AnyCondition | None) -> ast.expr:
        if node is None:
            return ast.Constant(value=True)
        if isinstance(node, core.Both):
            left_side = self._condition(node.left)
            self._branches += 1  # the right side may not run
            right_side = self._condition(node.right)
            self._branches -= 1
            return ast.BoolOp(ast.And() if node.operator == "and" else ast.Or(), [left_side, right_side])
        left, right = self._kept_expression(node.left), self._kept_expression(node.right)
        return ast.Compare(left, [_COMPARISONS[node.operator]()], [right])

    def _whole_power(self, node: core.WholePower) -> ast.expr:
        if self._inside:
            return ast.Call(_load("times"), [self._expression(node.of), ast.Constant(node.times)], [])
        first = self._once(node.of)
        product = first
        again = ast.Name(first.target.id, ast.Load()) if isinstance(first, ast.NamedExpr) else first
        for _ in range(node.times - 1):
            product = ast.BinOp(product, ast.Mult(), again)
        return product

    def _apply(self, node: core.Apply) -> ast.expr:
        row = FUNCTIONS[node.function]
        if row.python is not None:
            arguments = [self._kept_expression(argument) for argument in node.arguments]
            return ast.Call(_load(f"math_{row.python}"), arguments, [])
        if self._inside:
            name = "smallest" if node.function == "min" else "largest"
            return ast.Call(_load(name), [self._kept_expression(argument) for argument in node.arguments], [])
        return self._extreme(node)

    def _extreme(self, node: core.Apply) -> ast.expr:
        # min(a, b) is `b if b < a else a`, folded from the left, after all arguments have run in order
        order = ast.Lt() if node.function == "min" else ast.Gt()
        kept = [self._kept_name(argument) for argument in node.arguments]
        stored = ast.Tuple([store for _, store in kept], ast.Load())
        best: ast.expr = _load(kept[0][0])
        for name, _ in kept[1:]:
            best_name = self._new()
            compare = ast.Compare(_load(name), [order], [ast.NamedExpr(ast.Name(best_name, ast.Store()), best)])
            best = ast.IfExp(compare, _load(name), _load(best_name))
        return ast.Subscript(ast.Tuple([stored, best], ast.Load()), ast.Constant(1), ast.Load())

    def _once(self, node: core.CoreNode) -> ast.expr:
        if isinstance(node, core.Const | core.Var | core.Column):
            return self._expression(node)
        if self._inside:
            return ast.Call(_load("finite"), [self._expression(node)], [])
        return self._kept_name(node)[1]

    def _kept_expression(self, node: core.CoreNode) -> ast.expr:
        """An expression whose value is looked at after the step, wherever it may vanish in a larger one."""
        return self._once(node)

    def _kept_name(self, node: core.CoreNode) -> tuple[str, ast.NamedExpr]:
        value = self._expression(node)
        name = self._new()
        return name, ast.NamedExpr(ast.Name(name, ast.Store()), value)

    def _new(self) -> str:
        name = f"k_{len(self.kept)}"
        self.kept.append(name)
        if self._branches:
            self.uncertain.append(name)
        return name


def _numbers(values: Sequence[float]) -> ast.Tuple:
    return ast.Tuple([ast.Constant(value) for value in values], ast.Load())


def _sum_of_differences(names: Sequence[str]) -> ast.expr:
    # each name minus itself is 0.0 for every finite float and nan for all others, and nan spoils the sum
    total: ast.expr | None = None
    for name in names:
        difference = ast.BinOp(_load(name), ast.Sub(), _load(name))
        total = difference if total is None else ast.BinOp(total, ast.Add(), difference)
    return total or ast.Constant(0.0)
