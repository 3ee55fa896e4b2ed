"""Loads of wheels: the worst three-point support, what a yielding frame makes of it, shock.

Statics. A stiff frame on an uneven floor stands on three wheels; which three is not known, so the worst counts. A
set of three in which one wheel would have to pull the frame down cannot stand and is left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

import numpy as np
from numpy.typing import NDArray

XY = tuple[float, float]
Array = NDArray[np.float64]
_FLAT: Final = 1e-9
"""Smallest area of a triangle, over the square of the layout's size, that counts as one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreePoint:
    """One set of three wheels that can stand, and the forces on them."""

    wheels: tuple[int, int, int]
    forces_n: tuple[float, float, float]


def _equilibrium(at: Sequence[XY]) -> Array:
    return np.array([[1.0] * len(at), [x for x, _ in at], [y for _, y in at]])


def three_point_supports(weight_n: float, centre: XY, at: Sequence[XY]) -> tuple[ThreePoint, ...]:
    """Every set of three wheels on which the frame can stand; none where its centre is outside the wheels."""
    size = max((abs(x - u) + abs(y - v) for (x, y), (u, v) in combinations(at, 2)), default=0.0)
    found = []
    for i, j, k in combinations(range(len(at)), 3):
        (x1, y1), (x2, y2), (x3, y3) = at[i], at[j], at[k]
        twice = (x2 - x1) * (y3 - y1) - (x3 - x1) * (y2 - y1)
        if abs(twice) <= _FLAT * size**2:
            continue
        x, y = centre
        second = ((x - x1) * (y3 - y1) - (x3 - x1) * (y - y1)) / twice
        third = ((x2 - x1) * (y - y1) - (x - x1) * (y2 - y1)) / twice
        shares = (1 - second - third, second, third)
        if min(shares) >= -1e-12:
            forces = (weight_n * shares[0], weight_n * shares[1], weight_n * shares[2])
            found.append(ThreePoint(wheels=(i, j, k), forces_n=forces))
    return tuple(found)


def stiff_loads_n(weight_n: float, centre: XY, at: Sequence[XY]) -> tuple[float, ...] | None:
    """The most that each wheel can get under a stiff frame; None where no three wheels hold it."""
    supports = three_point_supports(weight_n, centre, at)
    if not supports:
        return None
    most = [0.0] * len(at)
    for support in supports:
        for wheel, force in zip(support.wheels, support.forces_n, strict=True):
            most[wheel] = max(most[wheel], force)
    return tuple(most)


def least_loads_n(weight_n: float, centre: XY, at: Sequence[XY]) -> tuple[float, ...] | None:
    """The least that each wheel can have: 0 where some three others hold the frame; for brakes."""
    supports = three_point_supports(weight_n, centre, at)
    if not supports:
        return None
    least = [weight_n] * len(at)
    for support in supports:
        forces = dict(zip(support.wheels, support.forces_n, strict=True))
        for wheel in range(len(at)):
            least[wheel] = min(least[wheel], forces.get(wheel, 0.0))
    return tuple(least)


def even_loads_n(weight_n: float, centre: XY, at: Sequence[XY]) -> tuple[float, ...]:
    """Loads on an even floor with wheels that give equally; negative where a wheel would lift."""
    A = _equilibrium(at)
    right = weight_n * np.array([1.0, *centre])
    return tuple(float(force) for force in np.linalg.lstsq(A, right, rcond=None)[0])


def yielding_loads_n(
    weight_n: float, centre: XY, at: Sequence[XY], *, racking_n_m: float, unevenness_m: float
) -> tuple[float, ...] | None:
    """The most that each wheel can get under a frame that racks.

    Args:
        weight_n, centre, at: as for a stiff frame.
        racking_n_m: force that a wheel gains when the floor under it alone is higher by a metre.
        unevenness_m: how far the floor under one wheel may be off the plane of the others, either way.

    Returns:
        Loads; those of a stiff frame where some wheel would leave the floor, for then it stands on the others.
    """
    stiff = stiff_loads_n(weight_n, centre, at)
    if stiff is None:
        return None
    A = _equilibrium(at)
    # What a raised wheel changes is in balance by itself: the part of it that equilibrium does not see.
    free = np.eye(len(at)) - np.linalg.pinv(A) @ A
    own = np.diag(free)
    moved = np.divide(np.abs(free), own, out=np.zeros_like(free), where=own > 1e-9)
    swing = racking_n_m * unevenness_m * moved.max(axis=1, initial=0.0)
    even = np.array(even_loads_n(weight_n, centre, at))
    if (even - swing < 0).any():
        return stiff
    return tuple(min(a, b) for a, b in zip((even + swing).tolist(), stiff, strict=True))


@dataclass(frozen=True, slots=True, kw_only=True)
class Shock:
    """Factor on the load of a caster for a kind of duty: the range that makers print; the high end is used."""

    low: float
    high: float


SMALL_BUMP: Final = 0.05
"""Bump over wheel diameter up to which a floor counts as smooth (makers' guide)."""


def shock(bump_m: float, wheel_m: float, *, powered: bool = False, outdoors: bool = False) -> Shock:
    """Shock by the height of the bumps (caster maker's guide, European practice)."""
    rough = outdoors or bump_m > SMALL_BUMP * wheel_m
    if powered:
        return Shock(low=2.0, high=3.0) if rough else Shock(low=1.4, high=2.0)
    return Shock(low=1.5, high=2.2) if rough else Shock(low=1.0, high=1.5)


def by_thirds_n(weight_n: float) -> float:
    """A third of the total on each caster: common practice, not safe for a stiff frame."""
    return weight_n / 3
