"""What was asked for, field by field, as text: what the user said, what was taken as usual, what was left open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal, get_args

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from floorwright.basis.fields import Measure
from floorwright.basis.quantity import ANGLE, FRACTION, LENGTH, RATE, Dimension, UnitSystem, plain_number, write
from floorwright.propose.aid.calc.slope import SlopeField
from floorwright.propose.aid.spec import AidSpec, Temperature

Said = Literal["said", "usual", "open"]
APART: Final = ("pattern", "title", "limits", "rides_on")
"""Fields that stand elsewhere on a sheet."""
FEW: Final = 3  # entries of a table that still read well in one line


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One field of a spec.

    Attributes:
        group: name of the table that it stands in, "" for the aid itself.
        name: of the field, in words.
        text: its value with its unit; where it is open, whether a question was not answered or a size not told.
        meaning: what it is, "" where the name says it.
        said: said by the user, taken as usual, or open (a check that needs it answers `unknown`).
    """

    group: str
    name: str
    text: str
    meaning: str
    said: Said


def asked(spec: AidSpec, system: UnitSystem) -> tuple[Asked, ...]:
    """The fields of a spec in their order, those of an inner table after its name."""
    return tuple(_fields(spec, system, ()))


def _fields(model: BaseModel, system: UnitSystem, path: tuple[str, ...]) -> Iterator[Asked]:
    inner = []
    for name, info in type(model).model_fields.items():
        value = getattr(model, name)
        if not path and name in APART:
            continue
        if isinstance(value, BaseModel) and not _is_stock(value):
            inner.append((name, value))
            continue
        said: Said = "open" if value is None else "said" if name in model.model_fields_set else "usual"
        if many := _entries(value):
            group = ", ".join((*path, _words(name)))
            for key, each in many:
                text = value_text(each, dimension_of(info), system)
                yield Asked(group=group, name=key, text=text, meaning="", said=said)
            continue
        yield Asked(
            group=", ".join(path),
            name=_words(name),
            text=_left_open(info) if value is None else value_text(value, dimension_of(info), system),
            meaning=info.description or "",
            said=said,
        )
    for name, value in inner:
        yield from _fields(value, system, (*path, _words(name)))


def _entries(value: Any) -> list[tuple[str, Any]]:
    """The entries of a table of many, each with its name: they stand under one another."""
    if isinstance(value, Mapping) and len(value) > FEW:
        return [(str(key), each) for key, each in value.items()]
    if isinstance(value, list) and value and all(isinstance(each, BaseModel) for each in value):
        return [(getattr(each, "name", str(i)), each) for i, each in enumerate(value, 1)]
    return []


def _left_open(info: FieldInfo) -> str:
    """A question that was put and not answered, or a size that need not be told."""
    question = bool in get_args(info.annotation) or dimension_of(info) == "°C"
    return "not answered" if question else "not told"


def value_text(value: Any, dimension: Dimension | Literal["°C"] | None, system: UnitSystem) -> str:
    """A value as people write it; of an inner table only what was said."""
    if value is None:
        return "open"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        if dimension == "°C":
            return _temperature(value, system)
        if dimension is FRACTION:
            return f"{plain_number(100 * value)} %"
        return str(value) if dimension is None and isinstance(value, int) else _number(value, dimension, system)
    if isinstance(value, BaseModel):
        if _is_stock(value):
            return _stock_text(value)
        fields = type(value).model_fields
        shown = {name: info for name, info in fields.items() if name in value.model_fields_set and name != "name"}
        return ", ".join(
            f"{_words(name)} {value_text(getattr(value, name), dimension_of(info), system)}"
            for name, info in shown.items()
        )
    if isinstance(value, Mapping):
        return "; ".join(f"{key}: {value_text(each, dimension, system)}" for key, each in value.items()) or "none"
    if isinstance(value, Sequence) and not isinstance(value, str):
        mark = "; " if any(isinstance(each, BaseModel) for each in value) else ", "
        return mark.join(value_text(each, dimension, system) for each in value) or "none"
    return str(value).replace("_", " ")


def dimension_of(info: FieldInfo) -> Dimension | Literal["°C"] | None:
    """What kind of quantity a field holds, also inside a list or beside `None`."""
    for mark in _marks(info):
        if isinstance(mark, Measure):
            return mark.dimension
        if isinstance(mark, SlopeField):
            return ANGLE
        if mark in Temperature.__metadata__:  # type: ignore[attr-defined]
            return "°C"
    return None


def _marks(info: FieldInfo) -> Iterator[Any]:
    yield from info.metadata
    yield from _inside(info.annotation)


def _inside(annotation: Any) -> Iterator[Any]:
    yield from getattr(annotation, "__metadata__", ())
    for each in get_args(annotation):
        yield from _inside(each)


def _number(value: float, dimension: Dimension | None, system: UnitSystem) -> str:
    if dimension is RATE:
        return f"{plain_number(3600 * value)} an hour"
    if dimension is LENGTH:
        return length_text(value, system)
    return plain_number(value) if dimension is None else write(value, dimension, system)


def length_text(length_m: float, system: UnitSystem) -> str:
    """A size as it is measured and cut: inches to the thousandth, or millimetres to the tenth."""
    if system == "us":
        return f"{round(LENGTH.to_shown(length_m, system), 3):,.10g} in"
    return f"{round(1000 * length_m, 1):,.10g} mm"


def _temperature(celsius: float, system: UnitSystem) -> str:
    return f"{celsius:.0f} °C" if system == "si" else f"{1.8 * celsius + 32:.0f} °F"


def _is_stock(value: Any) -> bool:
    return isinstance(value, BaseModel) and "section" in type(value).model_fields


def _stock_text(stock: Any) -> str:
    made, material = stock.made("")
    found = " (reclaimed)" if stock.reclaimed else ""
    return f"{made.label}, {material.name}{found}"


def _words(name: str) -> str:
    return name.strip("_").replace("_", " ")
