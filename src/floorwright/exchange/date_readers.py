"""Dates and times of day out of cells, as people and spreadsheets write them."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Sequence
from typing import Final

from floorwright.exchange.cells import Cell, Fault, shown
from floorwright.exchange.readers import Bad, Read, tidy
from floorwright.exchange.survey import SLASHED, DateOrder

# Day 0 of the spreadsheet calendar, counted back over its 29 February 1900.
_EPOCH: Final = dt.datetime(1899, 12, 30)  # noqa: DTZ001  the shop's local time
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


def quick_moments(years: tuple[int, int]) -> Callable[[Sequence[Cell]], list[dt.datetime] | None]:
    """Reads a whole column of ISO moments at once; None when one of them is anything else."""
    low, high = _bounds(years)

    def read(cells: Sequence[Cell]) -> list[dt.datetime] | None:
        try:
            values = list(map(dt.datetime.fromisoformat, cells))  # type: ignore[arg-type]
            return values if low <= min(values) and max(values) <= high else None
        except (ValueError, TypeError):  # no moment, or one of them carries a time zone
            return None

    return read


def _bounds(years: tuple[int, int]) -> tuple[dt.datetime, dt.datetime]:
    first, last = dt.date(years[0], 1, 1), dt.date(years[1], 12, 31)
    return dt.datetime.combine(first, dt.time.min), dt.datetime.combine(last, dt.time.max)


def moment_reader(
    order: DateOrder, years: tuple[int, int], seen_serial: list[float], *, with_time: bool = True
) -> Read:
    """A date, with its time of day where `with_time`; ISO, slashes, dots, month names, spreadsheet dates.

    Gives None for a blank cell.
    """

    def read(cell: Cell) -> dt.datetime | Bad | None:
        if isinstance(cell, Fault):
            return Bad(cell.message)
        if cell == "":
            return None
        value = _moment(cell, order, seen_serial)
        if isinstance(value, dt.datetime) and not years[0] <= value.year <= years[1]:
            return Bad(f"'{shown(cell)}' is in the year {value.year}; write dates like 2026-07-13")
        if isinstance(value, dt.datetime) and not with_time:
            return value.replace(hour=0, minute=0, second=0, microsecond=0)
        return value

    return read


def _moment(cell: Cell, order: DateOrder, seen_serial: list[float]) -> dt.datetime | Bad | None:
    if isinstance(cell, dt.datetime):
        return cell
    if isinstance(cell, dt.date):
        return dt.datetime.combine(cell, dt.time())
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
    month, day = (two, one) if order == "day" else (one, two)
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
