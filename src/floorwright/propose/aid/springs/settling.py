"""Wheels on springs that let an aid roll when empty and set it down on its feet under load.

Derived statics. N equal wheels; the frame goes down level. At full droop the feet stand `rise_m` above the floor.
With a preload below the share of the empty weight the frame squats on its springs; with more the wheels stand on
their stops. Both regimes have the same landing load N (F0 + k h) - W0, with h the rise at full droop; in the
squatting one that equals N k g, g being the gap left under the feet when empty.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from floorwright.propose.aid.springs.spring import Spring

Regime = Literal["squats", "on_stops"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SprungWheels:
    """Equal sprung wheels under a frame with feet.

    Attributes:
        count: number of wheels, N.
        rate_n_m: rate of the spring (or springs) of one wheel, k.
        preload_n: force of each spring at full droop, F0.
        rise_m: feet above the floor at full droop, h.
        empty_n: weight of the empty aid that the wheels carry, W0.
    """

    count: int
    rate_n_m: float
    preload_n: float
    rise_m: float
    empty_n: float

    def __post_init__(self) -> None:
        if self.count < 1 or self.rate_n_m <= 0 or self.preload_n < 0 or self.rise_m <= 0 or self.empty_n <= 0:
            raise ValueError("wheels need a count, a rate, a rise and a weight above 0, and a preload of 0 or more")

    @property
    def regime(self) -> Regime:
        """Whether the empty frame squats off its stops."""
        return "squats" if self.count * self.preload_n <= self.empty_n else "on_stops"

    def _sunk_m(self, total_n: float) -> float:
        """How far the frame is down from full droop under a weight, the feet not yet reached."""
        return max(0.0, (total_n / self.count - self.preload_n) / self.rate_n_m)

    @property
    def squat_m(self) -> float:
        """How far the empty frame stands down from full droop, s0; 0 on its stops."""
        return min(self.rise_m, self._sunk_m(self.empty_n))

    @property
    def gap_m(self) -> float:
        """Between the feet and the floor when empty, g; 0 where the empty aid stands on its feet already."""
        return self.rise_m - self.squat_m

    @property
    def landing_n(self) -> float:
        """Added load at which the feet land, W1; 0 or less where they stand already when empty."""
        return self.count * (self.preload_n + self.rate_n_m * self.rise_m) - self.empty_n

    @property
    def held_n(self) -> float:
        """What the wheels keep once the feet are down, N (F0 + k h)."""
        return self.count * (self.preload_n + self.rate_n_m * self.rise_m)

    def gap_under_m(self, added_n: float) -> float:
        """Gap under the feet with a load added."""
        return max(0.0, self.rise_m - self._sunk_m(self.empty_n + added_n))

    def wheels_n(self, added_n: float) -> float:
        """What the wheels carry together."""
        return min(self.empty_n + added_n, self.held_n)

    def feet_n(self, added_n: float) -> float:
        """What the feet carry together."""
        return max(0.0, self.empty_n + added_n - self.held_n)

    def hop_m(self, added_n: float) -> float:
        """How far the frame rises when a hoist takes the added load off slowly; a sudden lift doubles it."""
        return self.gap_m - self.gap_under_m(added_n)

    def rolls_over(self, bump_m: float) -> bool:
        """Whether the feet clear a bump of the floor when empty."""
        return self.gap_m > bump_m

    def travel_m(self) -> float:
        """Deflection of each spring with the feet down, preload included."""
        return self.preload_n / self.rate_n_m + self.rise_m

    def solid_reserve_m(self, spring: Spring, clash: float = 0.15) -> float:
        """Deflection left with the feet down before the coils come within the clash allowance; negative fails.

        Args:
            spring: of one wheel; its rate must be `rate_n_m`.
            clash: fraction of the deflection kept free, 0.15 (Shigley, eq. 10-17).
        """
        return (spring.free_m - spring.solid_m) / (1 + clash) - self.travel_m()
