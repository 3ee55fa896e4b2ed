"""Bending of a bar under an axial force, exactly: stiffer in tension, softer in thrust.

With z = N L²/(E I), positive in tension, everything is a combination of c_j(z) = Σ zᵐ/(2m + j)!, which holds for
tension, thrust and none alike (Timoshenko and Gere, Theory of Elastic Stability, chapter 1, in another notation).
"""

from __future__ import annotations

from math import factorial
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

CLAMPED: Final = -4 * np.pi**2
"""z at which a bar with clamped ends buckles by itself."""

_TERMS: Final = 12  # of the series, right to the last figure for |z| < 1
_SERIES: Final = np.array([[1 / factorial(2 * m + j) for m in range(_TERMS)] for j in range(5)])


def c_functions(z: Floats) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """c_0 ... c_4 of z."""
    z = np.asarray(z, dtype=float)
    small = np.abs(z) < 1
    near = np.where(small, z, 0.0)
    root = np.sqrt(np.abs(np.where(small, 1.0, z)))
    positive = z > 0
    grown = np.where(positive & ~small, root, 0.0)  # cosh of what is not needed would overflow
    c0 = np.where(positive, np.cosh(grown), np.cos(root))
    c1 = np.where(positive, np.sinh(grown), np.sin(root)) / root
    far = np.where(small, 1.0, z)
    c2, c3 = (c0 - 1) / far, (c1 - 1) / far
    c4 = (c2 - 0.5) / far
    found = []
    for j, direct in enumerate((c0, c1, c2, c3, c4)):
        series = np.zeros_like(z)
        for term in _SERIES[j][::-1]:
            series = series * near + term
        found.append(np.where(small, series, direct))
    return found[0], found[1], found[2], found[3], found[4]


def end_factors(z: Floats) -> tuple[Floats, Floats]:
    """Moments at the turned and at the far end over EI/L: 4 and 2 without axial force."""
    _, c1, c2, c3, _ = c_functions(z)
    divisor = c2**2 - c1 * c3
    return (c2 - c3) / divisor, c3 / divisor


def uniform_factor(z: Floats) -> Floats:
    """Fixed-end moment over q L²: 1/12 without axial force."""
    _, c1, c2, c3, c4 = c_functions(z)
    return np.asarray((c3**2 - c2 * c4) / (c2**2 - c1 * c3))


def point_factor(z: Floats, at: Floats) -> Floats:
    """Fixed-end moment at the start over P L for a load at a fraction of the length; a b²/L³ without thrust."""
    rest = 1 - at
    _, c1, c2, c3, _ = c_functions(z)
    _, _, r2, r3, _ = c_functions(z * rest**2)
    return np.asarray(rest**2 * (c3 * r2 - rest * c2 * r3) / (c2**2 - c1 * c3))
