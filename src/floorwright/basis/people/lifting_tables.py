"""Frequency and coupling multipliers of the revised NIOSH lifting equation, as printed.

Source: Waters, Putz-Anderson, Garg: Applications Manual for the Revised NIOSH Lifting Equation, DHHS (NIOSH)
Publication 94-110, 1994, revised 2021, tables 5 and 7.
"""

from __future__ import annotations

from typing import Final, Literal

Duration = Literal["short", "moderate", "long"]
Coupling = Literal["good", "fair", "poor"]

LIFTS_PER_MINUTE: Final = (0.2, 0.5, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15)
"""Rows of table 5; above 15 lifts a minute the multiplier is 0 throughout."""

# Table 5: hands below knuckle height (75 cm, 30 in), then at or above it.
FREQUENCY: Final[dict[Duration, tuple[tuple[float, ...], tuple[float, ...]]]] = {
    "short": (
        (1.00, 0.97, 0.94, 0.91, 0.88, 0.84, 0.80, 0.75, 0.70, 0.60, 0.52, 0.45, 0.41, 0.37, 0.00, 0.00, 0.00),
        (1.00, 0.97, 0.94, 0.91, 0.88, 0.84, 0.80, 0.75, 0.70, 0.60, 0.52, 0.45, 0.41, 0.37, 0.34, 0.31, 0.28),
    ),
    "moderate": (
        (0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.60, 0.50, 0.42, 0.35, 0.30, 0.26, 0.00, 0.00, 0.00, 0.00, 0.00),
        (0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.60, 0.50, 0.42, 0.35, 0.30, 0.26, 0.23, 0.21, 0.00, 0.00, 0.00),
    ),
    "long": (
        (0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00),
        (0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0.15, 0.13, 0.00, 0.00, 0.00, 0.00, 0.00),
    ),
}

# Table 7: hands below knuckle height, then at or above it.
COUPLING: Final[dict[Coupling, tuple[float, float]]] = {
    "good": (1.00, 1.00),
    "fair": (0.95, 1.00),
    "poor": (0.90, 0.90),
}

DURATION_MEANING: Final[dict[Duration, str]] = {
    "short": "up to 1 h of lifting, then light work for at least 1.2 times as long",
    "moderate": "over 1 h and up to 2 h of lifting, then light work for at least 0.3 times as long",
    "long": "over 2 h and up to 8 h, with the usual breaks",
}
