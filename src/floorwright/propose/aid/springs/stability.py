"""Whether a compression spring bows out sideways (Shigley, eq. 10-10 to 10-13 and table 10-2)."""

from __future__ import annotations

from collections.abc import Mapping
from math import pi, sqrt
from types import MappingProxyType
from typing import Final, Literal, get_args

from floorwright.propose.aid.springs.spring import Spring

Seat = Literal["fixed_fixed", "fixed_hinged", "hinged_hinged", "fixed_free", "guided"]
SEATS: Final[tuple[Seat, ...]] = get_args(Seat)
SEAT_MEANING: Final[Mapping[Seat, str]] = MappingProxyType(
    {
        "fixed_fixed": "between flat parallel plates",
        "fixed_hinged": "one end on a plate, the other on a pivot",
        "hinged_hinged": "both ends on pivots",
        "fixed_free": "one end on a plate, the other free to move sideways",
        "guided": "over a rod or in a tube along its whole length",
    }
)
ALPHA: Final[Mapping[Seat, float]] = MappingProxyType(
    {"fixed_fixed": 0.5, "fixed_hinged": 0.707, "hinged_hinged": 1.0, "fixed_free": 2.0}
)
"""Effective length over free length (table 10-2; 0.5 seen, the others from memory)."""


def stable_free_m(spring: Spring, seat: Seat) -> float | None:
    """Free length below which it never buckles, with its own E and G; None where a guide holds it."""
    if seat == "guided":
        return None
    E, G = spring.E_pa, spring.G_pa
    return pi * spring.mean_m / ALPHA[seat] * sqrt(2 * (E - G) / (2 * G + E))


def steel_rule_m(spring: Spring, seat: Seat) -> float | None:
    """2.63 D / alpha, the short form for E = 30, G = 11.5 Mpsi; up to 5 % too high for other wire."""
    return None if seat == "guided" else 2.63 * spring.mean_m / ALPHA[seat]


def critical_deflection_m(spring: Spring, seat: Seat) -> float | None:
    """Deflection at which it buckles; None where it never does."""
    limit = stable_free_m(spring, seat)
    if limit is None or spring.free_m < limit:
        return None
    E, G = spring.E_pa, spring.G_pa
    C1 = E / (2 * (E - G))
    C2 = 2 * pi**2 * (E - G) / (2 * G + E)
    slenderness = ALPHA[seat] * spring.free_m / spring.mean_m
    return spring.free_m * C1 * (1 - sqrt(max(0.0, 1 - C2 / slenderness**2)))


def buckles(spring: Spring, seat: Seat, deflection_m: float) -> bool:
    """Whether it buckles before it is pressed in so far."""
    critical = critical_deflection_m(spring, seat)
    return critical is not None and deflection_m >= critical
