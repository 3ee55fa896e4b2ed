"""Cells into values, one reader for each thing a column can hold.

A reader takes a cell and gives the value, or `Bad` with the rest of a sentence. Repeated cells are read once.
"""

from __future__ import annotations

import datetime as dt
import json
import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from floorwright.basis.quantity import TIME, Dimension, is_ordinary, parse
from floorwright.exchange.cells import SPREADSHEET_STRIP, Cell, Fault, shown, undo_safe, unescape_controls
from floorwright.exchange.columns import Column, unit_of
from floorwright.exchange.survey import Style
from floorwright.shop.records import operator_code

_YES: Final = frozenset({"yes", "y", "x", "true", "t", "1", "✓", "✔"})
_NO: Final = frozenset({"no", "n", "", "false", "f", "0", "-"})
_BARE: Final = re.compile(r"[-+]?(?:\d+[\s-]+\d+/\d+|\d+/\d+|\d*[.,]?\d+(?:[.,]\d+)*[.,]?(?:[eE][-+]?\d+)?)")


@dataclass(frozen=True, slots=True)
class Bad:
    """A cell that cannot be used.

    Attributes:
        message: what is wrong and what would be right, as the rest of a sentence.
        each_value: report once for every different value instead of once for every row.
        private: the value may be somebody's name, so it is not kept with a row that is left out.
    """

    message: str
    each_value: bool = False
    private: bool = False


Read = Callable[[Cell], Any]


class Reader(dict[Cell, Any]):
    """Reads cells and remembers what it made of them. `bad` holds the cells it could not use."""

    __slots__ = ("_quick", "_read", "bad")

    def __init__(self, read: Read, quick: Callable[[Sequence[Cell]], list[Any] | None] | None = None) -> None:
        super().__init__()
        self._read = read
        self._quick = quick
        self.bad = 0

    def __missing__(self, cell: Cell) -> Any:
        value = self._read(cell)
        if isinstance(value, Bad):
            self.bad += 1
        if len(self) < 200_000:
            self[cell] = value
        return value

    def column(self, cells: Sequence[Cell]) -> list[Any]:
        """The values of consecutive cells."""
        if self._quick is not None and (values := self._quick(cells)) is not None:
            return values
        return [self[cell] for cell in cells]


def quick_numbers(factor: float, low: float, high: float) -> Callable[[Sequence[Cell]], list[float] | None]:
    """Reads a whole column of plain numbers at once; None when one of them is anything else or out of bounds."""

    def read(cells: Sequence[Cell]) -> list[float] | None:
        try:
            values = list(map(float, cells))  # type: ignore[arg-type]  # whatever is no number raises
        except (ValueError, TypeError):
            return None
        if factor != 1.0:
            values = [value * factor for value in values]
        ordinary = all(map(math.isfinite, values)) and low < min(values) and max(values) <= high
        return values if ordinary and not any(type(cell) is str and "_" in cell for cell in cells) else None

    return read


def quick_whole(low: int, high: int) -> Callable[[Sequence[Cell]], list[int] | None]:
    """Reads a whole column of whole numbers in text at once; None when one of them is anything else."""

    def read(cells: Sequence[Cell]) -> list[int] | None:
        if not all(type(cell) is str and "_" not in cell for cell in cells):
            return None
        try:
            values = list(map(int, cells))  # type: ignore[arg-type]
        except ValueError:
            return None
        return values if low <= min(values) and max(values) <= high else None

    return read


def tidy(cell: Cell) -> str:
    """The text of a cell without blanks at its ends; a whole number without its ".0"."""
    if isinstance(cell, str):
        return cell.strip(SPREADSHEET_STRIP)
    if isinstance(cell, float):
        return f"{cell:.0f}" if cell == int(cell) and abs(cell) < 1e15 else repr(cell)
    return shown(cell, 10_000)


def text_reader(limit: int, what: str) -> Read:
    """Text of at most `limit` characters."""

    def read(cell: Cell) -> str | Bad:
        if isinstance(cell, Fault):
            return Bad(cell.message)
        if isinstance(cell, (dt.date, dt.time, dt.timedelta)) and what != "note":
            return Bad(
                f"'{shown(cell)}' is a date or time, not a {what}; if the spreadsheet changed it, "
                "set the column to text and write it again"
            )
        text = unescape_controls(undo_safe(tidy(cell)))
        if len(text) > limit:
            return Bad(f"has {len(text):,} characters; a {what} has at most {limit:,}")
        return text

    return read


