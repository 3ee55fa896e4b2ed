"""Workbooks: cached values, merged cells, errors, several sheets, locks and bombs."""

from __future__ import annotations

import datetime as dt
import io
import struct
import zipfile
from collections.abc import Callable
from typing import Any

import pytest
import xlsxwriter

from floorwright.basis.errors import InputError
from floorwright.exchange import inflate
from floorwright.exchange.cells import Fault
from floorwright.exchange.plan import Choices, plan_import
from floorwright.exchange.table import read_table
from floorwright.shop.records import MeasureKind, Settings, Study

STUDY = Study(improvement=1, measure="fetch", moment="before", kind=MeasureKind.TIMES)
SHOP = Settings(name="Shop")


def book(fill: Callable[[Any], None]) -> bytes:
    """A workbook in memory."""
    buffer = io.BytesIO()
    with xlsxwriter.Workbook(buffer, {"in_memory": True}) as made:
        fill(made)
    return buffer.getvalue()


def sheet(fill: Callable[[Any, Any], None], name: str = "Times") -> bytes:
    """A workbook with one sheet."""
    return book(lambda made: fill(made, made.add_worksheet(name)))


def plan(data: bytes, **more: Any):
    return plan_import(read_table(data, "times.xlsx"), STUDY, SHOP, **more)


def sentences(found: Any) -> list[str]:
    return [problem.sentence() for problem in found.problems]


def test_rows_and_columns_keep_their_places_under_titles_and_blank_rows():
    def fill(made: Any, page: Any) -> None:
        day = made.add_format({"num_format": "yyyy-mm-dd"})
        page.write("B2", "Study at the saw")
        page.write_row("B4", ["Date", "Cycle", "Time (s)", "Operator"])
        page.write_datetime("B5", dt.datetime(2026, 7, 13), day)
        page.write_row("C5", [1, 41.5, "W3"])
        page.write_datetime("B7", dt.datetime(2026, 7, 14), day)
        page.write_row("C7", [2, "abc", "W3"])
        page.write("B9", "Timed with the blue watch")
        page.write_row("B10", ["Average", "", 41.5])

    found = plan(sheet(fill))
    assert sentences(found) == ["row 7, column \"Time (s)\": 'abc' is not a time; write it like '1.25 min'."]
    (row,) = found.rows
    assert (row.taken_at, row.cycle, row.value, row.operator) == (dt.datetime(2026, 7, 13), 1, 41.5, "W3")
    assert "Remarks and totals are left out (rows 9 and 10)." in found.notes


def test_formulas_give_their_values_and_faults_are_named():
    def fill(made: Any, page: Any) -> None:
        page.write_row("A1", ["date", "cycle", "time (s)"])
        for row, (formula, value) in enumerate([("=6*7", 42), ("=1/0", "#DIV/0!"), ("=A1*2", ""), ("=6*8", 48)], 2):
            page.write(f"A{row}", "2026-07-13")
            page.write(f"B{row}", row)
            page.write_formula(f"C{row}", formula, None, value)

    found = plan(sheet(fill))
    assert [row.value for row in found.rows] == [42.0, 48.0]
    assert sentences(found) == [
        'row 3, column "time (s)": holds the spreadsheet\'s #DIV/0!; put the value right there, or clear the cell.',
        'row 4, column "time (s)": holds a formula that was never worked out; open the file in a spreadsheet, '
        "save it, and give it again.",
    ]
    assert isinstance(list(read_table(sheet(fill), "t.xlsx").rows())[2][2], Fault)


def test_merged_cells_stand_for_their_rows_but_never_for_a_reading():
    def fill(made: Any, page: Any) -> None:
        page.merge_range("A1:D1", "Time study")
        page.write_row("A2", ["date", "operator", "cycle", "time (s)"])
        page.merge_range("A3:A5", "2026-07-13")
        page.merge_range("B3:B5", "W3")
        page.write_column("C3", [1, 2, 3])
        page.write("D3", 40)
        page.merge_range("D4:D5", 41)

    found = plan(sheet(fill))
    assert [(row.cycle, row.operator, row.taken_at.day, row.value) for row in found.rows] == [
        (1, "W3", 13, 40.0),
        (2, "W3", 13, 41.0),
    ]
    assert sentences(found) == [
        'row 5, column "time (s)": is blank because the cells D4:D5 are merged; '
        "unmerge them and write the value in each row."
    ]
    assert "Merged cells (A3:A5, B3:B5) stand for each of their rows." in found.notes


