"""The tables of this folder: rows as they stand, sheet and tube gauges, wire, bolts, pipes.

Sheet gauge differs by metal, and tube wall has a gauge of its own (Birmingham): 16 gauge is 0.0598 in of steel
sheet and 0.065 in of tube wall.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Final, Literal

from floorwright.basis.errors import InputError
from floorwright.basis.quantity import LENGTH

INCH: Final = LENGTH.units["in"]
_KSI: Final = 6_894_757.293168

GaugeOf = Literal["tube", "steel", "galvanized", "stainless", "aluminium"]
GAUGE_SYSTEMS: Final[Mapping[GaugeOf, tuple[str, str]]] = MappingProxyType(
    {
        "tube": ("tube_wall_bwg_in", "tube wall (Birmingham wire gauge)"),
        "steel": ("steel_msg_in", "steel sheet (Manufacturers' Standard Gauge)"),
        "galvanized": ("galvanized_in", "galvanized sheet"),
        "stainless": ("stainless_in", "stainless sheet"),
        "aluminium": ("aluminium_awg_in", "aluminium sheet (Brown & Sharpe)"),
    }
)


@cache
def rows(name: str) -> tuple[Mapping[str, str], ...]:
    """The rows of a table of this folder, by its columns; every table has `source` and `confirmed`."""
    text = (files("floorwright.basis.metal") / "data" / f"{name}.csv").read_text(encoding="utf-8")
    return tuple(MappingProxyType(row) for row in csv.DictReader(io.StringIO(text)))


@cache
def gauges(of: GaugeOf) -> Mapping[int, float]:
    """Gauge number -> thickness in metres."""
    column = GAUGE_SYSTEMS[of][0]
    return MappingProxyType({int(row["gauge"]): float(row[column]) * INCH for row in rows("gauges") if row[column]})


def gauge_m(number: int, of: GaugeOf) -> float:
    """Thickness of a gauge.

    Raises:
        ValueError: when the table does not hold it.
    """
    table = gauges(of)
    if number not in table:
        raise ValueError(
            f"is {number} gauge; the gauges of {GAUGE_SYSTEMS[of][1]} go from {min(table)} to {max(table)}"
        )
    return table[number]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bolt:
    """A bolt size in a grade."""

    size: str
    grade: str
    diameter_m: float
    tensile_area_m2: float
    proof_pa: float
    tensile_pa: float
    source: str
    confirmed: str


@cache
def bolts() -> tuple[Bolt, ...]:
    """Every bolt of the table."""

    def made(row: Mapping[str, str]) -> Bolt:
        metric = bool(row["d_mm"])
        stress = 1e6 if metric else _KSI
        return Bolt(
            size=row["bolt"],
            grade=row["grade"],
            diameter_m=float(row["d_mm"]) * 1e-3 if metric else float(row["d_in"]) * INCH,
            tensile_area_m2=float(row["At_mm2"]) * 1e-6 if metric else float(row["At_in2"]) * INCH**2,
            proof_pa=stress * float(row["proof_MPa" if metric else "proof_ksi"]),
            tensile_pa=stress * float(row["tensile_MPa" if metric else "tensile_ksi"]),
            source=row["source"],
            confirmed=row["confirmed"],
        )

    return tuple(made(row) for row in rows("bolts"))


def bolt(size: str, grade: str) -> Bolt:
    """A bolt by size (`3/8-16`, `M8`) and grade (`SAE J429 Grade 5`, or `Grade 5`, `8.8`).

    Raises:
        InputError: when the table does not hold it; the message says what it holds.
    """
    wanted = grade.lower()
    of_size = [each for each in bolts() if each.size.lower() == size.lower()]
    for each in of_size:
        if each.grade.lower() == wanted or each.grade.lower().endswith(" " + wanted):
            return each
    if not of_size:
        sizes = ", ".join(dict.fromkeys(each.size for each in bolts()))
        raise InputError.of("bolt", size, f"'{size}' is not in the table of bolts; it holds {sizes}")
    grades = ", ".join(each.grade for each in of_size)
    raise InputError.of("grade", grade, f"'{grade}' is not in the table for {size}; it holds {grades}")


WireSystem = Literal["music", "steel", "preferred_us", "preferred_metric"]
_WIRE: Final[Mapping[WireSystem, str]] = MappingProxyType(
    {
        "music": "music wire gauge",
        "steel": "steel wire gauge",
        "preferred_us": "preferred decimal",
        "preferred_metric": "preferred metric",
    }
)


@cache
def wires(system: WireSystem) -> tuple[tuple[str, float], ...]:
    """(name, diameter in metres) of a wire system, thinnest first; a preferred size has its diameter for a name."""
    found = []
    for row in rows("wire_sizes"):
        if row["system"].startswith(_WIRE[system]):
            metric = system == "preferred_metric"
            diameter_m = float(row["d_mm"]) * 1e-3 if metric else float(row["d_in"]) * INCH
            found.append((row["gauge"] or row["d_mm" if metric else "d_in"], diameter_m))
    return tuple(sorted(found, key=lambda pair: pair[1]))
