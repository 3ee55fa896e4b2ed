"""What every clause needs: the steel, how the member is held, a strength, and the lines of its working."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from floorwright.basis.metal.material import Family, Material

Method = Literal["ASD", "LRFD"]
Kind = Literal["length", "area", "modulus", "inertia", "stress", "force", "moment", "plain"]
OMEGA: Final = 1.67
PHI: Final = 0.90
OMEGA_RUPTURE: Final = 2.00
PHI_RUPTURE: Final = 0.75
STEEL_E_PA: Final = (195e9, 215e9)
"""Elastic moduli taken for carbon steel; 304 stainless has 193 GPa, aluminium 70."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Steel:
    """The numbers of a steel.

    Attributes:
        E_pa: modulus of elasticity.
        Fy_pa: yield strength.
        Fu_pa: tensile strength.
        family: what metal it is; None to tell it by E.
    """

    E_pa: float
    Fy_pa: float
    Fu_pa: float
    family: Family | None = None

    @classmethod
    def of(cls, material: Material) -> Steel:
        """The steel of a material of the table."""
        return cls(E_pa=material.E_pa, Fy_pa=material.Fy_pa, Fu_pa=material.Fu_pa, family=material.family)

    @property
    def uncovered(self) -> str:
        """Why AISC 360 does not cover it; empty where it does."""
        low, high = STEEL_E_PA
        if self.family == "aluminium" or (self.family is None and self.E_pa < 0.5 * low):
            return (
                "aluminium needs its own code (Aluminum Design Manual), and near a weld the heat-affected strength"
            )
        if self.family == "stainless":
            return (
                "stainless needs its own code (AISC 370): it yields gradually and buckles sooner than carbon "
                "steel, and beside a weld the strength of cold working is lost"
            )
        if not low <= self.E_pa <= high:
            return (
                f"with E = {self.E_pa / 1e9:.4g} GPa it is no carbon steel (E about 200 GPa); stainless, aluminium "
                "and others need their own code, and near a weld the heat-affected strength"
            )
        return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bracing:
    """How a member is held.

    Attributes:
        length_m: between its supports.
        K_y: effective length factor for buckling about y; K_z about z.
        unbraced_m: length between points held against turning over sideways; the length where None.
        Cb: factor for the moment's shape (F1-1), 1 for an even moment.
        one_leg: an angle loaded through one leg at both ends (E5), instead of through its centroid.
        net_share: effective net area over gross area, less than 1 where holes are or only part is connected.
    """

    length_m: float
    K_y: float = 1.0
    K_z: float = 1.0
    unbraced_m: float | None = None
    Cb: float = 1.0
    one_leg: bool = False
    net_share: float = 1.0

    @property
    def turning_m(self) -> float:
        """Length between points held against turning over."""
        return self.length_m if self.unbraced_m is None else self.unbraced_m


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """One strength of a member, in N or N·m.

    Attributes:
        nominal: by the clause; None where unknown.
        available: nominal over omega (ASD) or times phi (LRFD).
        clause: the clause that governs it.
        reason: why it is unknown, as the end of a sentence; empty where it is known.
    """

    nominal: float | None
    available: float | None
    clause: str
    reason: str = ""


def unknown(reason: str, clause: str = "") -> Strength:
    """A strength that cannot be told, and why."""
    return Strength(nominal=None, available=None, clause=clause, reason=reason)


def least(states: dict[str, float], method: Method) -> Strength:
    """The least of the limit states {clause: nominal strength}, all with the same safety."""
    clause = min(states, key=lambda each: states[each])
    return Strength(nominal=states[clause], available=usable(states[clause], method), clause=clause)


def usable(nominal: float, method: Method) -> float:
    """Nominal strength over omega, or times phi, for all but rupture."""
    return nominal / OMEGA if method == "ASD" else PHI * nominal


def safety(method: Method) -> str:
    """The same as part of a formula."""
    return f"/ {OMEGA}" if method == "ASD" else f"* {PHI}"


@dataclass(frozen=True, slots=True)
class Line:
    """One line of working: symbol = formula, in any coherent units.

    Attributes:
        symbol: what it works out.
        formula: how, in symbols given before; "" where a line of algebra cannot show it.
        value: in SI.
        kind: kind of quantity.
        meaning: in words.
        clause: of AISC 360; "" for plain arithmetic.
        recalled: whether the clause's numbers are from memory, not seen again.
    """

    symbol: str
    formula: str
    value: float
    kind: Kind
    meaning: str
    clause: str = ""
    recalled: bool = False


class Lines:
    """Collects lines while the strengths are worked out; `add` gives the value back."""

    __slots__ = ("_lines",)

    def __init__(self) -> None:
        self._lines: list[Line] = []

    def add(
        self,
        symbol: str,
        formula: str,
        value: float,
        kind: Kind,
        meaning: str,
        clause: str = "",
        *,
        recalled: bool = False,
    ) -> float:
        """Keep a line and give its value back."""
        self._lines.append(Line(symbol, formula, value, kind, meaning, clause, recalled))
        return value

    def all(self) -> tuple[Line, ...]:
        """Every line, in the order of the working."""
        return tuple(self._lines)
