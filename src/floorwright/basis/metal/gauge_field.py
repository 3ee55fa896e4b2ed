"""A thickness as an input field: a length, or a gauge (`"11 ga"`) of tube or of sheet, as the field says."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any, Final

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, core_schema

from floorwright.basis.fields import Measure
from floorwright.basis.metal.tables import GaugeOf, gauge_m
from floorwright.basis.quantity import LENGTH

_GAUGE: Final = re.compile(r"^\s*#?\s*(\d{1,2})\s*-?\s*(?:ga|gauge|gage|swg|bwg)\.?\s*$", re.IGNORECASE)


def read_gauge(value: object, of: GaugeOf) -> float | None:
    """The thickness in metres if the value is written as a gauge, else None.

    Raises:
        ValueError: for a gauge that the table does not hold.
    """
    found = _GAUGE.match(value) if isinstance(value, str) else None
    return gauge_m(int(found.group(1)), of) if found else None


@dataclass(frozen=True)
class Thickness:
    """Marks a float field as a thickness from 0.01 mm to 1 m: a length, or a gauge of the given kind."""

    of: GaugeOf = "tube"

    def _length(self) -> Measure:
        return Measure(LENGTH, above=0, at_least=1e-5, at_most=1.0)

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        length = self._length().__get_pydantic_core_schema__(source, handler)

        def read(value: Any, otherwise: core_schema.ValidatorFunctionWrapHandler) -> float:
            gauge = read_gauge(value, self.of)
            return float(otherwise(value)) if gauge is None else gauge

        return core_schema.no_info_wrap_validator_function(read, length)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        shown = self._length().__get_pydantic_json_schema__(schema, handler)
        return shown | {"examples": ["11 ga"], "x-gauge": self.of}
