"""Counts over an exposure, and shares of a number of trials, before against after: exact tests."""

from __future__ import annotations

import math
from typing import Final

from floorwright.basis.quantity import TIME, plain_number, write
from floorwright.basis.sentence import said
from floorwright.basis.stat import anytime
from floorwright.basis.stat.intervals import Interval
from floorwright.basis.stat.quantiles import two_sided_z
from floorwright.basis.stat.rates import garwood, newcombe_difference, rate_difference, rate_ratio, wilson
from floorwright.basis.stat.tests import two_proportions, two_rates
from floorwright.basis.working import Given, Step
from floorwright.prove.effect import Effect, Explanation, Side, Test
from floorwright.prove.verdict import TooFew

FEWEST_EVENTS: Final = 10
FEWEST_TRIALS: Final = 10
_MOST_BASELINES: Final = 20.0


def compare_counts(
    before: tuple[int, float], after: tuple[int, float], confidence: float, unit: str = ""
) -> Effect:
    """Compare two rates: exact conditional test, MOVER interval of the difference, exact interval of the ratio."""
    found = two_rates(before, after)
    rates = (before[0] / before[1], after[0] / after[1])
    total = before[0] + after[0]
    few = TooFew(
        sentence=said("it takes {least} events in all, there are {n}", least=FEWEST_EVENTS, n=total),
        more=None,
        remedy=said("Go on counting until there are {n} events in all.", n=FEWEST_EVENTS),
    )
    early = anytime.difference_of_rates(before, after, confidence)
    return Effect(
        before=Side(n=before[0], level=rates[0]),
        after=Side(n=after[0], level=rates[1]),
        difference=rates[1] - rates[0],
        interval=rate_difference(before, after, confidence),
        ratio=rates[1] / rates[0] if rates[0] else None,
        ratio_interval=rate_ratio(before, after, confidence),
        test=Test(name="exact conditional", statistic=float(after[0]), p_value=found.p_value),
        anytime=early,
        too_few=few if total < FEWEST_EVENTS else None,
        needed=lambda value: anytime.exposure_needed(before, after, value, confidence, most=_MOST_BASELINES),
        what=said("after the change") if unit else said("units of exposure after the change"),
        count=(lambda more: write(more, TIME)) if unit else (lambda more: plain_number(more, 2)),
        warnings=()
        if early
        else (said("Less than a tenth of the exposure before: too early for an always-valid interval."),),
        explanation=_rates_explanation(before, after, confidence, unit, found.p_value),
    )


def _rates_explanation(
    before: tuple[int, float], after: tuple[int, float], confidence: float, unit: str, p_value: float
) -> Explanation:
    per = f"events {unit}".strip() if unit else "events a unit"
    r_b, r_a = before[0] / before[1], after[0] / after[1]
    limits_b, limits_a = garwood(*before, confidence), garwood(*after, confidence)
    interval = rate_difference(before, after, confidence)
    exact = "exact (Garwood) from the gamma distribution"
    ratio = rate_ratio(before, after, confidence)
    steps = [
        Step("r_b", "x_b / t_b", r_b, per, "rate before"),
        Step("r_a", "x_a / t_a", r_a, per, "rate after"),
        Step("d", "r_a - r_b", r_a - r_b, per, "difference of the rates"),
        *(
            Step(symbol, "", value, per, f"{end} limit of the rate {side}", "garwood_1936", exact)
            for symbol, value, end, side in (
                ("l_b", limits_b.low, "lower", "before"),
                ("u_b", limits_b.high, "upper", "before"),
                ("l_a", limits_a.low, "lower", "after"),
                ("u_a", limits_a.high, "upper", "after"),
            )
        ),
        Step("low", "d - sqrt((r_a - l_a)**2 + (u_b - r_b)**2)", interval.low, per, "lower end of the interval"),
        Step("high", "d + sqrt((u_a - r_a)**2 + (r_b - l_b)**2)", interval.high, per, "upper end of the interval"),
        Step(
            "share",
            "t_a / (t_b + t_a)",
            after[1] / (before[1] + after[1]),
            "",
            "share of the events to expect after",
        ),
        Step(
            "p",
            "",
            p_value,
            "",
            "two-sided p",
            "przyborowski_1940",
            "given all the events, those after are binomial with this share if nothing changed",
        ),
    ]
    if r_b:
        steps.append(Step("R", "r_a / r_b", r_a / r_b, "", "ratio of the rates"))
        steps.append(Step("R_low", "", ratio.low, "", "lower limit of the ratio", "clopper_pearson_1934", "exact"))
        if math.isfinite(ratio.high):
            steps.append(
                Step("R_high", "", ratio.high, "", "upper limit of the ratio", "clopper_pearson_1934", "exact")
            )
    return Explanation(
        title="Counts before against after",
        given=(
            Given("x_b", before[0], "", "events before"),
            Given("t_b", before[1], "", "exposure before"),
            Given("x_a", after[0], "", "events after"),
            Given("t_a", after[1], "", "exposure after"),
            Given("conf", confidence, "", "confidence"),
        ),
        assumptions=("events come singly and independently of one another, at a steady rate on each side",),
        steps=tuple(steps),
        sources=("przyborowski_1940", "garwood_1936", "clopper_pearson_1934"),
    )


