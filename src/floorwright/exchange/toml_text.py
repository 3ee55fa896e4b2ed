"""Plain values as TOML text that a person goes on editing; `tomllib` reads the same values back."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from math import isfinite
from typing import Any, Final

from floorwright.basis.errors import InputError

_BARE_KEY: Final = re.compile(r"[A-Za-z0-9_-]+\Z")
_LONG: Final = 100


def toml_text(raw: Mapping[str, Any]) -> str:
    """A document: single values first, then a table for each object and each of a list of objects.

    Raises:
        InputError: a value that TOML has no form for (null, NaN).
    """
    single = {name: value for name, value in raw.items() if not _is_table(value) and not _is_tables(value)}
    lines = [f"{key_text(name)} = {value_text(value, name)}" for name, value in single.items()]
    for name, value in raw.items():
        if _is_table(value):
            lines += ["", f"[{key_text(name)}]", *fields_text(value)]
        elif _is_tables(value):
            for each in value:
                lines += ["", f"[[{key_text(name)}]]", *fields_text(each)]
    return "\n".join(lines) + "\n"


def fields_text(table: Mapping[str, Any]) -> list[str]:
    """A line for each field of a table; what is inside stands inline. Raises InputError."""
    return [f"{key_text(name)} = {value_text(value, name)}" for name, value in table.items()]


def key_text(name: str) -> str:
    """A name as TOML has it, quoted where it must be."""
    return name if _BARE_KEY.match(name) else _quoted(name)


def _quoted(text: str) -> str:
    # A text of JSON is one of TOML, but for DEL, which JSON lets stand.
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007F")


def value_text(value: Any, where: str = "") -> str:
    """One value on one line; a long list has a line for each entry. Raises InputError."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int) or (isinstance(value, float) and isfinite(value)):
        return repr(value)
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key_text(n)} = {_inline(each, n)}" for n, each in value.items()) + " }"
    if isinstance(value, Sequence):
        entries = [_inline(each, where) for each in value]
        short = "[" + ", ".join(entries) + "]"
        return short if len(short) <= _LONG else "[\n" + "".join(f"    {each},\n" for each in entries) + "]"
    raise InputError.of(where, None, "has no form in a TOML file; leave it out or give a value")


def _inline(value: Any, where: str) -> str:
    if isinstance(value, Sequence) and not isinstance(value, str):
        return "[" + ", ".join(_inline(each, where) for each in value) + "]"
    return value_text(value, where)


def _is_table(value: Any) -> bool:
    return isinstance(value, Mapping)


def _is_tables(value: Any) -> bool:
    return isinstance(value, Sequence) and bool(value) and all(isinstance(each, Mapping) for each in value)
