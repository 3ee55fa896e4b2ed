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

from floorwright.basis.quantity import TIME, Dimension, parse
from floorwright.exchange.cells import SPREADSHEET_STRIP, Cell, Fault, shown, undo_safe, unescape_controls
from floorwright.exchange.columns import Column, unit_of
from floorwright.exchange.survey import SLASHED, DateOrder, Style
from floorwright.shop.records import operator_code

LONGEST_TIME_S: Final = 12 * 3600.0
_EPOCH: Final = dt.datetime(
    1899, 12, 30
)  # day 0 of the spreadsheet calendar, counted back over its 29 February 1900
_YEARS: Final = (1970, 2100)
_YES: Final = frozenset({"yes", "y", "x", "true", "t", "1", "✓", "✔"})
_NO: Final = frozenset({"no", "n", "", "false", "f", "0", "-"})
_BARE: Final = re.compile(r"[-+]?(?:\d+[\s-]+\d+/\d+|\d+/\d+|\d*[.,]?\d+(?:[.,]\d+)*[.,]?(?:[eE][-+]?\d+)?)")
_TIME_OF_DAY: Final = re.compile(
    r"^(\d{1,2})[:.h](\d{2})(?:[:.](\d{2})(?:[.,](\d{1,6}))?)?\s*([ap])?\.?(?:m\.?)?$", re.IGNORECASE
)
_MONTHS: Final = {
    name: number
    for number, names in enumerate(
        ("jan january", "feb february", "mar march", "apr april", "may", "jun june", "jul july", "aug august",
         "sep sept september", "oct october", "nov november", "dec december"), 1
    )
    for name in names.split()
}  # fmt: skip


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


def quick_moments(cells: Sequence[Cell]) -> list[dt.datetime] | None:
    """Reads a whole column of ISO moments at once; None when one of them is anything else."""
    try:
        values = list(map(dt.datetime.fromisoformat, cells))  # type: ignore[arg-type]
    except (ValueError, TypeError):
        return None
    low, high = dt.datetime(_YEARS[0], 1, 1), dt.datetime(_YEARS[1], 12, 31)
    try:
        return values if low <= min(values) and max(values) <= high else None
    except TypeError:  # one of them carries a time zone
        return None


def tidy(cell: Cell) -> str:
    """The text of a cell without blanks at its ends; a whole number without its ".0"."""
    if isinstance(cell, str):
        return cell.strip(SPREADSHEET_STRIP)
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


def bare_reader(column: Column, style: Style, *, what: str, thousands: bool) -> Read:
    """A number without a unit."""

    def read(cell: Cell) -> float | Bad:
        if isinstance(cell, Fault):
            return Bad(cell.message)
        if isinstance(cell, float):
            return cell
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
        return (
            value if math.isfinite(value) and "_" not in plain else Bad(f"'{text}' is not a number; write {what}")
        )

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
                f"'{shown(text)}' is not an operator code; write a code with a digit such as W3, never a name",
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


def moment_reader(order: DateOrder, *, seen_serial: list[float], with_time: bool = True) -> Read:
    """A date, with its time of day where `with_time`; ISO, slashes, dots, month names, spreadsheet dates.

    Gives None for a blank cell.
    """

    def read(cell: Cell) -> dt.datetime | Bad | None:
        if isinstance(cell, Fault):
            return Bad(cell.message)
        if cell == "":
            return None
        value = _moment(cell, order, seen_serial)
        if isinstance(value, dt.datetime) and not _YEARS[0] <= value.year <= _YEARS[1]:
            return Bad(f"'{shown(cell)}' is in the year {value.year}; write dates like 2026-07-13")
        if isinstance(value, dt.datetime) and not with_time:
            return value.replace(hour=0, minute=0, second=0, microsecond=0)
        return value

    return read


def _moment(cell: Cell, order: DateOrder, seen_serial: list[float]) -> dt.datetime | Bad | None:
    if isinstance(cell, dt.datetime):
        return cell
    if isinstance(cell, dt.date):
        return dt.datetime(cell.year, cell.month, cell.day)
    if isinstance(cell, (dt.time, dt.timedelta)):
        return Bad(
            f"'{cell}' is a time without a day; write it like 2026-07-13 07:15, or give the day of the readings"
        )
    text = tidy(cell) if isinstance(cell, str) else ""
    if isinstance(cell, str) and text == "":
        return None
    try:
        serial = cell if isinstance(cell, float) else float(text)
    except ValueError:
        serial = 0.0
    if 20_000 <= serial < 80_000:
        seen_serial.append(serial)
        return _EPOCH + dt.timedelta(seconds=round(serial * 86400))
    return _moment_text(text or shown(cell), order)


