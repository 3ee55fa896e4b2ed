"""JSON as programs send it, read without losing or hiding anything."""

from __future__ import annotations

import json
import re
from math import isfinite
from typing import Any, Final

from floorwright.basis.errors import InputError
from floorwright.basis.sentence import said

_HALF_CHARACTER: Final = re.compile(r"[\ud800-\udfff]")
_ESCAPED: Final = re.compile(r"\\u[dD][89a-fA-F]")


def read_json(text: bytes | str, *, finite: bool = False) -> Any:
    """The value that a JSON text holds.

    Args:
        text: as it came; bytes are UTF-8.
        finite: whether NaN and numbers too large to hold are refused here. Without it they pass, so that a
            calculation can name the field that holds them.

    Raises:
        InputError: no UTF-8, no JSON, nested too deeply, a name that stands twice in one object, half a character.
    """
    if isinstance(text, bytes):
        text = _decoded(text)
    try:
        if finite:
            found = json.loads(text, object_pairs_hook=_object, parse_constant=_number, parse_float=_float)
        else:
            found = json.loads(text, object_pairs_hook=_object)
    except RecursionError:
        raise InputError.of("input", None, said("is nested too deeply to be an input")) from None
    except ValueError as error:
        raise InputError.of(
            "input",
            text[:60],
            said("is not JSON ({error}); write an object such as {shape}", error=str(error), shape="{...}"),
        ) from None
    if _ESCAPED.search(text):
        _check_characters(found)
    return found


def _decoded(data: bytes) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError.of("input", None, said("is not UTF-8 text; send it as UTF-8 JSON")) from None


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """An object of JSON; a name that stands twice is refused, since one of its values would be lost."""
    found: dict[str, Any] = {}
    for name, value in pairs:
        if name in found:
            raise InputError.of(name, value, said("stands twice in one object; leave one out"))
        found[name] = value
    return found


def _number(text: str) -> float:
    raise InputError.of(
        "input", text, said("holds {text}; send an ordinary number, or leave the field out", text=text)
    )


def _float(text: str) -> float:
    value = float(text)
    return value if isfinite(value) else _number(text)


def _check_characters(value: Any) -> None:
    """Raises InputError for half a character (a lone surrogate): no file and no screen could hold it."""
    waiting = [value]
    while waiting:
        each = waiting.pop()
        if isinstance(each, dict):
            waiting += [*each, *each.values()]
        elif isinstance(each, list):
            waiting += each
        elif isinstance(each, str) and _HALF_CHARACTER.search(each):
            shown = _HALF_CHARACTER.sub("?", each)[:60]
            raise InputError.of(
                "input", shown, said("holds half a character in '{shown}'; send whole ones", shown=shown)
            )
