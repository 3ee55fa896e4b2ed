"""A slope as people write it: "2 %", "1 in 12", "1/4 in/ft", "3 deg"; a bare number is rise over run."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import atan, pi
from typing import Annotated, Any, Final

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, core_schema

from floorwright.basis.quantity import ANGLE, LENGTH, is_ordinary, parse

STEEPEST: Final = pi / 4
_RATIO: Final = re.compile(r"^\s*(?P<rise>[\d.]+)\s*(?:in|:|on|to)\s*(?P<run>[\d.]+)\s*$")
_PER: Final = re.compile(r"^(?P<rise>.+[A-Za-z\"])\s*/\s*(?P<run>[A-Za-z]+)\s*$")


def slope_rad(value: Any) -> float:
    """The angle of a slope.

    Raises:
        ValueError: with one sentence about what would be right.
    """
    example = "'2 %', '1 in 12', '1/4 in/ft' or '3 deg'"
    if isinstance(value, bool) or not isinstance(value, (int, float, str)):
        raise ValueError(f"should be a slope such as {example}")
    try:
        angle = _read(value)
    except (ValueError, ZeroDivisionError):
        raise ValueError(f"is {str(value)[:40]!r}; it should be a slope such as {example}") from None
    if not is_ordinary(angle) or not 0 <= angle <= STEEPEST:
        raise ValueError("should be between level and 45 degrees; give a fall as a rise, the worst way is taken")
    return angle


def _read(value: float | str) -> float:
    if not isinstance(value, str):
        return atan(value) if is_ordinary(value) else float("nan")
    if found := _RATIO.match(value):
        return atan(float(found["rise"]) / float(found["run"]))
    if value.strip().endswith("%"):
        return atan(float(value.strip()[:-1]) / 100)
    if found := _PER.match(value):
        return atan(parse(found["rise"], LENGTH) / parse(f"1 {found['run']}", LENGTH))
    try:
        return atan(float(value))
    except ValueError:
        return parse(value, ANGLE)


@dataclass(frozen=True)
class SlopeField:
    """Marks a float field as the angle of a slope, in radians once read."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(slope_rad)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {
            "anyOf": [{"type": "number", "minimum": 0, "maximum": 1}, {"type": "string", "minLength": 1}],
            "x-dimension": "slope",
            "x-si-unit": "rise over run",
            "examples": ["1 in 12"],
        }


Slope = Annotated[float, SlopeField()]
