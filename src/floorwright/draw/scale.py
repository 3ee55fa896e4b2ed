"""A straight axis: round ends, round steps, and where a value falls on it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from floorwright.basis.sentence import Sentence, said
from floorwright.draw.text import number_text


@dataclass(frozen=True, slots=True)
class Scale:
    """An axis from `low` to `high` with marks at `ticks`, drawn over `length` px."""

    low: float
    high: float
    ticks: tuple[float, ...]
    length: float

    def px(self, value: float) -> float:
        """Distance of a value from the low end, in px."""
        return (value - self.low) / (self.high - self.low) * self.length

    def value(self, px: float) -> float:
        """The value at a distance from the low end."""
        return self.low + px / self.length * (self.high - self.low)


def scale_for(
    values: Sequence[float], *, length: float, zero: bool, room_px: float = 0, most_ticks: int = 6
) -> Scale:
    """An axis that holds all values, starts at zero where that means something, and leaves room at the end.

    Args:
        values: what has to fit, in the unit of the axis.
        length: px the axis will take.
        zero: whether zero must be on it.
        room_px: space kept free beyond the highest value, for its label.
        most_ticks: how many marks are enough.
    """
    low, high = min(values), max(values)
    if zero:
        low, high = min(low, 0.0), max(high, 0.0)
    if high == low:
        spread = abs(high) or 1.0
        low, high = (low, high + spread) if zero and low >= 0 else (low - spread / 2, high + spread / 2)
    step = _round_step((high - low) / most_ticks)
    if not (zero and low == 0):
        low = math.floor(low / step) * step
    last_tick = math.ceil(high / step - 1e-9) * step
    share = max(1 - room_px / length, 0.3)
    end = max(last_tick, low + (high - low) / share)
    count = int((end - low) / step + 1e-9)
    first = math.ceil(low / step - 1e-9)
    ticks = tuple(
        round((first + i) * step, 12) for i in range(count + 1) if (first + i) * step <= end + 1e-9 * step
    )
    return Scale(low=low, high=end, ticks=ticks, length=length)


def tick_labels(scale: Scale) -> dict[str, Any]:
    """The marks of an axis and the way their numbers are written, for the chart engine."""
    step = scale.ticks[1] - scale.ticks[0] if len(scale.ticks) > 1 else abs(scale.ticks[0]) or 1.0
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    return {
        "values": list(scale.ticks),
        "labelExpr": f"replace(format(datum.value, ',.{decimals}f'), '-', '−')",
        "labelFlush": False,
    }


def axis_words(unit: str, low: float, high: float) -> Sentence:
    """What an axis is, for somebody who cannot see it; without it the chart engine says so in English."""
    ends = {"low": number_text(low), "high": number_text(high)}
    if unit:
        return said("axis from {low} to {high}, {unit}", unit=unit, **ends)
    return said("axis from {low} to {high}", **ends)


def _round_step(rough: float) -> float:
    power = 10.0 ** math.floor(math.log10(rough))
    for factor in (1.0, 2.0, 5.0):
        if factor * power >= rough * (1 - 1e-9):
            return factor * power
    return 10.0 * power
