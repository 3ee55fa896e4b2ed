"""Limits that hold however often one looks: the mathematics behind `anytime`, for numbers and whole arrays.

A baseline of n readings is finished; m readings after the change are in, and m grows. The estimate
D_m = mean(after) - mean(before) has, for any two numbers of readings j < k,

    cov(D_j, D_k) = s1^2/n + s2^2/k = var(D_k),

so that D times its information I_m = 1/(s1^2/n + s2^2/m) moves, for independent readings and by the central limit
theorem, like a Brownian motion W(I) with a drift (C. Jennison and B. W. Turnbull, JASA 92 (1997) 1330-1341). The
finished baseline caps the information: it runs from I_10 at the first look to n/s1^2, however long one goes on.
Keeping |W(I)|/sqrt(I) below one constant c on all of that range therefore needs no more than

    P(max |W|/sqrt(I) >= c)  =  f(c) [(c - 1/c) log R + 4/c],    R = I_end/I_10 = 1 + (n/10) s2^2/s1^2,

f the normal density (R. Miller and D. Siegmund, Biometrics 38 (1982) 1011-1016; D. Siegmund, Sequential Analysis,
1985), set to 1 - confidence. The interval D +/- c sqrt(var) is the repeated confidence interval of Jennison and
Turnbull (Journal of the Royal Statistical Society B 51 (1989) 305-361) looked at without end, an
asymptotic confidence sequence in the sense of I. Waudby-Smith, D. Arbour, R. Sinha, E. H. Kennedy and A.
Ramdas (Annals of Statistics 52 (2024) 2613-2640).

Without a baseline (pairs) the information has no cap; there the boundary of H. Robbins and D. Siegmund (Annals
of Mathematical Statistics 41 (1970) 1410-1429) serves: |W(t)| >= sqrt(t (a^2 + log(t/t0))) for some t >= t0 has
exactly the chance 2 (1 - F(a) + a f(a)), so a^2 is the quantile of chi-square with three degrees of freedom.
"""

from __future__ import annotations

import math
from typing import TypeAlias

import numpy as np

from floorwright.basis.stat._readings import FloatArray
from floorwright.basis.stat.rates import Numbers, clopper_pearson_limits, garwood_limits

Limits: TypeAlias = tuple[FloatArray, FloatArray]

FIRST_LOOK = 10
FIRST_EXPOSURE = 0.1
LEAST_CONFIDENCE = 0.5
_LARGEST_RANGE = 1e6
_STEPS = 30
_PAIRED_SKEWNESS = 1.5


def constant_boundary(information_range: Numbers, confidence: float) -> FloatArray:
    """Return c: |W|/sqrt(I) stays below c while I grows by the factor `information_range` (1 to 10^6).

    The approximation of Miller and Siegmund, slightly on the safe side for a range near 1. Solved by
    c^2 = 2 log([(c - 1/c) log R + 4/c]/(alpha sqrt(2 pi))), repeated.
    """
    spread: FloatArray = np.log(np.clip(np.asarray(information_range, dtype=np.float64), 1.0, _LARGEST_RANGE))
    scale = (1.0 - confidence) * math.sqrt(2.0 * math.pi)
    c: FloatArray = np.full_like(spread, 2.5)
    for _ in range(_STEPS):
        c = np.sqrt(2.0 * np.log(((c - 1.0 / c) * spread + 4.0 / c) / scale))
    return c


def growing_boundary(growth: Numbers, confidence: float) -> FloatArray:
    """Return b: |W(t)|/sqrt(t) stays below b(t/t0) for all t >= t0, however large."""
    from scipy.special import chdtri

    boundary: FloatArray = np.sqrt(chdtri(3.0, 1.0 - confidence) + np.log(growth))
    return boundary


def _students(boundary: FloatArray, df: Numbers) -> FloatArray:
    """Return the quantile of Student's t with the tail area that the boundary has under the normal."""
    from scipy.special import ndtr, stdtrit

    return np.asarray(-stdtrit(df, ndtr(-boundary)), dtype=np.float64)


def _reach(n: Numbers, mean: Numbers, sd: Numbers, boundary: FloatArray, positive: bool) -> Limits:
    """Return how far the limits of one mean lie below and above it.

    With c = s/mean and r = t c/sqrt(n), in units of the mean: r both ways for readings of any sign. For positive
    ones 1 - exp(-r) down, which is the logarithmic scale, and r + (1 + c^2/3)(r^2 + c^2/(2n)) up. The second
    term is N. J. Johnson's correction of t for skewness (JASA 73 (1978) 536-544),
    gamma/(6 sqrt n) + gamma t^2/(3 sqrt n), with the skewness gamma = 3c + c^3 of a lognormal of the same c: ten
    readings show their own skewness too badly. Downward the smaller logarithmic correction is kept, lest
    symmetric times lose coverage.
    """
    t = _students(boundary, np.subtract(n, 1.0))
    if not positive:
        plain = t * sd / np.sqrt(n)
        return plain, plain
    squared = np.divide(sd, mean) ** 2
    r = t * np.sqrt(squared / n)
    skewed = (1.0 + squared / 3.0) * (r * r + squared / np.multiply(2.0, n))
    return mean * -np.expm1(-r), mean * (r + skewed)


