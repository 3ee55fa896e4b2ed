"""From a table to readings: what its columns tell first, then the cells, chunk by chunk."""

from __future__ import annotations

from typing import Any

from floorwright.exchange.cells import counted
from floorwright.exchange.choices import Progress, Task
from floorwright.exchange.column_readers import ColumnReaders, take
from floorwright.exchange.columns import Column
from floorwright.exchange.cycles import Cycles
from floorwright.exchange.faults import Block, Faults
from floorwright.exchange.long_rows import LongRows
from floorwright.exchange.merged import MergedCells
from floorwright.exchange.moments import Moments
from floorwright.exchange.needs import missing_columns
from floorwright.exchange.readings import Readings
from floorwright.exchange.shapes import TOTALS
from floorwright.exchange.table import Row
from floorwright.exchange.wide_rows import WideRows


class Parser:
    """Reads one table for one study.

    Attributes:
        readings: what could be read.
        data_rows: rows below the headings that are neither blank nor remarks.
        with_cycle: whether the number of the cycle is needed to tell readings apart.
        exact_twins: whether two readings that agree in everything must be one reading entered twice.
    """

    def __init__(self, task: Task, progress: Progress) -> None:
        self._task, self._progress = task, progress
        self.readings = Readings(task.study.kind)
        self.data_rows = 0
        self.with_cycle = True
        self.exact_twins = True

    def run(self) -> None:
        """Read everything, unless the headings or a whole column cannot be read; `report` says so."""
        task = self._task
        if not task.report.blocking:
            for message in missing_columns(task):
                task.report.whole("the headings", message)
        readers = None if task.report.blocking else ColumnReaders(task, self._progress)
        if readers is None or task.report.blocking:
            return
        self._read(readers)
        if not self.data_rows:
            task.report.whole("below the headings", "there are no readings; write one row for each reading")

    def _read(self, readers: ColumnReaders) -> None:
        task = self._task
        merged = MergedCells(task.table, task.layout)
        faults = Faults(task, readers, merged)
        moments, cycles = Moments(task, faults), Cycles(task, faults)
        long, wide = LongRows(task, readers, faults, self.readings), WideRows(task, faults, self.readings)
        blank = 0
        for first, all_rows in task.table.chunks(task.layout.first_row):
            numbers, rows = _not_blank(first, all_rows)
            blank += len(all_rows) - len(rows)
            if merged:
                rows = [merged.filled(number, row) for number, row in zip(numbers, rows, strict=True)]
            if rows:
                self.data_rows += len(rows)
                block, elements = self._cells(readers, rows)
                spoiled = faults.find(numbers, rows, block)
                moments.settle(numbers, rows, block, spoiled)
                cycles.number(numbers, rows, block, spoiled)
                if elements:
                    wide.add(numbers, rows, block, elements, spoiled)
                else:
                    long.add(numbers, rows, block, spoiled)
            self._progress("reading", first + len(all_rows) - 1, readers.rows)
        self.data_rows -= len(faults.remarks)
        self.with_cycle = cycles.given or not moments.tell_apart
        self.exact_twins = cycles.given or moments.tell_apart
        passed = counted(blank, "blank row is passed over", "blank rows are passed over") if blank else ""
        told = (
            passed,
            merged.note,
            faults.note(),
            wide.note(),
            cycles.note(),
            self._exposure_note(),
            *readers.notes(),
        )
        task.report.notes.extend(note for note in told if note)

    def _cells(self, readers: ColumnReaders, rows: list[Row]) -> tuple[Block, list[tuple[Column, list[Any]]]]:
        """The values of the columns by meaning, and those of element columns."""
        block: Block = {}
        elements: list[tuple[Column, list[Any]]] = []
        for column in self._task.layout.columns:
            if column.meaning:
                values = readers[column].column(take(rows, column.index))
                if column.meaning == "element_time":
                    elements.append((column, values))
                else:
                    block[column.meaning] = values
        return block, elements

    def _exposure_note(self) -> str:
        task = self._task
        if task.study.kind not in TOTALS or task.layout.of("exposure") is not None:
            return ""
        return f"No column says what was counted over; each row counts as {task.choices.exposure or 1:g}."


def _not_blank(first: int, rows: list[Row]) -> tuple[list[int], list[Row]]:
    """Row numbers and rows with anything in them."""
    if all(map(any, rows)):
        return list(range(first, first + len(rows))), rows
    kept = [(number, row) for number, row in enumerate(rows, first) if any(cell != "" for cell in row)]
    return [number for number, _ in kept], [row for _, row in kept]
