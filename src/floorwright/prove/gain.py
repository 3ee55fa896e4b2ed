"""What a saving may be worth when its parts are only known within a range: many equally likely cases, simulated.

annual  = saving per event x events a year x labour rate - upkeep
NPV     = annual x (1 - (1 + i)^-L)/i - cost
payback = cost / annual, never where annual is 0 or less
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Any, Final

import numpy as np
from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.fields import Input, Measure, Plain, Whole, high_rate
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import FRACTION, TIME, plain_number
from floorwright.basis.working import Given, Step, Working
from floorwright.prove.uncertain import FloatArray, Spread, Uncertain

CHUNK: Final = 1 << 17  # part of the answer: another size would deal the random numbers out differently
MOST_DRAWS: Final = 5_000_000
_SHOWN: Final = (5.0, 50.0, 95.0)

Saving = Annotated[Spread, Uncertain(Measure(TIME))]
Amount = Annotated[Spread, Uncertain(Plain(at_least=0), floor=0.0)]


class GainInput(Input):
    """Input of `gain`; each of the first seven is a number or a range."""

    per_event_saving: Saving = Field(description="time saved each time; negative where it got slower")
    events_per_year: Amount = Field(description="how often that happens in a year (plain)")
    labour_rate: Amount = Field(description="money per hour")
    cost: Amount = Field(description="money to make the change: material, building hours, downtime")
    upkeep: Amount = Field(description="money a year to keep it up")
    life_years: Annotated[Spread, Uncertain(Plain(above=0, at_most=100), floor=0.0)] = Field(
        description="years it will last"
    )
    rate: Annotated[Spread, Uncertain(Measure(FRACTION, at_least=0, at_most=10), floor=0.0)] = Field(
        description="interest a year, 0.08 or '8 %'"
    )
    draws: Annotated[int, Plain(at_least=100, at_most=MOST_DRAWS, whole=True)] = Field(
        default=100_000, description="number of cases to simulate"
    )
    seed: Whole = Field(default=1, description="the same seed gives the same answer")


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """The simulated cases, one entry a case."""

    annual: FloatArray
    npv: FloatArray
    payback: FloatArray
    paid_back: float


def annuity_factor(rate: FloatArray | float, years: FloatArray | float) -> FloatArray:
    """(1 - (1 + i)^-L)/i, and L where i is 0; years need not be whole."""
    i, n = np.broadcast_arrays(np.asarray(rate, dtype=np.float64), np.asarray(years, dtype=np.float64))
    safe = np.where(i == 0.0, 1.0, i)
    return np.where(i == 0.0, n, -np.expm1(-n * np.log1p(safe)) / safe)


def simulate(given: GainInput) -> Drawn:
    """Draw the cases, chunk by chunk, each input in the order of the fields (generator PCG64)."""
    count = 1 if _certain(given) else given.draws
    annual, npv, payback = np.empty(count), np.empty(count), np.empty(count)
    dice = np.random.Generator(np.random.PCG64(given.seed))
    within_life = 0
    for start in range(0, count, CHUNK):
        stop = min(start + CHUNK, count)
        saving, events, wage, cost, upkeep, life, rate = (
            spread.draw(dice, stop - start) for spread in _spreads(given).values()
        )
        yearly = annual[start:stop]
        yearly[:] = saving * events * wage / 3600.0 - upkeep
        npv[start:stop] = yearly * annuity_factor(rate, life) - cost
        back = payback[start:stop]
        back[:] = np.inf
        with np.errstate(over="ignore"):  # a saving next to nothing pays back never
            np.divide(cost, yearly, out=back, where=yearly > 0.0)
        within_life += int(np.count_nonzero(back <= life))
    return Drawn(annual=annual, npv=npv, payback=payback, paid_back=within_life / count)


def _spreads(given: GainInput) -> dict[str, Spread]:
    names = ("per_event_saving", "events_per_year", "labour_rate", "cost", "upkeep", "life_years", "rate")
    return {name: getattr(given, name) for name in names}


def _certain(given: GainInput) -> bool:
    return all(spread.certain for spread in _spreads(given).values())


def run(given: GainInput) -> Outcome:
    """Simulate and summarise, with the exact means beside where a formula gives them."""
    drawn = simulate(given)
    never = float(np.mean(~np.isfinite(drawn.payback)))
    annual, npv = _summary(drawn.annual), _summary(drawn.npv)
    loss = float(np.mean(drawn.npv < 0.0))
    results = {
        "annual": annual,
        "npv": npv,
        "payback": _payback_summary(drawn.payback),
        "chance_of_loss": loss,
        "chance_paid_back_in_life": drawn.paid_back,
        "draws": given.draws,
        "seed": given.seed,
    }
    note = f"{given.draws:,} draws, generator PCG64, seed {given.seed}"
    simulated = (
        Step("annual", "", annual["mean"], "money a year", "mean of the simulated savings a year", "", note),
        Step("worth", "", npv["mean"], "money", "mean of the simulated net present values", "", note),
        Step("loss", "", loss, "", "share of the draws with a net present value below 0", "", note),
    )
    return Outcome(
        results=results,
        working=Working(
            title="What the gain may be worth",
            given=tuple(_givens(given)),
            assumptions=(
                "the inputs vary independently of one another; each case draws all of them anew",
                "the saving comes evenly, is worth the labour rate, and lasts for the whole life",
                "normal draws below 0 of what cannot be negative are set to 0",
                "a time saved is money only where hours, output or overtime really change",
            ),
            steps=(*_exact_steps(given), *simulated),
        ),
        warnings=tuple(_warnings(given, never)),
        sources=("engineering_economy", *(("pert_1959",) if _uses_pert(given) else ()), "goodman_1960"),
    )


def _uses_pert(given: GainInput) -> bool:
    return any(spread.shape == "pert" for spread in _spreads(given).values())


def _summary(values: FloatArray) -> dict[str, float]:
    low, middle, high = np.percentile(values, _SHOWN)
    spread = float(np.std(values, ddof=1)) if values.size > 1 else 0.0
    return {
        "mean": float(np.mean(values)),
        "sd": spread,
        "p05": float(low),
        "p50": float(middle),
        "p95": float(high),
    }


def _payback_summary(values: FloatArray) -> dict[str, float | None]:
    """Percentiles that are draws themselves: "never" cannot be averaged with a number of years."""
    low, middle, high = (float(x) for x in np.percentile(values, _SHOWN, method="higher"))
    shown = {"mean": float(np.mean(values)), "p05": low, "p50": middle, "p95": high}
    return {name: value if np.isfinite(value) else None for name, value in shown.items()}


_SYMBOLS: Final = (
    ("per_event_saving", "s", "s", "time saved each time"),
    ("events_per_year", "n", "", "events a year"),
    ("labour_rate", "w", "money per hour", "labour rate"),
    ("cost", "C", "money", "cost of the change"),
    ("upkeep", "U", "money a year", "upkeep"),
    ("life_years", "L", "years", "life"),
    ("rate", "i", "", "interest a year"),
)


def _givens(given: GainInput) -> Iterator[Given]:
    for name, symbol, unit, meaning in _SYMBOLS:
        spread: Spread = getattr(given, name)
        yield Given(symbol, spread.mean, unit, f"{meaning}, mean ({spread.text()})")
        if not spread.certain:
            yield Given(f"{symbol}_sd", spread.variance**0.5, unit, f"{meaning}, standard deviation")


def _exact_steps(given: GainInput) -> Iterator[Step]:
    """Means and sd that follow from those of the parts; the NPV's mean only for a fixed life and rate."""
    s, n, w, C, U, L, i = _spreads(given).values()
    hours = s.mean * n.mean / 3600
    yield Step("H", "s * n / 3600", hours, "h a year", "hours saved a year, exact mean")
    annual = hours * w.mean - U.mean
    meaning = "saving a year after upkeep, exact mean"
    yield Step("A", "s * n * w / 3600 - U", annual, "money a year", meaning, "goodman_1960")
    if not all(part.certain for part in (s, n, w)):
        yield _gross_sd({"s": s, "n": n, "w": w})
    if L.certain and i.certain:
        factor = float(annuity_factor(i.mean, L.mean))
        formula = "(1 - (1 + i)**(-L)) / i" if i.mean else "L"
        yield Step("a", formula, factor, "years", "years of saving, discounted", "engineering_economy")
        worth = annual * factor - C.mean
        yield Step("NPV", "A * a - C", worth, "money", "net present value, exact mean", "engineering_economy")


