"""A formula of the working as typeset mathematics: `sqrt(2 * g * h) / d**2` with its root, fraction and power.

The formulas of the working are expressions that Python can read (`floorwright.basis.working`); they are read as
such and written in the notation of the typesetter. Every name and number leaves here in quotes or as a single
letter, so that nothing in a formula can act as markup.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

_GREEK: Final = (
    "alpha", "beta", "gamma", "delta", "epsilon", "zeta", "eta", "theta", "kappa", "lambda", "mu", "nu", "xi",
    "pi", "rho", "sigma", "tau", "phi", "chi", "psi", "omega", "Gamma", "Delta", "Sigma", "Phi", "Omega",
)  # fmt: skip
_GREEK_NAME: Final = re.compile(rf"({'|'.join(_GREEK)})(\d*)")
# A letter and what stands low beside it: L0, Fyc, sn, Ma1. Longer words (rows, lift) and capitals (RWL) stay whole.
_LETTER_AND_LOW: Final = re.compile(r"([A-Z])([a-z0-9]{1,2})|([a-z])([a-z]?\d*)")
_EXPONENT: Final = re.compile(r"(-?[\d.,]+)e([+-]?)0*(\d+)")
_ENCLOSING: Final = {"sqrt": "sqrt", "abs": "abs", "ceil": "ceil", "floor": "floor"}
_NAMED: Final = {"log": "ln"}
_SUM, _SIGN, _PRODUCT, _POWER, _ATOM = range(5)


class FormulaError(ValueError):
    """A formula that is no expression of the working."""


@dataclass(frozen=True, slots=True)
class _Set:
    """A part of a formula as it is set, and how tightly it holds together."""

    text: str
    holds: int

    def within(self, least: int) -> str:
        """The part, in brackets where its surroundings hold more tightly."""
        return self.text if self.holds >= least else f"({self.text})"


def typeset_formula(formula: str, numbers: Mapping[str, str] | None = None) -> str:
    """A formula in the notation of the typesetter.

    Args:
        formula: as the working has it, `m * v**2 / (2 * d)`.
        numbers: texts that stand in place of names, `{"m": "1,250", "v": "1.2"}`; names without one stay.

    Raises:
        FormulaError: when it is no expression, or has something that a working does not have.
    """
    try:
        read = ast.parse(formula.strip(), mode="eval").body
    except SyntaxError:
        raise FormulaError(f"'{formula}' cannot be read as a formula") from None
    return _Setter(formula.strip(), numbers or {}).set(read).text


def typeset_symbol(name: str) -> str:
    """A symbol in the notation of the typesetter: `tau_a` as τ with a low a, `Fyc` as F with a low yc."""
    base, _, low = name.partition("_")
    letter, own = _letter(base)
    lows = [part for part in (own, *low.split("_")) if part]
    return f"{letter}_({_quoted(','.join(lows))})" if lows else letter


def _letter(base: str) -> tuple[str, str]:
    if found := _GREEK_NAME.fullmatch(base):
        return found[1], found[2]
    if len(base) == 1 and base.isascii() and base.isalpha():
        return base, ""
    if found := _LETTER_AND_LOW.fullmatch(base):
        return found[1] or found[3], found[2] or found[4]
    return _quoted(base), ""


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def _number(text: str) -> _Set:
    """A number as `show_value` writes it: with a true minus sign, a power of ten as such."""
    if found := _EXPONENT.fullmatch(text):
        power = f"{found[2]}{found[3]}".lstrip("+").replace("-", "−")
        head = _quoted(found[1].replace("-", "−"))
        return _Set(f'{head} times "10"^({_quoted(power)})', _SIGN if text.startswith("-") else _PRODUCT)
    if text.startswith("-"):
        return _Set(_quoted(f"−{text[1:]}"), _SIGN)
    return _Set(_quoted(text), _ATOM)


class _Setter:
    """Sets one formula."""

    def __init__(self, formula: str, numbers: Mapping[str, str]) -> None:
        self.formula, self.numbers = formula, numbers
        self.dot = "times" if numbers else "dot.op"

    def set(self, node: ast.expr) -> _Set:
        match node:
            case ast.Name(id=name):
                return _number(self.numbers[name]) if name in self.numbers else _Set(typeset_symbol(name), _ATOM)
            case ast.Constant(value=int() | float()):
                return _number(ast.get_source_segment(self.formula, node) or "")
            case ast.UnaryOp(op=ast.USub(), operand=operand):
                return _Set(f"−{self.set(operand).within(_PRODUCT)}", _SIGN)
            case ast.UnaryOp(op=ast.UAdd(), operand=operand):
                return self.set(operand)
            case ast.BinOp(op=ast.Add() | ast.Sub()):
                return self._sum(node)
            case ast.BinOp(op=ast.Mult() | ast.Div()):
                return self._product(node)
            case ast.BinOp(left=left, op=ast.Pow(), right=right):
                # A symbol with something low takes a power as it stands; a root or another power does not.
                base = self.set(left)
                simple = base.holds == _ATOM and not isinstance(left, ast.Call)
                return _Set(f"{base.text if simple else f'({base.text})'}^({self.set(right).text})", _POWER)
            case ast.Call(func=ast.Name(id=name), args=args, keywords=[]):
                return self._call(name, [self.set(arg).text for arg in args])
        raise FormulaError(f"'{self.formula}' has something that is no part of a working's formula")

    def _sum(self, node: ast.BinOp) -> _Set:
        minus = isinstance(node.op, ast.Sub)
        left, right = self.set(node.left), self.set(node.right)
        # What is taken off, or begins with a sign, needs brackets; a sum that is added does not.
        least = _PRODUCT if minus or right.holds == _SIGN else _SUM
        return _Set(f"{left.text} {'-' if minus else '+'} {right.within(least)}", _SUM)

    def _product(self, node: ast.expr) -> _Set:
        above, below = self._factors(node)
        if not below:
            return _Set(self._joined(above), _PRODUCT)
        return _Set(f"frac({self._side(above)}, {self._side(below)})", _PRODUCT)

    def _factors(self, node: ast.expr) -> tuple[list[ast.expr], list[ast.expr]]:
        """The factors above and below the line: `h / 2 * s / d` has h and s above, 2 and d below."""
        match node:
            case ast.BinOp(left=left, op=ast.Mult(), right=right):
                (above, below), (more, under) = self._factors(left), self._factors(right)
                return above + more, below + under
            case ast.BinOp(left=left, op=ast.Div(), right=right):
                above, below = self._factors(left)
                more, under = self._factors(right)
                return above, below + ([right] if under else more)
        return [node], []

    def _side(self, factors: list[ast.expr]) -> str:
        # A line of a fraction holds a sum together by itself.
        return self.set(factors[0]).text if len(factors) == 1 else self._joined(factors)

    def _joined(self, factors: list[ast.expr]) -> str:
        first, *others = (self.set(each) for each in factors)
        return f" {self.dot} ".join([first.within(_SIGN), *(each.within(_PRODUCT) for each in others)])

    def _call(self, name: str, args: list[str]) -> _Set:
        if name in _ENCLOSING and len(args) == 1:
            return _Set(f"{_ENCLOSING[name]}({args[0]})", _ATOM)
        if name == "exp" and len(args) == 1:
            return _Set(f'"e"^({args[0]})', _POWER)
        return _Set(f"op({_quoted(_NAMED.get(name, name))}) ({', '.join(args)})", _ATOM)
