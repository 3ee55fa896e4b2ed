"""Two-sided tests of before against after, with the effect each of them measures.

Differences are after - before. A p-value speaks of one look at a number of readings settled beforehand.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from floorwright.basis.stat import ranks
from floorwright.basis.stat._readings import FloatArray, Readings, check_count, check_exposure, readings
from floorwright.basis.stat.intervals import paired_differences, welch_df
from floorwright.basis.stat.quantiles import t_p_value, z_p_value
from floorwright.basis.stat.summary import moments


@dataclass(frozen=True, slots=True, kw_only=True)
class MeanTest:
    """A t test: mean of after minus mean of before, its standard error, t, degrees of freedom, p."""

    difference: float
    standard_error: float
    t: float
    df: float
    p_value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RankTest:
    """A rank test of two separate series.

    `u` counts the pairs in which the after reading is larger (half for a tie). The effect is the chance
    that a reading taken after is smaller, or larger, than one taken before (ties half).
    """

    u: float
    p_value: float
    exact: bool
    chance_after_smaller: float
    chance_after_larger: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedRankTest:
    """A rank test of pairs: rank sums of the rises and of the falls, pairs without a change left out."""

    rank_sum_up: float
    rank_sum_down: float
    pairs_used: int
    p_value: float
    exact: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ExactTest:
    """An exact test of two counts: two-sided p, and p that the after rate is lower, or higher."""

    p_value: float
    p_lower: float
    p_higher: float


def welch(before: Readings, after: Readings) -> MeanTest:
    """Test two means without assuming equal variances (B. L. Welch, Biometrika 34 (1947) 28-35).

    Where neither series has any spread t is infinite and p is 0, or t is 0 and p is 1 for equal means.
    """
    b, a = moments(before), moments(after)
    se = math.sqrt(b.variance_of_mean + a.variance_of_mean)
    return _mean_test(a.mean - b.mean, se, welch_df(b, a))


def paired(before: Readings, after: Readings) -> MeanTest:
    """Test the mean of after_i - before_i with Student's t, n - 1 degrees of freedom."""
    d = moments(paired_differences(before, after))
    return _mean_test(d.mean, d.standard_error, float(d.n - 1))


def _mean_test(difference: float, se: float, df: float) -> MeanTest:
    if se > 0.0:
        t = difference / se
    else:
        t = math.copysign(math.inf, difference) if difference else 0.0
    return MeanTest(difference=difference, standard_error=se, t=t, df=df, p_value=t_p_value(t, df))


def mann_whitney(before: Readings, after: Readings) -> RankTest:
    """Test whether readings taken after tend to be smaller or larger (Mann and Whitney, 1947).

    Exact while both series have fewer than 50 readings and there are no ties; otherwise the normal
    approximation with continuity correction and V = n m/12 [(N + 1) - sum(t^3 - t)/(N(N - 1))], ties t.
    """
    from scipy.stats import rankdata

    b, a = readings(before), readings(after)
    n, m = b.size, a.size
    pooled = np.concatenate((b, a))
    ranked = rankdata(pooled)
    u = float(ranked[n:].sum() - m * (m + 1) / 2.0)
    ties = _tie_sizes(pooled)
    exact = max(n, m) < ranks.EXACT_BELOW and float(ties.max()) == 1.0
    if exact:
        p_value = ranks.two_sided_p(ranks.mann_whitney_chances(n, m), round(u))
    else:
        total = n + m
        tied = float((ties**3 - ties).sum()) / (total * (total - 1.0)) if total > 1 else 0.0
        p_value = _normal_p(u, n * m / 2.0, n * m / 12.0 * (total + 1.0 - tied))
    larger = u / (n * m)
    return RankTest(
        u=u, p_value=p_value, exact=exact, chance_after_smaller=1.0 - larger, chance_after_larger=larger
    )


