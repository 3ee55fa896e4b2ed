"""A form made from the schema of a calculation, and its input made from what was typed.

Every field of the schema has a place: one value, a choice, a tick, a list with one entry a line, the fields of a
small object beside one another, and a box for JSON where nothing simpler can hold it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final, Literal

from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import InputError
from floorwright.basis.json_text import read_json

Kind = Literal["value", "choice", "tick", "list", "box"]
_NUMBER: Final = re.compile(r"[-+]?(\d+(\.\d*)?|\.\d+)([eE][-+]?\d+)?")
_BARE: Final = {"fraction": "", "angle": ""}


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One field of a form.

    Attributes:
        name: where its value goes; `origin.vertical` is the field of a field.
        label, hint: for people.
        kind: how it is filled in.
        options: of a choice.
        required: whether it has to be filled in.
        example: what stands in it at first.
        rows: lines of a list or a box.
    """

    name: str
    label: str
    hint: str
    kind: Kind
    options: tuple[tuple[str, str], ...] = ()
    required: bool = False
    example: str = ""
    rows: int = 1


def fields_of(calculation: Calculation[Any]) -> tuple[Field, ...]:
    """The fields of a calculation, in the order of its schema, with the values of its example."""
    schema = calculation.schema()
    return tuple(_fields(schema, schema, "", calculation.example, required=True))


def _fields(
    schema: Mapping[str, Any], whole: Mapping[str, Any], start: str, example: Mapping[str, Any], *, required: bool
) -> Iterator[Field]:
    for name, about in schema["properties"].items():
        needed = required and name in schema.get("required", ())
        value = example.get(name)
        inner = _inner(about, whole)
        if inner is not None:
            yield from _fields(inner, whole, f"{start}{name}.", value or {}, required=needed)
        else:
            yield _field(f"{start}{name}", about, whole, value, required=needed)


def _field(name: str, about: Mapping[str, Any], whole: Mapping[str, Any], value: Any, *, required: bool) -> Field:
    found = only(about, whole)
    label = words_of(name)
    hint = " ".join(filter(None, (_hint(about, found), _unless_told(about))))
    if "enum" in found:
        options = tuple((str(each), words_of(str(each))) for each in found["enum"])
        if not required:
            usual = about.get("default")
            options = (("", f"as usual ({words_of(str(usual)).lower()})" if usual else "as usual"), *options)
        example = text_of(value)
        return Field(
            name=name, label=label, hint=hint, kind="choice", options=options, required=required, example=example
        )
    if found.get("type") == "boolean":
        return Field(name=name, label=label, hint=hint, kind="tick", example="yes" if value else "")
    if is_value(found):
        return Field(name=name, label=label, hint=hint, kind="value", required=required, example=text_of(value))
    if found.get("type") == "array" and is_value(found.get("items", {})):
        lines = [text_of(each) for each in value or ()]
        return Field(
            name=name,
            label=label,
            hint=f"{hint} One a line.".strip(),
            kind="list",
            required=required,
            example="\n".join(lines),
            rows=min(12, max(4, len(lines) + 1)),
        )
    return _box(name, label, hint, found, value, required=required)


def _box(name: str, label: str, hint: str, found: Mapping[str, Any], value: Any, *, required: bool) -> Field:
    may_list = any(each.get("type") == "array" and is_value(each.get("items", {})) for each in branches(found))
    plain_list = may_list and isinstance(value, list) and not any(isinstance(each, (list, dict)) for each in value)
    if plain_list:
        text = "\n".join(text_of(each) for each in value)
    else:
        text = _pretty(value) if isinstance(value, (list, dict)) else text_of(value)
    may_be_one = any(is_value(each) for each in branches(found))
    how = "One a line, or JSON." if may_list else "JSON, as in the example."
    if may_be_one:
        how = 'One value, or a range such as {"low": 4, "likely": 5, "high": 7}.'
    return Field(
        name=name,
        label=label,
        hint=f"{hint} {how}".strip(),
        kind="box",
        required=required,
        example=text,
        rows=min(14, max(2, text.count("\n") + 2)),
    )


def _pretty(value: list[Any] | dict[str, Any]) -> str:
    """JSON as people read it: what is short on one line."""
    short = json.dumps(value, ensure_ascii=False)
    if len(short) <= 60:
        return short
    if isinstance(value, list):
        return "[\n" + ",\n".join(f" {json.dumps(each, ensure_ascii=False)}" for each in value) + "\n]"
    inner = (f" {json.dumps(name)}: {json.dumps(each, ensure_ascii=False)}" for name, each in value.items())
    return "{\n" + ",\n".join(inner) + "\n}"


