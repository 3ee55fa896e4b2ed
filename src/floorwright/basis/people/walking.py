"""How fast people walk on a shop floor, each pace with where it comes from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

_MPH: Final = 1609.344 / 3600
_KMH: Final = 1 / 3.6
_TMU: Final = 0.036  # s


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """A walking pace.

    Attributes:
        id: short name.
        speed_m_s: metres a second.
        meaning: what kind of walking.
        source: id in the register of sources.
    """

    id: str
    speed_m_s: float
    meaning: str
    source: str


_TABLE: Final = (
    Pace(id="usual", speed_m_s=3 * _MPH, meaning="usual pace on a shop floor, 3 mph (264 ft/min)", source="barnes"),
    Pace(
        id="rating_100",
        speed_m_s=6.4 * _KMH,
        meaning="rating 100 of the British Standard scale: brisk, unladen, level, straight, clear path (4 mph)",
        source="ilo_work_study",
    ),
    Pace(
        id="rating_75",
        speed_m_s=4.8 * _KMH,
        meaning="rating 75 of the same scale: steady, unhurried (3 mph)",
        source="ilo_work_study",
    ),
    Pace(
        id="motion_times",
        speed_m_s=0.3048 / (5.3 * _TMU),
        meaning="predetermined motion times, unobstructed, 5.3 TMU a foot",
        source="maynard_1948",
    ),
    Pace(
        id="obstructed",
        speed_m_s=34 * 0.0254 / (17 * _TMU),
        meaning="predetermined motion times, obstructed or loaded, 17 TMU a pace of 34 in",
        source="maynard_1948",
    ),
    Pace(
        id="free_walking",
        speed_m_s=1.34,
        meaning="mean of free walking, standard deviation 0.26 m/s",
        source="weidmann_1993",
    ),
)
PACES: Final = {pace.id: pace for pace in _TABLE}
USUAL: Final = PACES["usual"]
"""The pace used where nobody timed the walking."""
