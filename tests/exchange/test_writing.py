"""Files that are written: harmless in a spreadsheet, complete or not there, in the right form."""

from __future__ import annotations

import csv
import datetime as dt
import zipfile
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from python_calamine import load_workbook

from floorwright.basis.errors import InputError
from floorwright.exchange.plan import plan_import
from floorwright.exchange.table import read_table
from floorwright.exchange.writing import Heading, export_observations, write_table
from floorwright.shop.records import MeasureKind, Observation, Settings, Study

DANGEROUS = ["=HYPERLINK(1)", "+1", "-1+2", "@SUM(A1)", "plain", "'quoted", "a=b"]


def raw_csv(path: Path) -> list[list[str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.reader(file))


def test_csv_text_that_looks_like_a_formula_is_disarmed_and_numbers_stay_numbers(tmp_path: Path):
    path = tmp_path / "out.csv"
    write_table(path, ["text", "number"], [(text, -1.5) for text in DANGEROUS])
    assert raw_csv(path)[1:] == [
        ["'=HYPERLINK(1)", "-1.5"],
        ["'+1", "-1.5"],
        ["'-1+2", "-1.5"],
        ["'@SUM(A1)", "-1.5"],
        ["plain", "-1.5"],
        ["'quoted", "-1.5"],
        ["a=b", "-1.5"],
    ]
    assert path.read_bytes().startswith(b"\xef\xbb\xbftext,number\r\n")


def test_the_mark_can_be_left_out(tmp_path: Path):
    write_table(tmp_path / "out.csv", ["a"], [("Größe",)], mark=False)
    assert (tmp_path / "out.csv").read_bytes() == "a\r\nGröße\r\n".encode()


def test_a_workbook_has_no_formula_no_link_and_a_frozen_heading(tmp_path: Path):
    path = tmp_path / "out.xlsx"
    rows = [("=1+1", 0.1 + 0.2, dt.date(2026, 7, 13), dt.datetime(2026, 7, 13, 7, 15), Decimal("12.50"), True)]
    write_table(path, [Heading(text="text", width=30), "number", "date", "moment", "money", "flag"], rows)
    with zipfile.ZipFile(path) as archive:
        page = archive.read("xl/worksheets/sheet1.xml").decode()
    assert "<f>" not in page
    assert "hyperlink" not in page
    assert 'state="frozen"' in page
    assert '<col min="1" max="1" width="30.7109375" customWidth="1"/>' in page
    assert load_workbook(path).get_sheet_by_index(0).to_python() == [
        ["text", "number", "date", "moment", "money", "flag"],
        ["=1+1", 0.1 + 0.2, dt.date(2026, 7, 13), dt.datetime(2026, 7, 13, 7, 15), 12.5, "yes"],
    ]


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_a_file_that_fails_half_way_leaves_the_old_one(tmp_path: Path, ending: str):
    path = tmp_path / f"out.{ending}"
    write_table(path, ["a"], [("old",)])

    def rows() -> Iterator[tuple[Any, ...]]:
        yield ("new",)
        raise RuntimeError("power cut")

    with pytest.raises(RuntimeError, match="power cut"):
        write_table(path, ["a"], rows())
    assert list(read_table(path).rows())[1] == ["old"]
    assert list(tmp_path.iterdir()) == [path]


def test_what_does_not_fit_into_a_workbook_is_said(tmp_path: Path):
    with pytest.raises(InputError) as caught:
        write_table(tmp_path / "out.xlsx", ["note"], [("x" * 40_000,)])
    assert str(caught.value) == (
        'row 2, column "note": has 40,000 characters; a cell of a workbook holds 32,767; write a .csv.'
    )
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("out.txt", "file: 'out.txt' should end in .csv or .xlsx."),
        ("nowhere/out.csv", "nowhere is not there; make it first."),
        ("nowhere/out.xlsx", "nowhere is not there; make it first."),
    ],
)
def test_a_place_that_cannot_be_written_is_named(tmp_path: Path, name: str, message: str):
    with pytest.raises(InputError) as caught:
        write_table(tmp_path / name, ["a"], [("b",)])
    assert message in str(caught.value)


def observation(**more: Any) -> Observation:
    return Observation(key="k1", taken_at=dt.datetime(2026, 7, 13, 7, 15), cycle=1, value=41.5, **more)


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_an_export_opened_and_saved_by_hand_still_comes_back(tmp_path: Path, ending: str):
    study = Study(improvement=1, measure="m", moment="after", kind=MeasureKind.TIMES)
    rows = [observation(operator="W3", note="=odd", detail={"a": [1, 2.5]}, replaces="k0", reason="misread")]
    path = tmp_path / f"out.{ending}"
    export_observations(study, rows, path)
    plan = plan_import(read_table(path), study, Settings(name="Shop"))
    assert list(plan.rows) == rows
    again = plan_import(read_table(path), study, Settings(name="Shop"), known_keys={"k1"})
    assert again.already_there == (2,)
    assert not again.can_store


def test_a_key_that_stands_twice_is_a_problem(tmp_path: Path):
    study = Study(improvement=1, measure="m", moment="after", kind=MeasureKind.TIMES)
    path = tmp_path / "out.csv"
    export_observations(study, [observation(), observation(note="again")], path)
    plan = plan_import(read_table(path), study, Settings(name="Shop"))
    assert [problem.sentence() for problem in plan.problems] == [
        'row 3, column "key": has the key of row 2; take one of them out, or clear its key.'
    ]