def signed_rank(before: Readings, after: Readings) -> SignedRankTest:
    """Test pairs by the signed ranks of their differences (F. Wilcoxon, Biometrics 1 (1945) 80-83).

    Differences of zero are left out. Exact below 50 pairs without ties among the sizes; otherwise normal
    with continuity correction and V = n(n+1)(2n+1)/24 - sum(t^3 - t)/48. p is 1 where no pair changed.
    """
    return signed_rank_of(paired_differences(before, after))


def signed_rank_of(differences: Readings) -> SignedRankTest:
    """The same, from the differences themselves."""
    from scipy.stats import rankdata

    every = readings(differences)
    d = every[every != 0.0]
    n = d.size
    if n == 0:
        return SignedRankTest(rank_sum_up=0.0, rank_sum_down=0.0, pairs_used=0, p_value=1.0, exact=True)
    ranked = rankdata(np.abs(d))
    up = float(ranked[d > 0.0].sum())
    ties = _tie_sizes(np.abs(d))
    exact = n < ranks.EXACT_BELOW and float(ties.max()) == 1.0 and n == every.size
    if exact:
        p_value = ranks.two_sided_p(ranks.signed_rank_chances(n), round(up))
    else:
        variance = n * (n + 1.0) * (2.0 * n + 1.0) / 24.0 - float((ties**3 - ties).sum()) / 48.0
        p_value = _normal_p(up, n * (n + 1.0) / 4.0, variance)
    down = n * (n + 1.0) / 2.0 - up
    return SignedRankTest(rank_sum_up=up, rank_sum_down=down, pairs_used=n, p_value=p_value, exact=exact)


def _tie_sizes(values: FloatArray) -> FloatArray:
    return np.unique(values, return_counts=True)[1].astype(np.float64)


def _normal_p(statistic: float, expected: float, variance: float) -> float:
    if variance <= 0.0:
        return 1.0
    return z_p_value(max(0.0, abs(statistic - expected) - 0.5) / math.sqrt(variance))


def two_rates(before: tuple[int, float], after: tuple[int, float], ratio: float = 1.0) -> ExactTest:
    """Test rate(after)/rate(before) = ratio exactly; each side is (events, exposure).

    Given the sum of the counts, the after count is binomial with p = R t2/(t1 + R t2) (Przyborowski and
    Wilenski, Biometrika 31 (1940) 313-323). The two-sided p adds the chances of all counts that are no more
    likely than the one seen (the definition of R's poisson.test and binom.test); the interval of
    `rates.rate_ratio` is central, so that the two may disagree for a p close to the limit. p is 1 where
    nothing happened on either side.
    """
    from scipy.stats import binomtest

    check_count(before[0])
    check_count(after[0])
    check_exposure(before[1])
    check_exposure(after[1])
    if not 0.0 < ratio < math.inf:
        raise ValueError(f"a rate ratio to test is a positive number, not {ratio}")
    total = before[0] + after[0]
    if total == 0:
        return ExactTest(p_value=1.0, p_lower=1.0, p_higher=1.0)
    share = ratio * after[1] / (before[1] + ratio * after[1])
    both, less, more = (
        float(binomtest(after[0], total, share, alternative=side).pvalue)
        for side in ("two-sided", "less", "greater")
    )
    return ExactTest(p_value=both, p_lower=less, p_higher=more)


def two_proportions(before: tuple[int, int], after: tuple[int, int]) -> ExactTest:
    """Test two proportions with Fisher's exact test; each side is (successes, trials).

    Given both margins, the after successes are hypergeometric; the two-sided p adds the chances of all
    tables that are no more likely than the one seen (the definition of R's fisher.test). Never too
    bold, with few trials rather cautious.
    """
    from scipy.stats import fisher_exact

    for successes, trials in (before, after):
        check_count(trials)
        check_count(successes, trials)
    table = np.array([[after[0], after[1] - after[0]], [before[0], before[1] - before[0]]])
    both, less, more = (
        float(fisher_exact(table, alternative=side).pvalue) for side in ("two-sided", "less", "greater")
    )
    return ExactTest(p_value=both, p_lower=less, p_higher=more)
