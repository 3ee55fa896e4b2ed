"""Exact and square-and-add intervals for proportions and for counts over an exposure.

Differences are after - before, ratios after / before. An exposure is whatever the count was counted
over: hours, pieces, metres of weld.
"""

from __future__ import annotations

import math
from typing import TypeAlias

import numpy as np

from floorwright.basis.stat._readings import FloatArray, check_confidence, check_count, check_exposure
from floorwright.basis.stat.intervals import Interval
from floorwright.basis.stat.quantiles import two_sided_z

Numbers: TypeAlias = float | FloatArray


def wilson(successes: int, trials: int, confidence: float = 0.95) -> Interval:
    """Return Wilson's score interval for a proportion, without continuity correction.

    (p + z^2/2n +/- z sqrt(p(1-p)/n + z^2/4n^2)) / (1 + z^2/n) (E. B. Wilson, JASA 22 (1927) 209-212). Coverage
    is near the nominal one on average, for few trials and small proportions too.
    """
    check_confidence(confidence)
    _check_trials(successes, trials)
    z = two_sided_z(confidence)
    p = successes / trials
    zz = z * z / trials
    middle = (p + zz / 2.0) / (1.0 + zz)
    reach = z * math.sqrt(p * (1.0 - p) / trials + zz / (4.0 * trials)) / (1.0 + zz)
    low = 0.0 if successes == 0 else max(0.0, middle - reach)
    high = 1.0 if successes == trials else min(1.0, middle + reach)
    return Interval(low, high)


def clopper_pearson(successes: int, trials: int, confidence: float = 0.95) -> Interval:
    """Return the exact interval for a proportion: never below the nominal coverage, so rather wide.

    Beta quantiles B(a/2; x, n-x+1) and B(1-a/2; x+1, n-x) (Clopper and Pearson, Biometrika 26 (1934) 404-413).
    """
    check_confidence(confidence)
    _check_trials(successes, trials)
    low, high = clopper_pearson_limits(successes, trials, (1.0 - confidence) / 2.0)
    return Interval(float(low), float(high))


def clopper_pearson_limits(successes: Numbers, trials: Numbers, tail: Numbers) -> tuple[FloatArray, FloatArray]:
    """The limits of `clopper_pearson` for whole arrays, given the chance in each tail."""
    from scipy.special import betaincinv

    x, rest = np.asarray(successes, dtype=float), np.subtract(trials, successes, dtype=float)
    low = np.where(x > 0.0, betaincinv(np.maximum(x, 0.5), rest + 1.0, tail), 0.0)
    high = np.where(rest > 0.0, betaincinv(x + 1.0, np.maximum(rest, 0.5), 1.0 - np.asarray(tail)), 1.0)
    return low, high


def newcombe_difference(before: tuple[int, int], after: tuple[int, int], confidence: float = 0.95) -> Interval:
    """Return Newcombe's interval for p(after) - p(before); each side is (successes, trials).

    Square-and-add of the two Wilson intervals: d - sqrt((p2-l2)^2 + (u1-p1)^2) to
    d + sqrt((u2-p2)^2 + (p1-l1)^2) (R. G. Newcombe, Statistics in Medicine 17 (1998) 873-890, method 10).
    """
    return square_and_add(
        before[0] / before[1], wilson(*before, confidence), after[0] / after[1], wilson(*after, confidence)
    )


def garwood(events: int, exposure: float, confidence: float = 0.95) -> Interval:
    """Return the exact interval for a Poisson rate: events over exposure.

    Gamma quantiles G(a/2; x) and G(1-a/2; x+1), divided by the exposure (F. Garwood, Biometrika 28 (1936)
    437-442). Coverage never below nominal.
    """
    check_confidence(confidence)
    check_count(events)
    check_exposure(exposure)
    low, high = garwood_limits(events, exposure, (1.0 - confidence) / 2.0)
    return Interval(float(low), float(high))


def garwood_limits(events: Numbers, exposure: Numbers, tail: Numbers) -> tuple[FloatArray, FloatArray]:
    """The limits of `garwood` for whole arrays, given the chance in each tail."""
    from scipy.special import gammaincinv

    x = np.asarray(events, dtype=float)
    low = np.where(x > 0.0, gammaincinv(np.maximum(x, 0.5), tail), 0.0)
    high = gammaincinv(x + 1.0, 1.0 - np.asarray(tail))
    return np.divide(low, exposure), np.divide(high, exposure)


def rate_difference(before: tuple[int, float], after: tuple[int, float], confidence: float = 0.95) -> Interval:
    """Return the interval for rate(after) - rate(before); each side is (events, exposure).

    Square-and-add (MOVER) of the two exact Garwood intervals: G. Y. Zou and A. Donner, Statistics in Medicine
    27 (2008) 1693-1702; for two Poisson rates H.-Q. Li, M.-L. Tang, W.-Y. Poon and N.-S. Tang,
    Communications in Statistics - Simulation and Computation 40 (2011) 1478-1493. The exact limits
    are used rather than the score limits because the interval then hardly ever leaves out 0 while the
    exact two-rate test does not reject; the price is a slightly wide interval.
    """
    return square_and_add(
        before[0] / before[1], garwood(*before, confidence), after[0] / after[1], garwood(*after, confidence)
    )


def rate_ratio(before: tuple[int, float], after: tuple[int, float], confidence: float = 0.95) -> Interval:
    """Return the exact conditional interval for rate(after)/rate(before), both tails alike (central).

    Given the sum of the two counts, the after count is binomial with p = R t2/(t1 + R t2); the Clopper-Pearson
    limits of p are turned into limits of R (Lehmann and Romano, Testing Statistical Hypotheses, section
    4.5; the interval that R's poisson.test prints). 0 to infinity where nothing happened on either side.
    """
    check_count(before[0])
    check_count(after[0])
    check_exposure(before[1])
    check_exposure(after[1])
    total = before[0] + after[0]
    if total == 0:
        return Interval(0.0, math.inf)
    share = clopper_pearson(after[0], total, confidence)
    return Interval(*(_odds(p) * before[1] / after[1] for p in (share.low, share.high)))


def _odds(p: float) -> float:
    return math.inf if p >= 1.0 else p / (1.0 - p)


def square_and_add(before: float, before_limits: Interval, after: float, after_limits: Interval) -> Interval:
    """Return the interval for after - before from the limits of each (MOVER; Zou and Donner, 2008).

    The distances of the two estimates from the limits that matter are added as the sides of a right
    triangle; limits that are not symmetric stay so.
    """
    difference = after - before
    down = math.hypot(after - after_limits.low, before_limits.high - before)
    up = math.hypot(after_limits.high - after, before - before_limits.low)
    return Interval(difference - down, difference + up)


def _check_trials(successes: int, trials: int) -> None:
    check_count(trials)
    if trials < 1:
        raise ValueError("a proportion needs one or more trials")
    check_count(successes, trials)
