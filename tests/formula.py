"""Evaluates the formula text of a working with its numbers, to hold text and number together."""

from __future__ import annotations

import ast
import math
import operator
import statistics
from typing import Any

from scipy import stats

from floorwright.basis.working import Working

_OPERATORS: dict[type, Any] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
    ast.USub: operator.neg,
}


def _z(p: float) -> float:
    return float(stats.norm.ppf(p))


def _t(p: float, df: float) -> float:
    return float(stats.t.ppf(p, df))


FUNCTIONS: dict[str, Any] = {
    "sqrt": math.sqrt,
    "log": math.log,
    "exp": math.exp,
    "abs": abs,
    "min": min,
    "max": max,
    "ceil": math.ceil,
    "floor": math.floor,
    "sum": math.fsum,
    "mean": statistics.fmean,
    "sd": statistics.stdev,
    "count": len,
    "z": _z,
    "t": _t,
}


def evaluate(formula: str, names: dict[str, Any]) -> Any:
    """The value of a formula text; only the documented functions and operators are known."""

    def value(node: ast.expr) -> Any:
        match node:
            case ast.Constant(value=int() | float() as number):
                return number
            case ast.Name(id=name):
                assert name in names, f"'{name}' in '{formula}' was not given before"
                return names[name]
            case ast.BinOp(left=left, op=op, right=right):
                return _OPERATORS[type(op)](value(left), value(right))
            case ast.UnaryOp(op=op, operand=operand):
                return _OPERATORS[type(op)](value(operand))
            case ast.Call(func=ast.Name(id=name), args=args):
                return FUNCTIONS[name](*[value(arg) for arg in args])
            case ast.Tuple(elts=parts) | ast.List(elts=parts):
                return tuple(value(part) for part in parts)
        raise AssertionError(f"'{formula}' holds something that is no formula: {ast.dump(node)}")

    return value(ast.parse(formula, mode="eval").body)


def check_working(working: Working, *, rel: float = 1e-9) -> int:
    """Assert that every formula of a working gives its number; return how many were checked."""
    names: dict[str, Any] = {given.symbol: given.value for given in working.given}
    checked = 0
    for step in working.steps:
        if step.formula:
            found = evaluate(step.formula, names)
            assert found == step.value or math.isclose(found, step.value, rel_tol=rel, abs_tol=1e-12), (
                f"{working.title}: {step.symbol} = {step.formula} gives {found}, the step says {step.value}"
            )
            checked += 1
        else:
            assert step.note, f"{working.title}: {step.symbol} has neither formula nor note"
        names[step.symbol] = step.value
    return checked
