"""How many readings are needed, what chance a study has to see a change, and how small a change it can see.

Differences are taken two-sided, with a chance of a false alarm of 1 - confidence.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from floorwright.basis.stat._readings import check_confidence
from floorwright.basis.stat.quantiles import two_sided_t, two_sided_z, z

# Beyond this many readings a side, the answer is that the change is too small to be timed.
MOST_READINGS = 100_000_000
# Takes the rounding of floats out of a whole number before it is rounded up.
_WHOLE = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleSize:
    """The number as the formula gives it (`exact`) and rounded up to whole readings."""

    exact: float
    observations: int


def _rounded_up(exact: float) -> SampleSize:
    return SampleSize(exact=exact, observations=max(1, math.ceil(exact * (1.0 - _WHOLE))))


def observations_for_mean(
    mean: float, sd: float, relative_error: float, confidence: float = 0.95, pilot: int | None = None
) -> SampleSize:
    """Return how many readings bring the mean within +/- relative_error of itself.

    n = (q s/(k m))^2, rounded up; q is the normal quantile, or with `pilot` (the number of readings that s
    comes from) Student's t with pilot - 1 degrees of freedom, not iterated (Niebel and Freivalds, Methods,
    Standards and Work Design; Kanawaty, Introduction to Work Study, ILO). The readings of the pilot count.
    """
    check_confidence(confidence)
    if not mean > 0.0 or not sd >= 0.0 or not relative_error > 0.0:
        raise ValueError("the mean and the error must be positive, the standard deviation not negative")
    if pilot is not None and pilot < 2:
        raise ValueError(f"a pilot needs two or more readings, not {pilot}")
    q = two_sided_z(confidence) if pilot is None else two_sided_t(confidence, pilot - 1)
    return _rounded_up((q * sd / (relative_error * mean)) ** 2)


def observations_for_proportion(proportion: float, absolute_error: float, confidence: float = 0.95) -> SampleSize:
    """Return how many looks bring a proportion within +/- absolute_error: n = z^2 p(1-p)/e^2.

    The normal approximation of work sampling; too few where n p or n (1-p) is below about 5.
    """
    check_confidence(confidence)
    if not 0.0 <= proportion <= 1.0 or not absolute_error > 0.0:
        raise ValueError("a proportion lies between 0 and 1 and the error is positive")
    return _rounded_up((two_sided_z(confidence) / absolute_error) ** 2 * proportion * (1.0 - proportion))


def power_two_means(
    difference: float, sd: float, n_before: float, n_after: float, confidence: float = 0.95
) -> float:
    """Return the chance that the two-sample t test sees a difference of two means, common sd.

    1 - F(t) + F(-t), F of the noncentral t with n1 + n2 - 2 degrees of freedom and noncentrality
    difference/(sd sqrt(1/n1 + 1/n2)); rejections on the wrong side are counted in too, as R's power.t.test
    does with strict = TRUE. Right for equal spreads; Welch's test has nearly the same power.
    """
    check_confidence(confidence)
    return _t_power(
        difference / (sd * math.sqrt(1.0 / n_before + 1.0 / n_after)), n_before + n_after - 2, confidence
    )


def power_paired(difference: float, sd: float, n: float, confidence: float = 0.95) -> float:
    """Return the chance that the paired t test sees a mean difference; `sd` is that of the differences."""
    check_confidence(confidence)
    return _t_power(difference / sd * math.sqrt(n), n - 1, confidence)


def _t_power(noncentrality: float, df: float, confidence: float) -> float:
    from scipy.stats import nct

    limit = two_sided_t(confidence, df)
    shift = abs(noncentrality)
    if shift > 37.0:  # beyond what the noncentral t is tabulated for, and certain by then
        return 1.0
    return float(nct.sf(limit, df, shift) + nct.cdf(-limit, df, shift))


def power_two_proportions(before: float, after: float, n_each: float, confidence: float = 0.95) -> float:
    """Return the chance that a test of two proportions sees the change, n trials on either side.

    Phi[(sqrt(n) |p1-p2| - z sqrt(2 p q)) / sqrt(p1 q1 + p2 q2)], p = (p1+p2)/2: the normal approximation with the
    pooled variance under no change, as R's power.prop.test (Fleiss, Levin and Paik, Statistical Methods
    for Rates and Proportions, chapter 4). Fisher's exact test needs a few more, about 4/|p1-p2| in all.
    """
    check_confidence(confidence)
    middle = (before + after) / 2.0
    no_change = two_sided_z(confidence) * math.sqrt(2.0 * middle * (1.0 - middle))
    spread = math.sqrt(before * (1.0 - before) + after * (1.0 - after))
    gap = math.sqrt(n_each) * abs(after - before) - no_change
    if spread == 0.0:
        return 1.0 if gap > 0.0 else 0.0
    return _normal_below(gap / spread)


def power_two_rates(before: float, after: float, exposure_each: float, confidence: float = 0.95) -> float:
    """Return the chance that a test of two Poisson rates sees the change, the same exposure on either side.

    Phi[sqrt(2 t) |sqrt(r1) - sqrt(r2)| - z]: square roots of counts have variance 1/4 whatever the rate
    (Gu, Ng, Tang and Schucany, Biometrical Journal 50 (2008) 283-298, their square-root test). The exact
    conditional test needs some 5 to 10 % more exposure.
    """
    check_confidence(confidence)
    gap = math.sqrt(2.0 * exposure_each) * abs(math.sqrt(before) - math.sqrt(after))
    return _normal_below(gap - two_sided_z(confidence))


def _normal_below(value: float) -> float:
    from scipy.special import ndtr

    return float(ndtr(value))


def means_each(difference: float, sd: float, power: float = 0.9, confidence: float = 0.95) -> SampleSize:
    """Return how many readings before, and as many after, show a difference of means with the given power."""
    _check_planned(difference, power)
    return _smallest(lambda n: power_two_means(difference, sd, n, n, confidence), power)


def pairs_needed(difference: float, sd: float, power: float = 0.9, confidence: float = 0.95) -> SampleSize:
    """Return how many pairs show a mean difference with the given power; `sd` is that of the differences."""
    _check_planned(difference, power)
    return _smallest(lambda n: power_paired(difference, sd, n, confidence), power)


def proportions_each(before: float, after: float, power: float = 0.9, confidence: float = 0.95) -> SampleSize:
    """Return how many trials on either side show the change of a proportion with the given power.

    n = [z sqrt(2 p q) + z_power sqrt(p1 q1 + p2 q2)]^2 / (p1 - p2)^2, the inverse of `power_two_proportions`.
    """
    _check_planned(after - before, power)
    check_confidence(confidence)
    middle = (before + after) / 2.0
    root = two_sided_z(confidence) * math.sqrt(2.0 * middle * (1.0 - middle))
    root += z(power) * math.sqrt(before * (1.0 - before) + after * (1.0 - after))
    return _rounded_up((root / (after - before)) ** 2)


def exposure_each(before: float, after: float, power: float = 0.9, confidence: float = 0.95) -> float:
    """Return the exposure on either side that shows the change of a Poisson rate with the given power.

    t = (z + z_power)^2 / (2 (sqrt(r1) - sqrt(r2))^2), in the unit that the rates are per; the inverse of
    `power_two_rates`.
    """
    _check_planned(after - before, power)
    check_confidence(confidence)
    gap = math.sqrt(before) - math.sqrt(after)
    return (two_sided_z(confidence) + z(power)) ** 2 / (2.0 * gap * gap)


def smallest_difference_of_means(
    sd: float, n_before: int, n_after: int, power: float = 0.8, confidence: float = 0.95
) -> float:
    """Return the smallest difference of two means that is seen with the given power."""
    _check_planned(1.0, power)
    return _root(lambda d: power_two_means(d * sd, sd, n_before, n_after, confidence) - power, 1e-9, 1.0) * sd


def _check_planned(change: float, power: float) -> None:
    if change == 0.0:
        raise ValueError("no number of readings shows a change of nothing")
    if not 0.0 < power < 1.0:
        raise ValueError(f"power is a fraction between 0 and 1, not {power}")


def _smallest(power_at: Callable[[float], float], power: float) -> SampleSize:
    if power_at(2.0) >= power:
        return SampleSize(exact=2.0, observations=2)
    return _rounded_up(_root(lambda n: power_at(n) - power, 2.0, 4.0))


def _root(gap: Callable[[float], float], low: float, high: float) -> float:
    """Return where an increasing function crosses 0, widening the upper end as far as needed."""
    from scipy.optimize import brentq

    while gap(high) < 0.0:
        if high > MOST_READINGS:
            raise ValueError(f"more than {MOST_READINGS} readings would be needed")
        low, high = high, 2.0 * high
    return float(brentq(gap, low, high, xtol=1e-10, rtol=1e-12))