def test_times_of_the_spreadsheet_are_hours_and_minutes_only_when_that_is_clear():
    def fill(kind: str, *cells: Any) -> bytes:
        def inside(made: Any, page: Any) -> None:
            page.write_row("A1", ["date", "cycle", kind])
            for row, cell in enumerate(cells, 2):
                page.write_row(f"A{row}", ["2026-07-13", row])
                page.write_datetime(f"C{row}", cell, made.add_format({"num_format": "h:mm:ss"}))

        return sheet(inside)

    unclear = fill("time", dt.time(1, 15), dt.time(0, 50))
    assert sentences(plan(unclear)) == [
        "times.xlsx, column \"time\": holds '01:15:00' (rows 2 and 3), which is hours and minutes to a "
        "spreadsheet; say which is meant in the heading, like 'time (h:mm)' or 'time (m:ss)'."
    ]
    assert [row.value for row in plan(unclear, choices=Choices(clock="m:ss")).rows] == [75.0, 50.0]
    assert [row.value for row in plan(fill("time (h:mm)", dt.time(1, 15))).rows] == [4500.0]
    assert [row.value for row in plan(fill("time (m:ss)", dt.time(1, 15))).rows] == [75.0]
    assert [row.value for row in plan(fill("time", dt.time(0, 1, 15), dt.time(0, 2))).rows] == [75.0, 120.0]


def test_dates_as_bare_numbers_are_read_and_said():
    def fill(made: Any, page: Any) -> None:
        page.write_row("A1", ["date", "cycle", "time (s)"])
        page.write_row("A2", [46216, 1, 40])

    found = plan(sheet(fill))
    assert next(iter(found.rows)).taken_at == dt.datetime(2026, 7, 13)
    assert "Bare numbers in the date column are read as spreadsheet dates." in found.notes


def test_a_part_number_that_became_a_date_is_a_problem():
    def fill(made: Any, page: Any) -> None:
        page.write_row("A1", ["date", "cycle", "time (s)", "part"])
        page.write_row("A2", ["2026-07-13", 1, 40])
        page.write_datetime("D2", dt.datetime(2026, 3, 4), made.add_format({"num_format": "d-mmm"}))

    assert sentences(plan(sheet(fill))) == [
        "row 2, column \"part\": '2026-03-04' is a date or time, not a part; if the spreadsheet changed it, "
        "set the column to text and write it again."
    ]


def test_several_sheets_are_named_and_hidden_ones_are_not_read():
    def fill(made: Any) -> None:
        for name in ("Before", "After", "Old"):
            made.add_worksheet(name).write_row("A1", ["date", "cycle", "time (s)"])
        made.worksheets()[2].hide()
        made.add_worksheet("Blank")

    data = book(fill)
    with pytest.raises(InputError, match=r"times.xlsx: has 2 sheets \(Before, After\); say which one is meant."):
        read_table(data, "times.xlsx")
    found = read_table(data, "times.xlsx", sheet="after")
    assert found.sheet == "After"
    assert found.notes == ("Hidden sheets are not read: Old.",)
    with pytest.raises(InputError, match="has no sheet 'Now'; its sheets are Before, After, Blank"):
        read_table(data, "times.xlsx", sheet="Now")
    with pytest.raises(InputError, match="sheet 'Blank' is empty"):
        read_table(data, "times.xlsx", sheet="Blank")


def test_hidden_rows_are_read_and_said():
    def fill(made: Any, page: Any) -> None:
        page.write_row("A1", ["date", "cycle", "time (s)"])
        page.write_row("A2", ["2026-07-13", 1, 40])
        page.write_row("A3", ["2026-07-13", 2, 41])
        page.set_row(2, None, None, {"hidden": True})

    found = plan(sheet(fill))
    assert len(found.rows) == 2
    assert "1 hidden or filtered row is read like the others." in found.notes


def archive(members: dict[str, bytes]) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as made:
        for name, data in members.items():
            made.writestr(name, data)
    return buffer.getvalue()