def number_text(text: str, style: Style, thousands: bool) -> str:
    """A number with a decimal point, whatever marks the column uses."""
    if style.comma:
        return re.sub(r"(?<=\d)[.\s\u00a0\u202f'’](?=\d{3}(?!\d))", "", text).replace(",", ".")
    if thousands:
        text = re.sub(r"(?<=\d),(?=\d{3}(?!\d))", "", text)
    return re.sub(r"(?<=\d)[\s\u00a0\u202f'’](?=\d{3}(?:\D|$))", "", text)


def quantity_reader(column: Column, dimension: Dimension, style: Style, *, unit: str, thousands: bool) -> Read:
    """A quantity: with its own unit, or a bare number in `unit` ("" when bare numbers are not clear)."""
    factor = dimension.units[unit] if unit else None

    def read(cell: Cell) -> float | Bad:
        if isinstance(cell, Fault):
            return Bad(cell.message)
        if isinstance(cell, (dt.time, dt.timedelta)) and dimension is TIME:
            return _seconds(cell) / (60.0 if style.clock == "m:ss" else 1.0)
        if isinstance(cell, (dt.date, dt.time, dt.timedelta)):
            return Bad(
                f"'{shown(cell)}' is a date or time, not a {dimension.name}; write it like {dimension.example}"
            )
        if isinstance(cell, float):
            return cell * factor if factor is not None else _needs_unit(shown(cell), dimension, column)
        text = undo_safe(tidy(cell))
        if text == "":
            return Bad(f"is empty; write a {dimension.name} such as {dimension.example}, or leave the row out")
        plain = number_text(text, style, thousands)
        try:
            if dimension is TIME and ":" in plain:
                return _clock_text(plain, style)
            if _BARE.fullmatch(plain):
                return parse(f"{plain} {unit}", dimension) if unit else _needs_unit(text, dimension, column)
            return parse(plain, dimension)
        except ValueError as error:
            return Bad(_about(text, str(error)))

    return read


def _about(text: str, message: str) -> str:
    """The basis speaks of the number after commas were settled; the message shows what stands in the cell."""
    return message if text in message else f"'{shown(text)}': {message}"


def _needs_unit(text: str, dimension: Dimension, column: Column) -> Bad:
    units = f"{dimension.us} or {dimension.si}"
    return Bad(
        f"'{shown(text)}' has no unit; write the unit in the heading, like "
        f"'{column.heading or dimension.name} ({dimension.us})' ({units})",
    )


def _seconds(cell: dt.time | dt.timedelta) -> float:
    if isinstance(cell, dt.timedelta):
        return cell.total_seconds()
    return cell.hour * 3600 + cell.minute * 60 + cell.second + cell.microsecond / 1e6


def _clock_text(text: str, style: Style) -> float:
    seconds = parse(text, TIME)
    two_parts = text.count(":") == 1
    if style.clock == "h:mm" and two_parts:
        return seconds * 60
    if style.clock == "m:ss" and not two_parts:
        return seconds / 60
    return seconds


def bare_reader(style: Style, *, what: str, thousands: bool, any_size: bool = False) -> Read:
    """A number without a unit; `any_size` takes numbers that nobody can have measured, too."""
    fits = math.isfinite if any_size else is_ordinary

    def read(cell: Cell) -> float | Bad:
        if isinstance(cell, Fault):
            return Bad(cell.message)
        if isinstance(cell, float):
            return cell if fits(cell) else Bad(f"'{shown(cell)}' is not an ordinary number; write {what}")
        text = undo_safe(tidy(cell))
        if text == "":
            return Bad(f"is empty; write {what}, or leave the row out")
        plain = number_text(text, style, thousands)
        try:
            value = float(plain)
        except ValueError:
            if re.fullmatch(r"\d{1,3},\d{3}", plain):
                return Bad(
                    f"'{text}' can be read in two ways; write {plain.replace(',', '')} or {plain.replace(',', '.')}"
                )
            return Bad(f"'{shown(cell)}' is not a number; write {what}")
        return value if fits(value) and "_" not in plain else Bad(f"'{text}' is not a number; write {what}")

    return read


def whole_reader(what: str, least: int = 1, most: int = 10_000_000) -> Read:
    """A whole number, as "7", "7.0", "#7" or "cycle 7"; None when the cell is blank."""

    def read(cell: Cell) -> int | Bad | None:
        if isinstance(cell, Fault):
            return Bad(cell.message)
        if cell == "":
            return None
        text = tidy(cell)
        if text == "":
            return None
        match = re.fullmatch(r"(?:[^\W\d_]+\.?\s*)?#?\s*(\d+)(?:[.,]0+)?", text)
        if match is None:
            return Bad(f"'{shown(cell)}' is not a {what}; write a whole number like {max(least, 1)}")
        number = int(match.group(1))
        if not least <= number <= most:
            return Bad(f"is {number:,}; a {what} is between {least:,} and {most:,}")
        return number

    return read


