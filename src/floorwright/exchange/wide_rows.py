"""One cycle a row, with a column for the times of each element."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from floorwright.exchange import shapes
from floorwright.exchange.cells import counted
from floorwright.exchange.choices import Task
from floorwright.exchange.columns import Column
from floorwright.exchange.faults import Block, Faults
from floorwright.exchange.long_rows import mark_work, watch_series
from floorwright.exchange.readers import Bad, tidy
from floorwright.exchange.readings import Readings
from floorwright.exchange.table import Row

Times = Sequence[tuple[Column, list[Any]]]


class WideRows:
    """Turns rows with a column for each element into readings, one for each element of each cycle."""

    def __init__(self, task: Task, faults: Faults, readings: Readings) -> None:
        self._task, self._faults, self._readings = task, faults, readings
        self._running = task.study.timing == "continuous"
        self._watch = shapes.Watch(strict=True)
        self._setup = {element.name for element in task.study.elements if element.work == "setup"}
        self._blank = 0

    def add(
        self, numbers: Sequence[int], rows: Sequence[Row], block: Block, elements: Times, spoiled: set[int]
    ) -> None:
        """Add the times of some rows to the readings, report what cannot be."""
        for name in ("element", "value"):
            block.pop(name, None)
        pauses = block.pop("pause", None) or [None] * len(numbers)
        out: Block = {name: [] for name in (*block, "element", "value")}
        out_rows: list[int] = []
        for place, number in enumerate(numbers):
            operator = block["operator"][place] if "operator" in block else ""
            series = watch_series(block["taken_at"][place], operator)
            found = self._row(
                number, rows[place], [(c, values[place]) for c, values in elements], series, pauses[place]
            )
            if place in spoiled or not self._fine(number, rows[place], found):
                continue
            for column, value in found:
                for name in block:
                    out[name].append(block[name][place])
                out["element"].append(column.element)
                out["value"].append(value)
                out_rows.append(number)
        mark_work(out, self._setup)
        if out_rows:
            self._readings.add(out_rows, out)

    def note(self) -> str:
        """How many elements were not timed; "" when none."""
        if not self._blank:
            return ""
        return counted(self._blank, "blank element time is passed over", "blank element times are passed over")

    def _row(
        self, number: int, row: Row, cells: Sequence[tuple[Column, Any]], series: tuple[Any, str], pause: Any
    ) -> list[tuple[Column, Any]]:
        """(column, seconds or Bad) of the elements timed in one row."""
        found: list[tuple[Column, Any]] = []
        for column, read in cells:
            blank = column.index >= len(row) or tidy(row[column.index]) == ""
            if blank:
                self._blank += 1
            if self._running:
                value = self._watch.value(series, number, None if blank else read, column.element, pause)
                pause = None if not blank else pause
            else:
                value = shapes.time_value(read, strict=True)
            if not blank:
                found.append((column, value))
        return found

    def _fine(self, number: int, row: Row, found: Sequence[tuple[Column, Any]]) -> bool:
        if not found:
            self._task.report.leave(number, "no times in this row")
            return False
        fine = True
        for column, value in found:
            if isinstance(value, Bad):
                self._faults.report(number, row, column, value)
                fine = False
        return fine
