"""How a rigid frame stands on sprung wheels and feet when its load is off centre: level and tilt, exactly.

Derived statics. The frame is rigid and turns little, so every contact goes down by d = u + a x + b y from full
droop. A wheel on its stop bears up to the preload F0, then F0 + k d; a foot gives nothing until it has come down
by its rise. Contacts only push. The potential energy of such a frame is convex and made of quadratic
pieces; Newton's method with an exact search along each step finds its lowest point in finitely many steps. Four
feet on a floor are one too many for statics alone: a contact yields by `CONTACT_N_M`, which shares the load out
among them and moves nothing else that can be seen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import inf
from typing import Final

import numpy as np
from numpy.typing import NDArray

from floorwright.basis.errors import InternalFault
from floorwright.propose.aid.checks.tipping import XY, Edge, Support, edges

CONTACT_N_M: Final = 2e7
"""Stiffness of a foot or a wheel on its stop against the floor: 1 kN presses it in by 0.05 mm (common practice, no
source); all alike."""
_LOOSE_N_M: Final = 1e-9 * CONTACT_N_M
_STEPS: Final = 200
_TO_ROUNDING: Final = 1e-12
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class SprungWheel:
    """A wheel on a spring that a stop keeps preloaded.

    Attributes:
        at: where it stands on the floor.
        rate_n_m: of its spring; preload_n: force of the spring at its stop.
    """

    name: str
    at: XY
    rate_n_m: float
    preload_n: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RigidFoot:
    """A foot; `rise_m` is its height over the floor when every wheel just hangs at full droop."""

    name: str
    at: XY
    rise_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Seated:
    """How the frame stands.

    Attributes:
        down_m: how far the frame is down from full droop, at the origin.
        slope_x, slope_y: how much farther down per metre along x and along y (turns are small).
        wheels_n, feet_n: force of every wheel and foot.
        sunk_m: how far every wheel is pressed in from its stop; 0 on its stop or off the floor.
        gaps_m: under every foot; 0 where it stands.
    """

    down_m: float
    slope_x: float
    slope_y: float
    wheels_n: tuple[float, ...]
    feet_n: tuple[float, ...]
    sunk_m: tuple[float, ...]
    gaps_m: tuple[float, ...]

    @property
    def feet_down(self) -> tuple[bool, ...]:
        """Which feet stand on the floor."""
        return tuple(gap <= 0 for gap in self.gaps_m)


def seat(
    wheels: Sequence[SprungWheel], feet: Sequence[RigidFoot], weight_n: float, at: XY = (0.0, 0.0)
) -> Seated | None:
    """How the frame stands under a weight whose resultant meets the floor at `at`; None where it tips over.

    Raises:
        ValueError: for a weight of nothing.
        InternalFault: where forces and weight do not balance.
    """
    if weight_n <= 0:
        raise ValueError("a frame without weight stands nowhere")
    places: Floats = np.array([w.at for w in wheels] + [foot.at for foot in feet], dtype=np.float64).reshape(-1, 2)
    if not _inside(places, at):
        return None
    law = _Law.of(wheels, feet)
    shape = np.column_stack((np.ones(len(places)), places))
    load = weight_n * np.array([1.0, at[0], at[1]])
    where = np.array([_pressed(law, weight_n), 0.0, 0.0])
    size = max(1.0, float(np.max(np.abs(places))))
    for _ in range(_STEPS):
        left = load - shape.T @ law.force(shape @ where)
        if np.max(np.abs(left)) <= 1e-11 * weight_n * size:
            break
        stiff = shape.T @ (law.slope(shape @ where)[:, None] * shape)
        # What nothing resists yet is resisted a little, so that the step goes there until something touches.
        step = np.linalg.solve(stiff + _LOOSE_N_M * np.eye(3), left)
        where = where + _along(law, shape @ where, shape @ step, float(load @ step)) * step
    down = shape @ where
    forces = law.force(down)
    if np.max(np.abs(load - shape.T @ forces)) > 1e-9 * weight_n * size:
        raise InternalFault("the frame on its springs and feet is not in balance")
    n = len(wheels)
    return Seated(
        down_m=float(where[0]),
        slope_x=float(where[1]),
        slope_y=float(where[2]),
        wheels_n=tuple(map(float, forces[:n])),
        feet_n=tuple(map(float, forces[n:])),
        sunk_m=tuple(max(0.0, float(d)) for d in down[:n]),
        gaps_m=tuple(max(0.0, foot.rise_m - float(d)) for foot, d in zip(feet, down[n:], strict=True)),
    )


def landing_n(
    wheels: Sequence[SprungWheel],
    feet: Sequence[RigidFoot],
    *,
    own_n: float,
    own_at: XY,
    load_at: XY,
    most_n: float = 1e6,
    first: bool = False,
) -> float | None:
    """The load from which on all feet stand (with `first`, from which on a foot that was up stands).

    Args:
        own_n, own_at: weight of the empty frame and where its resultant meets the floor.
        load_at: where the load's does.
        most_n: a load beyond which nobody asks.

    Returns:
        The load to rounding; 0 where the empty frame stands so; None where no load up to the most does it, or it
        tips over before.
    """
    empty = seat(wheels, feet, own_n, own_at)
    if empty is None:
        return None
    up = [i for i, down in enumerate(empty.feet_down) if not down]
    if not up:
        return 0.0

    def landed(load_n: float) -> bool | None:
        total = own_n + load_n
        at = tuple((own_n * own + load_n * there) / total for own, there in zip(own_at, load_at, strict=True))
        found = seat(wheels, feet, total, (at[0], at[1]))
        if found is None:
            return None
        down = found.feet_down
        return any(down[i] for i in up) if first else all(down)

    low, high = 0.0, own_n
    while not (there := landed(high)):
        if there is None or high >= most_n:
            return None
        low, high = high, 2 * high
    while high - low > _TO_ROUNDING * high:
        middle = (low + high) / 2
        low, high = (low, middle) if landed(middle) else (middle, high)
    return high


@dataclass(frozen=True, slots=True)
class _Law:
    """Force over descent of every contact: nothing, then stiff to the end of the first piece, then its spring."""

    begins: Floats
    ends: Floats
    after: Floats

    @classmethod
    def of(cls, wheels: Sequence[SprungWheel], feet: Sequence[RigidFoot]) -> _Law:
        return cls(
            np.array([-w.preload_n / CONTACT_N_M for w in wheels] + [foot.rise_m for foot in feet]),
            np.array([0.0] * len(wheels) + [inf] * len(feet)),
            np.array([w.rate_n_m for w in wheels] + [0.0] * len(feet)),
        )

    def force(self, down: Floats) -> Floats:
        stiff = np.clip(np.minimum(down, self.ends) - self.begins, 0.0, None)
        found: Floats = CONTACT_N_M * stiff + self.after * np.clip(down - self.ends, 0.0, None)
        return found

    def slope(self, down: Floats) -> Floats:
        return np.where(down <= self.begins, 0.0, np.where(down < self.ends, CONTACT_N_M, self.after))


def _pressed(law: _Law, weight_n: float) -> float:
    """A level at which every contact is pressed: the search starts where nothing is loose."""
    return float(np.max(law.begins)) + weight_n / CONTACT_N_M


def _along(law: _Law, down: Floats, step: Floats, load: float) -> float:
    """How far to go along a step until the work of the forces balances that of the load; exact."""

    def pull(t: Floats) -> Floats:
        return np.asarray(law.force(down + np.multiply.outer(t, step)) @ step - load)

    with np.errstate(divide="ignore", invalid="ignore"):
        crossings = np.concatenate(((law.begins - down) / step, (law.ends - down) / step))
    marks = np.concatenate(([0.0], np.sort(crossings[np.isfinite(crossings) & (crossings > 0)])))
    pulls = pull(np.append(marks, marks[-1] + 1.0))
    beyond = np.flatnonzero(pulls[1:-1] >= 0)
    if len(beyond):
        i = int(beyond[0])
        low, mark, here, there = (float(x) for x in (marks[i], marks[i + 1], pulls[i], pulls[i + 1]))
        return low - here * (mark - low) / (there - here) if there > here else mark
    low, rise = float(marks[-1]), float(pulls[-1] - pulls[-2])
    return low - float(pulls[-2]) / rise if rise > 0 else low + 1.0


def _inside(places: Floats, at: XY) -> bool:
    """Whether a point lies within the outline of the contacts, its edge included."""
    around = _outline(tuple((float(x), float(y)) for x, y in places))
    size = float(np.max(np.abs(places))) if len(places) else 0.0
    return len(around) >= 3 and all(edge.inside_m(*at) >= -1e-12 * size for edge in around)


@lru_cache(maxsize=16)
def _outline(places: tuple[XY, ...]) -> tuple[Edge, ...]:
    """Edges of the contacts; the same ones are asked for at load after load."""
    return edges([Support(at=at) for at in places])