def flag_reader(what: str) -> Read:
    """Yes or no; blank is no."""

    def read(cell: Cell) -> bool | Bad:
        if isinstance(cell, Fault):
            return Bad(cell.message)
        text = tidy(cell).casefold()
        if text in _YES:
            return True
        return False if text in _NO else Bad(f"'{shown(cell)}' is not yes or no; {what}")

    return read


def rating_reader(style: Style, seen_percent: list[float]) -> Read:
    """A performance rating: 85, 85 % and 0.85 are the same; None when blank."""

    def read(cell: Cell) -> float | Bad | None:
        if isinstance(cell, Fault):
            return Bad(cell.message)
        text = tidy(cell)
        if text == "":
            return None
        percent = text.endswith("%")
        try:
            value = float(number_text(text.rstrip("% "), style, thousands=False))
        except ValueError:
            return Bad(f"'{shown(cell)}' is not a rating; write it like 95 % or 0.95")
        if percent:
            value /= 100
        elif value >= 20:
            seen_percent.append(value)
            value /= 100
        if not 0 < value <= 2:
            return Bad(f"is {text}; a rating lies between 20 % and 200 %, and 100 % is the standard pace")
        return value

    return read


def work_reader(cell: Cell) -> str | Bad:
    """Set-up or run; blank is run."""
    if isinstance(cell, Fault):
        return Bad(cell.message)
    text = re.sub(r"[\s_-]", "", tidy(cell).casefold())
    if text in ("setup", "s", "makeready", "changeover"):
        return "setup"
    if text in ("run", "r", "", "running", "production"):
        return "run"
    return Bad(f"'{shown(cell)}' is neither set-up nor run; write setup or run", each_value=True)


def operator_reader(codes: Mapping[str, str]) -> Read:
    """An operator code; `codes` gives the code for names that the file may hold."""
    known = {name.strip().casefold(): code for name, code in codes.items()}

    def read(cell: Cell) -> str | Bad:
        if isinstance(cell, Fault):
            return Bad(cell.message)
        text = undo_safe(tidy(cell))
        if text == "":
            return ""
        try:
            return operator_code(known.get(text.casefold(), text))
        except ValueError:
            return Bad(
                f"'{shown(text)}' is not an operator code; write one or two letters and a number such as W3, "
                "never a name",
                each_value=True,
                private=True,
            )

    return read


def detail_reader(cell: Cell) -> dict[str, Any] | Bad:
    """What a reading was worked out from, as JSON."""
    if isinstance(cell, Fault):
        return Bad(cell.message)
    text = unescape_controls(undo_safe(tidy(cell)))
    if text == "":
        return {}
    try:
        value = json.loads(text)
    except (ValueError, RecursionError):
        value = None
    return (
        value if isinstance(value, dict) else Bad(f"'{shown(text)}' is not JSON with named fields; clear the cell")
    )


def heading_unit(column: Column, dimension: Dimension, default: str = "") -> tuple[str, str]:
    """(unit of bare numbers, clock form) that a heading gives; the default where it gives none."""
    unit = unit_of(column.unit, dimension) if column.unit else None
    if unit in ("h:mm", "m:ss"):
        return default, unit
    return unit or default, ""


def or_none(read: Read) -> Read:
    """The same reader, where a blank cell means that there is nothing to read."""
    return lambda cell: None if isinstance(cell, str) and not cell.strip() else read(cell)


def positive(read: Read, what: str) -> Read:
    """The same reader for a number that is more than zero."""

    def checked(cell: Cell) -> Any:
        value = read(cell)
        return (
            Bad(f"is {value:g}; the {what} is more than zero") if isinstance(value, float) and value <= 0 else value
        )

    return checked


def word_reader(what: str, words: Sequence[str]) -> Read:
    """One of a few words."""

    def read(cell: Cell) -> Any:
        text = tidy(cell).casefold() if not isinstance(cell, Fault) else ""
        choice = f"write {', '.join(words[:-1])} or {words[-1]}"
        return text if text in words else Bad(f"'{shown(cell)}' is not a {what}; {choice}", each_value=True)

    return read
