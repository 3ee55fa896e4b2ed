"""What somebody settles about a file, between the form and the import, and remembered by the file's headings."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, Final

from floorwright.basis.errors import InputError, Problem
from floorwright.exchange.choices import Choices
from floorwright.exchange.looking import Chosen, Looked, Wishes
from floorwright.shop.records import operator_code
from floorwright.shop.typed import number

OWNER: Final = "shop"
KIND: Final = "columns"
STORING: Final = "storing"
"""The kind of job that reads a file in."""
MOST_COLUMNS: Final = 400
MOST_NAMES: Final = 60


def wishes_of(fields: Mapping[str, str]) -> Wishes:
    """What a form asks for.

    Raises:
        InputError: every field that cannot be read.
    """
    problems: list[Problem] = []
    found: dict[str, Any] = {}
    readers: dict[str, Callable[[str], Any]] = {
        "day": dt.date.fromisoformat,
        "exposure": _exposure,
        "heading_row": _row,
    }
    for name, read in readers.items():
        text = fields.get(name, "").strip()
        try:
            found[name] = read(text) if text else None
        except InputError as error:
            problems += error.problems
        except ValueError:
            problems.append(Problem(name, text, _SHOULD[name].format(text)))
    operators = {}
    for place in range(MOST_NAMES):
        name, code = fields.get(f"name-{place}", ""), fields.get(f"code-{place}", "").strip()
        if name and code:
            try:
                operators[name] = operator_code(code)
            except ValueError as error:
                problems.append(Problem(f"code-{place}", code, str(error)))
    if problems:
        raise InputError(problems)
    dates, clock = fields.get("dates", ""), fields.get("clock", "")
    return Wishes(
        sheet=fields.get("sheet", ""),
        mark=fields.get("mark", ""),
        columns={
            i: Chosen(meaning=fields[f"meaning-{i}"], unit=fields.get(f"unit-{i}", ""))
            for i in range(MOST_COLUMNS)
            if fields.get(f"meaning-{i}")
        },
        choices=Choices(
            date_order=_one_of(dates, ("day", "month")),
            clock=_one_of(clock, ("h:mm", "m:ss")),
            operators=operators,
            **found,
        ),
    )


_SHOULD: Final = {
    "day": "'{}' should be a date such as 2026-11-25",
    "heading_row": "'{}' should be the number of a row, or 0 where no row holds headings",
}


def _one_of(text: str, known: tuple[Any, ...]) -> Any:
    return text if text in known else ""


def _exposure(text: str) -> float:
    value = number(text, "exposure")
    if value <= 0:
        raise InputError.of("exposure", text, f"'{text}' should be more than 0, such as 40")
    return value


def _row(text: str) -> int:
    row = int(text)
    if not 0 <= row <= 40:
        raise ValueError
    return row


Remembered = dict[str, str]
_KEPT: Final = ("dates", "clock", "exposure", "heading_row", "mark")


def to_remember(fields: Mapping[str, str], looked: Looked) -> Remembered:
    """What is remembered for the next file with these headings: columns, units, how dates and times are written.

    Codes of people are not: the names beside them would be kept with them.
    """
    kept = {name: fields[name] for name in _KEPT if fields.get(name)}
    for column in looked.columns:
        kept[f"meaning-{column.index}"] = column.meaning
        if column.unit:
            kept[f"unit-{column.index}"] = column.unit
    return kept | {"mark": looked.mark}


def with_remembered(wishes: Wishes, kept: Mapping[str, str]) -> Wishes:
    """The wishes that were remembered, for the sheet that is wanted now."""
    return replace(wishes_of(kept), sheet=wishes.sheet)
