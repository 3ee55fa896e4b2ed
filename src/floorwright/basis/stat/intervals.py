"""Fixed-sample intervals for means, their differences and ratios, and rank-based shifts.

Each holds its stated confidence for one look at a number of readings settled beforehand. For looking as often
as one likes see `anytime`. Differences are after - before, ratios after / before.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from floorwright.basis.stat import ranks
from floorwright.basis.stat._readings import FloatArray, Readings, check_confidence, readings
from floorwright.basis.stat.quantiles import two_sided_t, two_sided_z
from floorwright.basis.stat.summary import Moments, moments


@dataclass(frozen=True, slots=True)
class Interval:
    """Two ends, low <= high; either may be infinite."""

    low: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.high:
            raise ValueError(f"an interval runs from low to high, not from {self.low} to {self.high}")

    @property
    def width(self) -> float:
        """high - low."""
        return self.high - self.low

    def contains(self, value: float) -> bool:
        """Say whether the value lies between the ends or on one of them."""
        return self.low <= value <= self.high


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """A rank-based shift with its interval; `exact` where the interval rests on the exact distribution."""

    shift: float
    interval: Interval
    exact: bool


def mean_t(values: Readings, confidence: float = 0.95) -> Interval:
    """Return mean +/- t(n-1) s/sqrt(n) (Student, 1908).

    Exact for normal readings; from about 30 readings good for moderately skewed ones.
    """
    check_confidence(confidence)
    m = moments(values)
    reach = two_sided_t(confidence, m.n - 1) * m.standard_error
    return Interval(m.mean - reach, m.mean + reach)


def welch_df(before: Moments, after: Moments) -> float:
    """Return the Welch-Satterthwaite degrees of freedom of the difference of two means.

    (v1 + v2)^2 / (v1^2/(n1-1) + v2^2/(n2-1)) with v = s^2/n (B. L. Welch, Biometrika 34 (1947) 28-35);
    n1 + n2 - 2 where neither series has any spread.
    """
    return satterthwaite(before.variance_of_mean, before.n, after.variance_of_mean, after.n)


def satterthwaite(v1: float, n1: int, v2: float, n2: int) -> float:
    """Return the degrees of freedom of v1 + v2, where v1 and v2 have n1 - 1 and n2 - 1."""
    largest = max(v1, v2)
    if largest == 0.0:
        return float(n1 + n2 - 2)
    a, b = v1 / largest, v2 / largest
    return (a + b) ** 2 / (a * a / (n1 - 1) + b * b / (n2 - 1))


def welch_difference(before: Readings, after: Readings, confidence: float = 0.95) -> Interval:
    """Return the interval for mean(after) - mean(before), unequal variances (Welch, 1947)."""
    check_confidence(confidence)
    b, a = moments(before), moments(after)
    se = math.sqrt(b.variance_of_mean + a.variance_of_mean)
    reach = two_sided_t(confidence, welch_df(b, a)) * se
    return Interval(a.mean - b.mean - reach, a.mean - b.mean + reach)


def paired_difference(before: Readings, after: Readings, confidence: float = 0.95) -> Interval:
    """Return the t interval for the mean of after_i - before_i."""
    return mean_t(paired_differences(before, after), confidence)


def paired_differences(before: Readings, after: Readings) -> FloatArray:
    """Return after_i - before_i; ValueError where the two series are not equally long."""
    b, a = readings(before), readings(after)
    if b.size != a.size:
        raise ValueError(f"pairs need equally long series, not {b.size} and {a.size} readings")
    return a - b


def ratio_of_means(before: Readings, after: Readings, confidence: float = 0.95) -> Interval:
    """Return the interval for mean(after)/mean(before) of positive readings, on the logarithmic scale.

    log R +/- t(df) sqrt(c1^2/n1 + c2^2/n2), with c = s/mean and df after Satterthwaite: the delta method for
    the logarithm of a mean. Chosen over Fieller's because it is never empty, unbounded or negative, and because
    it is symmetric in before and after: the interval of the inverse ratio has the inverse ends. For
    c/sqrt(n) below 0.2 the two agree closely.
    """
    check_confidence(confidence)
    b, a = moments(before), moments(after)
    if not (b.mean > 0.0 and a.mean > 0.0):
        raise ValueError("a ratio of means needs positive means")
    v1 = (b.standard_error / b.mean) ** 2
    v2 = (a.standard_error / a.mean) ** 2
    reach = two_sided_t(confidence, satterthwaite(v1, b.n, v2, a.n)) * math.sqrt(v1 + v2)
    return _around_ratio(a.mean / b.mean, reach)


def ratio_of_paired_means(before: Readings, after: Readings, confidence: float = 0.95) -> Interval:
    """Return the interval for mean(after)/mean(before) where the readings come in pairs.

    The delta method as in `ratio_of_means`, with the spread taken from after_i/mean(after) -
    before_i/mean(before), so that what the two readings of a pair share drops out; t with n - 1.
    """
    check_confidence(confidence)
    b, a = readings(before, least=2), readings(after, least=2)
    if b.size != a.size:
        raise ValueError(f"pairs need equally long series, not {b.size} and {a.size} readings")
    mean_b, mean_a = moments(b).mean, moments(a).mean
    if not (mean_b > 0.0 and mean_a > 0.0):
        raise ValueError("a ratio of means needs positive means")
    se = moments(a / mean_a - b / mean_b).standard_error
    return _around_ratio(mean_a / mean_b, two_sided_t(confidence, b.size - 1) * se)


def _around_ratio(ratio: float, reach: float) -> Interval:
    return Interval(ratio * math.exp(-reach), ratio * math.exp(reach))


def hodges_lehmann_shift(before: Readings, after: Readings, confidence: float = 0.95) -> Shift:
    """Return the median of all after_j - before_i, with the interval that belongs to the Mann-Whitney test.

    Hodges and Lehmann, Annals of Mathematical Statistics 34 (1963) 598-611; interval from the ordered
    differences numbers k and n1 n2 + 1 - k (Hollander and Wolfe, Nonparametric Statistical Methods, section
    4.3). k is exact while both series have fewer than 50 readings (with ties it then errs on the wide side),
    else from the normal approximation, rounded down. Assumes a pure shift: same shape before and after. With
    too few readings for the confidence asked, the interval is that of the outermost differences.
    """
    check_confidence(confidence)
    b, a = readings(before), readings(after)
    pairs = b.size * a.size
    tail = (1.0 - confidence) / 2.0
    exact = max(a.size, b.size) < ranks.EXACT_BELOW
    if exact:
        k = ranks.lower_rank(ranks.mann_whitney_chances(b.size, a.size), tail)
    else:
        reach = two_sided_z(confidence) * math.sqrt(pairs * (b.size + a.size + 1) / 12.0)
        k = max(1, math.floor(pairs / 2.0 - reach))
    places = [(pairs + 1) // 2, pairs // 2 + 1, k, pairs + 1 - k]
    return _shift(ranks.pairwise_differences(b, a, places), exact)


def hodges_lehmann_paired(differences: Readings, confidence: float = 0.95) -> Shift:
    """Return the median of all means of two differences, with the interval of the signed-rank test.

    Hollander and Wolfe, section 3.2: ordered means numbers k and n(n+1)/2 + 1 - k, k exact below 50 pairs,
    else normal and rounded down. Assumes differences that are symmetric about their middle.
    """
    check_confidence(confidence)
    d = readings(differences)
    n = d.size
    pairs = n * (n + 1) // 2
    exact = n < ranks.EXACT_BELOW
    if exact:
        k = ranks.lower_rank(ranks.signed_rank_chances(n), (1.0 - confidence) / 2.0)
    else:
        reach = two_sided_z(confidence) * math.sqrt(n * (n + 1) * (2 * n + 1) / 24.0)
        k = max(1, math.floor(pairs / 2.0 - reach))
    places = [(pairs + 1) // 2, pairs // 2 + 1, k, pairs + 1 - k]
    return _shift(ranks.pairwise_means(d, places), exact)


def _shift(found: list[float], exact: bool) -> Shift:
    lower_middle, upper_middle, low, high = found
    return Shift(shift=0.5 * (lower_middle + upper_middle), interval=Interval(low, high), exact=exact)
