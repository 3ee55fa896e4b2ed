"""The values a cell of a table can hold, whatever kind of file it came from, and names for places."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final

SPREADSHEET_STRIP: Final = (
    "\t\n\x0b\x0c\r \x85\xa0\u1680\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a"
    "\u2028\u2029\u202f\u205f\u3000"
)
"""White space that is taken off the ends of a cell: the same that records take off."""


@dataclass(frozen=True, slots=True)
class Fault:
    """A cell that the spreadsheet itself could not fill: an error value or a formula never worked out."""

    message: str
    text: str = ""


Cell = str | float | dt.datetime | dt.date | dt.time | dt.timedelta | Fault
"""A cell: text ("" when blank), a number, a moment, a time of day or length of time, or a fault."""


def letter(index: int) -> str:
    """The letter of a column as spreadsheets show it: 0 is A, 26 is AA."""
    name = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        name = chr(65 + rest) + name
    return name


def column_index(letters: str) -> int:
    """The index of a column letter: A is 0, AA is 26."""
    index = 0
    for character in letters.upper():
        index = index * 26 + ord(character) - 64
    return index - 1


def shown(cell: Cell | None, limit: int = 40) -> str:
    """A cell as a message shows it: on one line, shortened."""
    if cell is None:
        return ""
    if isinstance(cell, Fault):
        return cell.text
    if isinstance(cell, float):
        return f"{cell:.15g}"
    if isinstance(cell, dt.datetime):
        return cell.isoformat(" ", "seconds" if not cell.microsecond else "auto")
    text = " ".join(str(cell).split())
    return text if len(text) <= limit else text[: limit - 1] + "…"


def rows_text(rows: Iterable[int], limit: int = 4) -> str:
    """Row numbers in words: "row 5", "rows 2, 5 and 9", "rows 2, 5, 9, 12 and 37 more"."""
    numbers = list(rows)
    if len(numbers) == 1:
        return f"row {numbers[0]}"
    if len(numbers) <= limit:
        return f"rows {', '.join(map(str, numbers[:-1]))} and {numbers[-1]}"
    return f"rows {', '.join(map(str, numbers[:limit]))} and {len(numbers) - limit:,} more"


def counted(number: int, one: str, many: str) -> str:
    """A sentence about so many things: `counted(1, "row is blank", "rows are blank")`."""
    return f"{number:,} {one if number == 1 else many}."


_CONTROLS: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")
_LOOKS_ESCAPED: Final = re.compile("_(?=x(?:00[01][0-9A-F]|005F|FFF[EF]))")
_ESCAPED: Final = re.compile("_x(00[01][0-9A-F]|005F|FFF[EF])_")
_ACTIVE: Final = re.compile("^'*[=+\\-@\t\r]")


def escape_controls(text: str) -> str:
    """Write characters that a text file or XML cannot hold as `_x0001_`, in the manner of ECMA-376 (22.4.2.4).

    An underscore that would look like the start of one is written as `_x005F_`.
    """
    text = _LOOKS_ESCAPED.sub("_x005F_", text) if "_x" in text else text
    return _CONTROLS.sub(lambda match: f"_x{ord(match.group(0)):04X}_", text)


def unescape_controls(text: str) -> str:
    """The reverse of `escape_controls`."""
    if "_x" not in text:
        return text
    return _ESCAPED.sub(lambda match: chr(int(match.group(1), 16)), text)


def make_safe(text: str, *, typed: bool = False) -> str:
    """Keep a spreadsheet from running text that starts like a formula: put an apostrophe in front.

    In a workbook (`typed`) text is text and needs none; only text that has such an apostrophe of its own gets
    another, so that `undo_safe` gives every text back.
    """
    if not _ACTIVE.match(text) or (typed and text[0] != "'"):
        return text
    return f"'{text}"


def undo_safe(text: str) -> str:
    """Take off the apostrophe that `make_safe` put in front."""
    return text[1:] if text[:1] == "'" and _ACTIVE.match(text) else text


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """A column of a file that is written: its heading and how wide it is shown."""

    text: str
    width: float = 12.0


def as_json(value: Any) -> str:
    """A list or a record as one cell."""
    return json.dumps(value, ensure_ascii=False)
