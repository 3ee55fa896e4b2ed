"""Collects what is wrong with a file and which rows stay out, and turns it into problems in the file's order."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any, Final

from floorwright.basis.errors import Problem
from floorwright.exchange.cells import rows_text, shown

MOST: Final = 10_000

_QUOTED: Final = re.compile("^'.*?'(?= )")


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A row that would not be stored, and why. `problem` tells a row with a problem from one rightly left out."""

    row: int
    reason: str
    problem: bool = False


class Report:
    """Problems and rows left out of one file."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.notes: list[str] = []
        self.left_out: list[LeftOut] = []
        self.count = 0
        self.blocking = False
        self._whole: list[Problem] = []
        self._rows: list[tuple[int, int, Problem]] = []
        self._values: dict[tuple[str, str], tuple[Any, list[int]]] = {}
        self._left: set[int] = set()

    def whole(self, place: str, message: str) -> None:
        """A problem of the whole file or of a column, which stops the import."""
        self.blocking = True
        self.count += 1
        self._whole.append(Problem(f"{self.file}, {place}", None, message))

    def row(self, row: int, place: str | None, value: Any, message: str, *, private: bool = False) -> None:
        """A problem of one row."""
        self.count += 1
        if len(self._rows) < MOST:
            where = f"row {row}, {place}" if place else f"row {row}"
            self._rows.append((row, len(self._rows), Problem(where, value, message)))
        self._leave_with_problem(row, place, message, private)

    def value(self, row: int, place: str, value: Any, message: str, *, private: bool = False) -> None:
        """A problem of a value that may stand in many rows; it is said once."""
        found = self._values.get((place, message))
        if found is None:
            self.count += 1
            found = self._values[place, message] = (value, [])
        found[1].append(row)
        self._leave_with_problem(row, place, message, private)

    def leave(self, row: int, reason: str) -> None:
        """A row that rightly stays out."""
        self.left_out.append(LeftOut(row, reason))

    def _leave_with_problem(self, row: int, place: str | None, message: str, private: bool) -> None:
        if row in self._left:
            return
        self._left.add(row)
        # What stood in the cell is not kept: in a row whose cells have slipped it may be somebody's name.
        what = "the operator is not given as a code" if private else _QUOTED.sub("the cell", message, count=1)
        self.left_out.append(LeftOut(row, f"{place}: {what}" if place and not private else what, problem=True))

    def problems(self) -> tuple[Problem, ...]:
        """All of them: the whole file first, then by row."""
        listed = list(self._rows)
        for (place, message), (value, rows) in self._values.items():
            listed.append((rows[0], -1, Problem(f"{rows_text(rows)}, {place}", shown(value), message)))
        listed.sort(key=lambda item: item[:2])
        return (*self._whole, *(problem for _, _, problem in listed))[:MOST]
