"""Export: every list as CSV and XLSX, and no cell that a spreadsheet would run."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from python_calamine import CalamineWorkbook

from floorwright.exchange.lists import LISTS, OF_THE_SHOP
from floorwright.shop import studies as use
from floorwright.shop.improvements import change_improvement
from floorwright.shop.ports import Author, Shop
from webapp import Person

LEAD = Author(who="Ines", role="lead")


def cells(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text.removeprefix("\ufeff"))))


@pytest.mark.parametrize("what", OF_THE_SHOP)
def test_every_list_is_there_in_both_formats(person: Person, what: str) -> None:
    start = "/settings/export" if LISTS[what].lead else "/export"
    table = cells(person.get(f"{start}/{what}.csv").text)
    answer = person.get(f"{start}/{what}.xlsx")
    assert answer.headers["content-disposition"] == f'attachment; filename="{what}.xlsx"'
    rows = CalamineWorkbook.from_filelike(io.BytesIO(answer.content)).get_sheet_by_index(0).to_python()
    assert [str(cell) for cell in rows[0]] == table[0]
    assert len(rows) == len(table)
    assert f'href="{start}/{what}.xlsx"' in person.get("/export").text


def test_no_cell_starts_a_formula(person: Person, shop: Shop) -> None:
    for title in ("=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "'=1"):
        change_improvement(shop, 3, {"title": title.strip() or title, "question": "=HYPERLINK(1)"}, LEAD)
        for row in cells(person.get("/export/improvements.csv").text)[1:]:
            for cell in row:
                number = cell.replace(".", "", 1).lstrip("-").isdigit()
                assert number or not cell.startswith(("=", "+", "-", "@", "\t", "\r")), cell
        answer = person.get("/export/improvements.xlsx")
        book = CalamineWorkbook.from_filelike(io.BytesIO(answer.content))
        assert book.get_sheet_by_index(0).to_python()[0][0] == "number"


def test_the_readings_of_a_study_come_back_unchanged(person: Person, shop: Shop) -> None:
    for ending in ("csv", "xlsx"):
        answer = person.get(f"/export/observations.{ending}?study=1")
        assert answer.headers["content-disposition"] == f'attachment; filename="study-1.{ending}"'
        sent = person.send("/studies/1/import", files={"file": (f"study-1.{ending}", answer.content)})
        text = person.get(sent.headers["location"]).text
        assert "79 rows already there" in text
    assert len(use.observations_of(shop, 1, with_replaced=True)) == 79


def test_unknown_lists_and_formats(person: Person) -> None:
    person.get("/export/passwords.csv", 404)
    person.get("/export/improvements.pdf", 422)
    person.get("/export/observations.csv?study=999", 404)
    person.get("/export/observations.csv", 422)
    person.get("/export/..%2f..%2fshop.csv", 404)


def test_nothing_is_left_behind(person: Person, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import tempfile

    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    person.get("/export/improvements.csv")
    person.get("/export/observations.xlsx?study=1")
    assert not list(tmp_path.glob("floorwright-export-*"))
