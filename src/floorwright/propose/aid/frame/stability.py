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

_TERMS: Final = 11  # of the series, right to the last figure for |z| < 1
_C3: Final = [1 / factorial(2 * m + 3) for m in reversed(range(_TERMS))]
_C4: Final = [1 / factorial(2 * m + 4) for m in reversed(range(_TERMS))]


def c_functions(z: Floats) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """c_0 ... c_4 of z."""
    z = np.asarray(z, dtype=float)
    small = np.abs(z) < 1
    if np.all(small):
        c3, c4 = _series(z, _C3), _series(z, _C4)
    else:
        far = np.where(small, 1.0, z)
        root = np.sqrt(np.abs(far))
        pulled = z > 0
        grown = np.where(pulled, root, 0.0)  # cosh of a large thrust is not needed and would overflow
        c0 = np.where(pulled, np.cosh(grown), np.cos(root))
        c1 = np.where(pulled, np.sinh(grown), np.sin(root)) / root
        c3, c4 = (c1 - 1) / far, ((c0 - 1) / far - 0.5) / far
        if np.any(small):
            near = np.where(small, z, 0.0)
            c3, c4 = np.where(small, _series(near, _C3), c3), np.where(small, _series(near, _C4), c4)
    # c_j = 1/j! + z c_(j + 2), which loses nothing.
    c2 = 0.5 + z * c4
    return 1 + z * c2, 1 + z * c3, c2, c3, c4


def _series(z: Floats, terms: list[float]) -> Floats:
    total = np.full_like(z, terms[0])
    for term in terms[1:]:
        total *= z
        total += term
    return total


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
