"""A helical compression spring of round wire: shape, rate, lengths, stress.

Shigley's Mechanical Engineering Design, chapter 10, for formulas; symbols of the book. Round wire, constant pitch,
small angle of helix.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import pi, sqrt
from types import MappingProxyType
from typing import Final, Literal

Ends = Literal["plain", "plain_ground", "squared", "squared_ground"]
StressFactor = Literal["bergstraesser", "wahl", "direct"]

END_COILS: Final[Mapping[Ends, float]] = MappingProxyType(
    {"plain": 0, "plain_ground": 1, "squared": 2, "squared_ground": 2}
)
"""Coils that do not work (Shigley, table 10-1)."""
GROUND: Final[frozenset[Ends]] = frozenset({"plain_ground", "squared_ground"})


def bergstraesser(index: float) -> float:
    """KB = (4C + 2) / (4C - 3): curvature and direct shear (eq. 10-5)."""
    return (4 * index + 2) / (4 * index - 3)


def wahl(index: float) -> float:
    """KW = (4C - 1) / (4C - 4) + 0.615 / C: curvature and direct shear, 0.7 to 1.4 % above KB (eq. 10-4)."""
    return (4 * index - 1) / (4 * index - 4) + 0.615 / index


def direct_shear(index: float) -> float:
    """Ks = 1 + 0.5 / C: direct shear alone, where set removal has evened out the curvature (eq. 10-3)."""
    return 1 + 0.5 / index


FACTORS: Final = MappingProxyType({"bergstraesser": bergstraesser, "wahl": wahl, "direct": direct_shear})


@dataclass(frozen=True, slots=True, kw_only=True)
class Spring:
    """A compression spring.

    Attributes:
        wire_m: diameter of the wire, d.
        mean_m: mean diameter of the coils, D.
        active: coils that work, Na.
        ends: how the ends are made.
        free_m: length without load, L0.
        G_pa, E_pa: moduli of the wire.
        density_kg_m3: of the wire.
    """

    wire_m: float
    mean_m: float
    active: float
    ends: Ends
    free_m: float
    G_pa: float
    E_pa: float
    density_kg_m3: float

    @property
    def index(self) -> float:
        """C = D / d."""
        return self.mean_m / self.wire_m

    @property
    def outside_m(self) -> float:
        """Outside diameter of the coils."""
        return self.mean_m + self.wire_m

    @property
    def inside_m(self) -> float:
        """Inside diameter of the coils."""
        return self.mean_m - self.wire_m

    @property
    def total(self) -> float:
        """All coils, Nt."""
        return self.active + END_COILS[self.ends]

    @property
    def rate_n_m(self) -> float:
        """k = G d^4 / (8 D^3 Na) (eq. 10-9)."""
        return self.G_pa * self.wire_m**4 / (8 * self.mean_m**3 * self.active)

    @property
    def solid_m(self) -> float:
        """Length with all coils together: d Nt where ground, d (Nt + 1) where not (table 10-1)."""
        return self.wire_m * (self.total + (0 if self.ends in GROUND else 1))

    @property
    def pitch_m(self) -> float:
        """Distance from coil to coil without load (table 10-1)."""
        if self.ends == "plain_ground":
            return self.free_m / (self.active + 1)
        taken = {"plain": 1, "squared": 3, "squared_ground": 2}[self.ends]
        return (self.free_m - taken * self.wire_m) / self.active

    @property
    def solid_force_n(self) -> float:
        """Force that presses the coils together."""
        return self.rate_n_m * (self.free_m - self.solid_m)

    @property
    def mass_kg(self) -> float:
        """Mass of the wire, end coils too."""
        return self.density_kg_m3 * pi**2 * self.wire_m**2 * self.mean_m * self.total / 4

    def length_m(self, force_n: float) -> float:
        """Length under a force; never below the solid length, whatever the force."""
        return max(self.solid_m, self.free_m - force_n / self.rate_n_m)

    def force_n(self, length_m: float) -> float:
        """Force at a length; 0 where the spring is longer than free.

        Raises:
            ValueError: below the solid length, which the spring cannot reach.
        """
        if length_m < self.solid_m * (1 - 1e-9):
            raise ValueError(f"the coils are solid at {self.solid_m:.4g} m, above {length_m:.4g} m")
        return max(0.0, self.rate_n_m * (self.free_m - length_m))

    def stress_pa(self, force_n: float, factor: StressFactor = "bergstraesser") -> float:
        """Shear stress in the wire, tau = K 8 F D / (pi d^3) (eq. 10-7)."""
        return FACTORS[factor](self.index) * 8 * force_n * self.mean_m / (pi * self.wire_m**3)

    def force_at_stress_n(self, stress_pa: float, factor: StressFactor = "bergstraesser") -> float:
        """Force that brings the wire to a stress."""
        return stress_pa / self.stress_pa(1.0, factor)

    def solid_margin(self, force_n: float) -> float:
        """(Fs - F) / F: how much more force it takes to go solid; 0.15 or more is good (eq. 10-17)."""
        return self.solid_force_n / force_n - 1

    def natural_frequency_hz(self, *, one_end_free: bool = False) -> float:
        """Lowest frequency of the coils themselves, both ends on plates: f = 1/2 sqrt(k / m), m of active coils.

        With one end free it is half of that (eq. 10-25 to 10-27).
        """
        working_kg = self.mass_kg * self.active / self.total
        return (0.25 if one_end_free else 0.5) * sqrt(self.rate_n_m / working_kg)


def side_by_side_n(springs: tuple[tuple[Spring, float], ...], deflection_m: float) -> float:
    """Force of springs that are pressed together, each of which starts after a gap of its own.

    Args:
        springs: (spring, gap before it is touched).
        deflection_m: of the plate, from where the first is touched.
    """
    return sum(spring.rate_n_m * max(0.0, deflection_m - gap) for spring, gap in springs)
