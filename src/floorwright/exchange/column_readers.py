"""A reader for every column of a file, after one pass that settles how each column is written."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from operator import itemgetter
from typing import Any, Final

from floorwright.basis.quantity import LARGEST, SMALLEST, TIME, Dimension
from floorwright.exchange.cells import Cell, shown
from floorwright.exchange.choices import Progress, Task
from floorwright.exchange.columns import Column, normal
from floorwright.exchange.date_readers import clock_reader, moment_reader, quick_moments
from floorwright.exchange.readers import (
    Bad,
    Reader,
    bare_reader,
    detail_reader,
    flag_reader,
    heading_unit,
    operator_reader,
    or_none,
    positive,
    quantity_reader,
    quick_numbers,
    quick_whole,
    rating_reader,
    text_reader,
    whole_reader,
    word_reader,
    work_reader,
)
from floorwright.exchange.shapes import FOREIGN, PAUSES, STARTS, TOTALS, value_check
from floorwright.exchange.survey import DateSurvey, NumberSurvey, Style, Survey
from floorwright.exchange.table import Row
from floorwright.exchange.vocabulary import DIMENSIONS
from floorwright.shop.records import LONGEST_TIME_S, MeasureKind

_TEXTS: Final = {
    "part": 120,
    "shift": 40,
    "driver": 20,
    "note": 1000,
    "replaces": 120,
    "reason": 400,
    "key": 120,
    "route": 4000,
}
_PLAIN_NUMBERS: Final = ("exposure", "driver_amount", "pieces", "frequency")
_MAY_BE_BLANK: Final = (
    "pause",
    "asymmetry",
    "destination_asymmetry",
    "destination_horizontal",
    "destination_vertical",
    "travel",
)
_PLAIN_VALUES: Final = (MeasureKind.COUNTS, MeasureKind.SHARES, MeasureKind.LIFT)
_POUNDS: Final = frozenset({"lb", "lbs", "lb.", "lbm", "pound", "pounds"})
SUMMARY_LINE: Final = re.compile(
    r"^(?:grand )?(?:totals?|sums?|subtotals?|averages?|avg|means?|medians?|"
    r"min|max|minimum|maximum|std|st ?dev|count)\b",
    re.IGNORECASE,
)


class Unknown:
    """An element that the study does not have; right only in a row that is marked as foreign."""

    def __init__(self, message: str, text: str) -> None:
        self.message, self.text = message, text


class ColumnReaders:
    """The readers of a file by column index, and what they noticed.

    Attributes:
        rows: the number of the last row of the file.
        form: of the lifting equation, "us" where the heading gives loads in pounds.
    """

    def __init__(self, task: Task, progress: Progress) -> None:
        self._task = task
        self._elements = {normal(element.name): element.name for element in task.study.elements}
        self._percent: list[float] = []
        self._serial: list[float] = []
        self.rows = 0
        self.form = "metric"
        self._readers: dict[int, Reader] = {}
        surveys = {column.index: survey for column in task.layout.columns if (survey := self._survey(column))}
        for first, rows in task.table.chunks(task.layout.first_row):
            for survey in surveys.values():
                survey.look(first, take(rows, survey.column.index))
            self.rows = first + len(rows) - 1
            progress("looking", self.rows, 0)
        for column in task.layout.columns:
            if column.meaning:
                self._readers[column.index] = self._settled(column, surveys.get(column.index))

    def __getitem__(self, column: Column) -> Reader:
        return self._readers[column.index]

    def notes(self) -> Iterator[str]:
        """How some cells were read, once all of them are."""
        if self._percent:
            yield f"Ratings such as {self._percent[0]:g} are read as per cent ({self._percent[0]:g} %)."
        if self._serial:
            yield "Bare numbers in the date column are read as spreadsheet dates."
        if self.form == "us":
            yield "Loads are in pounds, so the lifting equation is used in its US form (51 lb)."

    def _dimension(self, column: Column) -> Dimension | None:
        if column.meaning == "element_time":
            return TIME
        return DIMENSIONS[self._task.study.kind].get(column.meaning)

    def _survey(self, column: Column) -> Survey | None:
        choices = self._task.choices
        if column.meaning in ("taken_at", "date"):
            return DateSurvey(column, choices.date_order)
        dimension = self._dimension(column)
        plain = column.meaning in (*_PLAIN_NUMBERS, "rating") or (
            column.meaning == "value" and self._task.study.kind in _PLAIN_VALUES
        )
        if dimension is None and not plain:
            return None
        clock = heading_unit(column, TIME)[1] if dimension is TIME else ""
        return NumberSurvey(column, times=dimension is TIME, clock=clock or choices.clock)

    def _settled(self, column: Column, survey: Survey | None) -> Reader:
        style = survey.style() if survey else Style()
        report = self._task.report
        if style.problem:
            report.whole(column.label, style.problem)
        report.notes.extend(note[0].upper() + note[1:] for note in style.notes)
        thousands = isinstance(survey, NumberSurvey) and survey.thousands
        return self._reader(column, style, thousands)

    def _reader(self, column: Column, style: Style, thousands: bool) -> Reader:
        meaning = column.meaning
        if (dimension := self._dimension(column)) is not None:
            return self._quantity(column, dimension, style, thousands)
        if meaning == "value":
            return Reader(self._plain_value(column, style, thousands))
        if meaning in _PLAIN_NUMBERS:
            return self._plain_number(column, style, thousands)
        if meaning in _TEXTS:
            return Reader(text_reader(_TEXTS[meaning], meaning))
        years = (1970, 2100) if self._task.strict else (1, 9999)
        moment = moment_reader(style.order, years, self._serial)
        day = moment_reader(style.order, years, self._serial, with_time=False)
        made: dict[str, Callable[[], Reader]] = {
            "taken_at": lambda: Reader(moment, quick_moments(years)),
            "date": lambda: Reader(day),
            "clock": lambda: Reader(clock_reader),
            "cycle": lambda: Reader(whole_reader("cycle number"), quick_whole(1, 10_000_000)),
            "lot_size": lambda: Reader(whole_reader("lot size")),
            "operator": lambda: Reader(operator_reader(self._task.choices.operators)),
            "element": lambda: Reader(self._element),
            "work": lambda: Reader(work_reader),
            "rating": lambda: Reader(rating_reader(style, self._percent)),
            "foreign": lambda: Reader(
                flag_reader("write yes where it does not belong to the work, else leave it blank")
            ),
            "detail": lambda: Reader(detail_reader),
            "duration": lambda: Reader(word_reader("duration", ("short", "moderate", "long"))),
            "coupling": lambda: Reader(word_reader("coupling", ("good", "fair", "poor"))),
        }
        return made[meaning]()

    def _quantity(self, column: Column, dimension: Dimension, style: Style, thousands: bool) -> Reader:
        task, meaning = self._task, column.meaning
        default = task.choices.units.get(meaning, dimension.si if dimension is TIME else "")
        unit, _ = heading_unit(column, dimension, default)
        if dimension is TIME and not column.unit:
            task.report.notes.append(f"Bare numbers in {column.label} are read as seconds.")
        if meaning == "load" and unit in _POUNDS:
            self.form = "us"
        if task.strict:
            read = quantity_reader(column, dimension, style, unit=unit, thousands=thousands)
        else:
            read = bare_reader(style, what="a number", thousands=thousands, any_size=True)
        single = task.strict and (task.study.kind is not MeasureKind.TIMES or task.study.timing == "snapback")
        if meaning == "value":
            read = self._checked(read, judged=single)
        if meaning in _MAY_BE_BLANK or (meaning == "value" and task.layout.of("route")):
            read = or_none(read)
        quick = None
        if unit and single and not style.comma and dimension is TIME and meaning in ("value", "element_time"):
            quick = quick_numbers(dimension.units[unit], SMALLEST, LONGEST_TIME_S)
        return Reader(read, quick)

    def _checked(self, read: Callable[[Cell], Any], *, judged: bool) -> Callable[[Cell], Any]:
        """A value that is judged alone; readings of a running watch are judged in their order instead."""
        if self._task.study.kind is MeasureKind.TIMES and not judged:
            return read
        check = value_check(self._task.study.kind, strict=self._task.strict)
        return lambda cell: check(read(cell))

    def _plain_number(self, column: Column, style: Style, thousands: bool) -> Reader:
        any_size = not self._task.strict
        read = bare_reader(style, what="a number", thousands=thousands, any_size=any_size)
        totals = self._task.study.kind in TOTALS and self._task.strict
        if column.meaning == "driver_amount" or (column.meaning == "exposure" and not totals):
            read = or_none(read)
        quick = None if style.comma else quick_numbers(1.0, SMALLEST, LARGEST)
        return Reader(positive(read, column.meaning.replace("_", " ")), quick)

    def _plain_value(self, column: Column, style: Style, thousands: bool) -> Callable[[Cell], Any]:
        """Counts, hits and lifting indices; a look may be answered with yes or no."""
        any_size = not self._task.strict
        number = bare_reader(style, what="a number like 3", thousands=thousands, any_size=any_size)
        flag = flag_reader("write yes or no, or a number of hits")
        check = value_check(self._task.study.kind, strict=self._task.strict)
        looks = self._task.study.kind is MeasureKind.SHARES

        def read(cell: Cell) -> Any:
            if looks and isinstance(cell, str) and re.search(r"^\s*(?:[^\W\d_]|[-✓✔]\s*$)", cell):
                seen = flag(cell)
                return seen if isinstance(seen, Bad) else float(seen)
            return check(number(cell))

        return read

    def _element(self, cell: Cell) -> Any:
        text = text_reader(120, "element")(cell)
        if isinstance(text, Bad) or not self._task.strict:
            return text
        known = self._elements.get(normal(text))
        if known is not None:
            return known
        if SUMMARY_LINE.match(text):
            return Bad(f"'{shown(text)}' is a line of totals, not a reading")
        if not self._elements or text == "" or text.casefold() in PAUSES | STARTS | FOREIGN:
            return text
        return Unknown(
            f"'{shown(text)}' is not an element of the study ({', '.join(self._elements.values())}); "
            "correct it, add it to the study, or mark the row as foreign",
            text,
        )


def take(rows: Sequence[Row], index: int) -> list[Cell]:
    """One column of rows; rows too short for it give blanks."""
    try:
        return list(map(itemgetter(index), rows))
    except IndexError:
        return [row[index] if index < len(row) else "" for row in rows]
