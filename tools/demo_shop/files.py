"""Files as somebody in the shop would have saved them: CSV in several dialects, and workbooks."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final

import xlsxwriter

MADE_ON: Final = dt.datetime(2026, 7, 24, 15, 10, tzinfo=dt.UTC)


def csv_bytes(
    rows: Iterable[Sequence[object]], *, delimiter: str = ",", encoding: str = "utf-8", newline: str = "\n"
) -> bytes:
    """Rows as a CSV file; `encoding` may be utf-8, utf-8-sig or cp1252."""
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter, lineterminator=newline).writerows(rows)
    return text.getvalue().encode(encoding)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet: a merged title, a remark, a heading row, and rows below it.

    `formats` names how each column is shown: date, clock, m:ss, number or text. Minutes and seconds are stored the
    way a spreadsheet takes 3:25 when somebody types it: as three hours and twenty-five minutes.
    """

    name: str
    title: str
    remark: str
    headings: Sequence[str]
    formats: Sequence[str]
    widths: Sequence[float]
    rows: Sequence[Sequence[Any]]


_SHOWN: Final = {"date": "m/d/yyyy", "clock": "h:mm AM/PM", "m:ss": "h:mm", "number": "0.0", "text": "@"}


def workbook_bytes(sheets: Iterable[Sheet]) -> bytes:
    """A workbook with these sheets; its date of creation is fixed, so that it is the same each time."""
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    book.set_properties({"created": MADE_ON})
    title = book.add_format({"bold": True, "font_size": 14})
    remark = book.add_format({"italic": True, "font_color": "#555555"})
    head = book.add_format({"bold": True, "bottom": 1, "text_wrap": True})
    shown = {name: book.add_format({"num_format": text}) for name, text in _SHOWN.items()}
    for sheet in sheets:
        page = book.add_worksheet(sheet.name)
        page.merge_range(0, 0, 0, len(sheet.headings) - 1, sheet.title, title)
        page.write(1, 0, sheet.remark, remark)
        page.write_row(3, 0, sheet.headings, head)
        for column, (kind, width) in enumerate(zip(sheet.formats, sheet.widths, strict=True)):
            page.set_column(column, column, width)
            for number, row in enumerate(sheet.rows, 4):
                _write(page, number, column, row[column], kind, shown[kind])
        page.freeze_panes(4, 0)
    book.close()
    return out.getvalue()


def _write(page: Any, row: int, column: int, value: Any, kind: str, shown: Any) -> None:
    if value is None:
        page.write_blank(row, column, None, shown)
    elif kind == "m:ss":
        page.write_number(row, column, round(value) / 1440, shown)
    elif kind in ("date", "clock"):
        page.write_datetime(row, column, value, shown)
    elif kind == "number":
        page.write_number(row, column, value, shown)
    else:
        page.write_string(row, column, value)
