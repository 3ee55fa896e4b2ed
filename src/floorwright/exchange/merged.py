"""Merged cells: where one stands for all its rows, and where it hides a reading."""

from __future__ import annotations

from typing import Final

from floorwright.exchange.cells import Cell, letter
from floorwright.exchange.columns import Layout
from floorwright.exchange.table import Row, Table
from floorwright.exchange.workbook import Merged

_STANDS_FOR_ALL: Final = frozenset(
    {"date", "taken_at", "cycle", "element", "work", "part", "lot_size", "shift", "operator", "driver", "note"}
)


class MergedCells:
    """The merged blocks of a sheet that reach below its headings."""

    def __init__(self, table: Table, layout: Layout) -> None:
        below = [block for block in table.merged if block.bottom >= layout.first_row]
        meanings = {column.index: column.meaning for column in layout.columns}
        self._by_row: dict[int, list[Merged]] = {}
        for block in below:
            for row in range(max(block.top, layout.first_row), block.bottom + 1):
                self._by_row.setdefault(row, []).append(block)
        self._down = {
            block for block in below if block.left == block.right and meanings.get(block.left) in _STANDS_FOR_ALL
        }
        self._tops = _cells(table, self._down)

    def __bool__(self) -> bool:
        return bool(self._by_row)

    @property
    def note(self) -> str:
        """How they are read; "" when none stands for several rows."""
        if not self._down:
            return ""
        ranges = [_range(block) for block in sorted(self._down, key=lambda block: (block.top, block.left))]
        more = f" and {len(ranges) - 5} more" if len(ranges) > 5 else ""
        return f"Merged cells ({', '.join(ranges[:5])}{more}) stand for each of their rows."

    def filled(self, number: int, row: Row) -> Row:
        """A row with what the merged cells above it stand for."""
        for block in self._by_row.get(number, ()):
            if block in self._down:
                cells = [*row, *[""] * (block.left + 1 - len(row))]
                cells[block.left] = self._tops.get(block, "")
                row = cells
        return row

    def hiding(self, number: int, index: int) -> str:
        """The block, such as "B3:B5", that leaves this cell blank; "" when none does."""
        for block in self._by_row.get(number, ()):
            if block.left <= index <= block.right and (number, index) != (block.top, block.left):
                return _range(block)
        return ""


def _range(block: Merged) -> str:
    return f"{letter(block.left)}{block.top}:{letter(block.right)}{block.bottom}"


def _cells(table: Table, blocks: set[Merged]) -> dict[Merged, Cell]:
    """The top left cell of each block."""
    if not blocks:
        return {}
    by_row: dict[int, list[Merged]] = {}
    for block in blocks:
        by_row.setdefault(block.top, []).append(block)
    found: dict[Merged, Cell] = {}
    for number, row in enumerate(table.rows(), 1):
        for block in by_row.get(number, ()):
            found[block] = row[block.left] if block.left < len(row) else ""
    return found
