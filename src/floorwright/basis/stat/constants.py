"""Control chart constants, computed from the normal distribution rather than read from a table.

d2 and d3 are mean and standard deviation of the range of n standard normal readings (L. H. C. Tippett,
Biometrika 17 (1925) 364-387), c4 the mean of their standard deviation:

    d2 = int [1 - F(x)^n - (1 - F(x))^n] dx
    d3 = sqrt(E[R^2] - d2^2),  E[R^2] = int r^2 n(n-1) int f(x) f(x+r) [F(x+r) - F(x)]^(n-2) dx dr
    c4 = sqrt(2/(n-1)) Gamma(n/2)/Gamma((n-1)/2)
    A2 = 3/(d2 sqrt n)   D3, D4 = 1 -/+ 3 d3/d2      A3 = 3/(c4 sqrt n)   B3, B4 = 1 -/+ 3 sqrt(1 - c4^2)/c4

and a negative D3 or B3 is 0. Printed tables round to three figures and differ among themselves in the last
one (D4 for n = 5: 2.114 or 2.115).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

import numpy as np

from floorwright.basis.stat._readings import FloatArray

SMALLEST = 2
LARGEST = 25
_NODES = 240
_FAR = 9.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartConstants:
    """The constants for subgroups of `n`, in the usual letters."""

    n: int
    d2: float
    d3: float
    c4: float
    A2: float
    A3: float
    B3: float
    B4: float
    D3: float
    D4: float


@cache
def chart_constants(n: int) -> ChartConstants:
    """Return the constants for a subgroup size from 2 to 25, good to about 10 figures."""
    if not SMALLEST <= n <= LARGEST:
        raise ValueError(f"chart constants are for subgroups of {SMALLEST} to {LARGEST}, not {n}")
    d2, d3 = _range_moments(n)
    c4 = math.sqrt(2.0 / (n - 1)) * math.exp(math.lgamma(n / 2.0) - math.lgamma((n - 1) / 2.0))
    spread_r = 3.0 * d3 / d2
    spread_s = 3.0 * math.sqrt(1.0 - c4 * c4) / c4
    return ChartConstants(
        n=n,
        d2=d2,
        d3=d3,
        c4=c4,
        A2=3.0 / (d2 * math.sqrt(n)),
        A3=3.0 / (c4 * math.sqrt(n)),
        B3=max(0.0, 1.0 - spread_s),
        B4=1.0 + spread_s,
        D3=max(0.0, 1.0 - spread_r),
        D4=1.0 + spread_r,
    )


def _range_moments(n: int) -> tuple[float, float]:
    from scipy.special import ndtr

    x, weight_x = _gauss(-_FAR, _FAR)
    below = ndtr(x)
    d2 = float((weight_x * (1.0 - below**n - (1.0 - below) ** n)).sum())
    r, weight_r = _gauss(0.0, 2.0 * _FAR)
    upper = x[:, None] + r[None, :]
    density = _normal(x)[:, None] * _normal(upper) * (ndtr(upper) - below[:, None]) ** (n - 2)
    squares = n * (n - 1) * float(weight_x @ density @ (weight_r * r * r))
    return d2, math.sqrt(squares - d2 * d2)


def _gauss(low: float, high: float) -> tuple[FloatArray, FloatArray]:
    node, weight = np.polynomial.legendre.leggauss(_NODES)
    half = (high - low) / 2.0
    return low + half * (node + 1.0), half * weight


def _normal(x: FloatArray) -> FloatArray:
    density: FloatArray = np.exp(-0.5 * x * x) / math.sqrt(2.0 * math.pi)
    return density
