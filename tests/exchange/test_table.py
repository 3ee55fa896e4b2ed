"""Text files of every sort: encodings, separators, quotation marks, and what is no table at all."""

from __future__ import annotations

import gzip
from pathlib import Path

import pytest

from floorwright.basis.errors import InputError
from floorwright.exchange import table as table_module
from floorwright.exchange.table import read_table

PLAIN = "date,operator,note\n2026-07-13,W3,Größe\n2026-07-13,W4,ok\n"


def cells(data: bytes | str):
    return list(read_table(data if isinstance(data, bytes) else data.encode(), "readings.csv").rows())


@pytest.mark.parametrize(
    ("codec", "label"),
    [
        ("utf-8", "UTF-8"),
        ("utf-8-sig", "UTF-8"),
        ("cp1252", "CP1252 (Windows, Western Europe)"),
        ("utf-16", "UTF-16"),
        ("utf-16-le", "UTF-16"),
        ("utf-16-be", "UTF-16"),
    ],
)
def test_every_encoding_gives_the_same_cells(codec: str, label: str):
    found = read_table(PLAIN.encode(codec), "readings.csv")
    assert found.encoding == label
    assert list(found.rows()) == [line.split(",") for line in PLAIN.splitlines()]
    assert found.notes == (f"Read as {label}, cells separated by comma.",)


def test_utf_16_with_its_mark_the_other_way_round():
    assert cells(b"\xfe\xff" + PLAIN.encode("utf-16-be")) == cells(PLAIN)


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_what_separates_the_cells_is_found_out(delimiter: str):
    rows = [["date", "cycle", "route"], ["2026-07-13", "1", "rack"], ["2026-07-13", "2", "saw"]]
    assert cells("\r\n".join(delimiter.join(row) for row in rows)) == rows


def test_decimal_commas_do_not_pass_for_separators():
    assert cells("time;rate;share\n41,5;42,1;40,0\n39,9;38,2;41,1\n")[1] == ["41,5", "42,1", "40,0"]


def test_separators_inside_a_cell_do_not_count():
    text = "date,route,n\n1,rack; saw; rack,2\n2,rack; bench; rack,3\n3,saw; bench; rack,3\n"
    assert cells(text)[1] == ["1", "rack; saw; rack", "2"]


def test_a_declared_separator_is_obeyed_and_keeps_its_row():
    assert cells("sep=;\r\na;b,c\r\n1;2,5\r\n") == [[], ["a", "b,c"], ["1", "2,5"]]


def test_quoted_cells_hold_line_ends_and_rows_keep_their_numbers():
    assert cells('a,b\n\n"two\nlines","say ""hi"""\nshort\n') == [
        ["a", "b"],
        [],
        ["two\nlines", 'say "hi"'],
        ["short"],
    ]


def test_old_line_ends_are_line_ends():
    assert cells("a,b\r1,2\r") == [["a", "b"], ["1", "2"]]


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"", "readings.csv: is empty; it needs a heading row and one row for each reading."),
        (b"\xef\xbb\xbf\r\n\r\n", "readings.csv: has no text in it; it needs a heading row"),
        (
            b"\x89PNG\r\n\x1a\n" + bytes(64),
            "readings.csv: is a picture (PNG), not a table; save the table as",
        ),
        (b"\xff\xd8\xff\xe0" + bytes(64), "readings.csv: is a picture (JPEG), not a table"),
        (b"%PDF-1.7\n", "readings.csv: is a PDF, not a table"),
        (gzip.compress(b"a,b\n", mtime=0), "readings.csv: is a compressed file (gzip), not a table"),
        (bytes(range(256)) * 40, "readings.csv: is not text and no workbook either; save the table as CSV (UTF-8)"),
        (b"<html><table>", "readings.csv: is a web page or XML under another name; open it in a spreadsheet"),
        (b"a,b\n1,caf\xe9 \x81\n", "is in an encoding that is neither UTF-8, UTF-16 nor CP1252"),
        (b'a,b\n1,2\n3,"open\n4,5\n', "readings.csv, row 3: opens a quotation mark that is never closed; write"),
        (b'a,b\n1,"1/2" bar\n', "readings.csv, row 2: has text after a closing quotation mark; write"),
        (b"\xff\xfea\x00,\x00b", None),
        (b"\xff\xfea\x00,\x00b\x00\n", "starts as UTF-16 but is damaged further on"),
    ],
)
def test_what_is_no_table_gets_one_sentence(data: bytes, message: str | None):
    if message is None:
        data, message = data[:-1] + b"\x00\xd8", "starts as UTF-16 but is damaged further on"
    with pytest.raises(InputError) as caught:
        cells(data)
    assert message in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_missing_file_is_named(tmp_path: Path):
    with pytest.raises(InputError, match=r"times.csv: is not there or not a file"):
        read_table(tmp_path / "times.csv")


def test_a_file_that_is_too_large_is_refused_before_it_is_read(tmp_path: Path):
    path = tmp_path / "big.csv"
    with path.open("wb") as file:
        file.truncate(table_module.MAX_BYTES + 1_000_000)
    with pytest.raises(InputError) as caught:
        read_table(path)
    assert str(caught.value) == (
        "big.csv: has 201 MB; at most 200 MB are read at a time, about 3 million rows. "
        "Split it into several files, by week or by study, and import one after the other."
    )


def test_a_file_that_changes_meanwhile_is_refused(tmp_path: Path):
    path = tmp_path / "times.csv"
    path.write_text(PLAIN, encoding="utf-8")
    found = read_table(path)
    path.write_text(PLAIN + "2026-07-14,W3,\n", encoding="utf-8")
    with pytest.raises(InputError, match="was changed while it was being read"):
        list(found.rows())


def test_a_cell_longer_than_any_note_is_named_for_what_it_is() -> None:
    text = "taken at,time (s),note\n2026-08-05 08:00,41," + "x" * 140_000 + "\n"
    with pytest.raises(InputError, match=r"row 2: has a cell of more than 131,072 characters; shorten it"):
        list(read_table(text.encode(), "long.csv").rows())
