"""Simulated improvements, looked at after every reading: what the coverage test and tools/coverage.py count.

Each path is one baseline and one growing after series. A path is covered when every interval shown on it, from the
first look to the last, holds the true value. With N paths the standard error of a coverage near 0.95 is
0.22/sqrt(N): 0.005 for 2,000, 0.002 for 10,000.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtrit

from floorwright.basis.stat import rates, sequence

Array = NDArray[np.float64]
Draw = Callable[[np.random.Generator, tuple[int, int]], Array]

FIRST = sequence.FIRST_LOOK
SHOWN_AT = (20, 40, 80)


@dataclass(frozen=True)
class Source:
    """A distribution of times: how to draw them and their true mean."""

    name: str
    draw: Draw
    mean: float


@dataclass(frozen=True)
class Coverage:
    """Share of paths covered, and the median width against the fixed-sample interval at 20, 40 and 80 after."""

    covered: float
    too_high: float
    too_low: float
    width_ratios: tuple[float, ...]


def lognormal(sd: float, scale: float = 1.0) -> Source:
    """Times of median `scale` whose logarithms have the given standard deviation."""
    return Source(
        name=f"lognormal {sd:g}" + (f" × {scale:g}" if scale != 1.0 else ""),
        draw=lambda rng, shape: scale * rng.lognormal(0.0, sd, shape),
        mean=scale * math.exp(sd * sd / 2.0),
    )


def normal(sd: float) -> Source:
    """Symmetric times of mean 1."""
    return Source(name=f"normal {sd:g}", draw=lambda rng, shape: rng.normal(1.0, sd, shape), mean=1.0)


def uniform(low: float, high: float) -> Source:
    """Times spread evenly."""
    return Source(
        name=f"uniform {low:g} to {high:g}",
        draw=lambda rng, shape: rng.uniform(low, high, shape),
        mean=(low + high) / 2.0,
    )


def with_stops(sd: float, share: float = 0.05, factor: float = 3.0) -> Source:
    """Lognormal times of which a share takes `factor` times as long: stops that nobody marked as foreign."""

    def draw(rng: np.random.Generator, shape: tuple[int, int]) -> Array:
        times = rng.lognormal(0.0, sd, shape)
        return np.where(rng.random(shape) < share, factor * times, times)

    return Source(
        name=f"lognormal {sd:g}, {share:.0%} stops × {factor:g}",
        draw=draw,
        mean=math.exp(sd * sd / 2.0) * (1.0 + share * (factor - 1.0)),
    )


def running_moments(values: Array) -> tuple[Array, Array, Array]:
    """Mean, standard deviation (n - 1) and adjusted skewness of the first 1, 2 ... readings of each row."""
    n = np.arange(1, values.shape[1] + 1)
    mean = np.cumsum(values, axis=1) / n
    square = np.cumsum(values**2, axis=1) / n
    m2 = np.maximum(square - mean**2, 1e-300)
    m3 = np.cumsum(values**3, axis=1) / n - 3.0 * mean * square + 2.0 * mean**3
    with np.errstate(divide="ignore", invalid="ignore"):
        sd = np.sqrt(m2 * n / (n - 1))
        skewness = np.sqrt(n * (n - 1.0)) / (n - 2.0) * m3 / m2**1.5
    return mean, sd, skewness


def _counted(limits: sequence.Limits, true: float, fixed_width: Array, at: list[int]) -> Coverage:
    slack = 1e-12
    too_high = (limits[0] > true + slack).any(axis=1)
    too_low = (limits[1] < true - slack).any(axis=1)
    with np.errstate(invalid="ignore"):
        width = (limits[1][:, at] - limits[0][:, at]) / fixed_width[:, at]
    return Coverage(
        covered=1.0 - float((too_high | too_low).mean()),
        too_high=float(too_high.mean()),
        too_low=float(too_low.mean()),
        width_ratios=tuple(float(w) for w in np.nanmedian(width, axis=0)),
    )


def means(before: Source, after: Source, n: int, paths: int, most: int, seed: int) -> Coverage:
    """Difference of means, baseline of n, a look after each of the readings 10 to `most`."""
    rng = np.random.default_rng(seed)
    x = before.draw(rng, (paths, n))
    y_mean, y_sd, _ = (a[:, FIRST - 1 :] for a in running_moments(after.draw(rng, (paths, most))))
    m = np.arange(FIRST, most + 1)
    x_mean, x_sd = x.mean(axis=1, keepdims=True), x.std(axis=1, ddof=1, keepdims=True)
    limits = sequence.means_limits(n, x_mean, x_sd, m, y_mean, y_sd, 0.95, positive=True)
    at = [k - FIRST for k in SHOWN_AT]
    v1, v2 = x_sd**2 / n, y_sd**2 / m
    df = (v1 + v2) ** 2 / (v1**2 / (n - 1) + v2**2 / (m - 1))
    return _counted(limits, after.mean - before.mean, 2.0 * stdtrit(df, 0.975) * np.sqrt(v1 + v2), at)


def pairs(differences: Source, paths: int, most: int, seed: int) -> Coverage:
    """Mean of paired differences, a look after each of the pairs 10 to `most`."""
    rng = np.random.default_rng(seed)
    mean, sd, skewness = (a[:, FIRST - 1 :] for a in running_moments(differences.draw(rng, (paths, most))))
    n = np.arange(FIRST, most + 1)
    limits = sequence.paired_limits(n, mean, sd, skewness, 0.95)
    fixed = 2.0 * stdtrit(n - 1.0, 0.975) * sd / np.sqrt(n)
    return _counted(limits, differences.mean, fixed, [k - FIRST for k in SHOWN_AT])


def faster_pairs(sd: float) -> Source:
    """Differences of pairs that share the size of the piece and take 0.7 times as long after."""

    def draw(rng: np.random.Generator, shape: tuple[int, int]) -> Array:
        before = rng.lognormal(0.0, sd, shape)
        return 0.7 * before * rng.lognormal(0.0, 0.2, shape) - before

    return Source(
        name=f"0.7 × lognormal {sd:g}, pairs",
        draw=draw,
        mean=(0.7 * math.exp(0.02) - 1.0) * math.exp(sd * sd / 2.0),
    )


def two_rates(expected: float, ratio: float, paths: int, looks: int, seed: int) -> tuple[Coverage, Coverage]:
    """Difference and ratio of rates: `expected` events in a baseline of exposure 1, looks up to exposure 5."""
    rng = np.random.default_rng(seed)
    x = rng.poisson(expected, (paths, 1)).astype(float)
    u = np.geomspace(sequence.FIRST_EXPOSURE, 5.0, looks)
    y = np.cumsum(rng.poisson(expected * ratio * np.diff(u, prepend=0.0), (paths, looks)), axis=1).astype(float)
    at = [int(np.searchsorted(u, e)) for e in (0.5, 1.0, 2.0)]
    low_x, high_x = rates.garwood_limits(x, 1.0, 0.025)
    low_y, high_y = rates.garwood_limits(y, u, 0.025)
    fixed = np.hypot(y / u - low_y, high_x - x) + np.hypot(high_y - y / u, x - low_x)
    difference = sequence.rate_difference_limits(x, 1.0, y, u, 0.95)
    low, high = sequence.rate_ratio_limits(x, 1.0, y, u, 0.95)
    share_low, share_high = rates.clopper_pearson_limits(y, x + y, 0.025)
    with np.errstate(divide="ignore", invalid="ignore"):
        logarithms = np.log(low), np.log(high)
        fixed_log = np.log(share_high / (1.0 - share_high)) - np.log(share_low / (1.0 - share_low))
    return (
        _counted(difference, expected * (ratio - 1.0), fixed, at),
        _counted(logarithms, math.log(ratio), fixed_log, at),
    )


def two_proportions(p: float, q: float, n: int, paths: int, most: int, seed: int) -> Coverage:
    """Difference of proportions, baseline of n trials, a look after each of the trials 10 to `most`."""
    rng = np.random.default_rng(seed)
    x = rng.binomial(n, p, (paths, 1)).astype(float)
    y = np.cumsum(rng.random((paths, most)) < q, axis=1)[:, FIRST - 1 :].astype(float)
    m = np.arange(FIRST, most + 1)
    limits = sequence.proportion_limits(x, n, y, m, 0.95)
    (low_x, high_x), (low_y, high_y) = (_wilson(x, n), _wilson(y, m))
    fixed = np.hypot(y / m - low_y, high_x - x / n) + np.hypot(high_y - y / m, x / n - low_x)
    return _counted(limits, q - p, fixed, [k - FIRST for k in SHOWN_AT])


def _wilson(x: Array, n: int | Array) -> tuple[Array, Array]:
    z2 = 1.959964**2 / n
    reach = np.sqrt(z2 * (x / n) * (1.0 - x / n) + z2 * z2 / 4.0)
    return (x / n + z2 / 2.0 - reach) / (1.0 + z2), (x / n + z2 / 2.0 + reach) / (1.0 + z2)


LOG_SDS = (0.2, 0.4, 0.6, 0.8)
BASELINES = (10, 15, 30, 60)
UNEQUAL = ((0.2, 0.4), (0.3, 0.6), (0.4, 0.8), (0.4, 0.2), (0.6, 0.3), (0.8, 0.4))

# What the intervals promise: lognormal times, equal or unequal spread, and some that are not lognormal.
MEANS = (
    *((lognormal(sd), lognormal(sd), n) for sd in LOG_SDS for n in BASELINES),
    *((lognormal(b), lognormal(a, 0.8), n) for b, a in UNEQUAL for n in BASELINES),
    (normal(0.1), normal(0.1), 10),
    (normal(0.3), normal(0.1), 10),
    (normal(0.1), normal(0.3), 30),
    (uniform(0.2, 1.8), uniform(0.2, 1.8), 15),
)
# Where they fall short: stops of three times the usual length that nobody marked.
STOPS = ((with_stops(0.2), with_stops(0.2), 30), (with_stops(0.2), lognormal(0.2), 15))
PAIRS = (normal(1.0), faster_pairs(0.2), faster_pairs(0.4), faster_pairs(0.6))
LOPSIDED_PAIRS = faster_pairs(0.8)
# Events expected in the baseline, true ratio.
RATES = ((5.0, 0.3), (10.0, 0.6), (20.0, 1.0), (50.0, 0.5), (200.0, 0.6), (200.0, 2.0))
# Proportion before, after, trials before.
PROPORTIONS = ((0.1, 0.02, 20), (0.1, 0.3, 20), (0.3, 0.1, 50), (0.5, 0.5, 50), (0.1, 0.1, 200), (0.02, 0.02, 50))
