"""When a reading was taken: from a moment, or a date with a time of day, or the day that the user gives."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

from floorwright.exchange.choices import Task
from floorwright.exchange.faults import Block, Faults
from floorwright.exchange.readers import Bad
from floorwright.exchange.table import Row

_MIDNIGHT = dt.time()


class Moments:
    """Settles `taken_at` for the rows of a file.

    Attributes:
        tell_apart: whether the file gives times of day, so that two readings of one day differ in time.
    """

    def __init__(self, task: Task, faults: Faults) -> None:
        self._task, self._faults = task, faults
        day = task.choices.day
        self._day = dt.datetime.combine(day, _MIDNIGHT) if day else None
        self.tell_apart = task.layout.of("clock") is not None

    def settle(self, numbers: Sequence[int], rows: Sequence[Row], block: Block, spoiled: set[int]) -> None:
        """Put `taken_at` into the block, from what stands there of date, moment and time of day."""
        whole, dates, clocks = block.pop("taken_at", None), block.pop("date", None), block.pop("clock", None)
        moments: list[Any] = whole or dates or [self._day] * len(numbers)
        if None in moments:
            moments = [self._day if moment is None else moment for moment in moments]
            self._missing(numbers, rows, moments, spoiled)
        if clocks is not None and whole is None:
            moments = [_at(moment, clock) for moment, clock in zip(moments, clocks, strict=True)]
        elif not self.tell_apart:
            self.tell_apart = any(isinstance(each, dt.datetime) and each.time() != _MIDNIGHT for each in moments)
        block["taken_at"] = moments

    def _missing(self, numbers: Sequence[int], rows: Sequence[Row], moments: list[Any], spoiled: set[int]) -> None:
        column = self._task.layout.of("taken_at") or self._task.layout.of("date")
        fault = Bad("is empty; write the date in every row, or give one day for the rows without a date")
        for place, moment in enumerate(moments):
            if moment is None and place not in spoiled and column is not None:
                self._faults.report(numbers[place], rows[place], column, fault)
                spoiled.add(place)


def _at(moment: Any, clock: Any) -> Any:
    if isinstance(moment, dt.datetime) and isinstance(clock, dt.time):
        return dt.datetime.combine(moment.date(), clock)
    return moment
