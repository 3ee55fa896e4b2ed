"""Designs of shop aids as tables: those that a shop keeps, and the checks and parts of one."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from floorwright.basis.quantity import LENGTH, MASS, Quantity, UnitSystem
from floorwright.exchange.tables import Rows, Table, tidy
from floorwright.propose.aid.design import Design
from floorwright.shop.filed import Filed
from floorwright.shop.records import Improvement


def designs_table(kept: Iterable[Filed[Improvement]], system: UnitSystem) -> Table:
    """The designs that are kept with improvements, with their verdict and working load in the shop's units."""
    unit = MASS.shown_unit(system)
    headings = [
        "improvement", "title of the improvement", "design", "pattern", "verdict", "fail", "not known", "close",
        "ok", f"working load ({unit})", f"empty ({unit})", "change first", "checked on", "program",
    ]  # fmt: skip
    rows: Rows = []
    for each in kept:
        found = each.record.proposal
        if found is not None:
            rows.append(
                [
                    each.id, each.record.title, found.title, found.pattern.replace("_", " "), found.verdict,
                    *(found.counts.get(name, 0) for name in ("fails", "unknown", "close", "ok")),
                    None if found.rated_kg is None else _mass(found.rated_kg, system), _mass(found.mass_kg, system),
                    found.first, found.checked_on, found.program,
                ]
            )  # fmt: skip
    return headings, rows


def checks_table(found: Design | None) -> Table:
    """Every check of a design, in the order of the sheet, in the units in which it was made; none without one."""
    headings = [
        "check", "about", "case", "verdict", "ratio", "demand", "capacity", "unit", "safety", "says", "source",
    ]  # fmt: skip
    rows: Rows = []
    if found is None:
        return headings, rows
    for each in found.findings:
        check = each.check
        demand, unit = _side(check.demand, found.system)
        capacity, other = _side(check.capacity, found.system)
        rows.append(
            [
                check.name, each.about, check.case, check.verdict, check.ratio, demand, capacity, unit or other,
                "yes" if each.safety else "no", check.sentence, check.source,
            ]
        )  # fmt: skip
    return headings, rows


def parts_table(found: Design | None, system: UnitSystem) -> Table:
    """What has to be cut, bought or reclaimed."""
    headings = ["count", "part", "material", f"length of each ({LENGTH.shown_unit(system)})"]
    rows: Rows = [
        [
            part.count,
            part.name,
            part.material,
            None if part.length_m is None else tidy(LENGTH.to_shown(part.length_m, system)),
        ]
        for part in (found.proposal().parts if found is not None else ())
    ]
    return headings, rows


def _side(value: Quantity | float | None, system: UnitSystem) -> tuple[Any, str]:
    if isinstance(value, Quantity):
        return tidy(value.dimension.to_shown(value.value_si, system)), value.dimension.shown_unit(system)
    return value, ""


def _mass(value_kg: float, system: UnitSystem) -> float:
    return tidy(MASS.to_shown(value_kg, system))
