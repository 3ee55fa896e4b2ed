"""A number that is not known exactly: as people write it down, its mean and spread, and draws from it.

Four forms: a plain number; {low, likely, high}, a triangle or with `shape` "pert" the smoother beta-PERT curve;
{mean, sd}, a normal distribution; {mean, low, high, confidence}, a measured interval, taken as normal with
sd = (high - low) / (2 z). Where a value cannot lie below a floor (hours, money, years), normal draws below it are
set to the floor; the mean and the standard deviation given here are those of the draws as they are used.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray
from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, core_schema

from floorwright.basis.fields import Measure, Plain
from floorwright.basis.quantity import FRACTION, plain_number
from floorwright.basis.stat.quantiles import two_sided_z

FloatArray: TypeAlias = NDArray[np.float64]
Shape = Literal["number", "triangular", "pert", "normal"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """A number with what is known about its spread, in SI.

    Attributes:
        shape: number, triangular, pert or normal.
        centre: the number, the likely value, or the mean of the normal distribution.
        low, high: ends of a three-point estimate.
        sd: of the normal distribution.
        floor: what the value cannot lie below.
    """

    shape: Shape
    centre: float
    low: float = 0.0
    high: float = 0.0
    sd: float = 0.0
    floor: float | None = None

    @property
    def certain(self) -> bool:
        """Whether it is one number without any spread."""
        return self.sd == 0.0 if self.shape == "normal" else self.low == self.high

    @property
    def mean(self) -> float:
        """Mean of what is drawn."""
        return self._moments()[0]

    @property
    def variance(self) -> float:
        """Variance of what is drawn."""
        return self._moments()[1]

    @property
    def share_at_floor(self) -> float:
        """Share of the draws that would lie below the floor and are set to it."""
        if self.shape != "normal" or self.floor is None or self.certain:
            return 0.0
        return _normal_below((self.floor - self.centre) / self.sd)

    def _moments(self) -> tuple[float, float]:
        a, m, b = self.low, self.centre, self.high
        if self.certain:
            return m, 0.0
        if self.shape == "triangular":
            return (a + m + b) / 3, ((m - a) ** 2 + (b - m) ** 2 + (b - a) ** 2) / 36
        if self.shape == "pert":
            mean = (a + 4 * m + b) / 6
            return mean, (mean - a) * (b - mean) / 7
        return _moments_above(self.floor, self.centre, self.sd)

    def draw(self, dice: np.random.Generator, count: int) -> FloatArray | float:
        """So many draws; the bare number where there is no spread (then no random number is used up)."""
        if self.certain:
            return self.centre
        if self.shape == "triangular":
            return dice.triangular(self.low, self.centre, self.high, count)
        if self.shape == "pert":
            width = self.high - self.low
            rise, fall = 4 * (self.centre - self.low) / width, 4 * (self.high - self.centre) / width
            return self.low + width * dice.beta(1 + rise, 1 + fall, count)
        drawn = dice.normal(self.centre, self.sd, count)
        return drawn if self.floor is None else np.maximum(drawn, self.floor)

    def text(self) -> str:
        """How it was given, for people."""
        if self.shape == "normal":
            return f"normal, mean {plain_number(self.centre, 4)}, sd {plain_number(self.sd, 3)}"
        if self.shape == "number":
            return "fixed"
        ends = ", ".join(plain_number(x, 4) for x in (self.low, self.centre, self.high))
        return f"{'PERT' if self.shape == 'pert' else 'triangle'} {ends}"


def _normal_below(value: float) -> float:
    return 0.5 * math.erfc(-value / math.sqrt(2))


def _moments_above(floor: float | None, mean: float, sd: float) -> tuple[float, float]:
    """Mean and variance of a normal value that is set to the floor wherever it falls below."""
    if floor is None:
        return mean, sd * sd
    gap = mean - floor
    inside = _normal_below(gap / sd)
    edge = sd * math.exp(-0.5 * (gap / sd) ** 2) / math.sqrt(2 * math.pi)
    first = gap * inside + edge
    second = (gap * gap + sd * sd) * inside + gap * edge
    return floor + first, second - first * first


# The brackets tell the name of a form from the name of a field, see `fields.problems_of`.
_FORMS: Final[dict[str, tuple[str, ...]]] = {
    "[three]": ("low", "likely", "high", "shape"),
    "[normal]": ("mean", "sd"),
    "[measured]": ("mean", "low", "high", "confidence"),
}
_WAYS: Final = "a number, {low, likely, high}, {mean, sd} or {mean, low, high, confidence}"


def _form(value: Any) -> str:
    if not isinstance(value, Mapping):
        return "[number]"
    if "mean" in value:
        return "[normal]" if "sd" in value or not {"low", "high"} & set(value) else "[measured]"
    return "[three]"


def _known_names(form: str) -> Callable[[Any], Any]:
    def check(value: Any) -> Any:
        extra = [str(name) for name in value if name not in _FORMS[form]]
        if extra:
            raise ValueError(f"has '{extra[0]}', which does not fit here; give {_WAYS}")
        return value

    return check


@dataclass(frozen=True)
class Uncertain:
    """Marks a `Spread` field: `Annotated[Spread, Uncertain(Plain(at_least=0), floor=0.0)]`.

    `mark` reads and bounds each value; `floor` is what draws cannot lie below.
    """

    mark: Measure | Plain
    floor: float | None = None

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        value = self.mark.__get_pydantic_core_schema__(float, handler)
        free: Measure | Plain = Plain()
        positive: Measure | Plain = Plain(at_least=0)
        if isinstance(self.mark, Measure):
            free, positive = Measure(self.mark.dimension), Measure(self.mark.dimension, at_least=0)
        # The interval of a value that cannot be negative may still reach below 0.
        end = free.__get_pydantic_core_schema__(float, handler)
        sd = positive.__get_pydantic_core_schema__(float, handler)
        share = Measure(FRACTION, at_least=0.5, at_most=0.9999).__get_pydantic_core_schema__(float, handler)
        shape = core_schema.literal_schema(["triangular", "pert"])

        def form(name: str, fields: dict[str, CoreSchema], make: Callable[[dict[str, Any]], Spread]) -> CoreSchema:
            typed = core_schema.typed_dict_schema(
                {
                    key: core_schema.typed_dict_field(schema, required=key not in ("shape", "confidence"))
                    for key, schema in fields.items()
                }
            )
            checked = core_schema.no_info_before_validator_function(_known_names(name), typed)
            return core_schema.no_info_after_validator_function(make, checked)

        return core_schema.tagged_union_schema(
            {
                "[number]": core_schema.no_info_after_validator_function(self._number, value),
                "[three]": form(
                    "[three]", {"low": value, "likely": value, "high": value, "shape": shape}, self._three
                ),
                "[normal]": form("[normal]", {"mean": value, "sd": sd}, self._normal),
                "[measured]": form(
                    "[measured]", {"mean": value, "low": end, "high": end, "confidence": share}, self._measured
                ),
            },
            _form,
        )

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        value = self.mark.__get_pydantic_json_schema__(core_schema.float_schema(), handler)

        def record(names: tuple[str, ...], **more: Any) -> dict[str, Any]:
            return {
                "type": "object",
                "properties": dict.fromkeys(names, value) | more,
                "required": list(names),
                "additionalProperties": False,
            }

        confidence = {"type": "number", "minimum": 0.5, "maximum": 0.9999, "default": 0.95}
        return {
            "anyOf": [
                value,
                record(("low", "likely", "high"), shape={"enum": ["triangular", "pert"], "default": "triangular"}),
                record(("mean", "sd")),
                record(("mean", "low", "high"), confidence=confidence),
            ]
        }

    def _number(self, value: float) -> Spread:
        return Spread(shape="number", centre=value, floor=self.floor)

    def _three(self, given: dict[str, Any]) -> Spread:
        low, likely, high = given["low"], given["likely"], given["high"]
        if not low <= likely <= high:
            raise ValueError(f"should rise from low to likely to high, not {low:g}, {likely:g}, {high:g}")
        shape: Shape = given.get("shape", "triangular")
        return Spread(shape=shape, centre=likely, low=low, high=high, floor=self.floor)

    def _normal(self, given: dict[str, Any]) -> Spread:
        return Spread(shape="normal", centre=given["mean"], sd=given["sd"], floor=self.floor)

    def _measured(self, given: dict[str, Any]) -> Spread:
        mean, low, high = given["mean"], given["low"], given["high"]
        if not low <= mean <= high:
            raise ValueError(
                f"should have its mean between low and high, not {mean:g} between {low:g} and {high:g}"
            )
        sd = (high - low) / (2 * two_sided_z(given.get("confidence", 0.95)))
        return Spread(shape="normal", centre=mean, sd=sd, floor=self.floor)
