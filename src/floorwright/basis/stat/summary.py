"""What one series of readings looks like: its middle, its spread, its shape and its odd ones."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from floorwright.basis.stat._readings import FloatArray, Readings, readings


@dataclass(frozen=True, slots=True, kw_only=True)
class Moments:
    """Number of readings, their mean and their standard deviation (divided by n - 1)."""

    n: int
    mean: float
    sd: float

    @property
    def variance_of_mean(self) -> float:
        """s^2 / n."""
        return self.sd * self.sd / self.n

    @property
    def standard_error(self) -> float:
        """s / sqrt(n)."""
        return self.sd / math.sqrt(self.n)


@dataclass(frozen=True, slots=True, kw_only=True)
class Quartiles:
    """First quartile, median and third quartile."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Outliers:
    """Fences and the positions (from 0, in the order of the series) of what lies strictly beyond them.

    `beyond_inner` holds everything outside 1.5 times the quartile range, `beyond_outer` that part of it
    which is outside 3 times as well. Nothing is removed: an odd reading is shown and kept until someone
    writes down why it does not count.
    """

    inner_low: float
    inner_high: float
    outer_low: float
    outer_high: float
    beyond_inner: tuple[int, ...]
    beyond_outer: tuple[int, ...]


def _mean(array: FloatArray) -> float:
    return math.fsum(array.tolist()) / array.size


def mean(values: Readings) -> float:
    """Return the arithmetic mean, from an exactly rounded sum (`math.fsum`)."""
    return _mean(readings(values))


def moments(values: Readings) -> Moments:
    """Return n, mean and standard deviation of two or more readings.

    s^2 = (sum d^2 - (sum d)^2 / n) / (n - 1) with d = x - mean: the shift keeps the digits when the readings
    share many leading ones, the second term takes out the rounding of the mean (Chan, Golub and LeVeque, The
    American Statistician 37 (1983) 242-247). NIST's certified values are met to 13 digits or better where
    the readings themselves can be held in a float.
    """
    array = readings(values, least=2)
    n = array.size
    middle = _mean(array)
    shifted = array - middle
    squares = math.fsum((shifted * shifted).tolist()) - math.fsum(shifted.tolist()) ** 2 / n
    return Moments(n=n, mean=middle, sd=math.sqrt(max(squares, 0.0) / (n - 1)))


def sd(values: Readings) -> float:
    """Return the standard deviation with n - 1 of two or more readings."""
    return moments(values).sd


def quartiles(values: Readings) -> Quartiles:
    """Return the quartiles by straight-line interpolation between order statistics.

    The p-quantile lies at position 1 + (n - 1) p of the sorted series (Hyndman and Fan, The American
    Statistician 50 (1996) 361-365, definition 7): what spreadsheets call the inclusive quartile.
    """
    low, middle, high = np.quantile(readings(values), (0.25, 0.5, 0.75))
    return Quartiles(low=float(low), middle=float(middle), high=float(high))


def median(values: Readings) -> float:
    """Return the middle reading, or the mean of the two in the middle."""
    return float(np.median(readings(values)))


def skewness(values: Readings) -> float:
    """Return the adjusted skewness G1 = sqrt(n(n-1))/(n-2) m3/m2^1.5 of three or more readings.

    The form of the spreadsheets (Joanes and Gill, The Statistician 47 (1998) 183-189). 0 for a series without
    spread. Below some 30 readings it mostly says too little: with n readings it cannot exceed sqrt(n).
    """
    array = readings(values, least=3)
    n = array.size
    shifted = array - _mean(array)
    m2 = math.fsum((shifted**2).tolist()) / n
    m3 = math.fsum((shifted**3).tolist()) / n
    if m2 == 0.0:
        return 0.0
    return math.sqrt(n * (n - 1)) / (n - 2) * m3 / (m2 * math.sqrt(m2))


def outliers(values: Readings) -> Outliers:
    """Return Tukey's fences, 1.5 and 3 quartile ranges beyond the quartiles, and the readings outside.

    J. W. Tukey, Exploratory Data Analysis (1977), with the quartiles of `quartiles`. A fence is a reason
    to ask what happened, not a test: about one in 140 good normal readings lies beyond the inner one, and of
    skewed times clearly more.
    """
    array = readings(values)
    q = quartiles(array)
    spread = q.high - q.low
    inner = (q.low - 1.5 * spread, q.high + 1.5 * spread)
    outer = (q.low - 3.0 * spread, q.high + 3.0 * spread)
    return Outliers(
        inner_low=inner[0],
        inner_high=inner[1],
        outer_low=outer[0],
        outer_high=outer[1],
        beyond_inner=_outside(array, *inner),
        beyond_outer=_outside(array, *outer),
    )


def _outside(array: FloatArray, low: float, high: float) -> tuple[int, ...]:
    return tuple(int(i) for i in np.flatnonzero((array < low) | (array > high)))
