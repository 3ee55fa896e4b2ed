"""How many observations before and after show a planned change, with a given chance to see it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any, Final

from pydantic import Field, Tag
from pydantic.types import Discriminator

from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import InputError
from floorwright.basis.fields import Confidence, Input, Measure
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import FRACTION, RATE, SMALLEST, TIME, Dimension, Quantity, parse
from floorwright.basis.stat.quantiles import two_sided_z, z
from floorwright.basis.stat.sample import (
    SampleSize,
    exposure_each,
    means_each,
    pairs_needed,
    proportions_each,
)
from floorwright.basis.working import Given, Step, Working
from floorwright.prove.compare_input import Events, Kind, Reading, Trials, dimension_of, in_si, read_exposures


class Level(Input):
    """Mean and standard deviation of readings; for pairs the standard deviation of their differences."""

    mean: Reading | None = Field(default=None, description="mean of the readings; not needed for the number")
    sd: Reading = Field(description="standard deviation of the readings, for pairs of their differences")


def _form(value: Any) -> str:
    names = set(value) if isinstance(value, dict) else set()
    if isinstance(value, Trials) or names & {"successes", "trials"}:
        return "[trials]"
    return "[events]" if isinstance(value, Events) or names & {"events", "exposure"} else "[level]"


Summary = Annotated[
    Annotated[Level, Tag("[level]")] | Annotated[Events, Tag("[events]")] | Annotated[Trials, Tag("[trials]")],
    Discriminator(_form),
]


class PowerInput(Input):
    """Input of `power`."""

    kind: Kind = Field(description="times, paired, counts or proportions")
    before: Summary = Field(
        description="what is known: {mean, sd}, for pairs the sd of the differences; {events, exposure}; or "
        "{successes, trials}"
    )
    change: Reading = Field(
        description="the change to be seen, after - before, in the unit of the readings (a rate for counts, a "
        "share for proportions); below 0 for less"
    )
    power: Annotated[float, Measure(FRACTION, at_least=0.05, at_most=0.9999)] = Field(
        default=0.8, description="chance to see the change if it is there"
    )
    confidence: Confidence = Field(default=0.95, description="1 - chance of a false alarm, two-sided")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    results: dict[str, Any]
    given: tuple[Given, ...]
    steps: tuple[Step, ...]
    assumptions: tuple[str, ...]
    source: str


_WANTED: Final[dict[Kind, tuple[type, str]]] = {
    "times": (Level, "{mean, sd}"),
    "paired": (Level, "{mean, sd}"),
    "counts": (Events, "{events, exposure}"),
    "proportions": (Trials, "{successes, trials}"),
}


def run(given: PowerInput) -> Outcome:
    """The number of observations on either side for the planned change."""
    wanted, text = _WANTED[given.kind]
    if not isinstance(given.before, wanted):
        raise InputError.of("before", None, f"does not fit the kind {given.kind}; it should be {text}")
    if isinstance(given.before, Events):
        found = _counts(given, given.before)
    elif isinstance(given.before, Trials):
        found = _proportions(given, given.before)
    else:
        found = _readings(given, given.before)
    return Outcome(
        results=found.results,
        working=Working(
            title="Observations needed to see a change",
            given=(
                *found.given,
                Given("conf", given.confidence, "", "confidence"),
                Given("power", given.power, "", "chance to see the change"),
            ),
            assumptions=(*found.assumptions, "one look, at the end; looking as you go takes more"),
            steps=found.steps,
        ),
        sources=(found.source,),
    )


def _readings(given: PowerInput, before: Level) -> _Found:
    places = [("before.sd", before.sd), ("change", given.change)]
    places += [] if before.mean is None else [("before.mean", before.mean)]
    dimension = dimension_of(places)
    sd, change = in_si(places, dimension)[:2]
    if not sd >= SMALLEST:
        raise InputError.of("before.sd", before.sd, "should be more than 0 by as much as can be measured")
    _nonzero(change, given)
    unit = dimension.si if dimension is not None else ""
    pairs = given.kind == "paired"
    size = _planned(
        given, lambda: (pairs_needed if pairs else means_each)(change, sd, given.power, given.confidence)
    )
    rough = (1 if pairs else 2) * ((two_sided_z(given.confidence) + z(given.power)) * sd / change) ** 2
    test = "paired t test" if pairs else "two-sample t test"
    note = f"the noncentral t distribution of the {test} takes the place of the normal one"
    steps = (
        Step(
            "rough",
            f"{'' if pairs else '2 * '}((z(0.5 + conf / 2) + z(power)) * s / c)**2",
            rough,
            "",
            "as if the spread were known exactly",
            "nist_handbook",
        ),
        Step("n", "", size.exact, "", "observations each, exact", "nist_handbook", note),
        _rounded(size),
    )
    return _Found(
        results={"observations_each": size.observations, "exact": size.exact},
        given=(
            Given("s", sd, unit, "standard deviation" + (" of the differences" if pairs else "")),
            Given("c", change, unit, "change, after - before"),
        ),
        steps=steps,
        assumptions=("the spread stays the same after the change", "readings are independent of one another"),
        source="nist_handbook",
    )


def _counts(given: PowerInput, before: Events) -> _Found:
    (exposure,), dimension = read_exposures({"before": before})
    change = _plain_change(given, None if dimension is None else RATE)
    old, new = before.events / exposure, before.events / exposure + change
    if new < 0:
        raise InputError.of("change", given.change, "is more than the whole rate; it cannot fall below 0")
    needed = exposure_each(old, new, given.power, given.confidence)
    unit = "" if dimension is None else "s"
    size = SampleSize(exact=needed, observations=max(1, math.ceil(needed * (1 - 1e-9))))
    formula = "(z(0.5 + conf / 2) + z(power))**2 / (2 * (sqrt(r_b) - sqrt(r_a))**2)"
    return _Found(
        results={
            "observations_each": size.observations,
            "exposure_each": needed if dimension is None else Quantity(needed, TIME),
            "events_before": math.ceil(old * needed - 1e-9),
            "events_after": math.ceil(new * needed - 1e-9),
        },
        given=(
            Given("x", before.events, "", "events before"),
            Given("t_b", exposure, unit, "exposure before"),
            Given("c", change, f"1/{unit}" if unit else "", "change of the rate, after - before"),
        ),
        steps=(
            Step("r_b", "x / t_b", old, "", "rate before"),
            Step("r_a", "r_b + c", new, "", "rate after"),
            Step("n", formula, needed, unit, "exposure each", "gu_2008"),
            _rounded(size),
            Step("e_b", "r_b * n", old * needed, "", "events to expect before"),
            Step("e_a", "r_a * n", new * needed, "", "events to expect after"),
        ),
        assumptions=("events come singly and independently of one another",),
        source="gu_2008",
    )


def _proportions(given: PowerInput, before: Trials) -> _Found:
    if before.successes > before.trials:
        raise InputError.of("before.successes", before.successes, f"is more than the {before.trials} trials")
    change = _plain_change(given, None)
    old = before.successes / before.trials
    new = old + change
    if not -1e-12 <= new <= 1 + 1e-12:
        raise InputError.of("change", given.change, f"would bring the share to {new:g}; it lies between 0 and 1")
    new = min(max(new, 0.0), 1.0)
    size = _planned(given, lambda: proportions_each(old, new, given.power, given.confidence))
    formula = (
        "((z(0.5 + conf / 2) * sqrt(2 * m * (1 - m)) + z(power) * sqrt(p_b * (1 - p_b) + p_a * (1 - p_a))) / c)**2"
    )
    return _Found(
        results={"observations_each": size.observations, "exact": size.exact},
        given=(
            Given("x", before.successes, "", "successes before"),
            Given("N", before.trials, "", "trials before"),
            Given("c", change, "", "change of the share, after - before"),
        ),
        steps=(
            Step("p_b", "x / N", old, "", "share before"),
            Step("p_a", "p_b + c", new, "", "share after"),
            Step("m", "(p_b + p_a) / 2", (old + new) / 2, "", "share over both"),
            Step("n", formula, size.exact, "", "trials each, exact", "fleiss"),
            _rounded(size),
        ),
        assumptions=(
            "trials are independent of one another",
            "normal approximation; the exact test takes a few more",
        ),
        source="fleiss",
    )


def _rounded(size: SampleSize) -> Step:
    formula = "max(1, ceil(n * (1 - 1e-9)))"
    return Step("each", formula, size.observations, "", "before, and as many after", "definition")


def _plain_change(given: PowerInput, dimension: Dimension | None) -> float:
    value = given.change
    if isinstance(value, str):
        try:
            value = parse(value, dimension or FRACTION)
        except ValueError as error:
            raise InputError.of("change", given.change, str(error)) from None
    _nonzero(value, given)
    return value


def _nonzero(change: float, given: PowerInput) -> None:
    if change == 0:
        raise InputError.of("change", given.change, "is 0; no number of observations shows a change of nothing")


def _planned(given: PowerInput, size: Callable[[], SampleSize]) -> SampleSize:
    """The number; a change that would take more than a hundred million readings is refused."""
    try:
        return size()
    except ValueError:
        raise InputError.of("change", given.change, "is too small beside the spread to be timed") from None


CALCULATION: Calculation[Any] = Calculation(
    name="power",
    title="Observations needed to see a change",
    question="How many observations before and after will show this change?",
    input=PowerInput,
    run=run,
    example={
        "kind": "times",
        "before": {"mean": "62 s", "sd": "9 s"},
        "change": "-6 s",
        "power": 0.8,
        "confidence": 0.95,
    },
)