def refused(data: bytes) -> str:
    with pytest.raises(InputError) as caught:
        read_table(data, "times.xlsx")
    return str(caught.value)


def test_a_zip_bomb_is_not_opened():
    message = refused(archive({"xl/workbook.xml": b"<x/>", "xl/worksheets/sheet1.xml": bytes(60_000_000)}))
    assert message.startswith(
        "times.xlsx: is not opened, because its part xl/worksheets/sheet1.xml unpacks to more than 250 times "
    )
    assert "save the sheet as CSV" in message


def test_a_zip_bomb_that_lies_about_its_size_is_not_opened():
    data = bytearray(archive({"xl/workbook.xml": b"<x/>" + bytes(60_000_000)}))
    place = data.index(b"PK\x01\x02")
    data[place + 24 : place + 28] = struct.pack("<I", 4)
    assert "unpacks to more than 250 times its size" in refused(bytes(data))


def test_declared_sizes_alone_can_refuse_it(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(inflate, "MAX_INFLATED", 1000)
    assert "it says it unpacks to 0 MB" in refused(archive({"xl/workbook.xml": b"ab" * 1000}))


def test_a_cell_far_off_the_table_is_not_unfolded():
    data = sheet(lambda made, page: (page.write_row("A1", ["date", "time"]), page.write(1_000_000, 500, 1)))
    assert refused(data) == (
        "times.xlsx: sheet 'sheet1' has a cell out at SG1000001; delete what is far off the table, "
        "or copy the table into a new workbook."
    )


def test_locked_and_damaged_workbooks_are_named():
    ole = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(504) + "EncryptedPackage".encode("utf-16-le") + bytes(512)
    assert refused(ole) == "times.xlsx: is locked with a password; save it without one and give that file."
    assert "is damaged or no workbook" in refused(ole[:512] + bytes(600))
    good = sheet(lambda made, page: page.write("A1", "date"))
    assert "is a damaged workbook; open it in the spreadsheet and save it again" in refused(good[: len(good) // 2])
    assert "is an archive, not a workbook; unpack it first" in refused(archive({"readings.csv": b"a,b\n"}))
    assert "is a binary workbook (.xlsb); save it as .xlsx" in refused(archive({"xl/workbook.bin": b"x"}))


def test_a_workbook_without_anything_on_it_is_named():
    assert "has no sheet with anything on it" in refused(sheet(lambda made, page: None))


ODS_HEAD = (
    '<?xml version="1.0" encoding="UTF-8"?><office:document-content '
    'xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
    'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" '
    'xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"><office:body><office:spreadsheet>'
    '<table:table table:name="Times">'
)
ODS_TAIL = "</table:table></office:spreadsheet></office:body></office:document-content>"


def ods(rows: str) -> bytes:
    manifest = (
        '<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0">'
        '<manifest:file-entry manifest:full-path="/" manifest:media-type="x"/></manifest:manifest>'
    )
    return archive(
        {
            "mimetype": b"application/vnd.oasis.opendocument.spreadsheet",
            "META-INF/manifest.xml": manifest.encode(),
            "content.xml": (ODS_HEAD + rows + ODS_TAIL).encode(),
        }
    )


def ods_row(*cells: str, repeat: int = 1, wide: int = 1) -> str:
    inside = "".join(
        f'<table:table-cell office:value-type="string" table:number-columns-repeated="{wide}">'
        f"<text:p>{cell}</text:p></table:table-cell>"
        for cell in cells
    )
    return f'<table:table-row table:number-rows-repeated="{repeat}">{inside}</table:table-row>'


def test_an_opendocument_sheet_is_read_too():
    blank = '<table:table-cell table:number-columns-repeated="16384"/>'
    below = f'<table:table-row table:number-rows-repeated="1048000">{blank}</table:table-row>'
    rows = ods_row("date", "sec") + ods_row("2026-07-13", "41.5") + below
    assert [row.value for row in plan(ods(rows)).rows] == [41.5]


@pytest.mark.parametrize("repeats", [{"repeat": 1_000_000}, {"wide": 16_000}])
def test_an_opendocument_bomb_is_not_opened(repeats: dict[str, int]):
    assert "repeats one cell many thousand times" in refused(ods(ods_row("1", **repeats)))
