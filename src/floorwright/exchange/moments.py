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
        self._first = _at_midnight(task.study.people_asked_on) if task.strict else None
        self._end = _at_midnight(task.choices.today, 1) if task.strict else None

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
        self._out_of_time(numbers, rows, moments, spoiled)
        block["taken_at"] = moments

    def _out_of_time(
        self, numbers: Sequence[int], rows: Sequence[Row], moments: list[Any], spoiled: set[int]
    ) -> None:
        """Readings from before the people were asked, or from days that lie ahead."""
        if self._all_in_time(moments):
            return
        for place, moment in enumerate(moments):
            if place not in spoiled and isinstance(moment, dt.datetime) and (why := self._why_not(moment)):
                self._report(numbers[place], rows[place], Bad(why))
                spoiled.add(place)

    def _all_in_time(self, moments: list[Any]) -> bool:
        try:
            return (self._first is None or min(moments) >= self._first) and (
                self._end is None or max(moments) < self._end
            )
        except TypeError:  # not all of them are moments
            return False

    def _why_not(self, moment: dt.datetime) -> str:
        if self._end is not None and moment >= self._end:
            return f"{moment:%Y-%m-%d} lies ahead; check the year and the order of day and month"
        if self._first is not None and moment < self._first:
            asked = f"{self._first:%Y-%m-%d}"
            return f"{moment:%Y-%m-%d} is before the people were asked ({asked}); check the date, or leave it out"
        return ""

    def _report(self, number: int, row: Row, fault: Bad) -> None:
        column = self._task.layout.of("taken_at") or self._task.layout.of("date")
        if column is None:
            self._task.report.row(number, None, None, fault.message)
        else:
            self._faults.report(number, row, column, fault)

    def _missing(self, numbers: Sequence[int], rows: Sequence[Row], moments: list[Any], spoiled: set[int]) -> None:
        column = self._task.layout.of("taken_at") or self._task.layout.of("date")
        fault = Bad("is empty; write the date in every row, or give one day for the rows without a date")
        for place, moment in enumerate(moments):
            if moment is None and place not in spoiled and column is not None:
                self._faults.report(numbers[place], rows[place], column, fault)
                spoiled.add(place)


def _at_midnight(day: dt.date | None, later: int = 0) -> dt.datetime | None:
    return None if day is None else dt.datetime.combine(day + dt.timedelta(days=later), _MIDNIGHT)


def _at(moment: Any, clock: Any) -> Any:
    if isinstance(moment, dt.datetime) and isinstance(clock, dt.time):
        return dt.datetime.combine(moment.date(), clock)
    return moment
