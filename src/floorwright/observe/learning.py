"""Learning curves: what unit n takes, and all units up to it."""

from __future__ import annotations

from dataclasses import dataclass
from math import expm1, fsum, log, log1p
from typing import Annotated, Literal

from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import InputError
from floorwright.basis.fields import Input, Measure, Plain, PositiveTime
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import FRACTION, TIME, Quantity
from floorwright.basis.working import Given, Step, Working

Model = Literal["unit", "cumulative"]
_ONE_BY_ONE = 1000  # units summed singly; from there on the Euler-Maclaurin formula, exact to float precision


class LearningInput(Input):
    """Input of `learning`."""

    first_unit: PositiveTime = Field(description="time of the first unit")
    rate: Annotated[float, Measure(FRACTION, above=0, at_most=1)] = Field(
        description="what is left when the number doubles, such as '80 %'; above 50 % for the cumulative model"
    )
    unit: Annotated[int, Plain(at_least=1, at_most=1e12, whole=True)] = Field(
        description="number of the unit (plain)"
    )
    model: Model = Field(
        description="unit (Crawford): the time of unit n falls by the rate when n doubles; cumulative (Wright): "
        "the average of the first n does, and unit n takes total(n) − total(n − 1)"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """Times in the unit of the first one."""

    exponent: float
    unit_time: float
    cumulative_average: float
    total: float


def sum_of_powers(exponent: float, n: int) -> float:
    """1**b + 2**b + ... + n**b for -60 < b <= 0.

    The first 1,000 terms singly, the rest by the Euler-Maclaurin formula with terms up to the fifth derivative; the
    next one is below 1e-16 of the sum.
    """
    b = exponent
    singly = min(n, _ONE_BY_ONE)
    head = fsum(k**b for k in range(1, singly + 1))
    if n == singly:
        return head
    a, c = float(singly), float(n)
    area = log(c / a) if b == -1 else (c ** (b + 1) - a ** (b + 1)) / (b + 1)
    if abs(b + 1) < 1e-3:
        # (c**h - a**h)/h loses digits for small h = b + 1; expm1 does not.
        h = b + 1
        area = a**h * (expm1(h * log(c / a)) / h if h else log(c / a))

    def slope(x: float, order: int) -> float:
        product = 1.0
        for j in range(order):
            product *= b - j
        return product * float(x ** (b - order))

    return fsum(
        (
            head,
            area,
            (c**b - a**b) / 2,
            (slope(c, 1) - slope(a, 1)) / 12,
            -(slope(c, 3) - slope(a, 3)) / 720,
            (slope(c, 5) - slope(a, 5)) / 30240,
        )
    )


def learned(first_unit: float, rate: float, unit: int, model: Model) -> Learned:
    """Time of a unit, average and total up to it, with b = log(rate) / log(2)."""
    b = log(rate) / log(2)
    if model == "unit":
        unit_time = first_unit * unit**b
        total = first_unit * sum_of_powers(b, unit)
    else:
        total = first_unit * unit ** (1 + b)
        # total(n) - total(n - 1) without the cancellation of two large numbers.
        unit_time = first_unit if unit == 1 else -total * expm1((1 + b) * log1p(-1 / unit))
    return Learned(exponent=b, unit_time=unit_time, cumulative_average=total / unit, total=total)


def run(given: LearningInput) -> Outcome:
    """The curve at one unit."""
    if given.model == "cumulative" and given.rate <= 0.5:
        raise InputError.of(
            "rate",
            given.rate,
            f"is {given.rate:g}; in the cumulative model it should be above 0.5, "
            "or the second unit would take no time",
        )
    found = learned(given.first_unit, given.rate, given.unit, given.model)
    return Outcome(
        results={
            "unit_time": Quantity(found.unit_time, TIME),
            "cumulative_average": Quantity(found.cumulative_average, TIME),
            "total": Quantity(found.total, TIME),
        },
        working=_working(given, found),
        warnings=(
            "The two models give different times for the same rate; use the one the rate was measured with.",
        ),
        sources=("crawford" if given.model == "unit" else "wright_1936",),
    )


def _working(given: LearningInput, found: Learned) -> Working:
    source = "crawford" if given.model == "unit" else "wright_1936"
    steps = [Step("b", "log(r) / log(2)", found.exponent, "", "exponent of the curve", source)]
    if given.model == "unit":
        steps += [
            Step("T_n", "T1 * n ** b", found.unit_time, "s", f"time of unit {given.unit}", source),
            Step(
                "total",
                "",
                found.total,
                "s",
                f"all units up to {given.unit}",
                source,
                "T1 × (1 + 2**b + 3**b + ... + n**b), added up unit by unit (beyond 1,000 units by the "
                "Euler-Maclaurin formula)",
            ),
            Step("average", "total / n", found.cumulative_average, "s", "average of all units so far", source),
        ]
    else:
        steps += [
            Step("average", "T1 * n ** b", found.cumulative_average, "s", "average of all units so far", source),
            Step("total", "average * n", found.total, "s", f"all units up to {given.unit}", source),
            Step(
                "T_n",
                "total * (1 - exp((1 + b) * log(1 - 1 / n)))" if given.unit > 1 else "T1",
                found.unit_time,
                "s",
                f"time of unit {given.unit}: total up to it less the total before it",
                source,
            ),
        ]
    return Working(
        title="Learning curve",
        given=(
            Given("T1", given.first_unit, "s", "time of the first unit"),
            Given("r", given.rate, "", "learning rate"),
            Given("n", given.unit, "", "number of the unit"),
        ),
        assumptions=(
            "unit model (Crawford)" if given.model == "unit" else "cumulative-average model (Wright)",
            "same people, same method, no long break",
        ),
        steps=tuple(steps),
    )


CALCULATION = Calculation(
    name="learning",
    title="Learning curve",
    question="How long will unit n take, and all units up to it?",
    input=LearningInput,
    run=run,
    example={"first_unit": "6 h", "rate": "85 %", "unit": 20, "model": "unit"},
)
