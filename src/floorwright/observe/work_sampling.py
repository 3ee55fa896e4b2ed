"""Work sampling: from looks at random moments to a share of time, and how many looks that takes."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Confidence, Input, Measure, PositiveWhole, Share, Whole
from floorwright.basis.outcome import Outcome, Span
from floorwright.basis.quantity import FRACTION
from floorwright.basis.stat.quantiles import two_sided_z
from floorwright.basis.stat.rates import wilson
from floorwright.basis.stat.sample import SampleSize, observations_for_proportion
from floorwright.basis.working import Given, Step, Working


class WorkSamplingInput(Input):
    """Input of `work_sampling`."""

    observations: PositiveWhole | None = Field(None, description="looks taken (plain); or give proportion")
    occurrences: Whole | None = Field(None, description="looks in which it was seen (plain)")
    proportion: Share | None = Field(
        None, description="expected share, where nobody has looked yet, such as '25 %'"
    )
    absolute_error: Annotated[float, Measure(FRACTION, above=0, at_most=1)] = Field(
        description="how far the share may be off, in points, such as '3 %'"
    )
    confidence: Confidence = Field(description="how sure to be, such as '95 %'")


def run(given: WorkSamplingInput) -> Outcome:
    """Share seen with Wilson's interval; looks needed by the normal approximation, rounded up."""
    if problems := _problems(given):
        raise InputError(problems)
    n, k = given.observations, given.occurrences
    seen = n is not None and k is not None
    share = k / n if n is not None and k is not None else given.proportion or 0.0
    needed = observations_for_proportion(share, given.absolute_error, given.confidence)
    interval = wilson(k, n, given.confidence) if n is not None and k is not None else None
    warnings = []
    if not seen:
        warnings.append("No looks were given, so there is no interval: the share is an expectation.")
    if min(share, 1 - share) * needed.observations < 5:
        warnings.append(
            "The share is so close to 0 or 1 that the number of looks needed is too low; take at least "
            "enough to see it five times."
        )
    return Outcome(
        results={
            "proportion": share,
            "interval": None if interval is None else Span(interval.low, interval.high),
            "observations_needed": needed.observations,
            "more_needed": max(0, needed.observations - (n or 0)),
        },
        working=_working(given, share, None if interval is None else (interval.low, interval.high), needed),
        warnings=tuple(warnings),
        sources=("ilo_work_study", "wilson_1927"),
    )


def _problems(given: WorkSamplingInput) -> list[Problem]:
    counts = {"observations": given.observations, "occurrences": given.occurrences}
    if given.proportion is not None:
        return [
            Problem(name, value, "is given beside proportion; give looks and hits, or an expected share")
            for name, value in counts.items()
            if value is not None
        ]
    missing = [
        Problem(name, None, "is missing; give looks taken and looks with a hit, or an expected proportion")
        for name, value in counts.items()
        if value is None
    ]
    if missing or given.observations is None or given.occurrences is None:
        return missing
    if given.occurrences > given.observations:
        return [
            Problem(
                "occurrences",
                given.occurrences,
                f"is {given.occurrences}, more than the {given.observations} looks taken",
            )
        ]
    return []


def _working(
    given: WorkSamplingInput, share: float, ends: tuple[float, float] | None, needed: SampleSize
) -> Working:
    q = Step("q", "z(0.5 + C / 2)", two_sided_z(given.confidence), "", "quantile of the normal distribution")
    givens = [
        Given("C", given.confidence, "", "confidence"),
        Given("err", given.absolute_error, "", "error allowed, in points of the share"),
    ]
    steps: list[Step] = []
    if ends is not None and given.observations is not None and given.occurrences is not None:
        givens += [
            Given("n", given.observations, "", "looks taken"),
            Given("k", given.occurrences, "", "looks in which it was seen"),
        ]
        half = "q * sqrt(p * (1 - p) / n + q ** 2 / (4 * n ** 2))"
        middle = "(p + q ** 2 / (2 * n))"
        steps += [
            Step("p", "k / n", share, "", "share seen"),
            q,
            Step(
                "low",
                f"max(0, ({middle} - {half}) / (1 + q ** 2 / n))",
                ends[0],
                "",
                "lower end of Wilson's interval",
                "wilson_1927",
            ),
            Step(
                "high",
                f"min(1, ({middle} + {half}) / (1 + q ** 2 / n))",
                ends[1],
                "",
                "upper end of Wilson's interval",
                "wilson_1927",
            ),
        ]
    else:
        givens.append(Given("p", share, "", "expected share"))
        steps.append(q)
    steps += [
        Step(
            "n_exact",
            "q ** 2 * p * (1 - p) / err ** 2",
            needed.exact,
            "",
            "looks needed, not rounded (normal approximation)",
            "ilo_work_study",
        ),
        Step("needed", "max(1, ceil(n_exact * (1 - 1e-9)))", needed.observations, "", "looks needed, rounded up"),
    ]
    return Working(
        title="Work sampling",
        given=tuple(givens),
        assumptions=("looks were taken at random moments, spread over the whole period",),
        steps=tuple(steps),
    )


CALCULATION = Calculation(
    name="work_sampling",
    title="Work sampling",
    question="What share of the time does it happen, and how many looks does that take?",
    input=WorkSamplingInput,
    run=run,
    example={"observations": 240, "occurrences": 51, "absolute_error": "4 %", "confidence": "95 %"},
)
