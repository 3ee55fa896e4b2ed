"""Times (or any readings) before against after: separate series, pairs, or like with like within strata."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from floorwright.basis.sentence import said, template
from floorwright.basis.stat import anytime
from floorwright.basis.stat.intervals import (
    Interval,
    hodges_lehmann_paired,
    hodges_lehmann_shift,
    paired_difference,
    ratio_of_means,
    ratio_of_paired_means,
    welch_difference,
)
from floorwright.basis.stat.summary import Moments, median, moments, outliers
from floorwright.basis.stat.tests import mann_whitney, paired, signed_rank, welch
from floorwright.basis.working import Given, Step
from floorwright.prove.doubts import (
    FEWEST,
    MIX_CAP,
    NO_SPREAD_CAP,
    NO_SPREAD_WARNING,
    disagreement,
    mix_warnings,
    no_spread,
    order_caps,
    order_warnings,
    ranks_are_safer,
)
from floorwright.prove.effect import Effect, Explanation, RankEffect, Side, Test, interval_steps, t_steps
from floorwright.prove.strata import level_out
from floorwright.prove.verdict import TooFew

_LISTED_UP_TO: Final = 200
_OF_PAIRS: Final = template("of the pairs")


def compare_times(
    before: list[float],
    after: list[float],
    confidence: float,
    unit: str = "",
    strata: tuple[list[str], list[str]] | None = None,
) -> Effect:
    """Compare two separate series by their means, unequal variances, with a rank test beside it.

    With strata, readings of the same part, driver or operator are compared with one another and the differences
    are weighted by the mix after the change.
    """
    levelled = None if strata is None else level_out(before, after, strata, confidence)
    mixed = strata is not None and (levelled is None or levelled.left_out > 0)
    if levelled is not None:
        b, a = levelled.before, levelled.after
        interval = levelled.interval
        test = Test(name="stratified Welch", statistic=levelled.t, df=levelled.df, p_value=levelled.p_value)
        ratio, ratio_interval = levelled.ratio, levelled.ratio_interval
        ranked_b, ranked_a = levelled.aligned_before, levelled.aligned_after
        difference = levelled.difference
        explanation = levelled.explanation(unit)
    else:
        b, a = before, after
        found = welch(b, a)
        interval, difference = welch_difference(b, a, confidence), found.difference
        test = Test(name="Welch", statistic=found.t, df=found.df, p_value=found.p_value)
        ratio, ratio_interval = _ratio(b, a, confidence, pairs=False)
        ranked_b, ranked_a = b, a
        explanation = _welch_explanation(b, a, confidence, unit)
    rank_found = mann_whitney(ranked_b, ranked_a)
    shift = hodges_lehmann_shift(ranked_b, ranked_a, confidence)
    name = "Mann-Whitney" if levelled is None else "Mann-Whitney on readings aligned by stratum"
    rank = RankEffect(
        test=Test(name=name, statistic=rank_found.u, p_value=rank_found.p_value),
        shift=shift.shift,
        shift_interval=shift.interval,
    )
    alike = no_spread(b, a)
    caps = [
        *order_caps(("before", b), ("after", a)),
        *([MIX_CAP] if mixed else []),
        *([NO_SPREAD_CAP] if alike else []),
    ]
    return Effect(
        before=_side(before),
        after=_side(after),
        difference=difference,
        interval=interval,
        ratio=ratio,
        ratio_interval=ratio_interval,
        test=test,
        rank=rank,
        reported="rank" if ranks_are_safer(b, a) else "mean",
        anytime=anytime.difference_of_means(b, a, confidence),
        too_few=_too_few(len(b), len(a)),
        caps=tuple(caps),
        warnings=(
            *order_warnings(("before", b), ("after", a)),
            *mix_warnings(strata, levelled),
            *disagreement(test, rank, confidence),
            *([NO_SPREAD_WARNING] if alike else []),
        ),
        needed=lambda value: anytime.looks_needed(b, a, value, confidence),
        what=said("readings after the change"),
        explanation=explanation,
    )


def compare_paired(before: list[float], after: list[float], confidence: float, unit: str = "") -> Effect:
    """Compare pairs by the mean of their differences, with the signed-rank test beside it."""
    found = paired(before, after)
    differences = [y - x for x, y in zip(before, after, strict=True)]
    ranked = signed_rank(before, after)
    shift = hodges_lehmann_paired(differences, confidence)
    interval = paired_difference(before, after, confidence)
    ratio, ratio_interval = _ratio(before, after, confidence, pairs=True)
    test = Test(name="paired t", statistic=found.t, df=found.df, p_value=found.p_value)
    rank = RankEffect(
        test=Test(
            name="Wilcoxon signed-rank",
            statistic=min(ranked.rank_sum_up, ranked.rank_sum_down),
            p_value=ranked.p_value,
        ),
        shift=shift.shift,
        shift_interval=shift.interval,
    )
    count, alike = len(differences), no_spread(differences)
    few = TooFew(
        sentence=said("it takes {least} pairs, there are {n}", least=FEWEST, n=count),
        more=FEWEST - count,
        remedy=said("Time {n} more pairs before you decide.", n=FEWEST - count),
    )
    return Effect(
        before=_side(before),
        after=_side(after),
        difference=found.difference,
        interval=interval,
        ratio=ratio,
        ratio_interval=ratio_interval,
        test=test,
        rank=rank,
        reported="rank" if ranks_are_safer(differences) else "mean",
        anytime=anytime.mean_of_paired_differences(before, after, confidence),
        too_few=few if count < FEWEST else None,
        caps=(*order_caps((_OF_PAIRS, differences)), *([NO_SPREAD_CAP] if alike else [])),
        warnings=(
            *order_warnings((_OF_PAIRS, differences)),
            *disagreement(test, rank, confidence),
            *([NO_SPREAD_WARNING] if alike else []),
        ),
        needed=lambda value: anytime.looks_needed_paired(before, after, value, confidence),
        what=said("pairs"),
        explanation=_paired_explanation(differences, confidence, unit),
    )


def _too_few(before: int, after: int) -> TooFew | None:
    if min(before, after) >= FEWEST:
        return None
    sentence = said(
        "it takes {least} cycles on either side, there are {before} before and {after} after",
        least=FEWEST,
        before=before,
        after=after,
    )
    if after < FEWEST:
        lacking = FEWEST - after
        remedy = said("Time {n} more after the change before you decide.", n=lacking)
        return TooFew(sentence=sentence, more=lacking, remedy=remedy)
    remedy = said("The baseline is short: time {n} more the old way, if that can still be done.", n=FEWEST - before)
    return TooFew(sentence=sentence, more=None, remedy=remedy)


def _side(values: list[float]) -> Side:
    found = moments(values)
    far = outliers(values).beyond_outer
    return Side(n=found.n, level=found.mean, sd=found.sd, median=median(values), outliers=far)


def _ratio(
    before: list[float], after: list[float], confidence: float, *, pairs: bool
) -> tuple[float | None, Interval | None]:
    b, a = moments(before).mean, moments(after).mean
    if not (b > 0 and a > 0):
        return (a / b if b else None), None
    interval = (ratio_of_paired_means if pairs else ratio_of_means)(before, after, confidence)
    return a / b, interval


def _listed(symbol: str, values: Sequence[float], unit: str, meaning: str) -> tuple[list[Given], list[Step]]:
    """A series with its mean, sd and number as steps; a long one is given by these three alone."""
    found = moments(values)
    numbers = (("n", found.n, "", "number of"), ("m", found.mean, unit, "mean of"), ("s", found.sd, unit, "sd of"))
    if len(values) > _LISTED_UP_TO:
        return [Given(f"{name}_{symbol}", x, u, f"{text} {meaning}") for name, x, u, text in numbers], []
    functions = {"n": "count", "m": "mean", "s": "sd"}
    steps = [
        Step(f"{n}_{symbol}", f"{functions[n]}({symbol})", x, u, f"{text} {meaning}") for n, x, u, text in numbers
    ]
    return [Given(symbol, tuple(values), unit, meaning)], steps


def _welch_explanation(before: list[float], after: list[float], confidence: float, unit: str) -> Explanation:
    b, a = moments(before), moments(after)
    given_b, steps_b = _listed("b", before, unit, "readings before")
    given_a, steps_a = _listed("a", after, unit, "readings after")
    found = welch(before, after)
    steps = [
        *steps_b,
        *steps_a,
        Step("d", "m_a - m_b", found.difference, unit, "difference of the means, after - before"),
        Step(
            "se",
            "sqrt(s_b**2 / n_b + s_a**2 / n_a)",
            found.standard_error,
            unit,
            "its standard error",
            "welch_1947",
        ),
        *_welch_df(b, a, found.df),
        *interval_steps(found.difference, found.standard_error, found.df, confidence, unit),
        *t_steps(found.t, found.standard_error, found.p_value, "welch_1947"),
    ]
    return Explanation(
        title="Times before against after",
        given=(*given_b, *given_a, Given("conf", confidence, "", "confidence")),
        assumptions=(
            "readings are independent of one another; the work stays the same within each series",
            "means are compared because minutes and money add up by means",
        ),
        steps=tuple(steps),
        sources=("welch_1947", "mann_whitney_1947", "hodges_lehmann_1963", "waudby_smith_2024"),
    )


def _welch_df(b: Moments, a: Moments, df: float) -> list[Step]:
    meaning = "degrees of freedom"
    if b.sd == 0 and a.sd == 0:
        return [Step("df", "n_b + n_a - 2", df, "", meaning, "welch_1947")]
    formula = "se**4 / ((s_b**2 / n_b)**2 / (n_b - 1) + (s_a**2 / n_a)**2 / (n_a - 1))"
    return [Step("df", formula, df, "", meaning, "welch_1947")]


def _paired_explanation(differences: list[float], confidence: float, unit: str) -> Explanation:
    given, steps = _listed("x", differences, unit, "differences, after - before, pair by pair")
    found = moments(differences)
    se, df = found.standard_error, float(found.n - 1)
    t = found.mean / se if se else 0.0
    p_value = paired([0.0] * found.n, differences).p_value
    return Explanation(
        title="Pairs before against after",
        given=(*given, Given("conf", confidence, "", "confidence")),
        assumptions=("pairs are independent of one another", "what the two of a pair share drops out"),
        steps=(
            *steps,
            Step("d", "m_x", found.mean, unit, "mean difference"),
            Step("se", "s_x / sqrt(n_x)", se, unit, "its standard error"),
            Step("df", "n_x - 1", df, "", "degrees of freedom"),
            *interval_steps(found.mean, se, df, confidence, unit),
            *t_steps(t, se, p_value, "nist_handbook"),
        ),
        sources=("nist_handbook", "wilcoxon_1945", "hodges_lehmann_1963", "robbins_1970"),
    )
