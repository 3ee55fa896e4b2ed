"""What a calculation gives back, and the one place where it becomes JSON."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from floorwright.basis.check import Check
from floorwright.basis.quantity import Dimension, Quantity, UnitSystem
from floorwright.basis.working import Working


@dataclass(frozen=True, slots=True)
class Span:
    """An interval of a quantity (dimension given) or of a plain number; either end may be None for no limit."""

    low_si: float | None
    high_si: float | None
    dimension: Dimension | None = None

    def to_record(self, system: UnitSystem = "si") -> dict[str, Any]:
        """{"low": x, "high": y}, with "unit" where it is a quantity."""

        def shown(end: float | None) -> float | None:
            if end is None or not math.isfinite(end):
                return None
            return self.dimension.to_shown(end, system) if self.dimension else end

        record: dict[str, Any] = {"low": shown(self.low_si), "high": shown(self.high_si)}
        if self.dimension is not None:
            record["unit"] = self.dimension.shown_unit(system)
        return record


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """The result of a calculation.

    Attributes:
        results: by the names of the contract; physical values are `Quantity`, intervals are `Span`.
        working: how the results came about.
        checks: comparisons with limits.
        warnings: sentences the user should read before using the numbers.
        sources: ids in the register of sources.
    """

    results: Mapping[str, Any]
    working: Working
    checks: tuple[Check, ...] = ()
    warnings: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()

    def to_record(self, calculation: str, system: UnitSystem = "si") -> dict[str, Any]:
        """The outcome as every interface sends it."""
        return {
            "calculation": calculation,
            "results": to_plain(self.results, system),
            "checks": [check.to_record(system) for check in self.checks],
            "working": to_plain(self.working.to_record(), system),
            "warnings": list(self.warnings),
            "sources": list(self.sources),
        }


def to_plain(value: Any, system: UnitSystem) -> Any:
    """Turn results into JSON values; a number that is not finite becomes null."""
    if isinstance(value, (Quantity, Span)):
        record = value.to_record(system)
        return {key: to_plain(part, system) for key, part in record.items()}
    if isinstance(value, Mapping):
        return {str(key): to_plain(part, system) for key, part in value.items()}
    if isinstance(value, (list, tuple)):
        return [to_plain(part, system) for part in value]
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value