def _square_and_add(estimate: FloatArray, before: Limits, after: Limits) -> Limits:
    """Join the reaches of the two sides (MOVER): down and up of each, as the sides of a right triangle."""
    return estimate - np.hypot(after[0], before[1]), estimate + np.hypot(after[1], before[0])


def means_limits(
    n: Numbers,
    mean_before: Numbers,
    sd_before: Numbers,
    m: Numbers,
    mean_after: Numbers,
    sd_after: Numbers,
    confidence: float,
    *,
    positive: bool,
) -> Limits:
    """Return the limits for mean(after) - mean(before) once m readings are in; n and m are 10 or more."""
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.where(np.equal(sd_after, 0.0), 0.0, np.divide(sd_after, sd_before) ** 2)
    boundary = constant_boundary(1.0 + np.divide(n, FIRST_LOOK) * ratio, confidence)
    before = _reach(n, mean_before, sd_before, boundary, positive)
    after = _reach(m, mean_after, sd_after, boundary, positive)
    return _square_and_add(np.subtract(mean_after, mean_before), before, after)


def paired_limits(n: Numbers, mean: Numbers, sd: Numbers, skewness: Numbers, confidence: float) -> Limits:
    """Return the limits for the mean of paired differences once n pairs are in, 10 or more.

    Johnson's correction t -> t + gamma t^2/(3 sqrt n) is applied on the side of the longer tail only, with one
    and a half times the sample skewness: few skewed differences show too little of it (found by simulation).
    """
    t = _students(growing_boundary(np.divide(n, FIRST_LOOK), confidence), np.subtract(n, 1.0))
    tail = _PAIRED_SKEWNESS * np.asarray(skewness) / (3.0 * np.sqrt(n)) * t * t
    se = sd / np.sqrt(n)
    return mean - se * (t + np.maximum(-tail, 0.0)), mean + se * (t + np.maximum(tail, 0.0))


def rate_difference_limits(
    events_before: Numbers,
    exposure_before: Numbers,
    events_after: Numbers,
    exposure_after: Numbers,
    confidence: float,
) -> Limits:
    """Return the limits for rate(after) - rate(before), from the first tenth of the baseline's exposure on.

    Square-and-add of the Garwood limits, as `rates.rate_difference`, with the tails that belong to c; the
    information runs over the range R = 1 + 10 r2/r1 (half an event added to each count).
    """
    ratio = _rate(events_after, exposure_after) / _rate(events_before, exposure_before)
    tail = _tail(constant_boundary(1.0 + ratio / FIRST_EXPOSURE, confidence))
    before = np.divide(events_before, exposure_before)
    after = np.divide(events_after, exposure_after)
    low_b, high_b = garwood_limits(events_before, exposure_before, tail)
    low_a, high_a = garwood_limits(events_after, exposure_after, tail)
    return _square_and_add(after - before, (before - low_b, high_b - before), (after - low_a, high_a - after))


def rate_ratio_limits(
    events_before: Numbers,
    exposure_before: Numbers,
    events_after: Numbers,
    exposure_after: Numbers,
    confidence: float,
) -> Limits:
    """Return the limits for rate(after)/rate(before), from the first tenth of the baseline's exposure on.

    The exact conditional limits of `rates.rate_ratio` with the tails that belong to c. The information of the
    logarithm of a rate is its count, which runs over the range R = 1 + 10 r1/r2.
    """
    ratio = _rate(events_before, exposure_before) / _rate(events_after, exposure_after)
    tail = _tail(constant_boundary(1.0 + ratio / FIRST_EXPOSURE, confidence))
    total = np.add(events_before, events_after, dtype=float)
    low, high = clopper_pearson_limits(events_after, total, tail)
    scale = np.divide(exposure_before, exposure_after)
    with np.errstate(divide="ignore"):
        return low / (1.0 - low) * scale, high / (1.0 - high) * scale


def _rate(events: Numbers, exposure: Numbers) -> FloatArray:
    """Return the rate with half an event added, so that a count of 0 still has a spread."""
    rate: FloatArray = np.add(events, 0.5) / exposure
    return rate


def _tail(boundary: FloatArray) -> FloatArray:
    from scipy.special import ndtr

    tail: FloatArray = ndtr(-boundary)
    return tail


def proportion_limits(
    successes_before: Numbers,
    trials_before: Numbers,
    successes_after: Numbers,
    trials_after: Numbers,
    confidence: float,
) -> Limits:
    """Return the limits for p(after) - p(before) once 10 or more trials are in.

    Square-and-add of the Clopper-Pearson limits with the tails that belong to c;
    R = 1 + (n/10) p2 q2/(p1 q1), half a success and half a failure added on each side.
    """
    p = np.add(successes_before, 0.5) / np.add(trials_before, 1.0)
    q = np.add(successes_after, 0.5) / np.add(trials_after, 1.0)
    spread = np.divide(trials_before, FIRST_LOOK) * (q * (1.0 - q)) / (p * (1.0 - p))
    tail = _tail(constant_boundary(1.0 + spread, confidence))
    before = np.divide(successes_before, trials_before)
    after = np.divide(successes_after, trials_after)
    low_b, high_b = clopper_pearson_limits(successes_before, trials_before, tail)
    low_a, high_a = clopper_pearson_limits(successes_after, trials_after, tail)
    return _square_and_add(after - before, (before - low_b, high_b - before), (after - low_a, high_a - after))
