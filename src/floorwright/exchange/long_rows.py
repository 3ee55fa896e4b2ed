"""One reading a row."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any, Final

from floorwright.exchange import shapes
from floorwright.exchange.choices import Task
from floorwright.exchange.column_readers import ColumnReaders, Unknown
from floorwright.exchange.columns import Column
from floorwright.exchange.faults import Block, Faults
from floorwright.exchange.readers import Bad
from floorwright.exchange.readings import Readings
from floorwright.exchange.table import Row
from floorwright.shop.records import MeasureKind

_WORKED_FROM: Final = (
    "start",
    "stop",
    "pause",
    "route",
    "load",
    "horizontal",
    "vertical",
    "asymmetry",
    "destination_horizontal",
    "destination_vertical",
    "destination_asymmetry",
    "travel",
    "frequency",
    "duration",
    "coupling",
    "length",
    "width",
    "area",
    "pieces",
)
_BLAMED: Final = ("value", "stop", "route", "load", "length", "pieces", "area")


class LongRows:
    """Turns rows with one reading each into readings."""

    def __init__(self, task: Task, readers: ColumnReaders, faults: Faults, readings: Readings) -> None:
        self._task, self._readers, self._faults, self._readings = task, readers, faults, readings
        self._watch = shapes.Watch(strict=task.strict)
        self._routes = shapes.Routes(task.settings)
        self._timed = task.study.kind is MeasureKind.TIMES and task.strict
        self._setup = {element.name for element in task.study.elements if element.work == "setup"}

    def add(self, numbers: Sequence[int], rows: Sequence[Row], block: Block, spoiled: set[int]) -> None:
        """Work out the values of some rows, report what cannot be, and add the rest to the readings."""
        worked = self._work_out(numbers, block)
        for name in _WORKED_FROM:
            block.pop(name, None)
        if worked is not None:
            block["value"] = worked[0]
            self._judge(numbers, rows, block["value"], spoiled)
            if worked[1] is not None:
                given = block.get("detail") or [{}] * len(numbers)
                block["detail"] = [one or two for one, two in zip(given, worked[1], strict=True)]
        if self._timed:
            self._leave_pauses(numbers, block, spoiled)
            mark_work(block, self._setup)
        if self._task.study.kind in shapes.TOTALS:
            self._exposures(numbers, rows, block, spoiled)
        if spoiled:
            kept = [place for place in range(len(numbers)) if place not in spoiled]
            numbers = [numbers[place] for place in kept]
            block = {name: [values[place] for place in kept] for name, values in block.items()}
        if numbers:
            self._readings.add(numbers, block)

    def _work_out(self, numbers: Sequence[int], block: Block) -> shapes.Worked | None:
        """Values that do not simply stand in a cell; None where they do."""
        kind = self._task.study.kind
        if not self._task.strict:
            return None
        if kind is MeasureKind.TIMES:
            if "start" in block and "stop" in block:
                return shapes.start_stop(block), None
            if self._task.study.timing == "continuous":
                return self._running(numbers, block), None
            return (shapes.less_pauses(block), None) if "pause" in block else None
        if "route" in block:
            return shapes.routes(block, self._routes)
        if "value" in block:
            return None
        if kind is MeasureKind.LIFT:
            return shapes.lifts(block, form=self._readers.form)
        return shapes.areas(block) if kind is MeasureKind.SPACE else shapes.densities(block)

    def _running(self, numbers: Sequence[int], block: Block) -> list[Any]:
        count = len(numbers)
        elements = block.get("element") or [""] * count
        pauses = block.get("pause") or [None] * count
        operators = block.get("operator") or [""] * count
        values = []
        for place, (moment, element) in enumerate(zip(block["taken_at"], elements, strict=True)):
            series = watch_series(moment, operators[place])
            name = element.text if isinstance(element, Unknown) else element
            values.append(self._watch.value(series, numbers[place], block["value"][place], name, pauses[place]))
        return values

    def _judge(self, numbers: Sequence[int], rows: Sequence[Row], values: Sequence[Any], spoiled: set[int]) -> None:
        for place, value in enumerate(values):
            if isinstance(value, float) or place in spoiled:
                continue
            if isinstance(value, shapes.Skip):
                self._task.report.leave(numbers[place], value.reason)
            else:
                self._faults.report(numbers[place], rows[place], self._blamed(), value)
            spoiled.add(place)

    def _blamed(self) -> Column:
        """The column that a value which had to be worked out is blamed on."""
        return next(column for name in _BLAMED if (column := self._task.layout.of(name)))

    def _leave_pauses(self, numbers: Sequence[int], block: Block, spoiled: set[int]) -> None:
        column = self._task.layout.of("element")
        if column is None or not any(
            isinstance(e, str) and e.casefold() in shapes.PAUSES for e in set(block["element"])
        ):
            return
        for place, element in enumerate(block["element"]):
            if place not in spoiled and element.casefold() in shapes.PAUSES:
                self._task.report.leave(numbers[place], "a pause, not part of the work")
                spoiled.add(place)

    def _exposures(self, numbers: Sequence[int], rows: Sequence[Row], block: Block, spoiled: set[int]) -> None:
        if "exposure" not in block and self._task.strict:
            block["exposure"] = [self._task.choices.exposure or 1.0] * len(numbers)
        if self._task.study.kind is MeasureKind.COUNTS or not self._task.strict:
            return
        for place, (hits, looks) in enumerate(zip(block["value"], block["exposure"], strict=True)):
            if place not in spoiled and hits > looks:
                fault = Bad(f"has {hits:g} hits in {looks:g} looks; there cannot be more hits than looks")
                self._faults.report(numbers[place], rows[place], self._blamed(), fault)
                spoiled.add(place)


def watch_series(moment: Any, operator: Any) -> tuple[Any, str]:
    """A watch runs on through one day of one operator."""
    day = moment.date() if isinstance(moment, dt.datetime) else None
    return day, operator if isinstance(operator, str) else ""


def mark_work(block: Block, setup: set[str]) -> None:
    """Set-up and foreign, where the element says it and no column does."""
    elements = block.get("element")
    if elements is None:
        return
    if "work" not in block and setup:
        block["work"] = ["setup" if element in setup else "run" for element in elements]
    if {element.casefold() for element in set(elements) if isinstance(element, str)} & shapes.FOREIGN:
        marked = [isinstance(element, str) and element.casefold() in shapes.FOREIGN for element in elements]
        given = block.get("foreign") or [False] * len(elements)
        block["foreign"] = [one or two for one, two in zip(given, marked, strict=True)]
