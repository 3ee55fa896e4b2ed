"""Lengths as a drawing of a shop writes them: inches in sixteenths, or whole millimetres."""

from __future__ import annotations

from math import gcd
from typing import Final

from floorwright.basis.quantity import UnitSystem

INCH_M: Final = 0.0254
SIXTEENTHS: Final = 16


def length_text(metres: float, system: UnitSystem) -> str:
    """`47-3/4 in`, `3/16 in` (to the nearest sixteenth) or `1213 mm` (to the nearest millimetre)."""
    if system == "si":
        return f"{round(1e3 * metres)} mm".replace("-", "−")
    parts = round(abs(metres) / INCH_M * SIXTEENTHS)
    sign = "−" if metres < 0 and parts else ""
    whole, rest = divmod(parts, SIXTEENTHS)
    if not rest:
        return f"{sign}{whole} in"
    shared = gcd(rest, SIXTEENTHS)
    fraction = f"{rest // shared}/{SIXTEENTHS // shared}"
    return f"{sign}{whole}-{fraction} in" if whole else f"{sign}{fraction} in"
