"""One pass over a file before its cells are read: what only a whole column can tell.

Is its comma a decimal comma? Is 07/11 a day in July or in November? Is 1:15 in minutes and seconds?
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final, Literal

from floorwright.exchange.cells import Cell, rows_text, shown
from floorwright.exchange.columns import Column

DateOrder = Literal["", "day", "month"]
Clock = Literal["", "h:mm", "m:ss"]

SLASHED: Final = re.compile(r"^\s*(\d{1,2})\s*([./-])\s*(\d{1,2})\s*\2\s*(\d{4}|\d{2})(?!\d)")
_DECIMAL_COMMA: Final = re.compile(
    r"(?<![\d.,])(?:\d+,(?:\d{1,2}|\d{4,})|0\d*,\d+|\d{4,},\d+|\d{1,3}(?:\.\d{3})+,\d+)(?![\d,])"
)
_DECIMAL_DOT: Final = re.compile(
    r"(?<![\d.,])(?:\d+\.(?:\d{1,2}|\d{4,})|0\d*\.\d+|\d{4,}\.\d+|\.\d+|\d{1,3}(?:,\d{3})+\.\d+)(?![\d.])"
)
_GROUPED_COMMA: Final = re.compile(r"(?<![\d.,])\d{1,3}(?:,\d{3}){2,}(?![\d,])")
_UNSURE: Final = re.compile(r"(?<![\d.,])[1-9]\d{0,2},\d{3}(?![\d,.])")
_THREE_PARTS: Final = re.compile(r"^\s*\d+:\d{1,2}:(\d{1,2}(?:[.,]\d+)?)\s*$")


@dataclass(slots=True)
class Style:
    """How the cells of one column are written.

    Attributes:
        comma: whether a comma is the decimal mark.
        order: which number of 07/11/2026 is the day.
        clock: what 1:15 means where it is not minutes and seconds.
        problem: why the column cannot be read as it stands; "" when it can.
        notes: how it is read.
    """

    comma: bool = False
    order: DateOrder = ""
    clock: str = ""
    problem: str = ""
    notes: list[str] = field(default_factory=list)


@dataclass(slots=True)
class _Seen:
    """Rows in which a kind of writing was seen, with the first cell."""

    cell: Cell = ""
    rows: list[int] = field(default_factory=list)
    count: int = 0

    def add(self, row: int, cell: Cell) -> None:
        if not self.count:
            self.cell = cell
        self.count += 1
        if len(self.rows) < 5:
            self.rows.append(row)

    def text(self) -> str:
        where = rows_text([*self.rows, *range(self.count - len(self.rows))][: self.count])
        return f"'{shown(self.cell)}' ({where})"


class NumberSurvey:
    """Watches a column of numbers for its decimal mark, and a column of times for what its colons mean."""

    def __init__(self, column: Column, *, times: bool, clock: str) -> None:
        self.column = column
        self.times = times
        self.clock = clock
        self.of_day = column.meaning in ("start", "stop")  # may be times of day as well as watch readings
        self.comma, self.dot, self.unsure = _Seen(), _Seen(), _Seen()
        self.whole_minutes, self.with_seconds, self.two_parts = _Seen(), _Seen(), _Seen()
        self.hours = _Seen()  # of the whole minutes, an hour and more

    def look(self, first: int, cells: Sequence[Cell]) -> None:
        """Take in the cells of consecutive rows."""
        for row, cell in enumerate(cells, first):
            if type(cell) is str:
                if "," in cell:
                    self._comma(row, cell)
                elif "." in cell and not self.dot.count and _DECIMAL_DOT.search(cell):
                    self.dot.add(row, cell)
                if self.times and ":" in cell:
                    self._colons(row, cell)
            elif self.times and isinstance(cell, (dt.time, dt.timedelta)):
                self._spreadsheet_time(row, cell)

    def _spreadsheet_time(self, row: int, cell: dt.time | dt.timedelta) -> None:
        if self.of_day or _has_seconds(cell):
            self.with_seconds.add(row, cell)
            return
        self.whole_minutes.add(row, cell)
        if (isinstance(cell, dt.time) and cell.hour) or (
            isinstance(cell, dt.timedelta) and cell >= dt.timedelta(hours=1)
        ):
            self.hours.add(row, cell)

    def _colons(self, row: int, cell: str) -> None:
        if match := _THREE_PARTS.match(cell):
            seconds = float(match.group(1).replace(",", "."))
            (self.with_seconds if self.of_day or seconds else self.whole_minutes).add(row, cell)
            if not seconds and not self.of_day and not re.match(r"\s*0+:", cell):
                self.hours.add(row, cell)
        elif self.of_day and cell.count(":") == 1:
            self.two_parts.add(row, cell)

    def _comma(self, row: int, cell: str) -> None:
        if _DECIMAL_COMMA.search(cell):
            self.comma.add(row, cell)
        elif _DECIMAL_DOT.search(cell) or _GROUPED_COMMA.search(cell):
            self.dot.add(row, cell)
        elif _UNSURE.search(cell):
            self.unsure.add(row, cell)

    def style(self) -> Style:
        """What the column turned out to be."""
        style = Style(comma=self.comma.count > 0, clock=self.clock)
        if self.comma.count and self.dot.count:
            style.problem = (
                f"has decimal commas such as {self.comma.text()} and decimal points such as {self.dot.text()}; "
                "write all of them with a point"
            )
        elif self.comma.count:
            style.notes.append(
                f"the comma in {self.column.label} is read as a decimal comma ({self.comma.text()})."
            )
        if style.clock == "m:ss":
            self._minutes_and_seconds(style)
        elif not style.clock and self.whole_minutes.count and not self.with_seconds.count:
            style.problem = style.problem or (
                f"holds {self.whole_minutes.text()}, which is hours and minutes to a spreadsheet; "
                "say which is meant in the heading, like 'time (h:mm)' or 'time (m:ss)'"
            )
        if not style.clock and self.two_parts.count:
            style.problem = style.problem or (
                f"holds {self.two_parts.text()}, which may be a time of day or minutes and seconds of a watch; "
                "say which in the heading, like 'start (h:mm)' or 'start (m:ss)'"
            )
        if self.unsure.count and self.dot.count and not self.comma.count:
            style.notes.append(
                f"the comma in {self.column.label} is read as separating thousands ({self.unsure.text()})."
            )
        return style

    def _minutes_and_seconds(self, style: Style) -> None:
        """3:25 typed into a spreadsheet is three hours to it; where a cell has seconds, all are as they say."""
        if self.with_seconds.count:
            style.clock = ""
            if self.hours.count:
                style.problem = style.problem or (
                    f"holds {self.with_seconds.text()} and {self.hours.text()}, minutes and seconds in the one and "
                    "hours in the other; write all of them alike"
                )
        elif self.whole_minutes.count:
            style.notes.append(
                f"{self.whole_minutes.text()} in {self.column.label} is hours and minutes to the spreadsheet; "
                "it is read as minutes and seconds."
            )

    @property
    def thousands(self) -> bool:
        """Whether a lone 1,234 may be read as a thousand and more, because the column has decimal points."""
        return bool(self.dot.count) and not self.comma.count


def _has_seconds(cell: dt.time | dt.timedelta) -> bool:
    if isinstance(cell, dt.time):
        return bool(cell.second or cell.microsecond)
    return bool(cell.total_seconds() % 60)


class DateSurvey:
    """Watches a column of dates written with slashes, dots or dashes for which number is the day."""

    def __init__(self, column: Column, order: DateOrder) -> None:
        self.column = column
        self.order = order
        self.day_first, self.month_first, self.either = _Seen(), _Seen(), _Seen()

    def look(self, first: int, cells: Sequence[Cell]) -> None:
        """Take in the cells of consecutive rows."""
        for row, cell in enumerate(cells, first):
            if type(cell) is str and cell[4:5] != "-" and (match := SLASHED.match(cell)):
                one, mark, two = int(match.group(1)), match.group(2), int(match.group(3))
                if one > 12 or (mark == "." and two <= 12):
                    self.day_first.add(row, cell)
                elif two > 12:
                    self.month_first.add(row, cell)
                elif one != two:
                    self.either.add(row, cell)

    def style(self) -> Style:
        """What the column turned out to be."""
        style = Style(order=self.order)
        if self.day_first.count and self.month_first.count:
            style.problem = (
                f"has dates in two styles: {self.day_first.text()} has the day first, "
                f"{self.month_first.text()} the month; write all of them like 2026-07-13"
            )
        elif self.day_first.count or self.month_first.count:
            style.order = "day" if self.day_first.count else "month"
            if self.order and self.order != style.order:
                seen = self.day_first if self.day_first.count else self.month_first
                style.problem = f"has {seen.text()}, which cannot be read with the {self.order} first, as was set"
            words = "day first" if style.order == "day" else "month first"
            if self.either.count:
                seen = self.day_first if self.day_first.count else self.month_first
                style.notes.append(f"dates in {self.column.label} are read {words}, as {seen.text()} shows.")
        elif self.either.count and not self.order:
            style.problem = (
                f"has {self.either.text()}, and nothing in the column shows whether the day or the month "
                "comes first; write dates like 2026-07-13, or say which of them comes first"
            )
        return style


Survey = NumberSurvey | DateSurvey
