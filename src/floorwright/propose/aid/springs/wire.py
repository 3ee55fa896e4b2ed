"""Spring wire: strength, moduli, allowable stress, as the tables of this folder hold them.

Strength is A / d^m. Three published sets of A and m differ by 8 to 17 % for the same wire; a pair is always taken
from one set, and the answer says which.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Final, Literal, get_args

from floorwright.basis.quantity import LENGTH

WireName = Literal["music_wire", "hard_drawn", "oil_tempered", "chrome_vanadium", "chrome_silicon", "stainless_302"]
ConstantSet = Literal["shigley", "norton", "fe_handbook"]
WIRES: Final[tuple[WireName, ...]] = get_args(WireName)

DENSITY_STEEL_KG_M3: Final = 7850.0
DENSITY_STAINLESS_KG_M3: Final = 8000.0
_INCH_MM: Final = LENGTH.units["in"] * 1e3
# Names in the tables: of the strength table, of the moduli, and the class of the allowable stress.
_IN_TABLES: Final[Mapping[WireName, tuple[str, str, str]]] = MappingProxyType(
    {
        "music_wire": ("music wire", "music wire A228", "music wire and cold-drawn"),
        "hard_drawn": ("hard-drawn", "hard-drawn A227", "music wire and cold-drawn"),
        "oil_tempered": ("oil-tempered", "oil-tempered A229", "hardened and tempered"),
        "chrome_vanadium": ("chrome-vanadium", "chrome-vanadium A232", "hardened and tempered"),
        "chrome_silicon": ("chrome-silicon", "chrome-silicon A401", "hardened and tempered"),
        "stainless_302": ("302 stainless", "302 stainless A313", "austenitic stainless"),
    }
)


@cache
def rows(name: str) -> tuple[Mapping[str, str], ...]:
    """The rows of a table of this folder, by its columns; every table has `source` and `confirmed`."""
    text = (files("floorwright.propose.aid.springs") / "data" / f"{name}.csv").read_text(encoding="utf-8")
    return tuple(MappingProxyType(row) for row in csv.DictReader(io.StringIO(text)))


@dataclass(frozen=True, slots=True, kw_only=True)
class StrengthLaw:
    """Sut = A / d^m, with d in millimetres and A in MPa, from one set of constants.

    Attributes:
        A_mpa, m: the constants.
        from_mm, to_mm: range of wire for which the set gives them; None where it prints no range.
        cost: relative to hard-drawn wire of the same weight; None where the set has none.
        memory: whether the pair was recalled rather than seen.
    """

    A_mpa: float
    m: float
    from_mm: float | None
    to_mm: float | None
    cost: float | None
    memory: bool

    def covers(self, wire_mm: float) -> bool:
        """Whether the set gives the constants for this wire."""
        low, high = self.from_mm, self.to_mm
        return (low is None or wire_mm >= low - 1e-9) and (high is None or wire_mm <= high + 1e-9)

    def tensile_pa(self, wire_m: float) -> float:
        """Tensile strength of the wire."""
        return float(1e6 * self.A_mpa / (wire_m * 1e3) ** self.m)


def _range(text: str) -> tuple[float | None, float | None]:
    if not text:
        return None, None
    low, _, high = text.partition("-")
    return float(low), float(high)


@cache
def strength_laws(name: WireName, constants: ConstantSet = "shigley") -> tuple[StrengthLaw, ...]:
    """The laws of a wire in a set, thinnest first; none where the set lacks the wire."""

    def made(row: Mapping[str, str]) -> StrengthLaw:
        low, high = _range(row["d_range_mm"])
        return StrengthLaw(
            A_mpa=float(row["A_MPa_mm_m"]),
            m=float(row["m"]),
            from_mm=low,
            to_mm=high,
            # "7.6-11": the dearer end, so that a search does not prefer what may cost more.
            cost=float(row["relative_cost"].rpartition("-")[2]) if row["relative_cost"] else None,
            memory=row["confirmed"] != "yes",
        )

    in_table = _IN_TABLES[name][0]
    return tuple(
        made(row)
        for row in rows("spring_materials")
        if row["set"] == constants and row["material"].partition(" (")[0] == in_table
    )


def strength_law(name: WireName, wire_m: float, constants: ConstantSet = "shigley") -> tuple[StrengthLaw, bool]:
    """The law for a wire, and whether its range holds the wire (else the law of the nearest range).

    Raises:
        ValueError: where the set has no such wire.
    """
    laws = strength_laws(name, constants)
    if not laws:
        raise ValueError(f"is {constants}, a set that has no {name.replace('_', ' ')}; take shigley")
    wire_mm = wire_m * 1e3
    for law in laws:
        if law.covers(wire_mm):
            return law, True
    nearest = min(laws, key=lambda law: min(abs(wire_mm - (law.from_mm or 0)), abs(wire_mm - (law.to_mm or 0))))
    return nearest, False


def relative_cost(name: WireName) -> float:
    """Cost of the wire for its weight, hard-drawn being 1."""
    return max(law.cost for law in strength_laws(name) if law.cost is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Moduli:
    """Elastic and shear modulus of a wire."""

    E_pa: float
    G_pa: float
    memory: bool


@cache
def _moduli_bands(name: WireName) -> tuple[tuple[float, Moduli], ...]:
    def upto(text: str) -> float:
        if text == "all" or text.startswith(">"):
            return float("inf")
        return float(text.removeprefix("<").rpartition("-")[2])

    return tuple(
        (
            upto(row["d_range_in"]),
            Moduli(
                E_pa=float(row["E_GPa"]) * 1e9, G_pa=float(row["G_GPa"]) * 1e9, memory=row["confirmed"] != "yes"
            ),
        )
        for row in rows("spring_moduli")
        if row["material"] == _IN_TABLES[name][1]
    )


def moduli(name: WireName, wire_m: float) -> Moduli:
    """Moduli of a wire; the table goes by thousandths of an inch."""
    wire_in = round(wire_m * 1e3 / _INCH_MM, 3)
    return next(found for upto, found in _moduli_bands(name) if wire_in <= upto)


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowable:
    """Allowable shear stress under steady load, as a fraction of the tensile strength.

    Attributes:
        fraction: the low end where the table gives a range.
        memory: whether it was recalled rather than seen.
    """

    fraction: float
    memory: bool


@cache
def allowable(name: WireName, *, set_removed: bool) -> Allowable:
    """The allowable fraction of a wire, before or after set removal."""
    row = next(row for row in rows("spring_allowables") if row["material_class"].startswith(_IN_TABLES[name][2]))
    text = row["after_set_removed_pct_Sut" if set_removed else "before_set_removed_pct_Sut"]
    # Only the fractions before set removal were seen; those after it are from memory in every row.
    memory = set_removed or row["confirmed"] != "yes"
    return Allowable(fraction=float(text.partition("-")[0]) / 100, memory=memory)


def density_kg_m3(name: WireName) -> float:
    """Density of the wire."""
    return DENSITY_STAINLESS_KG_M3 if name == "stainless_302" else DENSITY_STEEL_KG_M3


def memory_notes(name: WireName, wire_m: float, constants: ConstantSet, *, set_removed: bool) -> Iterator[str]:
    """Which of the numbers used were recalled and not seen again."""
    words = name.replace("_", " ")
    if strength_law(name, wire_m, constants)[0].memory:
        yield f"the strength constants of {words} are from memory of the source"
    if moduli(name, wire_m).memory:
        yield f"the moduli of {words} are from memory of the source"
    if allowable(name, set_removed=set_removed).memory:
        yield f"the allowable stress of {words} is from memory of the source"
