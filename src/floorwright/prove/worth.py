"""What a series of yearly flows is worth: present value, rates of return, payback, annual worth."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Annotated, Final

from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.fields import Input, Measure, Plain, high_rate
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import FRACTION
from floorwright.basis.working import Given, Step, Working
from floorwright.prove.rates_of_return import rates_of_return

LARGEST_FLOW: Final = 1e15
_DUST: Final = 1e-12  # a running total this small beside its flows is rounding, not money
Flow = Annotated[float, Plain(at_least=-LARGEST_FLOW, at_most=LARGEST_FLOW)]


class WorthInput(Input):
    """Input of `worth`."""

    cash_flows: list[Flow] = Field(
        min_length=2,
        max_length=241,
        description="money at the start, then at the end of each year; spending is negative",
    )
    rate: Annotated[float, Measure(FRACTION, at_least=-0.9, at_most=10)] = Field(
        description="interest a year, 0.08 or '8 %'"
    )


def present_values(flows: Sequence[float], rate: float) -> tuple[float, ...]:
    """Each flow divided by (1 + rate)^t, the first one at t = 0."""
    return tuple(flow / (1 + rate) ** t for t, flow in enumerate(flows))


@dataclass(frozen=True, slots=True, kw_only=True)
class Payback:
    """When the money is back.

    Attributes:
        years: straight-line within the year; 0 where the running total never falls below 0.
        whole: full years before the total is back at 0.
        short: what is still missing after them.
        brought: what the year that follows brings in.
        falls_again: whether the total falls below 0 once more later.
    """

    years: float
    whole: int = 0
    short: float = 0.0
    brought: float = 0.0
    falls_again: bool = False


def payback(flows: Sequence[float]) -> Payback | None:
    """When the running total, once below 0, first comes back to it; None where it never does."""
    found: Payback | None = None
    dust = _DUST * max(abs(flow) for flow in flows)
    total, was_below = 0.0, False
    for year, flow in enumerate(flows):
        before, total = total, total + flow
        if total < -dust and found is not None:
            return replace(found, falls_again=True)
        if total < -dust:
            was_below = True
        elif was_below and found is None:
            found = Payback(years=year - 1 - before / flow, whole=year - 1, short=-before, brought=flow)
    return found if was_below else Payback(years=0.0)


def compound_years(found: Payback, rate: float) -> float:
    """A discounted payback with compound interest within the year too, not a straight line.

    For a level saving A after an outlay P it is -ln(1 - P i/A)/ln(1 + i): paid evenly through the year, a flow has
    brought in the share (1 - (1 + i)^-f)/(1 - (1 + i)^-1) of its value after the part f of the year.
    """
    if not found.years or not rate:
        return found.years
    share = found.short / found.brought
    return found.whole - math.log1p(-share * rate / (1 + rate)) / math.log1p(rate)


def run(given: WorthInput) -> Outcome:
    """NPV, every internal rate of return, payback plain and discounted, annual worth."""
    flows, rate = given.cash_flows, given.rate
    years = len(flows) - 1
    values = present_values(flows, rate)
    npv = math.fsum(values)
    factors = present_values([1.0] * (years + 1), rate)[1:]
    annual = npv / math.fsum(factors)
    rates = rates_of_return(flows)
    plain, discounted = payback(flows), payback(values)
    steps = [
        Step("pv", "", values, "money", "present value of each flow", "engineering_economy", "flow / (1 + i)**t"),
        Step("npv", "sum(pv)", npv, "money", "net present value, first flow at time 0", "gitman"),
        Step(
            "f",
            "",
            factors,
            "",
            "discount factors of the years",
            "engineering_economy",
            "1 / (1 + i)**t, t = 1 ... n",
        ),
        Step(
            "AW", "npv / sum(f)", annual, "money a year", f"annual worth over {years} years", "engineering_economy"
        ),
        *_rate_steps(rates),
        *_payback_steps("n", plain, "payback"),
        *_payback_steps("n_d", discounted, "discounted payback by a straight line within the year"),
    ]
    compound = None if discounted is None else compound_years(discounted, rate)
    if compound and rate:
        formula = "n_d_whole - log(1 - n_d_short / n_d_brought * i / (1 + i)) / log(1 + i)"
        meaning = "discounted payback, with compound interest within the year too"
        steps.append(Step("n_c", formula, compound, "years", meaning, "engineering_economy"))
    return Outcome(
        results={
            "npv": npv,
            "irr": rates[0] if rates else None,
            "irr_all": list(rates),
            "payback": None if plain is None else plain.years,
            "discounted_payback": compound,
            "discounted_payback_straight": None if discounted is None else discounted.years,
            "annual_worth": annual,
        },
        working=Working(
            title="Worth of a series of yearly flows",
            given=(
                Given("C", tuple(flows), "money", "flows: now, then at the end of each year"),
                Given("i", rate, "", "interest a year"),
            ),
            assumptions=(
                "flows come at the end of their year; payback spreads each flow evenly over its year",
                "money of today: inflation and taxes are left out unless the flows hold them",
            ),
            steps=tuple(steps),
        ),
        warnings=tuple(_warnings(given, rates, plain, discounted)),
        sources=("engineering_economy", "gitman", "collins_akritas_1976"),
    )


def _rate_steps(rates: Sequence[float]) -> list[Step]:
    if not rates:
        return []
    note = "all rates above -100 % at which the NPV is 0, counted exactly by Descartes' rule of signs"
    return [
        Step("r", "", tuple(rates), "", "rates of return, the one nearest zero first", "collins_akritas_1976", note)
    ]


def _payback_steps(symbol: str, found: Payback | None, meaning: str) -> list[Step]:
    if found is None or not found.brought:
        return []
    formula = f"{symbol}_whole + {symbol}_short / {symbol}_brought"
    before = f"{meaning}: full years before the total is back at 0"
    note = "read off the running total of the flows" if symbol == "n" else "read off the running total of pv"
    return [
        Step(f"{symbol}_whole", "", found.whole, "years", before, "", note),
        Step(f"{symbol}_short", "", found.short, "money", "still missing after them", "", note),
        Step(f"{symbol}_brought", "", found.brought, "money", "brought in by the year that follows", "", note),
        Step(symbol, formula, found.years, "years", meaning, "engineering_economy"),
    ]


def _warnings(
    given: WorthInput, rates: Sequence[float], plain: Payback | None, discounted: Payback | None
) -> Iterator[str]:
    if slip := high_rate(given.rate):
        yield slip
    if not any(given.cash_flows):
        yield "Every flow is 0, so any rate of return would do; none is given."
    elif not rates:
        yield (
            "There is no rate of return: the worth is not 0 at any rate above -100 %. "
            "Judge by the net present value."
        )
    elif len(rates) > 1:
        yield (
            f"{len(rates)} rates of return fit these flows, because their sign changes more than once; none of "
            "them alone says whether it pays. Judge by the net present value."
        )
    if plain is None:
        yield "The money does not come back within these years, so there is no payback."
    elif discounted is None:
        yield "With interest the money does not come back within these years, so there is no discounted payback."
    if any(each is not None and each.falls_again for each in (plain, discounted)):
        yield "After the payback the total falls below 0 again; look at the later outlays."


CALCULATION = Calculation(
    name="worth",
    title="Worth of yearly flows",
    question="What are these outlays and savings worth today, and when does the money come back?",
    input=WorthInput,
    run=run,
    example={"cash_flows": [-1800, 640, 640, 640, 640, 640], "rate": "8 %"},
)
