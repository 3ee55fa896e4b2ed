"""What stands in the fields of a spec's form, and the spec that was typed. A bare number is in the shop's unit."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Mapping, Sequence
from typing import Any, Final

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.quantity import UnitSystem, parse
from floorwright.exchange.toml_text import fields_text, value_text
from floorwright.web.calculation_form import scalar, text_of
from floorwright.web.spec_form import Field, Form, Group, in_units

_WORDS: Final = re.compile(r"[A-Za-z\"'′″”’°%]")
_ITEM: Final = re.compile(r"^(\[\d+\]|\.?[^.\[]+)")
_LINE: Final = 90  # characters of a summary
_MOST: Final = 100_000  # characters of a field


def values_of(form: Form, raw: Mapping[str, Any], system: UnitSystem | None = None) -> dict[str, str]:
    """What stands in each field for a spec; with a system, quantities in its units."""
    return {each.name: _shown(each, _held(raw, each.name), system) for group in form for each in group.all_fields()}


def _held(raw: Mapping[str, Any], name: str) -> Any:
    value: Any = raw
    for part in name.split("."):
        if isinstance(value, str) and part == "designation":
            return value  # a designation alone stands for the section
        value = value.get(part) if isinstance(value, Mapping) else None
    return value


def _shown(field: Field, value: Any, system: UnitSystem | None) -> str:
    if value is None:
        return ""
    if field.kind == "answer":
        return {True: "yes", False: "no"}.get(value, "") if isinstance(value, bool) else str(value)
    if field.kind == "list":
        entries = value if isinstance(value, list) else [value]
        return "\n".join(_quantity(field, each, system) for each in entries)
    if field.kind in ("rows", "table", "either"):
        return _toml(field, value)
    return (
        _quantity(field, value, system) if isinstance(value, (str, int, float)) else value_text(value, field.name)
    )


def _toml(field: Field, value: Any) -> str:
    if isinstance(value, Mapping) and field.kind == "table":
        return "\n".join(fields_text(value))
    if field.kind == "rows" and isinstance(value, list):
        if value and all(isinstance(each, Mapping) for each in value):
            return "\n\n".join("\n".join([f"[[{field.name}]]", *fields_text(each)]) for each in value)
        return "\n".join(value_text(each, field.name) for each in value)
    return str(value) if isinstance(value, str) and field.kind == "either" else value_text(value, field.name)


def _quantity(field: Field, value: Any, system: UnitSystem | None) -> str:
    text = text_of(value)
    if field.dimension is None or not field.unit:
        return text
    if isinstance(value, str) and system != "si":
        return text
    try:
        return in_units(parse(value, field.dimension), field.dimension, system or "si")
    except ValueError:
        return text


def raw_of(form: Form, typed: Mapping[str, str]) -> dict[str, Any]:
    """What was typed as a spec; what was left empty is left out, a bare number has the shop's unit.

    Raises:
        InputError: lines that cannot be read, all at once.
    """
    found: dict[str, Any] = {}
    problems: list[Problem] = []
    for field in (each for group in form for each in group.all_fields()):
        text = typed.get(field.name, "").strip()
        if not text:
            continue
        try:
            value = _read(field, text)
        except InputError as error:
            problems += error.problems
            continue
        *outer, last = field.name.split(".")
        place = found
        for part in outer:
            place = place.setdefault(part, {})
        place[last] = value
    if problems:
        raise InputError(problems)
    return found


def _read(field: Field, text: str) -> Any:
    if len(text) > _MOST:
        raise InputError.of(field.name, None, f"has {len(text):,} characters; at most {_MOST:,} fit")
    if field.kind == "answer":
        return {"yes": True, "no": False}.get(text, text)
    if field.kind == "choice":
        return scalar(text) if field.numeric else text
    if field.kind == "list":
        return [_with_unit(field, line.strip()) for line in text.splitlines() if line.strip()]
    if field.kind == "value":
        return _with_unit(field, text)
    if field.kind == "either" and not text.startswith("{"):
        return scalar(text)
    return _from_toml(field, text)


def _with_unit(field: Field, text: str) -> Any:
    if field.unit and not _WORDS.search(text):
        return f"{text} {field.unit}"
    return text if field.dimension is not None else scalar(text)


def _from_toml(field: Field, text: str) -> Any:
    value = _toml_value(field, text)
    try:
        json.dumps(value, allow_nan=False)
    except (TypeError, ValueError):
        said = "holds a date, or a number that is none; give texts in quotes and plain numbers"
        raise InputError.of(field.name, text[:60], said) from None
    return value


def _toml_value(field: Field, text: str) -> Any:
    last = field.name.rpartition(".")[2]
    try:
        if field.kind == "either":
            return tomllib.loads(f"it = {text}")["it"]
        if field.kind == "rows" and not text.startswith("[["):
            lines = [line.strip().rstrip(",") for line in text.splitlines() if line.strip()]
            return [tomllib.loads(f"it = {line}")["it"] for line in lines]
        if field.kind == "table" and (value := _single(text)) is not None:
            return value
        document = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        said = str(error).partition(" (at ")[0]
        where = re.search(r"at line (\d+)", str(error))
        line = f" in line {where.group(1)}" if where and field.kind != "either" else ""
        raise InputError.of(
            field.name, text[:60], f"cannot be read{line} ({said}); write it as in the file, texts in quotes"
        ) from None
    inside = document.get(last)
    return inside if list(document) == [last] and isinstance(inside, (dict, list)) else document


def _single(text: str) -> Any:
    """A list or text that stands for a table; None where it is a table."""
    try:
        return tomllib.loads(f"it = {text}")["it"]
    except tomllib.TOMLDecodeError:
        return None


def summary_of(group: Group, values: Mapping[str, str]) -> str:
    """What stands in a group, in one line, for whoever leaves it folded; "" where nothing does."""
    said = []
    for each in group.all_fields():
        text = " ".join(values.get(each.name, "").split())
        if text:
            text = text.replace("_", " ") if each.kind == "choice" else text
            said.append(f"{each.label.lower()} {text}" if each.kind in ("answer", "table", "rows") else text)
    line = ", ".join(said)
    return line if len(line) <= _LINE else f"{line[: _LINE - 1].rstrip()}…"


def beside(form: Form, problems: Sequence[Problem]) -> tuple[Problem, ...]:
    """Problems under the fields that show them: what is inside a box names its place.

    A problem of a group stands beside its first field.
    """
    fields = {each.name: each for group in form for each in group.all_fields()}
    return tuple(_beside(fields, each) for each in problems)


def _beside(fields: Mapping[str, Field], problem: Problem) -> Problem:
    if problem.field in fields or not problem.field:
        return problem
    for name in fields:
        rest = problem.field.removeprefix(name)
        if rest != problem.field and rest[0] in ".[":
            return Problem(name, problem.value, f"{_place(rest)}: {problem.message}")
    inside = [name for name in fields if name.startswith(f"{problem.field}.")]
    return Problem(inside[0], problem.value, problem.message) if inside else problem


def _place(rest: str) -> str:
    """`[0].mass` is "entry 1, mass"; `.rail.stock` is "rail, stock"."""
    parts = []
    while rest and (found := _ITEM.match(rest)):
        part = found.group(1)
        parts.append(f"entry {int(part[1:-1]) + 1}" if part.startswith("[") else part.lstrip("."))
        rest = rest[found.end() :]
    return ", ".join(parts)
