"""Forces of pushing and pulling that people find acceptable: the published equations, as fitted to psychophysics.

Potvin, Ciriello, Snook, Maynard, Brogmus: The LM-MMH equations, Ergonomics, 2021. Coefficients from public
transcriptions; the ranges of the inputs from memory. MAL = reference load x factors of hand height V, distance DH
and frequency F; a share p of the sex accepts MAL (1 - z CV). One digit (male sustained push, height) is disputed:
0.6887 makes the factor 1 at its reference height, as all others are; some transcriptions print 0.6687.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import log
from statistics import NormalDist
from types import MappingProxyType
from typing import Final, Literal

from floorwright.basis.people.tables import rows

Action = Literal["push", "pull"]
Phase = Literal["initial", "sustained"]
Sex = Literal["female", "male"]
Factor = Literal["V", "DH", "F"]
SOURCE: Final = "potvin_2021"
KGF: Final = 9.80665
FORMS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "a + x/b - x^2/c": "{a} + {x} / {b} - {x}**2 / {c}",
        "a - x/b + x^2/c": "{a} - {x} / {b} + {x}**2 / {c}",
        "a - ln(x)/b": "{a} - log({x}) / {b}",
        "a - ln(x)/b - ln(x)^2/c": "{a} - log({x}) / {b} - log({x})**2 / {c}",
    }
)
"""Form as the table names it -> as a formula of a working."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """One factor of an equation: its form, coefficients and the range it was fitted over."""

    form: str
    a: float
    b: float
    c: float
    least: float
    most: float

    def at(self, x: float) -> float:
        """The factor; x is not moved into the range here."""
        match self.form:
            case "a + x/b - x^2/c":
                return self.a + x / self.b - x**2 / self.c
            case "a - x/b + x^2/c":
                return self.a - x / self.b + x**2 / self.c
            case "a - ln(x)/b":
                return self.a - log(x) / self.b
        return self.a - log(x) / self.b - log(x) ** 2 / self.c

    def formula(self, symbol: str) -> str:
        """As a formula of a working."""
        return FORMS[self.form].format(a=self.a, b=self.b, c=self.c, x=symbol)

    def inside(self, x: float) -> float:
        """The input moved to the nearest edge of the range."""
        return min(max(x, self.least), self.most)


@dataclass(frozen=True, slots=True, kw_only=True)
class Equation:
    """The equation of an action, phase and sex.

    Attributes:
        reference_kgf: load at which every factor is 1.
        cv: coefficient of variation among people.
        curves: factors by the names of the paper.
    """

    reference_kgf: float
    cv: float
    curves: Mapping[Factor, Curve]


@dataclass(frozen=True, slots=True, kw_only=True)
class Acceptable:
    """What people accept, half of them `mean_n`.

    Attributes:
        used: inputs as used, moved to the edge of the fitted range where they were outside.
        factors: what each input does.
        moved: names of inputs that were moved.
        harder: those moved from where the true force may be lower; the answer then errs on the unsafe side.
    """

    equation: Equation
    used: Mapping[Factor, float]
    factors: Mapping[Factor, float]
    moved: tuple[Factor, ...]
    harder: tuple[Factor, ...]

    @property
    def mean_n(self) -> float:
        """Force that half of the sex accepts."""
        product = 1.0
        for factor in self.factors.values():
            product *= factor
        return self.equation.reference_kgf * KGF * product

    def force_n(self, share: float) -> float:
        """Force that a share of the sex accepts, MAL (1 - z CV); never below 0."""
        return max(0.0, self.mean_n * (1 - NormalDist().inv_cdf(share) * self.equation.cv))

    def share(self, force_n: float) -> float:
        """Share of the sex that accepts a force."""
        return NormalDist(self.mean_n, self.mean_n * self.equation.cv).cdf(2 * self.mean_n - force_n)


@cache
def equation(action: Action, phase: Phase, sex: Sex) -> Equation:
    """The published equation."""
    task = f"{action}_{phase}"
    ranges = {
        row["variable"]: (float(row["min"] if "/" not in row["min"] else Fraction(row["min"])), float(row["max"]))
        for row in rows("push_pull_ranges")
        if row["task"] == action and row["sex"] == sex
    }
    found = [row for row in rows("push_pull_equations") if row["task"] == task and row["sex"] == sex]
    curves: dict[Factor, Curve] = {}
    names: tuple[Factor, ...] = ("V", "DH", "F")
    for name in names:
        row = next(row for row in found if row["factor"] == name)
        least, most = ranges[name]
        curves[name] = Curve(
            form=row["form"],
            a=float(row["a"]),
            b=float(row["b"]),
            c=float(row["c"] or "nan"),
            least=least,
            most=most,
        )
    return Equation(
        reference_kgf=float(found[0]["RL_kg"]), cv=float(found[0]["CV"]), curves=MappingProxyType(curves)
    )


def acceptable(
    action: Action, phase: Phase, sex: Sex, *, hand_m: float, distance_m: float, per_min: float
) -> Acceptable:
    """What a sex accepts for a push or pull.

    Inputs outside the fitted range are moved to its nearest edge. A shorter way or a rarer push than fitted is
    thereby rated too low, which is safe; a longer way, a more frequent push, or hands too high or low may be rated
    too high, and are named in `harder`.
    """
    found = equation(action, phase, sex)
    given: dict[Factor, float] = {"V": hand_m, "DH": distance_m, "F": per_min}
    used: dict[Factor, float] = {name: found.curves[name].inside(x) for name, x in given.items()}
    moved = tuple(name for name in given if used[name] != given[name])
    return Acceptable(
        equation=found,
        used=MappingProxyType(used),
        factors=MappingProxyType({name: found.curves[name].at(x) for name, x in used.items()}),
        moved=moved,
        harder=tuple(name for name in moved if name == "V" or given[name] > used[name]),
    )
