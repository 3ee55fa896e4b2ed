"""Life of a spring that moves between two forces: Zimmerli's endurance limits and three failure lines.

Zimmerli's components hold for infinite life and wire below 10 mm, whatever the size, wire and strength.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Final

from floorwright.propose.aid.springs.spring import Spring

UNPEENED_PA: Final = (241e6, 379e6)
"""Amplitude and mean of the endurance limit (Shigley, eq. 10-28)."""
PEENED_PA: Final = (398e6, 534e6)
"""The same after shot peening (eq. 10-29)."""
WIRE_MOST_M: Final = 0.010
RUPTURE: Final = 0.67
"""Torsional rupture over tensile strength, Ssu / Sut (eq. 10-30)."""
STATIC_BELOW: Final = 10_000
"""Movements in a life that count as steady load (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fatigue:
    """Safety against fatigue by three lines; None where a line cannot be drawn.

    Attributes:
        amplitude_pa, mean_pa: shear stress with the Bergsträsser factor.
        goodman, gerber, sines: factor of safety at infinite life.
        reason: why there is none; "" where there is.
    """

    amplitude_pa: float
    mean_pa: float
    goodman: float | None = None
    gerber: float | None = None
    sines: float | None = None
    reason: str = ""


def fatigue(spring: Spring, low_n: float, high_n: float, tensile_pa: float, *, peened: bool = False) -> Fatigue:
    """Safety of a spring between two forces."""
    amplitude = spring.stress_pa((high_n - low_n) / 2)
    mean = spring.stress_pa((high_n + low_n) / 2)
    Ssa, Ssm = PEENED_PA if peened else UNPEENED_PA
    Ssu = RUPTURE * tensile_pa

    def none(reason: str) -> Fatigue:
        return Fatigue(amplitude_pa=amplitude, mean_pa=mean, reason=reason)

    if amplitude <= 0:
        return none("the force does not change, so there is nothing to tire the wire")
    if spring.wire_m >= WIRE_MOST_M:
        return none("the endurance limits hold for wire below 10 mm")
    if Ssm >= Ssu:
        return none("the wire is too weak for the endurance limits to hold")
    r = amplitude / mean
    goodman_0 = Ssa / (1 - Ssm / Ssu)
    gerber_0 = Ssa / (1 - (Ssm / Ssu) ** 2)
    on_goodman = r * goodman_0 * Ssu / (r * Ssu + goodman_0)
    on_gerber = r**2 * Ssu**2 / (2 * gerber_0) * (sqrt(1 + (2 * gerber_0 / (r * Ssu)) ** 2) - 1)
    return Fatigue(
        amplitude_pa=amplitude,
        mean_pa=mean,
        goodman=on_goodman / amplitude,
        gerber=on_gerber / amplitude,
        sines=Ssa / amplitude,
    )
