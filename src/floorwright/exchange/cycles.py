"""The number of the cycle: from its column, or counted."""

from __future__ import annotations

from collections.abc import Sequence

from floorwright.exchange.choices import Task
from floorwright.exchange.faults import Block, Faults
from floorwright.exchange.readers import Bad
from floorwright.exchange.shapes import PAUSES, STARTS
from floorwright.exchange.table import Row


class Cycles:
    """Numbers the cycles of a file: a new one with every row, or when an element comes again.

    Rows that cannot be stored count too, so that mending them later does not change the numbers of the others.
    """

    def __init__(self, task: Task, faults: Faults) -> None:
        self._task, self._faults = task, faults
        self.given = task.layout.of("cycle") is not None
        self._cycle = 0
        self._seen: set[str] = set()

    def number(self, numbers: Sequence[int], rows: Sequence[Row], block: Block, spoiled: set[int]) -> None:
        """Put `cycle` into the block."""
        column = self._task.layout.of("cycle")
        if column is None:
            elements = block.get("element")
            block["cycle"] = [self._next(elements[place] if elements else None) for place in range(len(numbers))]
            return
        if None not in block["cycle"]:
            return
        fault = Bad("is empty; write the number of the cycle in every row")
        for place, cycle in enumerate(block["cycle"]):
            if cycle is None and place not in spoiled:
                self._faults.report(numbers[place], rows[place], column, fault)
                spoiled.add(place)

    def _next(self, element: object) -> int:
        name = element if isinstance(element, str) else ""
        if name.casefold() in PAUSES | STARTS:
            return max(self._cycle, 1)
        if not self._cycle or element is None or name in self._seen:
            self._cycle += 1
            self._seen = set()
        self._seen.add(name)
        return self._cycle

    def note(self) -> str:
        """How cycles were numbered; "" when a column does it."""
        if self.given:
            return ""
        how = "when an element comes again" if self._task.layout.of("element") else "with each row"
        return f"No column numbers the cycles; a new cycle begins {how}."
