"""Capability of a process in control: how well its spread fits between the limits of a specification."""

from __future__ import annotations

import math
from dataclasses import dataclass

from floorwright.basis.stat.intervals import Interval
from floorwright.basis.stat.quantiles import two_sided_z


@dataclass(frozen=True, slots=True, kw_only=True)
class Capability:
    """Cp (None for a one-sided specification) and Cpk, each with its interval."""

    Cp: float | None
    Cp_interval: Interval | None
    Cpk: float
    Cpk_interval: Interval


def capability(
    *, mean: float, sigma: float, n: int, lower: float | None, upper: float | None, confidence: float = 0.95
) -> Capability:
    """Cp = (upper - lower) / 6 sigma, Cpk = the smaller of (upper - mean) and (mean - lower) over 3 sigma.

    Intervals: Cp by the chi-squared distribution with n - 1 degrees of freedom, Cpk by
    Cpk +/- z sqrt(1/(9 n) + Cpk²/(2 (n - 1))) (NIST/SEMATECH e-Handbook, section 6.1.6). They take sigma as if it
    came from n - 1 degrees of freedom; from ranges it has fewer, and the true interval is somewhat wider.

    Args:
        mean: of the process.
        sigma: standard deviation of single readings, more than 0.
        n: readings behind it, two or more.
        lower, upper: limits of the specification, at least one of them.
        confidence: of the intervals.
    """
    from scipy.special import gammaincinv

    sides = [upper - mean] if upper is not None else []
    sides += [mean - lower] if lower is not None else []
    Cpk = min(sides) / (3 * sigma)
    reach = two_sided_z(confidence) * math.sqrt(1 / (9 * n) + Cpk**2 / (2 * (n - 1)))
    Cp, Cp_interval = None, None
    if upper is not None and lower is not None:
        Cp = (upper - lower) / (6 * sigma)
        tail = (1 - confidence) / 2
        low, high = (math.sqrt(2 * float(gammaincinv((n - 1) / 2, p)) / (n - 1)) for p in (tail, 1 - tail))
        Cp_interval = Interval(Cp * low, Cp * high)
    return Capability(Cp=Cp, Cp_interval=Cp_interval, Cpk=Cpk, Cpk_interval=Interval(Cpk - reach, Cpk + reach))
