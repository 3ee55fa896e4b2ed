"""Cells that cannot be used: which rows they spoil, and what is said about them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from floorwright.exchange.cells import Cell, rows_text, shown
from floorwright.exchange.choices import Task
from floorwright.exchange.column_readers import SUMMARY_LINE, ColumnReaders, Unknown
from floorwright.exchange.columns import Column
from floorwright.exchange.merged import MergedCells
from floorwright.exchange.readers import Bad, tidy
from floorwright.exchange.table import Row
from floorwright.shop.records import MeasureKind

Block = dict[str, list[Any]]


class Faults:
    """Finds and reports what is wrong with rows.

    Attributes:
        remarks: rows that are words or totals between or below the readings.
    """

    def __init__(self, task: Task, readers: ColumnReaders, merged: MergedCells) -> None:
        self._task, self._readers, self._merged = task, readers, merged
        self._width = max((column.index for column in task.layout.columns), default=-1) + 1
        self.remarks: list[int] = []

    def find(self, numbers: Sequence[int], rows: Sequence[Row], block: Block) -> set[int]:
        """The places of rows that cannot be stored, after saying why."""
        found = self._bad_cells(block)
        spoiled = set(self._too_long(numbers, rows))
        for place in sorted(found):
            if place in spoiled:
                continue
            if self._is_remark(rows[place]):
                self.remarks.append(numbers[place])
                self._task.report.leave(numbers[place], "a remark or a line of totals, not a reading")
                spoiled.add(place)
                continue
            for column, fault in found[place]:
                if not self._judged_later(column):
                    self.report(numbers[place], rows[place], column, fault)
                    spoiled.add(place)
        self._corrections(numbers, rows, block, spoiled)
        return spoiled

    def report(self, number: int, row: Row, column: Column, fault: Bad) -> None:
        """Say what is wrong with one cell."""
        cell: Cell = row[column.index] if column.index < len(row) else ""
        message = fault.message
        if cell == "" and (block := self._merged.hiding(number, column.index)):
            message = f"is blank because the cells {block} are merged; unmerge them and write the value in each row"
        say = self._task.report.value if fault.each_value else self._task.report.row
        say(number, column.label, shown(cell) or None, message, private=fault.private)

    def note(self) -> str:
        """Which rows were remarks; "" when none was."""
        return f"Remarks and totals are left out ({rows_text(self.remarks)})." if self.remarks else ""

    def _corrections(self, numbers: Sequence[int], rows: Sequence[Row], block: Block, spoiled: set[int]) -> None:
        """A reading that replaces another says why, and does not replace itself."""
        column = self._task.layout.of("replaces")
        if column is None:
            return
        blank = [""] * len(numbers)
        cells = zip(block["replaces"], block.get("reason", blank), block.get("key", blank), strict=True)
        for place, (replaces, reason, key) in enumerate(cells):
            if place in spoiled or not replaces:
                continue
            fault = None
            if not reason:
                fault = Bad("names a reading that it corrects, but no reason; write why in a column 'reason'")
            elif replaces == key:
                fault = Bad("names its own key; a reading cannot replace itself")
            if fault is not None:
                self.report(numbers[place], rows[place], column, fault)
                spoiled.add(place)

    def _bad_cells(self, block: Block) -> dict[int, list[tuple[Column, Bad]]]:
        found: dict[int, list[tuple[Column, Bad]]] = {}
        for column in self._task.layout.columns:
            if column.meaning not in block or not self._may_be_bad(column):
                continue
            for place, value in enumerate(block[column.meaning]):
                if isinstance(value, Bad):
                    found.setdefault(place, []).append((column, value))
                elif isinstance(value, Unknown):
                    if "foreign" in block and block["foreign"][place] is True:
                        block["element"][place] = value.text
                    else:
                        found.setdefault(place, []).append((column, Bad(value.message, each_value=True)))
        return found

    def _may_be_bad(self, column: Column) -> bool:
        return self._readers[column].bad > 0 or column.meaning == "element"

    def _judged_later(self, column: Column) -> bool:
        """Readings of a running watch, and start and stop, are judged together."""
        if self._task.study.kind is not MeasureKind.TIMES or not self._task.strict:
            return False
        if column.meaning == "value":
            return self._task.study.timing == "continuous"
        return column.meaning in ("start", "stop", "pause")

    def _too_long(self, numbers: Sequence[int], rows: Sequence[Row]) -> list[int]:
        """Rows of a text file with more cells than headings, which shifts their values."""
        if self._task.table.sheet or max(map(len, rows)) <= self._width:
            return []
        hint = ""
        if self._task.table.delimiter == ",":
            hint = "; a cell with a comma in it, such as 1,5, needs quotation marks"
        places = []
        for place, row in enumerate(rows):
            if any(tidy(cell) for cell in row[self._width :]):
                places.append(place)
                self._task.report.row(
                    numbers[place],
                    None,
                    shown(row[self._width]),
                    f"has {len(row)} cells where there are {self._width} headings{hint}",
                )
        return places

    def _is_remark(self, row: Row) -> bool:
        """A line of totals, or words in one cell below or between the readings."""
        cells = [(index, cell) for index, cell in enumerate(row) if tidy(cell) != ""]
        if not cells:
            return True
        index, cell = cells[0]
        words = cell.strip() if isinstance(cell, str) else ""
        if SUMMARY_LINE.match(words):
            return True
        meaning = next((c.meaning for c in self._task.layout.columns if c.index == index), "")
        alone = len(cells) == 1 and self._width > 1 and meaning not in ("value", "route", "element_time")
        return alone and re.search(r"[^\W\d_]{2}", words) is not None
