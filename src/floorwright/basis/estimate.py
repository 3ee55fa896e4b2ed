"""A value with its interval and where it came from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from floorwright.basis.quantity import Dimension, UnitSystem, plain_number

Origin = Literal["measured", "guessed", "derived"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A central value with the range it may lie in.

    Attributes:
        central_si: the best single value, in SI.
        low_si: lower end of the interval, in SI.
        high_si: upper end of the interval, in SI.
        confidence: of the interval (0.95); None for a guessed range.
        origin: measured, guessed or derived.
        dimension: what kind of quantity it is; None for a plain number.
    """

    central_si: float
    low_si: float
    high_si: float
    confidence: float | None
    origin: Origin
    dimension: Dimension | None = None

    def text(self, system: UnitSystem = "si") -> str:
        """For people: "about 41 s (38 to 45)"."""
        unit = self.dimension.shown_unit(system) if self.dimension else ""
        shown = [
            plain_number(self.dimension.to_shown(value, system) if self.dimension else value, 3)
            for value in (self.central_si, self.low_si, self.high_si)
        ]
        return f"about {' '.join(filter(None, (shown[0], unit)))} ({shown[1]} to {shown[2]})"