def compare_proportions(before: tuple[int, int], after: tuple[int, int], confidence: float) -> Effect:
    """Compare two shares: Fisher's exact test, Newcombe's interval of the difference."""
    found = two_proportions(before, after)
    shares = (before[0] / before[1], after[0] / after[1])
    few = None
    if min(before[1], after[1]) < FEWEST_TRIALS:
        sentence = said(
            "it takes {least} trials on either side, there are {before} before and {after} after",
            least=FEWEST_TRIALS,
            before=before[1],
            after=after[1],
        )
        lacking = FEWEST_TRIALS - after[1]
        remedy = (
            said("Look {n} more times before you decide.", n=lacking)
            if lacking > 0
            else said("The baseline is too short.")
        )
        few = TooFew(sentence=sentence, more=lacking if lacking > 0 else None, remedy=remedy)
    interval = newcombe_difference(before, after, confidence)
    return Effect(
        before=Side(n=before[1], level=shares[0]),
        after=Side(n=after[1], level=shares[1]),
        difference=shares[1] - shares[0],
        interval=interval,
        ratio=shares[1] / shares[0] if shares[0] else None,
        ratio_interval=ratio_of_shares(before, after, confidence),
        test=Test(name="Fisher exact", statistic=float(after[0]), p_value=found.p_value),
        anytime=anytime.difference_of_proportions(before, after, confidence),
        too_few=few,
        needed=lambda value: anytime.looks_needed_proportions(before, after, value, confidence),
        what=said("trials after the change"),
        explanation=_shares_explanation(before, after, confidence, interval, found.p_value),
    )


def ratio_of_shares(before: tuple[int, int], after: tuple[int, int], confidence: float) -> Interval:
    """The interval for p(after)/p(before) on the logarithmic scale, half a case added everywhere.

    log[(x2 + 1/2)/(n2 + 1/2)] - log[(x1 + 1/2)/(n1 + 1/2)] +/- z sqrt(sum 1/(x + 1/2) - 1/(n + 1/2)) (S. D. Walter,
    Biometrika 62 (1975) 371-374); 0 as lower limit where nothing was found after, no upper one where nothing was
    found before.
    """
    (x1, n1), (x2, n2) = before, after
    middle = math.log((x2 + 0.5) / (n2 + 0.5)) - math.log((x1 + 0.5) / (n1 + 0.5))
    variance = 1 / (x2 + 0.5) - 1 / (n2 + 0.5) + 1 / (x1 + 0.5) - 1 / (n1 + 0.5)
    reach = two_sided_z(confidence) * math.sqrt(variance)
    low = math.exp(middle - reach) if x2 else 0.0
    return Interval(low, math.exp(middle + reach) if x1 else math.inf)


def _shares_explanation(
    before: tuple[int, int], after: tuple[int, int], confidence: float, interval: Interval, p_value: float
) -> Explanation:
    p_b, p_a = before[0] / before[1], after[0] / after[1]
    limits = {"b": wilson(*before, confidence), "a": wilson(*after, confidence)}
    z = two_sided_z(confidence)
    steps = [
        Step("p_b", "x_b / n_b", p_b, "", "share before"),
        Step("p_a", "x_a / n_a", p_a, "", "share after"),
        Step("d", "p_a - p_b", p_a - p_b, "", "difference of the shares"),
        Step("q", "z(0.5 + conf / 2)", z, "", "quantile of the normal distribution"),
    ]
    for side, (x, n) in (("b", before), ("a", after)):
        words = "before" if side == "b" else "after"
        middle = f"(p_{side} + q**2 / (2 * n_{side}))"
        root = f"q * sqrt(p_{side} * (1 - p_{side}) / n_{side} + q**2 / (4 * n_{side}**2))"
        below = f"1 + q**2 / n_{side}"
        low = f"({middle} - {root}) / ({below})" if x else "0"
        high = f"({middle} + {root}) / ({below})" if x < n else "1"
        steps += [
            Step(f"l_{side}", low, limits[side].low, "", f"Wilson's lower limit {words}", "wilson_1927"),
            Step(f"u_{side}", high, limits[side].high, "", f"Wilson's upper limit {words}", "wilson_1927"),
        ]
    note = "given all successes, those after are hypergeometric if nothing changed"
    steps += [
        Step("low", "d - sqrt((p_a - l_a)**2 + (u_b - p_b)**2)", interval.low, "", "lower end", "newcombe_1998"),
        Step("high", "d + sqrt((u_a - p_a)**2 + (p_b - l_b)**2)", interval.high, "", "upper end", "newcombe_1998"),
        Step("p", "", p_value, "", "two-sided p", "fisher_exact", note),
    ]
    return Explanation(
        title="Shares before against after",
        given=(
            Given("x_b", before[0], "", "successes before"),
            Given("n_b", before[1], "", "trials before"),
            Given("x_a", after[0], "", "successes after"),
            Given("n_a", after[1], "", "trials after"),
            Given("conf", confidence, "", "confidence"),
        ),
        assumptions=("trials are independent of one another and alike on each side",),
        steps=tuple(steps),
        sources=("fisher_exact", "newcombe_1998", "wilson_1927", "walter_1975", "clopper_pearson_1934"),
    )
