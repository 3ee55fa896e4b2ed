"""Input fields of calculations: pydantic models that read quantities and answer with plain sentences."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Annotated, Any, Final, get_args

from pydantic import BaseModel, ConfigDict, GetCoreSchemaHandler, GetJsonSchemaHandler, TypeAdapter, ValidationError
from pydantic_core import CoreSchema, core_schema

from floorwright.basis.errors import Problem, json_safe
from floorwright.basis.quantity import (
    ANGLE,
    AREA,
    DISTANCE,
    FRACTION,
    LENGTH,
    MASS,
    RATE,
    SMALLEST,
    SPEED,
    TIME,
    Dimension,
    is_ordinary,
    parse,
    plain_number,
)
from floorwright.basis.sentence import said

_STEPS: Final = re.compile(r"\[(\d+)\]|([^.\[\]]+)")


class Input(BaseModel):
    """Base of every input model: unknown fields are refused, values do not change after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


@dataclass(frozen=True)
class Measure:
    """Marks a float field as a physical quantity with bounds in SI: `Annotated[float, Measure(LENGTH)]`."""

    dimension: Dimension
    above: float | None = None
    at_least: float | None = None
    at_most: float | None = None

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        def read(value: Any) -> float:
            number = parse(value, self.dimension)
            _bounds(number, self.above, self.at_least, self.at_most, self.dimension)
            return number

        return core_schema.no_info_plain_validator_function(read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        number: dict[str, Any] = {"type": "number"}
        if self.above is not None:
            number["exclusiveMinimum"] = self.above
        if self.at_least is not None:
            number["minimum"] = self.at_least
        if self.at_most is not None:
            number["maximum"] = self.at_most
        return {
            "anyOf": [number, {"type": "string", "minLength": 1}],
            "x-dimension": self.dimension.name,
            "x-si-unit": self.dimension.si if self.dimension is not ANGLE else "rad",
            "examples": [self.dimension.example],
        }


@dataclass(frozen=True)
class Plain:
    """Marks a float (or, with `whole`, an int) field as a bare number with bounds."""

    above: float | None = None
    at_least: float | None = None
    at_most: float | None = None
    below: float | None = None
    whole: bool = False

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        def read(value: Any) -> float | int:
            if isinstance(value, bool) or not isinstance(value, (int, float)):
                raise ValueError(
                    said("should be a bare number without decimals")
                    if self.whole
                    else said("should be a bare number")
                )
            if not is_ordinary(value):
                raise ValueError(said("should be an ordinary number"))
            _bounds(value, self.above, self.at_least, self.at_most, None)
            if self.below is not None and value >= self.below:
                raise ValueError(
                    said("is {value}; it should be below {below}", value=value, below=f"{self.below:g}")
                )
            if not self.whole:
                return float(value)
            if value != int(value):
                raise ValueError(said("is {value}; it should be a whole number", value=value))
            return int(value)

        return core_schema.no_info_plain_validator_function(read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        number: dict[str, Any] = {"type": "integer" if self.whole else "number"}
        for key, bound in (
            ("exclusiveMinimum", self.above),
            ("minimum", self.at_least),
            ("maximum", self.at_most),
            ("exclusiveMaximum", self.below),
        ):
            if bound is not None:
                number[key] = bound
        return number


def _bounds(
    number: float,
    above: float | None,
    at_least: float | None,
    at_most: float | None,
    dimension: Dimension | None,
) -> None:
    def shown(value: float) -> str:
        if dimension is None:
            return f"{value:g}"
        text = plain_number(dimension.to_shown(value, "si"), 6)
        if "." in text:
            text = text.rstrip("0").rstrip(".")
        return f"{text} {dimension.si}".strip()

    if above == 0 and 0 < number < SMALLEST:
        raise ValueError(said("is too close to 0 to have been measured"))
    if above is not None and not number > above:
        raise ValueError(
            said("is {value}; it should be more than {limit}", value=shown(number), limit=shown(above))
        )
    if at_least is not None and not number >= at_least:
        raise ValueError(
            said("is {value}; it should be {limit} or more", value=shown(number), limit=shown(at_least))
        )
    if at_most is not None and not number <= at_most:
        raise ValueError(
            said("is {value}; it should be {limit} or less", value=shown(number), limit=shown(at_most))
        )


Length = Annotated[float, Measure(LENGTH, at_least=0)]
Distance = Annotated[float, Measure(DISTANCE, at_least=0)]
Mass = Annotated[float, Measure(MASS, at_least=0)]
Time = Annotated[float, Measure(TIME, at_least=0)]
PositiveTime = Annotated[float, Measure(TIME, above=0)]
Angle = Annotated[float, Measure(ANGLE)]
Area = Annotated[float, Measure(AREA, at_least=0)]
Speed = Annotated[float, Measure(SPEED, above=0)]
PositiveRate = Annotated[float, Measure(RATE, above=0)]
Share = Annotated[float, Measure(FRACTION, at_least=0, at_most=1)]
Confidence = Annotated[float, Measure(FRACTION, at_least=0.5, at_most=0.9999)]
Number = Annotated[float, Plain()]
NonNegative = Annotated[float, Plain(at_least=0)]
Positive = Annotated[float, Plain(above=0)]
Whole = Annotated[int, Plain(at_least=0, whole=True)]
PositiveWhole = Annotated[int, Plain(at_least=1, whole=True)]


def high_rate(rate: float) -> str | None:
    """A warning where interest above 100 % a year was read: mostly a percentage written without its sign."""
    if rate <= 1:
        return None
    typed = f"{rate:.6g}"
    return f"rate: {typed} means {100 * rate:.6g} % a year; write '{typed} %' for {typed} per cent."


def problems_of(error: ValidationError, model: type[BaseModel]) -> list[Problem]:
    """Translate pydantic's findings into plain problems, one for each field that is wrong."""
    found: dict[str, Problem] = {}
    for item in error.errors(include_url=False):
        path = _path(item["loc"])
        value = None if item["type"] == "missing" else item.get("input")
        found.setdefault(path, Problem(path, json_safe(value), _message(item, model)))
    return list(found.values())


def readable_fields(error: ValidationError, model: type[BaseModel], raw: Mapping[str, Any]) -> dict[str, Any]:
    """The top-level fields in which nothing is wrong, as they are read; those left out have their defaults.

    A field that is wrong, or missing though it is needed, is absent.
    """
    wrong = {item["loc"][0] for item in error.errors(include_url=False) if item["loc"]}
    found: dict[str, Any] = {}
    for name, info in model.model_fields.items():
        if name in wrong:
            continue
        if name not in raw:
            found[name] = info.get_default(call_default_factory=True, validated_data=found)
        else:
            kind: Any = Annotated[info.annotation, info]
            found[name] = TypeAdapter[Any](kind).validate_python(raw[name])
    return found


def top_level(field: str) -> str:
    """`tasks[0].load` -> `tasks`."""
    return re.split(r"[.\[]", field, maxsplit=1)[0]


def as_typed(problem: Problem, raw: Mapping[str, Any]) -> Problem:
    """The problem with the value that stands in the raw input at its path; unchanged where nothing stands there."""
    if not problem.field:
        return problem
    value: Any = raw
    for position, name in _STEPS.findall(problem.field):
        if name and isinstance(value, Mapping) and name in value:
            value = value[name]
        elif position and isinstance(value, (list, tuple)) and int(position) < len(value):
            value = value[int(position)]
        else:
            return problem
    return Problem(problem.field, json_safe(value), problem.message)


def _path(loc: tuple[int | str, ...]) -> str:
    """`("tasks", 0, "load")` -> `tasks[0].load`; names that pydantic adds for union branches are left out."""
    branches = {each.__name__ for each in _all_models(BaseModel)}
    text = ""
    for part in loc:
        if isinstance(part, int):
            text += f"[{part}]"
        elif part and part not in branches and "[" not in part and "function-" not in part:
            text += f".{part}" if text else part
    return text


def _all_models(model: type[BaseModel]) -> Iterator[type[BaseModel]]:
    for child in model.__subclasses__():
        yield child
        yield from _all_models(child)


def _model_at(model: type[BaseModel], loc: tuple[int | str, ...]) -> type[BaseModel]:
    """The model that a place inside a model belongs to, as far as it can be followed."""
    for part in loc[:-1]:
        for name, info in model.model_fields.items():
            if part in (name, info.alias):
                inner = [each for each in _kinds(info.annotation) if issubclass(each, BaseModel)]
                model = inner[0] if len(inner) == 1 else model
    return model


def _kinds(annotation: Any) -> Iterator[type]:
    """The plain types inside an annotation: `dict[str, Node] | None` -> str, Node, NoneType."""
    if args := get_args(annotation):
        for arg in args:
            yield from _kinds(arg)
    elif isinstance(annotation, type):
        yield annotation


_LIST: Final = said("should be a list")
_OBJECT: Final = said("should be an object with named fields")
_TEXT: Final = said("should be text")
_YES_OR_NO: Final = said("should be true or false")
_PLAIN: Final[Mapping[str, str]] = {
    "list_type": _LIST,
    "tuple_type": _LIST,
    "model_type": _OBJECT,
    "model_attributes_type": _OBJECT,
    "dict_type": _OBJECT,
    "mapping_type": _OBJECT,
    "string_type": _TEXT,
    "string_too_short": _TEXT,
    "bool_type": _YES_OR_NO,
    "bool_parsing": _YES_OR_NO,
}


def _message(item: Any, model: type[BaseModel]) -> str:
    kind, context = item["type"], item.get("ctx", {})
    if kind == "missing":
        return _what(model, item["loc"])
    if kind == "extra_forbidden":
        known = {info.alias or name for name, info in _model_at(model, item["loc"]).model_fields.items()}
        names = ", ".join(sorted(known))
        if near := get_close_matches(str(item["loc"][-1]), known, n=1, cutoff=0.7):
            return said(
                "is not a field here; did you mean {near}? The fields are {names}", near=near[0], names=names
            )
        return said("is not a field here; the fields are {names}", names=names)
    if kind == "value_error":
        return str(context["error"])
    if kind == "literal_error":
        return said("is {value}; it should be {choices}", value=repr(item["input"]), choices=context["expected"])
    if kind == "too_short":
        return said(
            "has {have} entries; it needs at least {least}",
            have=context["actual_length"],
            least=context["min_length"],
        )
    if kind == "too_long":
        return said(
            "has {have} entries; at most {most} fit", have=context["actual_length"], most=context["max_length"]
        )
    if kind == "union_tag_invalid":
        return said(
            "is {value}; it should be one of {choices}",
            value=repr(context["tag"]),
            choices=context["expected_tags"],
        )
    if kind == "union_tag_not_found":
        return said("is missing; {field} says which kind it is", field=context["discriminator"])
    return _PLAIN.get(kind) or str(item["msg"])


def _what(model: type[BaseModel], loc: tuple[int | str, ...]) -> str:
    """That a field is missing, and what it should hold, from its description where it is on the top level."""
    info = model.model_fields.get(str(loc[-1])) if len(loc) == 1 else None
    if info is not None and info.description:
        return said("is missing; give {what}", what=info.description)
    return said("is missing; it is needed here")
