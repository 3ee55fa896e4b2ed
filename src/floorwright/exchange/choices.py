"""What the user settles about an import, and how progress is told."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from floorwright.exchange.columns import Layout
from floorwright.exchange.report import Report
from floorwright.exchange.survey import Clock, DateOrder
from floorwright.exchange.table import Table
from floorwright.shop.records import Settings, Study

Progress = Callable[[str, int, int], None]
"""Called with what is being done, rows done, and rows in all (0 while that is not known)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """What the user settles where the file leaves it open.

    Attributes:
        day: of readings whose date is missing.
        today: no reading can have been taken after it; None where nobody says.
        date_order: whether the day or the month comes first in 07/11/2026, where nothing in the column shows it.
        clock: what 1:15 means where the spreadsheet holds it as a time: "h:mm" or "m:ss".
        operators: name -> code, for files that hold names.
        units: meaning ("value", "load") -> unit of bare numbers whose heading has none.
        exposure: what each row of a count was counted over, where the file has no such column.
        heading_row: the row of the headings, 0 for none, where it is not the one with the known words.
    """

    day: dt.date | None = None
    today: dt.date | None = None
    date_order: DateOrder = ""
    clock: Clock = ""
    operators: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)
    exposure: float | None = None
    heading_row: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """Everything that the parts of an import need to know."""

    table: Table
    layout: Layout
    study: Study
    settings: Settings
    choices: Choices
    report: Report

    @property
    def strict(self) -> bool:
        """Whether readings are judged; those of a file that an export wrote were accepted before."""
        return not self.layout.exported
