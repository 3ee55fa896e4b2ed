"""Writing a workbook: numbers with every digit, dates as dates, text that stays text."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any, Final

from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from floorwright.basis.errors import InputError
from floorwright.exchange.cells import Heading, as_json, escape_controls, make_safe

MOST_ROWS: Final = 1_048_576
MOST_CHARACTERS: Final = 32_767
_FIRST_DAY: Final = dt.date(1900, 3, 1)  # before it the spreadsheet calendar is a day off
_DATE: Final = "yyyy-mm-dd"
_MOMENT: Final = "yyyy-mm-dd hh:mm:ss"
_LOOKS_ESCAPED: Final = re.compile("_(?=x[0-9A-Fa-f]{4})")
_OPTIONS: Final = {"constant_memory": True, "strings_to_formulas": False, "strings_to_urls": False}


class _Exact(float):
    """A number that a workbook gets with every digit it has; the writer's own 16 digits lose the last bit."""

    __slots__ = ()

    def __format__(self, spec: str) -> str:
        return repr(float(self))


class _Page(Worksheet):  # type: ignore[misc]
    """A sheet whose text comes back as it went."""

    @staticmethod
    def _escape_control_characters(data: str) -> str:
        """The writer's own escaping goes wrong where one escape touches another (`_x005F_x0001_`)."""
        return _LOOKS_ESCAPED.sub("_x005F_", data).replace("\r", "_x000D_")


def write_xlsx(
    path: Path, columns: Sequence[Heading], rows: Iterable[Sequence[Any]], *, sheet: str, name: str
) -> int:
    """Write one sheet, its heading row frozen; gives the number of rows below it.

    Raises:
        InputError: when it does not fit into a workbook.
    """
    count = 0
    with Workbook(str(path), _OPTIONS) as book:
        page = book.add_worksheet(sheet[:31], worksheet_class=_Page)
        heading = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
        date, moment = book.add_format({"num_format": _DATE}), book.add_format({"num_format": _MOMENT})
        page.freeze_panes(1, 0)
        for index, column in enumerate(columns):
            page.set_column(index, index, column.width)
        for index, column in enumerate(columns):
            page.write_string(0, index, column.text, heading)
        for row in rows:
            count += 1
            if count >= MOST_ROWS:
                most = f"{MOST_ROWS - 1:,}"
                raise InputError.of("file", name, f"a workbook holds {most} rows below the heading; write a .csv")
            for index, cell in enumerate(row):
                if isinstance(cell, dt.date):
                    _date(page, count, index, cell, date, moment)
                elif cell is not None and cell != "":
                    _plain(page, count, index, cell, columns[index].text)
    return count


def _date(page: Worksheet, row: int, index: int, cell: dt.date, date: Any, moment: Any) -> None:
    """A date as a date, save where the spreadsheet calendar is not fine enough or goes wrong."""
    if isinstance(cell, dt.datetime):
        if cell.date() >= _FIRST_DAY and not cell.microsecond:
            page.write_datetime(row, index, cell, moment)
        else:
            page.write_string(row, index, cell.isoformat(" "))
    elif cell >= _FIRST_DAY:
        page.write_datetime(row, index, dt.datetime.combine(cell, dt.time()), date)
    else:
        page.write_string(row, index, cell.isoformat())


def _plain(page: Worksheet, row: int, index: int, cell: Any, heading: str) -> None:
    if isinstance(cell, bool):
        page.write_string(row, index, "yes" if cell else "no")
    elif isinstance(cell, (int, float, Decimal)):
        page.write_number(row, index, _Exact(cell))
    else:
        text = cell if isinstance(cell, str) else as_json(cell)
        safe = make_safe(escape_controls(text), typed=True)
        if len(safe) > MOST_CHARACTERS:
            raise InputError.of(
                f'row {row + 1}, column "{heading}"',
                safe[:40],
                f"has {len(safe):,} characters; a cell of a workbook holds {MOST_CHARACTERS:,}; write a .csv",
            )
        page.write_string(row, index, safe)