def branches(about: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """What a value may be, one schema each."""
    return [*about.get("anyOf", ()), *about.get("oneOf", ())] or [about]


def resolved(about: Mapping[str, Any], whole: Mapping[str, Any]) -> Mapping[str, Any]:
    """What a reference stands for; anything else as it is."""
    reference = about.get("$ref")
    if reference is None:
        return about
    found: Mapping[str, Any] = whole["$defs"][str(reference).rpartition("/")[2]]
    return found


def only(about: Mapping[str, Any], whole: Mapping[str, Any]) -> Mapping[str, Any]:
    """The one branch that is not null, where there is just one; else the whole of it."""
    about = resolved(about, whole)
    real = [each for each in branches(about) if each.get("type") != "null"]
    if len(real) == 1 and real[0] is not about:
        return only(real[0], whole)
    return {**about, "anyOf": [resolved(each, whole) for each in real]} if len(real) > 1 else about


def _inner(about: Mapping[str, Any], whole: Mapping[str, Any]) -> Mapping[str, Any] | None:
    """The schema of an object whose fields stand beside one another; None for everything else."""
    found = only(about, whole)
    if found.get("type") != "object" or "properties" not in found:
        return None
    simple = all(
        is_value(only(each, whole)) or "enum" in only(each, whole) for each in found["properties"].values()
    )
    return found if simple else None


def is_value(about: Mapping[str, Any]) -> bool:
    """One number, quantity or text."""
    types = {each.get("type") for each in branches(about)} - {"null"}
    return bool(types) and types <= {"number", "integer", "string"} and "enum" not in about


def _hint(about: Mapping[str, Any], found: Mapping[str, Any]) -> str:
    said = str(about.get("description", "")).strip().replace("_", " ").replace("`", "")
    said = said[:1].upper() + said[1:]
    inside = found.get("items", found)
    dimension = inside.get("x-dimension")
    if dimension is None or not inside.get("examples"):
        return f"{said}." if said else ""
    example = inside["examples"][0]
    unit = _BARE.get(dimension, inside["x-si-unit"])
    bare = f"; a bare number is in {unit}" if unit else ""
    how = f"Such as {example}{bare}."
    return f"{said}. {how}" if said and example not in said else f"{said}{bare}." if said else how


def _unless_told(about: Mapping[str, Any]) -> str:
    usual = about.get("default")
    said = "unless told" in str(about.get("description", ""))
    is_number = isinstance(usual, (int, float)) and not isinstance(usual, bool)
    return f"{usual:g} unless told." if is_number and not said else ""


def words_of(name: str) -> str:
    """A name of the schema as people read it."""
    text = name.replace(".", ": ").replace("_", " ")
    return text[:1].upper() + text[1:]


def text_of(value: Any) -> str:
    """A single value as it stands in a field."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else ""
    return f"{value:g}" if isinstance(value, float) else str(value)


def input_of(fields: tuple[Field, ...], typed: Mapping[str, str]) -> dict[str, Any]:
    """What was typed as the input of the calculation; what was left empty is left out.

    Raises:
        InputError: a box whose JSON cannot be read.
    """
    found: dict[str, Any] = {}
    for each in fields:
        value = _value(each, typed.get(each.name, "").strip())
        if value is None:
            continue
        *outer, last = each.name.split(".")
        place = found
        for part in outer:
            place = place.setdefault(part, {})
        place[last] = value
    return found


def _value(field: Field, text: str) -> Any:
    if field.kind == "tick":
        return True if text else None
    if not text:
        return None
    if field.kind == "box" and text[0] in "[{":
        return _json(field, text)
    if field.kind == "list" or (field.kind == "box" and "\n" in text):
        return [scalar(line.strip()) for line in text.splitlines() if line.strip()]
    return text if field.kind == "choice" else scalar(text)


def _json(field: Field, text: str) -> Any:
    try:
        return read_json(text)
    except InputError as error:
        raise InputError.of(field.name, text[:60], error.problems[0].message) from None


def scalar(text: str) -> Any:
    """A bare number as a number, all else as text: the calculation reads quantities itself."""
    if not _NUMBER.fullmatch(text) or len(text) > 40:
        return text
    value = float(text)
    return int(value) if value.is_integer() and abs(value) < 1e15 and "e" not in text.lower() else value
