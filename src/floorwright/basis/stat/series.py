"""What the order of a series gives away: dependence from one reading to the next, runs and drift."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from floorwright.basis.stat._readings import FloatArray, Readings, readings
from floorwright.basis.stat.quantiles import z_p_value

_LONGEST_FOR_PAIRS = 1000
_LONGEST_EXACT = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class RunsTest:
    """Runs on one side of the median: their number, what chance would give, z and two-sided p."""

    runs: int
    expected: float
    z: float
    p_value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """Drift within a series: Mann-Kendall S, Kendall's tau, two-sided p, and the Theil-Sen slope.

    `slope_per_reading` is in the unit of the readings for each further reading. `exact` says whether p
    comes from the exact distribution. `block` is 1, or how many neighbouring readings were averaged first.
    """

    s: int
    tau: float
    p_value: float
    slope_per_reading: float
    exact: bool
    block: int


def lag1_autocorrelation(values: Readings) -> float:
    """Return r1 = sum (x_i - m)(x_{i+1} - m) / sum (x_i - m)^2, as NIST certifies it.

    0 for a series without spread. Values beyond 2/sqrt(n) on either side are hard to explain by chance
    (NIST/SEMATECH e-Handbook, section 1.3.5.12).
    """
    array = readings(values, least=2)
    shifted = array - math.fsum(array.tolist()) / array.size
    squares = math.fsum((shifted * shifted).tolist())
    if squares == 0.0:
        return 0.0
    return math.fsum((shifted[:-1] * shifted[1:]).tolist()) / squares


def effective_size(n: int, lag1: float) -> float:
    """Return n (1 - r)/(1 + r): how many independent readings tell as much about the mean as these n.

    Exact for long first-order autoregressive series, a guide otherwise. A negative r gives more than n;
    a careful caller then takes n.
    """
    if not -1.0 < lag1 < 1.0:
        raise ValueError(f"a lag-1 correlation lies strictly between -1 and 1, not {lag1}")
    return n * (1.0 - lag1) / (1.0 + lag1)


def runs_test(values: Readings) -> RunsTest:
    """Test the order of a series by its runs above and below the median (Wald and Wolfowitz, 1940).

    With n1 readings above and n2 below (readings on the median are left out),
    E = 2 n1 n2/(n1 + n2) + 1 and V = (E - 1)(E - 2)/(n1 + n2 - 1); z = (runs - E)/sqrt(V), without continuity
    correction, as in the NIST/SEMATECH e-Handbook, section 1.3.5.13. Few runs (z < 0) mean drift or shifts,
    many mean over-steering. The normal form wants about 10 readings on each side; with none on
    one side z is 0 and p is 1.
    """
    array = readings(values, least=2)
    middle = float(np.median(array))
    above = array[array != middle] > middle
    n1 = int(above.sum())
    n2 = int(above.size - n1)
    if n1 == 0 or n2 == 0:
        return RunsTest(runs=min(above.size, 1), expected=1.0, z=0.0, p_value=1.0)
    runs = 1 + int((above[1:] != above[:-1]).sum())
    expected = 2.0 * n1 * n2 / (n1 + n2) + 1.0
    variance = (expected - 1.0) * (expected - 2.0) / (n1 + n2 - 1)
    score = (runs - expected) / math.sqrt(variance) if variance > 0.0 else 0.0
    return RunsTest(runs=runs, expected=expected, z=score, p_value=z_p_value(score))


def trend(values: Readings) -> Trend:
    """Test a series for drift (Mann-Kendall) and say how steep it is (Theil-Sen).

    S counts later readings above minus below earlier ones, over all pairs; under no drift every order is
    equally likely (H. B. Mann, Econometrica 13 (1945) 245-259; M. G. Kendall, Rank Correlation Methods, 1975).
    p is exact for up to 60 readings without ties; otherwise normal with
    V = [n(n-1)(2n+5) - sum t(t-1)(2t+5)]/18, ties t, and continuity correction (|S| - 1)/sqrt(V). tau is S over
    the number of pairs. The slope is the median of the slopes of all pairs (P. K. Sen, JASA 63 (1968)
    1379-1389).

    More than 1,000 readings are first averaged in equal blocks of neighbours (the rest at the end joins no
    block): the number of pairs stays bearable, and the test stays valid because block means of readings in
    random order are in random order too. Readings that depend on their neighbours look like drift to this
    test: see `lag1_autocorrelation`.
    """
    array = readings(values, least=3)
    block = -(-array.size // _LONGEST_FOR_PAIRS)
    if block > 1:
        kept = array.size // block * block
        array = array[:kept].reshape(-1, block).mean(axis=1)
    n = array.size
    first, second = np.triu_indices(n, k=1)
    rise = array[second] - array[first]
    s = int(np.sign(rise).sum())
    p_value, exact = _mann_kendall_p(array, s)
    slope = float(np.median(rise / (second - first))) / block
    return Trend(
        s=s, tau=2.0 * s / (n * (n - 1)), p_value=p_value, slope_per_reading=slope, exact=exact, block=block
    )


def _mann_kendall_p(array: FloatArray, s: int) -> tuple[float, bool]:
    n = array.size
    ties = np.unique(array, return_counts=True)[1].astype(np.float64)
    if n <= _LONGEST_EXACT and ties.max() == 1.0:
        upper = _inversion_tail(n)
        return min(1.0, 2.0 * upper[(n * (n - 1) // 2 - abs(s)) // 2]), True
    tied = float((ties * (ties - 1.0) * (2.0 * ties + 5.0)).sum())
    variance = (n * (n - 1.0) * (2.0 * n + 5.0) - tied) / 18.0
    if s == 0 or variance <= 0.0:
        return 1.0, False
    return z_p_value((abs(s) - 1.0) / math.sqrt(variance)), False


@lru_cache(maxsize=64)
def _inversion_tail(n: int) -> tuple[float, ...]:
    """Return P(inversions of a random order of n <= k) for k = 0, 1, ..."""
    chances = np.ones(1)
    for size in range(2, n + 1):
        chances = np.convolve(chances, np.full(size, 1.0 / size))
    return tuple(float(p) for p in np.cumsum(chances))
