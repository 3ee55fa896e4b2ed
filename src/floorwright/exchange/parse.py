"""Two passes over a table: first what whole columns tell, then the cells, chunk by chunk, into readings."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from operator import itemgetter
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from floorwright.basis.quantity import TIME
from floorwright.exchange import shapes
from floorwright.exchange.cells import Cell, letter, rows_text, shown
from floorwright.exchange.columns import DIMENSIONS, Column, Layout, normal
from floorwright.exchange.readers import (
    LONGEST_TIME_S,
    Bad,
    Reader,
    bare_reader,
    clock_reader,
    detail_reader,
    flag_reader,
    heading_unit,
    moment_reader,
    operator_reader,
    quantity_reader,
    quick_moments,
    quick_numbers,
    rating_reader,
    text_reader,
    tidy,
    whole_reader,
    work_reader,
)
from floorwright.exchange.readings import Readings
from floorwright.exchange.report import Report
from floorwright.exchange.survey import DateSurvey, NumberSurvey, Style, Survey, look_at_all
from floorwright.exchange.table import Row, Table
from floorwright.shop.records import MeasureKind, Settings, Study

if TYPE_CHECKING:
    from floorwright.exchange.plan import Choices, Progress

_TEXTS: Final = {"part": 120, "shift": 40, "driver": 20, "note": 1000, "replaces": 120, "reason": 400, "key": 120}
_TOTALS: Final = re.compile(
    r"^(?:grand )?(?:totals?|sums?|subtotals?|averages?|avg|means?|medians?|min|max|minimum|maximum|std|st ?dev|count)\b",
    re.IGNORECASE,
)
_FOREIGN: Final = frozenset({"foreign", "foreign element", "interruption", "interrupted", "disturbance"})
_FILLED_DOWN: Final = frozenset(
    {"date", "taken_at", "cycle", "element", "work", "part", "lot_size", "shift", "operator", "driver", "note"}
)
_PLAIN_NUMBERS: Final = ("exposure", "driver_amount", "pieces", "frequency")


class Parser:
    """Reads one table for one study. After `run`, `readings` holds what could be read."""

    def __init__(
        self,
        table: Table,
        layout: Layout,
        study: Study,
        settings: Settings,
        choices: Choices,
        report: Report,
        progress: Progress,
    ) -> None:
        self.table, self.layout, self.study, self.settings = table, layout, study, settings
        self.choices, self.report, self.progress = choices, report, progress
        self.readings = Readings(study.kind)
        self.data_rows = 0
        self.cycles_given = layout.of("cycle") is not None
        self.has_time_of_day = layout.of("clock") is not None
        self._own = layout.of("key") is not None  # written by us: its readings were accepted before
        self._form = "metric"
        self._all_rows = 0
        self._blank_rows = 0
        self._notes_below: list[int] = []
        self._percent: list[float] = []
        self._serial: list[float] = []
        self._blank_elements = 0
        self._width = max((column.index for column in layout.columns), default=-1) + 1
        self._readers: dict[int, Reader] = {}
        self._element_names = {normal(element.name): element.name for element in study.elements}
        self._setup = {element.name for element in study.elements if element.work == "setup"}
        self._watch = shapes.Watch(strict=not self._own)
        self._routes = shapes.Routes(settings)
        self._check = shapes.value_checks(study.kind, strict=not self._own)
        self._cycle = 0
        self._seen_elements: set[str] = set()
        self._merged = self._merged_cells()

    # -- the two passes -------------------------------------------------------------------------------

    def run(self) -> None:
        """Read everything, unless a whole column cannot be read."""
        self._require_columns()
        if self.report.blocking:
            return
        self._survey()
        if self.report.blocking:
            return
        for first, rows in self.table.chunks(self.layout.first_row):
            self._chunk(first, rows)
            self.progress("reading", first + len(rows) - 1, self._all_rows)
        self._closing_notes()
        if not self.data_rows:
            self.report.whole("below the headings", "has no readings; write one row for each reading")

    def _require_columns(self) -> None:
        of, report = self.layout.of, self.report
        if report.blocking:
            return
        if not any((of("taken_at"), of("date"))) and self.choices.day is None:
            report.whole(
                "the headings",
                "have no date; add a column 'date' with dates like 2026-07-13, or give one day for all readings",
            )
        if not self._shape_given():
            report.whole("the headings", self._wanted_columns())

    def _shape_given(self) -> bool:
        of, kind = self.layout.of, self.study.kind
        if of("value") or self.layout.element_times:
            return True
        if kind is MeasureKind.TIMES:
            return bool(of("start") and of("stop"))
        if kind is MeasureKind.DISTANCE:
            return of("route") is not None
        if kind is MeasureKind.LIFT:
            return all(of(name) for name in ("load", "horizontal", "vertical", "frequency", "duration", "coupling"))
        if kind is MeasureKind.SPACE:
            return bool(of("length") and of("width"))
        if kind is MeasureKind.DENSITY:
            return of("pieces") is not None and (of("area") is not None or bool(of("length") and of("width")))
        return False

    def _wanted_columns(self) -> str:
        needed = {
            MeasureKind.TIMES: "times: add a column 'time (s)', or 'start' and 'stop', or one column for each element",
            MeasureKind.COUNTS: "a count: add a column 'events', and 'exposure' for what they were counted over",
            MeasureKind.SHARES: "hits: add columns 'hits' and 'looks', or one row a look with 'seen' yes or no",
            MeasureKind.DISTANCE: "distances: add a column 'route' like 'rack > bench 2 > rack', or 'distance (ft)'",
            MeasureKind.LIFT: "all that a lift needs: load, horizontal, vertical, travel (or destination vertical), "
            "asymmetry, frequency, duration and coupling, or a column 'lifting index'",
            MeasureKind.SPACE: "areas: add a column 'area (ft2)', or 'length (ft)' and 'width (ft)'",
            MeasureKind.DENSITY: "densities: add columns 'pieces' and 'area (ft2)'",
            MeasureKind.FORCE: "forces: add a column 'force (lbf)' or 'force (N)'",
            MeasureKind.WEIGHT: "weights: add a column 'weight (lb)' or 'weight (kg)'",
        }[self.study.kind]
        found = ", ".join(column.heading for column in self.layout.columns if column.heading)
        return (
            f"show no {needed}"
            if needed[:3] != "all"
            else f"do not show {needed}" + (f" (found: {found})" if found else "")
        )

    def _survey(self) -> None:
        surveys: dict[int, Survey] = {}
        for column in self.layout.columns:
            if column.meaning in ("taken_at", "date"):
                surveys[column.index] = DateSurvey(column, self.choices.date_order)
            elif column.meaning and (self._numeric(column)):
                times = self._dimension(column) is TIME
                clock = heading_unit(column, TIME)[1] if times else ""
                surveys[column.index] = NumberSurvey(column, times=times, clock=clock or self.choices.clock)  # type: ignore[arg-type]
        counted = 0

        def counting() -> Any:
            nonlocal counted
            for first, rows in self.table.chunks(self.layout.first_row):
                counted = first + len(rows) - 1
                self.progress("looking", counted, 0)
                yield first, rows

        look_at_all(counting(), list(surveys.values()), take)
        self._all_rows = counted
        styles = {index: survey.style() for index, survey in surveys.items()}
        for column in self.layout.columns:
            style = styles.get(column.index, Style())
            if style.problem:
                self.report.whole(column.label, style.problem)
            self.report.notes.extend(note[0].upper() + note[1:] for note in style.notes)
            if column.meaning:
                survey = surveys.get(column.index)
                thousands = isinstance(survey, NumberSurvey) and survey.thousands
                self._readers[column.index] = self._reader(column, style, thousands)

    def _numeric(self, column: Column) -> bool:
        return (
            self._dimension(column) is not None
            or column.meaning in (*_PLAIN_NUMBERS, "rating")
            or (
                column.meaning == "value"
                and self.study.kind in (MeasureKind.COUNTS, MeasureKind.SHARES, MeasureKind.LIFT)
            )
        )

    def _dimension(self, column: Column) -> Any:
        if column.meaning == "element_time":
            return TIME
        return DIMENSIONS[self.study.kind].get(column.meaning)

    # -- readers --------------------------------------------------------------------------------------

    def _reader(self, column: Column, style: Style, thousands: bool) -> Reader:
        meaning = column.meaning
        dimension = self._dimension(column)
        if dimension is not None:
            return self._quantity(column, style, thousands)
        if meaning == "value":  # counts, shares, lifting index
            return self._bare_value(column, style, thousands)
        if meaning in _PLAIN_NUMBERS:
            read = bare_reader(column, style, what="a number", thousands=thousands)
            quick = None if style.comma else quick_numbers(1.0, 0.0, 1e15)
            blank_ok = meaning == "driver_amount" or (
                meaning == "exposure" and self.study.kind not in shapes.TOTALS
            )
            return Reader(_positive(_or_none(read) if blank_ok else read, meaning), quick)
        if meaning in _TEXTS:
            return Reader(text_reader(_TEXTS[meaning], meaning))
        simple: dict[str, Callable[[], Reader]] = {
            "taken_at": lambda: Reader(moment_reader(style.order, seen_serial=self._serial), quick_moments),
            "date": lambda: Reader(moment_reader(style.order, seen_serial=self._serial, with_time=False)),
            "clock": lambda: Reader(clock_reader),
            "cycle": lambda: Reader(whole_reader("cycle number")),
            "lot_size": lambda: Reader(whole_reader("lot size")),
            "operator": lambda: Reader(operator_reader(self.choices.operators)),
            "element": lambda: Reader(self._element),
            "work": lambda: Reader(work_reader),
            "rating": lambda: Reader(rating_reader(style, self._percent)),
            "foreign": lambda: Reader(
                flag_reader("write yes where it does not belong to the work, else leave it blank")
            ),
            "detail": lambda: Reader(detail_reader),
            "route": lambda: Reader(text_reader(4000, "route")),
            "duration": lambda: Reader(_word_reader("duration", ("short", "moderate", "long"))),
            "coupling": lambda: Reader(_word_reader("coupling", ("good", "fair", "poor"))),
        }
        return simple[meaning]()

    def _quantity(self, column: Column, style: Style, thousands: bool) -> Reader:
        dimension = self._dimension(column)
        default = self.choices.units.get(column.meaning, "")
        if dimension is TIME or (self._own and column.meaning == "value"):
            default = default or dimension.si
        unit, _ = heading_unit(column, dimension, default)
        if dimension is TIME and not column.unit:
            self.report.notes.append(f"Bare numbers in {column.label} are read as seconds.")
        if column.meaning == "load" and unit in ("lb", "lbs", "pound", "pounds", "lbm", "lb."):
            self._form = "us"
        read = quantity_reader(column, dimension, style, unit=unit, thousands=thousands)
        direct = column.meaning in ("value", "element_time") and self.study.timing == "snapback"
        if column.meaning == "value" and direct:
            checked = read
            read = lambda cell: self._check(checked(cell))  # noqa: E731
        if column.meaning in ("pause", "asymmetry", "destination_asymmetry", "destination_horizontal", "travel"):
            read = _or_none(read)
        quick = None
        if unit and direct and not style.comma and dimension is TIME and not self._own:
            quick = quick_numbers(dimension.units[unit], 0.0, LONGEST_TIME_S)
        return Reader(read, quick)

    def _bare_value(self, column: Column, style: Style, thousands: bool) -> Reader:
        number = bare_reader(column, style, what="a number like 3", thousands=thousands)
        flag = flag_reader("write yes or no, or a number of hits")

        def read(cell: Cell) -> Any:
            if (
                self.study.kind is MeasureKind.SHARES
                and isinstance(cell, str)
                and re.search(r"[^\W\d_]|^[-✓✔]$", cell)
            ):
                seen = flag(cell)
                return seen if isinstance(seen, Bad) else float(seen)
            return self._check(number(cell))

        return Reader(read)

    def _element(self, cell: Cell) -> Any:
        text = text_reader(120, "element")(cell)
        if isinstance(text, Bad):
            return text
        if _TOTALS.match(text) and normal(text) not in self._element_names:
            return Bad(f"'{text}' is a line of totals, not a reading")
        plain = text.casefold()
        if not self._element_names or plain in shapes.PAUSES | shapes.STARTS | _FOREIGN or text == "":
            return text
        known = self._element_names.get(normal(text))
        if known is not None:
            return known
        return _Unknown(
            f"'{shown(text)}' is not an element of the study ({', '.join(self._element_names.values())}); "
            "correct it, add it to the study, or mark the row as foreign",
            text,
        )

    # -- one chunk ------------------------------------------------------------------------------------

    def _chunk(self, first: int, rows: list[Row]) -> None:
        numbers = range(first, first + len(rows))
        filled = [index for index, row in enumerate(rows) if any(row) or any(cell != "" for cell in row)]
        self._blank_rows += len(rows) - len(filled)
        if self._merged:
            rows = [self._fill_merged(number, row) for number, row in zip(numbers, rows, strict=True)]
        if len(filled) < len(rows):
            rows, numbers = [rows[i] for i in filled], [numbers[i] for i in filled]  # type: ignore[assignment]
        if not rows:
            return
        self.data_rows += len(rows)
        block: dict[str, list[Any]] = {}
        elements: list[tuple[Column, list[Any]]] = []
        for column in self.layout.columns:
            if column.meaning:
                values = self._readers[column.index].column(take(rows, column.index))
                if column.meaning == "element_time":
                    elements.append((column, values))
                else:
                    block[column.meaning] = values
        bad = self._bad_cells(numbers, rows, block, elements)
        self._moments(numbers, block, bad)
        if elements:
            self._wide(numbers, rows, block, elements, bad)
        else:
            self._long(numbers, rows, block, bad)

    def _bad_cells(
        self,
        numbers: Sequence[int],
        rows: Sequence[Row],
        block: dict[str, list[Any]],
        elements: Sequence[tuple[Column, list[Any]]],
    ) -> set[int]:
        """Places of rows that cannot be stored; what is wrong is reported."""
        faults: dict[int, list[tuple[Column, Any]]] = {}
        for column in self.layout.columns:
            if not column.meaning or column.meaning == "element_time" or not self._readers[column.index].bad:
                continue
            for place, value in enumerate(block[column.meaning]):
                if isinstance(value, Bad):
                    faults.setdefault(place, []).append((column, value))
                elif isinstance(value, _Unknown):
                    self._unknown_element(place, value, block, column, faults)
        bad = set()
        for place in self._too_long(rows):
            bad.add(place)
            self._report_long(numbers[place], rows[place])
        for place, found in sorted(faults.items()):
            if place in bad:
                continue
            if self._is_remark(rows[place], found):
                self._notes_below.append(numbers[place])
                self.report.leave(numbers[place], "a remark or a line of totals, not a reading")
                self.data_rows -= 1
                bad.add(place)
                continue
            kept = [(column, value) for column, value in found if not self._watch_cell(column)]
            for column, value in kept:
                self._report(numbers[place], rows[place], column, value)
            if kept:
                bad.add(place)
        return bad

    def _watch_cell(self, column: Column) -> bool:
        """Readings of a running watch are judged in their order, not alone."""
        return (
            self.study.kind is MeasureKind.TIMES
            and column.meaning in ("value", "start", "stop", "pause")
            and (self.study.timing == "continuous" or column.meaning != "value")
        )

    def _unknown_element(
        self, place: int, value: _Unknown, block: dict[str, list[Any]], column: Column, faults: dict[int, Any]
    ) -> None:
        if block.get("foreign", _NEVER)[place if "foreign" in block else 0] is True:
            block["element"][place] = value.text
        else:
            faults.setdefault(place, []).append((column, Bad(value.message, each_value=True)))

    def _too_long(self, rows: Sequence[Row]) -> list[int]:
        """Rows of a text file with more cells than headings, which shifts their values."""
        if self.table.sheet or max(map(len, rows)) <= self._width:
            return []
        return [
            place
            for place, row in enumerate(rows)
            if len(row) > self._width and any(tidy(cell) for cell in row[self._width :])
        ]

    def _report_long(self, number: int, row: Row) -> None:
        hint = "; a decimal comma or a comma in a text needs quotation marks" if self.table.delimiter == "," else ""
        self.report.row(
            number,
            None,
            shown(row[self._width]),
            f"has {len(row)} cells where there are {self._width} headings{hint}; take out what is too much",
        )

    def _report(self, number: int, row: Row, column: Column, fault: Bad) -> None:
        cell = row[column.index] if column.index < len(row) else ""
        message = fault.message
        if cell == "" and (block := self._merged_away(number, column.index)):
            message = f"is blank because the cells {block} are merged; unmerge them and write the value in each row"
        add = self.report.value if fault.each_value else self.report.row
        add(number, column.label, shown(cell) or None, message, private=fault.private)

    def _is_remark(self, row: Row, faults: Sequence[tuple[Column, Bad]]) -> bool:
        """A line of totals, or words in one cell below or between the readings."""
        cells = [cell for cell in row if cell != "" and (not isinstance(cell, str) or cell.strip())]
        if not cells:
            return True
        words = cells[0] if isinstance(cells[0], str) else ""
        if _TOTALS.match(words.strip()):
            return True
        return (
            len(cells) == 1
            and self._width > 1
            and bool(re.search(r"[^\W\d_]{2}", words))
            and not any(
                column.meaning in ("value", "route") and row[column.index] != ""
                for column, _ in faults
                if column.index < len(row)
            )
        )

    # -- when it was taken ----------------------------------------------------------------------------

    def _moments(self, numbers: Sequence[int], block: dict[str, list[Any]], bad: set[int]) -> None:
        """Settle `taken_at` from moment, date, time of day and the day given."""
        count = len(numbers)
        day = dt.datetime.combine(self.choices.day, dt.time()) if self.choices.day else None
        moments = block.pop("taken_at", None) or block.pop("date", None) or [day] * count
        block.pop("date", None)
        clocks = block.pop("clock", None)
        column = self.layout.of("taken_at") or self.layout.of("date")
        if None in moments:
            moments = [day if moment is None else moment for moment in moments]
            for place, moment in enumerate(moments):
                if moment is None and place not in bad:
                    self.report.row(
                        numbers[place],
                        column.label if column else None,
                        None,
                        "is empty; write the date in every row, or give one day for rows without a date",
                    )
                    bad.add(place)
        if clocks is not None:
            moments = [
                dt.datetime.combine(moment.date(), clock)
                if isinstance(clock, dt.time) and isinstance(moment, dt.datetime)
                else moment
                for moment, clock in zip(moments, clocks, strict=True)
            ]
        elif not self.has_time_of_day:
            midnight = dt.time()
            self.has_time_of_day = any(isinstance(m, dt.datetime) and m.time() != midnight for m in moments)
        block["taken_at"] = moments

    # -- rows into readings ---------------------------------------------------------------------------

    def _long(
        self, numbers: Sequence[int], rows: Sequence[Row], block: dict[str, list[Any]], bad: set[int]
    ) -> None:
        """One reading a row."""
        self._number_cycles(numbers, rows, block, bad)
        details = self._values(numbers, block, bad)
        faults = (
            [place for place, value in enumerate(block["value"]) if type(value) is not float]
            if (self._may_be_bad)
            else []
        )
        for place in faults:
            value = block["value"][place]
            if isinstance(value, shapes.Skip):
                if place not in bad:
                    self.report.leave(numbers[place], value.reason)
                bad.add(place)
            elif isinstance(value, Bad) and place not in bad:
                self._report(numbers[place], rows[place], self._value_column(), value)
                bad.add(place)
        self._snapback_pauses(numbers, block, bad)
        self._exposures(numbers, rows, block, bad)
        self._derive(block)
        if details is not None:
            given = block.get("detail")
            block["detail"] = (
                [one or two for one, two in zip(given, details, strict=True)] if given else list(details)
            )
        self._add(numbers, block, bad)

    @property
    def _may_be_bad(self) -> bool:
        column = self.layout.of("value")
        return self._worked() or column is None or bool(self._readers[column.index].bad)

    def _worked(self) -> bool:
        return self.study.kind is MeasureKind.TIMES and (
            self.study.timing == "continuous" or self.layout.of("value") is None
        )

    def _value_column(self) -> Column:
        for meaning in ("value", "stop", "route", "load", "length", "pieces"):
            if column := self.layout.of(meaning):
                return column
        return self.layout.columns[0]

    def _values(self, numbers: Sequence[int], block: dict[str, list[Any]], bad: set[int]) -> Any:
        """Put `value` into the block; gives what the values were worked out from."""
        kind = self.study.kind
        strict = not self._own
        worked: shapes.Worked | None = None
        if kind is MeasureKind.TIMES:
            if "start" in block and "stop" in block:
                worked = shapes.start_stop(block, strict=strict)
            elif self.study.timing == "continuous" and not self._own:
                worked = self._running(numbers, block), None
            elif "pause" in block:
                worked = (
                    [
                        value
                        if isinstance(value, Bad)
                        else pause
                        if isinstance(pause, Bad)
                        else shapes.less_pause(value, pause, strict)
                        for value, pause in zip(block["value"], block["pause"], strict=True)
                    ],
                    None,
                )
        elif kind is MeasureKind.DISTANCE and "route" in block:
            worked = self._walked(block)
        elif "value" not in block:
            worked = {
                MeasureKind.LIFT: partial(shapes.lifts, form=self._form),
                MeasureKind.SPACE: shapes.areas,
                MeasureKind.DENSITY: shapes.densities,
            }[kind](block)
        for name in (*DIMENSIONS[kind], "pause", "route", "pieces", "frequency", "duration", "coupling"):
            if name != "value":
                block.pop(name, None)
        if worked is None:
            return None
        block["value"] = worked[0]
        return worked[1]

    def _walked(self, block: dict[str, list[Any]]) -> shapes.Worked:
        """The route where there is one, the distance where there is not."""
        values, details = shapes.routes(block, self._routes)
        given = block.get("value")
        if given is not None:
            for place, text in enumerate(block["route"]):
                if text == "" or self._own:
                    values[place], details[place] = given[place], None  # type: ignore[index]
        return values, details

    def _running(self, numbers: Sequence[int], block: dict[str, list[Any]]) -> list[Any]:
        count = len(numbers)
        elements = block.get("element") or [""] * count
        pauses = block.get("pause") or [None] * count
        operators = block.get("operator") or [""] * count
        values = []
        for place in range(count):
            element, moment, pause = elements[place], block["taken_at"][place], pauses[place]
            day = moment.date() if isinstance(moment, dt.datetime) else None
            name = element.text if isinstance(element, _Unknown) else element
            operator = operators[place] if isinstance(operators[place], str) else ""
            value = self._watch.value(
                (day, operator),
                numbers[place],
                block["value"][place],
                name,
                None if isinstance(pause, Bad) else pause,
            )
            values.append(pause if isinstance(pause, Bad) and not isinstance(value, Bad) else value)
        return values

    def _snapback_pauses(self, numbers: Sequence[int], block: dict[str, list[Any]], bad: set[int]) -> None:
        if self.study.kind is not MeasureKind.TIMES or "element" not in block:
            return
        reader = self._readers[self.layout.of("element").index]  # type: ignore[union-attr]
        if not any(isinstance(cell, str) and cell.strip().casefold() in shapes.PAUSES for cell in reader):
            return
        for place, element in enumerate(block["element"]):
            if isinstance(element, str) and element.casefold() in shapes.PAUSES and place not in bad:
                self.report.leave(numbers[place], "a pause, not part of the work")
                bad.add(place)

    def _exposures(
        self, numbers: Sequence[int], rows: Sequence[Row], block: dict[str, list[Any]], bad: set[int]
    ) -> None:
        kind = self.study.kind
        if kind not in shapes.TOTALS:
            return
        if "exposure" not in block:
            block["exposure"] = [self.choices.exposure or 1.0] * len(numbers)
        if kind is MeasureKind.COUNTS:
            return
        for place, (hits, looks) in enumerate(zip(block["value"], block["exposure"], strict=True)):
            if place not in bad and hits > looks:
                self._report(
                    numbers[place],
                    rows[place],
                    self._value_column(),
                    Bad(f"has {hits:g} hits in {looks:g} looks; there cannot be more hits than looks"),
                )
                bad.add(place)

    def _number_cycles(
        self, numbers: Sequence[int], rows: Sequence[Row], block: dict[str, list[Any]], bad: set[int]
    ) -> None:
        """Where no column numbers the cycles: a new one with every row, or when an element comes again."""
        if "cycle" in block:
            column = self.layout.of("cycle")
            for place, cycle in enumerate(block["cycle"]) if None in block["cycle"] else ():
                if cycle is None and place not in bad and column is not None:
                    self._report(
                        numbers[place],
                        rows[place],
                        column,
                        Bad("is empty; write the number of the cycle in every row"),
                    )
                    bad.add(place)
            return
        cycles = []
        elements = block.get("element")
        for place in range(len(numbers)):
            element = elements[place] if elements else ""
            name = element if isinstance(element, str) else ""
            plain = name.casefold()
            if plain in shapes.PAUSES | shapes.STARTS:
                pass
            elif not self._cycle or not elements or name in self._seen_elements:
                self._cycle += 1
                self._seen_elements = {name}
            else:
                self._seen_elements.add(name)
            cycles.append(max(self._cycle, 1))
        block["cycle"] = cycles

    def _derive(self, block: dict[str, list[Any]]) -> None:
        """Set-up and foreign, where the element says it."""
        elements = block.get("element")
        if elements is None or self.study.kind is not MeasureKind.TIMES:
            return
        if "work" not in block and self._setup:
            block["work"] = ["setup" if element in self._setup else "run" for element in elements]
        marked = (
            [isinstance(element, str) and element.casefold() in _FOREIGN for element in elements]
            if not self._own
            else []
        )
        if "foreign" in block:
            if any(marked):
                block["foreign"] = [one or two for one, two in zip(block["foreign"], marked, strict=True)]
        elif not self._own:
            block["foreign"] = marked

    def _add(self, numbers: Sequence[int], block: dict[str, list[Any]], bad: set[int]) -> None:
        if bad:
            kept = [place for place in range(len(numbers)) if place not in bad]
            if not kept:
                return
            self.readings.add(
                [numbers[p] for p in kept], {name: [values[p] for p in kept] for name, values in block.items()}
            )
        else:
            self.readings.add(numbers, block)

    def _wide(
        self,
        numbers: Sequence[int],
        rows: Sequence[Row],
        block: dict[str, list[Any]],
        elements: Sequence[tuple[Column, list[Any]]],
        bad: set[int],
    ) -> None:
        """One cycle a row, one column for each element."""
        block.pop("element", None)
        block.pop("value", None)
        self._number_cycles(numbers, rows, block, bad)
        pauses = block.pop("pause", None)
        out: dict[str, list[Any]] = {name: [] for name in (*block, "element", "value")}
        out_rows: list[int] = []
        for place, number in enumerate(numbers):
            times = self._cycle_times(place, number, rows[place], block, elements, pauses, skip=place in bad)
            if times is None:
                continue
            for element, value in times:
                for name in block:
                    out[name].append(block[name][place])
                out["element"].append(element)
                out["value"].append(value)
                out_rows.append(number)
        self._derive(out)
        if out_rows:
            self.readings.add(out_rows, out)

    def _cycle_times(
        self,
        place: int,
        number: int,
        row: Row,
        block: Mapping[str, list[Any]],
        elements: Sequence[tuple[Column, list[Any]]],
        pauses: list[Any] | None,
        *,
        skip: bool,
    ) -> list[tuple[str, float]] | None:
        """(element, seconds) of one row; None when the row cannot be stored."""
        times: list[tuple[str, float]] = []
        fine = not skip
        pause = pauses[place] if pauses else None
        moment = block["taken_at"][place]
        operator = block["operator"][place] if "operator" in block else ""
        series = (
            moment.date() if isinstance(moment, dt.datetime) else None,
            operator if isinstance(operator, str) else "",
        )
        for column, values in elements:
            cell = row[column.index] if column.index < len(row) else ""
            if cell == "" or (isinstance(cell, str) and not cell.strip()):
                if self.study.timing == "continuous":
                    self._watch.value(series, number, None, "", None)
                self._blank_elements += 1
                continue
            value = values[place]
            if self.study.timing == "continuous":
                value = self._watch.value(series, number, value, "", pause if isinstance(pause, float) else None)
                pause = None
            else:
                value = shapes.time_value(value, strict=True)
            if isinstance(value, Bad):
                if not skip:
                    self._report(number, row, column, value)
                fine = False
            else:
                times.append((column.element, value))
        if fine and not times:
            self.report.leave(number, "no times in this row")
        return times if fine and times else None

    # -- merged cells ---------------------------------------------------------------------------------

    def _merged_cells(self) -> dict[int, list[Any]]:
        """Merged blocks by each of their rows, below the headings."""
        found: dict[int, list[Any]] = {}
        for block in self.table.merged:
            for row in range(max(block.top, self.layout.first_row), block.bottom + 1):
                found.setdefault(row, []).append(block)
        return found

    def _fill_merged(self, number: int, row: Row) -> Row:
        """A merged cell stands for all its rows where it names something (date, operator, element ...)."""
        for block in self._merged.get(number, ()):
            column = next((c for c in self.layout.columns if c.index == block.left), None)
            if column is None or block.left != block.right or column.meaning not in _FILLED_DOWN:
                continue
            top = self._tops().get((block.top, block.left), "")
            row = [*row, *[""] * (block.left + 1 - len(row))]
            row[block.left] = top
        return row

    def _tops(self) -> dict[tuple[int, int], Cell]:
        if not hasattr(self, "_top_cells"):
            wanted = {(block.top, block.left) for block in self.table.merged}
            rows_wanted = {top for top, _ in wanted}
            cells: dict[tuple[int, int], Cell] = {}
            for number, row in enumerate(self.table.rows(), 1):
                if number in rows_wanted:
                    for top, left in wanted:
                        if top == number and left < len(row):
                            cells[top, left] = row[left]
            self._top_cells = cells
            ranges = [
                f"{letter(b.left)}{b.top}:{letter(b.right)}{b.bottom}"
                for b in self.table.merged
                if b.bottom >= self.layout.first_row
            ]
            self.report.notes.append(f"Merged cells ({', '.join(ranges[:5])}) stand for each of their rows.")
        return self._top_cells

    def _merged_away(self, number: int, index: int) -> str:
        for block in self._merged.get(number, ()):
            if block.left <= index <= block.right and (number, index) != (block.top, block.left):
                return f"{letter(block.left)}{block.top}:{letter(block.right)}{block.bottom}"
        return ""

    # -- at the end -----------------------------------------------------------------------------------

    def _closing_notes(self) -> None:
        notes = self.report.notes
        if self._blank_rows:
            notes.append(f"{self._blank_rows:,} blank rows are passed over.")
        if self._notes_below:
            notes.append(f"Remarks and totals are left out ({rows_text(self._notes_below)}).")
        if self._percent:
            notes.append(f"Ratings such as {self._percent[0]:g} are read as per cent ({self._percent[0]:g} %).")
        if self._serial:
            notes.append("Bare numbers in the date column are read as spreadsheet dates.")
        if self._blank_elements:
            notes.append(f"{self._blank_elements:,} blank element times are passed over.")
        if not self.cycles_given and self.data_rows:
            how = "an element comes again" if self.layout.of("element") else "each row"
            notes.append(f"No column numbers the cycles; a new cycle begins with {how}.")
        if self.study.kind in shapes.TOTALS and self.layout.of("exposure") is None:
            notes.append(
                f"No column says what was counted over; each row counts as {self.choices.exposure or 1:g}."
            )
        if self._form == "us":
            notes.append("Loads are in pounds, so the lifting equation is used in its US form (51 lb).")

    @staticmethod
    def mask(count: int, drop: set[int]) -> np.ndarray[Any, np.dtype[np.bool_]]:
        """Which places to keep."""
        wanted = np.ones(count, dtype=bool)
        wanted[list(drop)] = False
        return wanted


class _Unknown:
    """An element that the study does not have; right only in a foreign row."""

    def __init__(self, message: str, text: str) -> None:
        self.message, self.text = message, text


_NEVER: Final = (False,)


def take(rows: Sequence[Row], index: int) -> list[Cell]:
    """One column of rows; rows too short for it give blanks."""
    try:
        return list(map(itemgetter(index), rows))
    except IndexError:
        return [row[index] if index < len(row) else "" for row in rows]


def _or_none(read: Callable[[Cell], Any]) -> Callable[[Cell], Any]:
    return lambda cell: None if isinstance(cell, str) and not cell.strip() else read(cell)


def _positive(read: Callable[[Cell], Any], meaning: str) -> Callable[[Cell], Any]:
    name = meaning.replace("_", " ")

    def checked(cell: Cell) -> Any:
        value = read(cell)
        if isinstance(value, float) and value <= 0:
            return Bad(f"is {value:g}; the {name} is more than zero")
        return value

    return checked


def _word_reader(what: str, words: Sequence[str]) -> Callable[[Cell], Any]:
    def read(cell: Cell) -> Any:
        text = tidy(cell).casefold() if not isinstance(cell, (dt.time, dt.timedelta)) else str(cell)
        return (
            text
            if text in words
            else Bad(
                f"'{shown(cell)}' is not a {what}; write {', '.join(words[:-1])} or {words[-1]}", each_value=True
            )
        )

    return read
