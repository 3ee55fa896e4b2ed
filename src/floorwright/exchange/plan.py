"""What an import would store, said before anything is stored: readings, problems by row and column, notes.

`plan_import` is pure: it reads the table and gives a plan; storing is a use case of the shop.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from floorwright.basis.errors import InputError, Problem
from floorwright.exchange.choices import Choices, Progress, Task
from floorwright.exchange.columns import Layout, read_layout
from floorwright.exchange.parse import Parser
from floorwright.exchange.readings import Readings
from floorwright.exchange.repeats import settle_repeats
from floorwright.exchange.report import LeftOut, Report
from floorwright.exchange.table import Table
from floorwright.shop.records import SI_UNIT, MeasureKind, Observation, Settings, Study

PREVIEW_ROWS: Final = 5


class Rows:
    """The readings of a plan, made one after the other each time they are gone through."""

    def __init__(self, readings: Readings) -> None:
        self._readings = readings

    def __len__(self) -> int:
        return len(self._readings)

    def __iter__(self) -> Iterator[Observation]:
        return self._readings.observations()


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportPlan:
    """What an import would do.

    Attributes:
        file: name of the file.
        sheet: of a workbook.
        sha256: of the file.
        layout: heading row and what each column is taken for.
        rows: the readings that would be stored, without those that are already there or have a problem.
        problems: everything wrong with the file, by row and column; at most the first 10,000.
        problem_count: how many there are.
        blocking: whether one of them concerns the whole file or a whole column, so that no row can be read.
        left_out: every row that is not among `rows`, with the reason; those of the problems included.
        already_there: rows whose reading the study holds already.
        notes: how the file was read.
        data_rows: rows below the heading that are not blank.
        preview_columns, preview: the first readings as a person reads them.
    """

    file: str
    sheet: str
    sha256: str
    layout: Layout
    rows: Rows
    problems: tuple[Problem, ...]
    problem_count: int
    blocking: bool
    left_out: tuple[LeftOut, ...]
    already_there: tuple[int, ...]
    notes: tuple[str, ...]
    data_rows: int
    preview_columns: tuple[str, ...]
    preview: tuple[tuple[str, ...], ...]

    @property
    def can_store(self) -> bool:
        """Whether it can be stored as it is: no problem, and at least one new reading."""
        return not self.problems and len(self.rows) > 0

    @property
    def can_store_the_rest(self) -> bool:
        """Whether it can be stored once the rows with problems are left out."""
        return not self.blocking and len(self.rows) > 0

    def check(self, *, leave_out_problems: bool) -> None:
        """Raise InputError with all problems unless the plan can be stored."""
        if self.problems and (self.blocking or not leave_out_problems):
            raise InputError(self.problems)

    def summary(self) -> str:
        """One sentence that says what would happen."""
        new, rows, there = len(self.rows), self.data_rows, len(self.already_there)
        parts = [f"{new:,} new reading{'s' * (new != 1)} from {rows:,} row{'s' * (rows != 1)}"]
        if there:
            parts.append(f"{there:,} row{'s' * (there != 1)} already there")
        if self.problem_count:
            parts.append(f"{self.problem_count:,} problem{'s' * (self.problem_count != 1)} to settle")
        return ", ".join(parts) + "."


def plan_import(
    table: Table,
    study: Study,
    settings: Settings,
    *,
    mapping: Mapping[str, str] | None = None,
    known_keys: Collection[str] = frozenset(),
    day: dt.date | None = None,
    choices: Choices | None = None,
    progress: Progress | None = None,
) -> ImportPlan:
    """Say what importing a table into a study would do. Nothing is stored.

    Args:
        table: the file.
        study: decides what kind of readings the file holds.
        settings: the shop's distance table and units.
        mapping: heading or column letter -> meaning, where the headings do not say it.
        known_keys: keys of the readings that the study holds.
        day: of readings without a date; the same as `choices.day`.
        choices: other things that the user settles.
        progress: called now and then.

    Raises:
        InputError: when the table cannot be read to its end (a quotation mark that is never closed).
    """
    chosen = choices or Choices()
    if day is not None:
        chosen = replace(chosen, day=day)
    layout = read_layout(table, study, mapping, heading_row=chosen.heading_row)
    report = Report(table.name)
    for place, message in layout.problems:
        report.whole(place, message)
    task = Task(table=table, layout=layout, study=study, settings=settings, choices=chosen, report=report)
    parser = Parser(task, progress or (lambda *_: None))
    parser.run()
    readings = parser.readings
    already = settle_repeats(
        task, readings, known_keys, with_cycle=parser.with_cycle, exact_twins=parser.exact_twins
    )
    report.notes[:0] = [*table.notes, *_column_notes(layout)]
    return ImportPlan(
        file=table.name,
        sheet=table.sheet,
        sha256=table.sha256,
        layout=layout,
        rows=Rows(readings),
        problems=report.problems(),
        problem_count=report.count,
        blocking=report.blocking,
        left_out=tuple(sorted(report.left_out, key=lambda left: left.row)),
        already_there=already,
        notes=tuple(report.notes),
        data_rows=parser.data_rows,
        preview_columns=_preview_columns(study.kind, readings),
        preview=_preview(study.kind, readings),
    )


def _column_notes(layout: Layout) -> list[str]:
    notes = list(layout.notes)
    if ignored := [column.heading for column in layout.ignored if column.heading]:
        notes.append(f"Left unread, because the heading is not known: {', '.join(ignored)}.")
    return notes


def _preview_columns(kind: MeasureKind, readings: Readings) -> tuple[str, ...]:
    value = {MeasureKind.COUNTS: "events", MeasureKind.SHARES: "hits", MeasureKind.LIFT: "lifting index"}.get(
        kind, f"{kind.value} ({SI_UNIT[kind]})"
    )
    others = [name.replace("_", " ") for name in readings.columns if name not in ("taken_at", "value", "detail")]
    return ("row", "taken at", value, *others)


def _preview(kind: MeasureKind, readings: Readings) -> tuple[tuple[str, ...], ...]:
    names = [name for name in readings.columns if name not in ("taken_at", "value", "detail")]
    lines = []
    for place in range(min(PREVIEW_ROWS, len(readings))):
        cells = [readings.columns[name][place] for name in names]
        moment = readings.columns["taken_at"][place]
        lines.append(
            (
                str(readings.row[place]),
                moment.isoformat(" ", "seconds"),
                f"{readings.columns['value'][place]:.6g}",
                *(_cell_text(cell) for cell in cells),
            )
        )
    return tuple(lines)


def _cell_text(cell: Any) -> str:
    if cell is None:
        return ""
    if cell is True or cell is False:
        return "yes" if cell else ""
    return f"{cell:.6g}" if isinstance(cell, float) else str(cell)


__all__ = ["Choices", "ImportPlan", "LeftOut", "Progress", "Rows", "plan_import"]
