"""Slots in which flat parts stand on edge: how wide they are, what leans on a divider, how high it has to be.

A slot is bounded by two dividers that lean by the same angle, so that a part lies flat on its divider. Lengths
across a slot are square to the part; along the floor they are longer by the cosine of the lean.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, floor, sin
from typing import Final

ROUNDING_M: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """A slot with what stands in it.

    Attributes:
        part_m: thickness of one part; count: parts side by side in the slot.
        height_m: of a part, along the lean.
        separator_m: between two parts of a slot.
        lining_m: on each face of a divider; stock_m: thickness of the divider itself.
        room_m: left for fingers.
        divider_m: height of the divider above the floor of the slot, along the lean.
        lean_rad: from upright.
    """

    part_m: float
    count: int
    height_m: float
    separator_m: float
    lining_m: float
    stock_m: float
    room_m: float
    divider_m: float
    lean_rad: float

    @property
    def stack_m(self) -> float:
        """Thickness of what stands in the slot."""
        return self.count * self.part_m + (self.count - 1) * self.separator_m

    @property
    def pitch_m(self) -> float:
        """From divider to divider along the floor."""
        return (self.stock_m + 2 * self.lining_m + self.stack_m + self.room_m) / cos(self.lean_rad)

    @property
    def foot_m(self) -> float:
        """From the middle of the divider leant on to the middle of what stands there, along the floor."""
        return (self.stock_m / 2 + self.lining_m + self.stack_m / 2) / cos(self.lean_rad)

    @property
    def most_parts(self) -> int:
        """Parts that somebody can force in: no room for fingers, no separator."""
        return floor((self.stack_m + self.room_m + ROUNDING_M) / self.part_m)

    @property
    def held_at_m(self) -> float:
        """How far up the part the divider reaches."""
        return min(self.divider_m, self.height_m)

    @property
    def worst_lean_rad(self) -> float:
        """Lean of a part whose foot stands against the far lining."""
        return self.lean_rad + atan2(self.room_m, self.held_at_m)

    @property
    def free_above_m(self) -> float:
        """Room beside the parts above the dividers, where these are lower than the parts; else as between them."""
        above = self.height_m > self.divider_m
        return self.room_m + (2 * self.lining_m + self.stock_m if above else 0.0)

    def thrust(self) -> tuple[float, float]:
        """Forces of a leaning part on the divider's top per newton of its weight: sideways, and down.

        The foot is held from sliding and there is no friction, so that the divider pushes square to the part with
        N = W (h/2) sin(lean) / d. The foot presses that much less, and the other way sideways.
        """
        lean = self.worst_lean_rad
        push = self.height_m / 2 * sin(lean) / self.held_at_m
        return push * cos(lean), push * sin(lean)


def divider_needed(height_m: float, thickness_m: float, lean_rad: float, sideways: float) -> float:
    """How far up a leaning part its divider has to reach, lest the part tip over the divider's top edge.

    About that edge the push square to the part, W (sin + a cos), acts h/2 - d above it; the pull along the part,
    W (cos - a sin), holds it back with half the thickness as its lever. The foot is taken as free to swing out.

    Args:
        height_m: of the part along the lean.
        thickness_m: of one part.
        lean_rad: from upright.
        sideways: acceleration (or slope) towards the divider, as a share of gravity.

    Returns:
        The least height in metres; 0 where the part stands by itself.
    """
    square = sin(lean_rad) + sideways * cos(lean_rad)
    along = cos(lean_rad) - sideways * sin(lean_rad)
    if square <= 0:
        return 0.0
    return max(0.0, height_m / 2 - thickness_m / 2 * along / square)
