"""A bar lying on equal supports: how its weight goes into them, how far it sags (theorem of three moments)."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

STATIONS: Final = 41


@dataclass(frozen=True, slots=True, kw_only=True)
class Lying:
    """A uniform bar on level supports that do not give.

    Attributes:
        shares: of its weight on each support; they add up to 1.
        sag: largest deflection between supports, in q / EI; end: how far its ends hang down (or rise, negative).
    """

    shares: tuple[float, ...]
    sag: float
    end: float


def lying(supports: int, span_m: float, overhang_m: float) -> Lying:
    """A bar on so many supports, `span_m` apart, standing out by `overhang_m` at each end.

    Args:
        supports: 2 or more.
        span_m: between neighbours.
        overhang_m: at each end.
    """
    n, s, a = supports, span_m, overhang_m
    moments = np.full(n, -a * a / 2)
    if n > 2:
        # M(i-1) + 4 M(i) + M(i+1) = -s^2 / 2 for each inner support.
        matrix = 4 * np.eye(n - 2) + np.eye(n - 2, k=1) + np.eye(n - 2, k=-1)
        right = np.full(n - 2, -s * s / 2)
        right[0] -= moments[0]
        right[-1] -= moments[-1]
        moments[1:-1] = np.linalg.solve(matrix, right)
    shears = np.diff(moments) / s
    forces = np.full(n, s)
    forces[[0, -1]] = s / 2 + a
    forces[:-1] += shears
    forces[1:] -= shears
    x = np.linspace(0, s, STATIONS)
    sags = [
        x * (s**3 - 2 * s * x**2 + x**3) / 24
        + left * x * (s - x) * (2 * s - x) / (6 * s)
        + rest * x * (s**2 - x**2) / (6 * s)
        for left, rest in pairwise(moments)
    ]
    slope = s**3 / 24 + moments[0] * s / 3 + moments[1] * s / 6
    return Lying(
        shares=tuple(float(force) for force in forces / forces.sum()),
        sag=float(np.max(np.abs(sags))),
        end=float(a**4 / 8 - a * slope),
    )
