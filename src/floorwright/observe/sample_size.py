"""How many readings a mean needs, and how many more."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Final, Literal

from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Confidence, Input, Measure, Plain, PositiveTime, Time
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import FRACTION
from floorwright.basis.stat.quantiles import two_sided_t, two_sided_z
from floorwright.basis.stat.sample import observations_for_mean
from floorwright.basis.stat.summary import mean, sd
from floorwright.basis.working import Given, Step, Working

_SUMMARY: Final = ("mean", "sd", "pilot")


class SampleSizeInput(Input):
    """Input of `sample_size`."""

    times: list[PositiveTime] | None = Field(
        None, min_length=2, max_length=100_000, description="the readings taken so far; or give mean and sd"
    )
    mean: PositiveTime | None = Field(None, description="mean of the readings taken so far")
    sd: Time | None = Field(None, description="their standard deviation (divided by n − 1)")
    pilot: Annotated[int, Plain(at_least=2, whole=True)] | None = Field(
        None, description="how many readings mean and sd come from (plain); needed for t"
    )
    relative_error: Annotated[float, Measure(FRACTION, above=0, at_most=1)] = Field(
        description="how far the mean may be off, as a share of itself, such as '5 %'"
    )
    confidence: Confidence = Field(description="how sure to be, such as '95 %'")
    distribution: Literal["normal", "t"] = Field(
        description="normal: quantile of the normal distribution; t: Student's t with pilot readings − 1 degrees "
        "of freedom, not iterated"
    )


def run(given: SampleSizeInput) -> Outcome:
    """n = (q s / (k m))², rounded up; q from the normal or Student distribution."""
    middle, spread, taken = _pilot(given)
    pilot = taken if given.distribution == "t" else None
    needed = observations_for_mean(middle, spread, given.relative_error, given.confidence, pilot)
    more = max(0, needed.observations - (taken or 0))
    warnings = []
    if taken is None:
        warnings.append("It is not known how many readings were taken, so all of them count as still needed.")
    elif taken < 10:
        warnings.append(
            f"{taken} readings say little about the spread; work this out again when 10 or more are there."
        )
    return Outcome(
        results={"observations": needed.observations, "more_needed": more, "observations_exact": needed.exact},
        working=_working(given, middle, spread, taken, needed.exact, needed.observations, more),
        warnings=tuple(warnings),
        sources=("niebel", "ilo_work_study"),
    )


def cross_checks(fields: Mapping[str, Any]) -> Iterator[Problem]:
    """The readings, or their mean and sd; and for t how many there were."""
    given = {name for name in _SUMMARY if fields.get(name) is not None}
    left_out = {name for name in ("times", *_SUMMARY) if name in fields and fields[name] is None}
    if fields.get("times") is not None:
        for name in _SUMMARY:
            if name in given:
                yield Problem(name, fields[name], "is given beside times, which already say it; leave one out")
    if "times" not in left_out:
        return
    if {"mean", "sd"} <= left_out:
        yield Problem("times", None, "is missing; give the readings, or their mean and sd")
        return
    if "mean" in left_out:
        yield Problem("mean", None, "is missing; give the mean that belongs to sd")
    if "sd" in left_out:
        yield Problem("sd", None, "is missing; give the standard deviation that belongs to mean")
    if fields.get("distribution") == "t" and "pilot" in left_out:
        yield Problem("pilot", None, "is missing; t needs the number of readings behind mean and sd")


def _pilot(given: SampleSizeInput) -> tuple[float, float, int | None]:
    problems = tuple(cross_checks(dict(given)))
    if not problems and given.times is not None:
        return mean(given.times), sd(given.times), len(given.times)
    if problems or given.mean is None or given.sd is None:
        raise InputError(problems)
    return given.mean, given.sd, given.pilot


def _working(
    given: SampleSizeInput, middle: float, spread: float, taken: int | None, exact: float, needed: int, more: int
) -> Working:
    givens: list[Given] = []
    steps: list[Step] = []
    if given.times is not None:
        givens.append(Given("x", tuple(given.times), "s", "readings taken so far"))
        steps += [
            Step("m", "mean(x)", middle, "s", "their mean"),
            Step("s", "sd(x)", spread, "s", "their standard deviation"),
        ]
    else:
        givens += [
            Given("m", middle, "s", "mean of the readings so far"),
            Given("s", spread, "s", "their standard deviation"),
        ]
    givens += [
        Given("k", given.relative_error, "", "error allowed, as a share of the mean"),
        Given("C", given.confidence, "", "confidence"),
        Given("n0", taken or 0, "", "readings taken so far"),
    ]
    if given.distribution == "t" and taken is not None:
        quantile = Step(
            "q",
            "t(0.5 + C / 2, n0 - 1)",
            two_sided_t(given.confidence, taken - 1),
            "",
            "quantile of Student's t with n0 - 1 degrees of freedom, not iterated",
            "niebel",
        )
    else:
        quantile = Step(
            "q", "z(0.5 + C / 2)", two_sided_z(given.confidence), "", "quantile of the normal distribution"
        )
    steps += [
        quantile,
        Step("n", "(q * s / (k * m)) ** 2", exact, "", "readings needed, not rounded", "niebel"),
        Step("N", "max(1, ceil(n * (1 - 1e-9)))", needed, "", "readings needed, rounded up"),
        Step("more", "max(0, N - n0)", more, "", "readings still to take"),
    ]
    return Working(
        title="How many readings",
        given=tuple(givens),
        assumptions=("readings do not depend on one another", "the spread found so far is the true one"),
        steps=tuple(steps),
    )


CALCULATION = Calculation(
    name="sample_size",
    title="Sample size",
    question="How many readings does the mean need, and how many more?",
    input=SampleSizeInput,
    run=run,
    cross_checks=cross_checks,
    example={
        "times": ["41 s", "38 s", "44 s", "39 s", "52 s", "40 s", "43 s", "37 s", "45 s", "41 s"],
        "relative_error": "5 %",
        "confidence": "95 %",
        "distribution": "t",
    },
)