def _moment_text(text: str, order: DateOrder) -> dt.datetime | Bad:
    try:
        value = dt.datetime.fromisoformat(text)
    except ValueError:
        pass
    else:
        if value.tzinfo is not None:
            return Bad(f"'{text}' has a time zone; write the shop's local time, like 2026-07-13 07:15")
        return value
    day, rest = _slashed(text, order) or _named_month(text) or (None, "")
    clock = _time_of_day(rest.strip(" ,T")) if rest.strip(" ,T") else dt.time()
    if day is None or clock is None:
        return Bad(f"'{shown(text)}' is not a date; write it like 2026-07-13 or 2026-07-13 07:15")
    return dt.datetime.combine(day, clock)


def _slashed(text: str, order: DateOrder) -> tuple[dt.date, str] | None:
    match = SLASHED.match(text)
    if match is None:
        return None
    one, two, year = int(match.group(1)), int(match.group(3)), int(match.group(4))
    month, day = (two, one) if order == "dmy" else (one, two)
    return _date(year, month, day, text[match.end() :])


def _named_month(text: str) -> tuple[dt.date, str] | None:
    match = re.match(r"(\d{1,2})[\s.-]*([^\W\d_]+)[\s.,-]*(\d{4}|\d{2})(?!\d)", text)
    if match:
        day, name, year = match.groups()
    else:
        match = re.match(r"([^\W\d_]+)[\s.]*(\d{1,2})[\s,.]+(\d{4})(?!\d)", text)
        if match is None:
            return None
        name, day, year = match.groups()
    month = _MONTHS.get(name.casefold())
    return _date(int(year), month, int(day), text[match.end() :]) if month else None


def _date(year: int, month: int, day: int, rest: str) -> tuple[dt.date, str] | None:
    try:
        return dt.date(year + 2000 if year < 100 else year, month, day), rest
    except ValueError:
        return None


def _time_of_day(text: str) -> dt.time | None:
    match = _TIME_OF_DAY.match(text)
    if match is None:
        return None
    hour, minute, second = int(match.group(1)), int(match.group(2)), int(match.group(3) or 0)
    micro = int((match.group(4) or "").ljust(6, "0"))
    if half := (match.group(5) or "").lower():
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half == "p" else 0)
    try:
        return dt.time(hour, minute, second, micro)
    except ValueError:
        return None


def clock_reader(cell: Cell) -> dt.time | Bad | None:
    """A time of day: 7:15, 07:15:30, 7:15 am, or a spreadsheet's time; None when blank."""
    if isinstance(cell, Fault):
        return Bad(cell.message)
    if isinstance(cell, dt.datetime):
        return cell.time()
    if isinstance(cell, dt.time):
        return cell
    value: dt.time | None = None
    if isinstance(cell, dt.timedelta) and dt.timedelta(0) <= cell < dt.timedelta(days=1):
        value = (_EPOCH + cell).time()
    elif isinstance(cell, float) and 0 <= cell < 1:
        value = (_EPOCH + dt.timedelta(seconds=round(cell * 86400))).time() if round(cell * 86400) < 86400 else None
    elif isinstance(cell, str):
        if not (text := tidy(cell)):
            return None
        value = _time_of_day(text)
        if value is None and re.fullmatch(r"0?\.\d+", text):
            value = (_EPOCH + dt.timedelta(seconds=round(float(text) * 86400))).time()
    return (
        value if value is not None else Bad(f"'{shown(cell)}' is not a time of day; write it like 7:15 or 07:15:30")
    )


def heading_unit(column: Column, dimension: Dimension, default: str = "") -> tuple[str, str]:
    """(unit of bare numbers, clock form) that a heading gives; the default where it gives none."""
    unit = unit_of(column.unit, dimension) if column.unit else None
    if unit in ("h:mm", "m:ss"):
        return default, unit
    return unit or default, ""