def _gross_sd(parts: dict[str, Spread]) -> Step:
    """The standard deviation of a product of independent parts."""
    squares, product = 1.0, 1.0
    for part in parts.values():
        squares *= part.mean**2 + part.variance
        product *= part.mean
    sd = math.sqrt(max(squares - product**2, 0.0)) / 3600
    factors = [f"{name}**2" if part.certain else f"({name}**2 + {name}_sd**2)" for name, part in parts.items()]
    formula = f"sqrt({' * '.join(factors)} - (s * n * w)**2) / 3600"
    meaning = "standard deviation of the saving a year before upkeep"
    return Step("A_sd", formula, sd, "money a year", meaning, "goodman_1960")


def _warnings(given: GainInput, never: float) -> Iterator[str]:
    if slip := high_rate(given.rate.centre):
        yield slip
    for name, spread in _spreads(given).items():
        if spread.share_at_floor > 0.0005:
            yield (
                f"{name}: {plain_number(100 * spread.share_at_floor, 2)} % of the draws fell below 0 and were set "
                "to 0; low, likely and high describe it better."
            )
    if never:
        yield (
            f"In {plain_number(100 * never, 2)} % of the draws there is no saving a year, so they never pay back: "
            "the mean payback is left empty, and percentiles count them as longer than any number of years."
        )


CALCULATION: Calculation[Any] = Calculation(
    name="gain",
    title="What a gain may be worth",
    question="What is the saved time worth a year, and how likely is a loss, with all that is uncertain?",
    input=GainInput,
    run=run,
    example={
        "per_event_saving": {"mean": "41 s", "low": "38 s", "high": "45 s", "confidence": 0.95},
        "events_per_year": {"low": 4200, "likely": 5000, "high": 5600},
        "labour_rate": 38.5,
        "cost": {"low": 900, "likely": 1200, "high": 2100, "shape": "pert"},
        "upkeep": 60,
        "life_years": 5,
        "rate": "8 %",
        "draws": 20000,
        "seed": 7,
    },
)
