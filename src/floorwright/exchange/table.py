"""A table out of a file: rows of cells with the row numbers and column letters that a spreadsheet shows.

CSV is read again for every pass instead of being held, so that a million rows need little memory.
"""

from __future__ import annotations

import csv
import hashlib
import io
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from typing import BinaryIO, Final

from floorwright.basis.errors import InputError
from floorwright.exchange.cells import Cell
from floorwright.exchange.sniff import delimiter_name, delimiter_of, encoding_of, kind_of
from floorwright.exchange.workbook import Merged, read_sheet

MAX_BYTES: Final = 200_000_000
CHUNK: Final = 20_000
_BLOCK: Final = 1 << 20
_SAMPLE_ROWS: Final = 200

Row = Sequence[Cell]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """What stands in a file, cell by cell.

    Attributes:
        name: of the file.
        sheet: of the workbook; "" for a text file.
        encoding: of a text file, for people; "" for a workbook.
        delimiter: of a text file; "" for a workbook.
        merged: merged blocks of a workbook.
        notes: sentences on how the file was read.
        sha256: of the file's bytes, so that a file can be recognised.
        size: of the file in bytes.
        source: opens the rows anew, from the first on.
    """

    name: str
    sheet: str = ""
    encoding: str = ""
    delimiter: str = ""
    merged: tuple[Merged, ...] = ()
    notes: tuple[str, ...] = ()
    sha256: str = ""
    size: int = 0
    source: Callable[[], Iterator[Row]] = field(repr=False)

    def rows(self) -> Iterator[Row]:
        """Every row in order; the first is row 1, blank rows included.

        Raises:
            InputError: when a text file has a quotation mark that is never closed.
        """
        return self.source()

    def chunks(self, start: int = 1) -> Iterator[tuple[int, list[Row]]]:
        """Rows from number `start` on, in lists, each with the number of its first row."""
        rows = islice(self.source(), start - 1, None)
        while chunk := list(islice(rows, CHUNK)):
            yield start, chunk
            start += len(chunk)

    def head(self, count: int) -> list[Row]:
        """The first rows."""
        return list(islice(self.source(), count))


def read_table(source: Path | str | bytes, name: str = "", *, sheet: str | None = None) -> Table:
    """Read a CSV file or one sheet of a workbook.

    Args:
        source: a path, or the bytes of the file.
        name: how the file is called in messages; the path's own name unless told.
        sheet: which sheet of a workbook; may be left out where only one holds anything.

    Raises:
        InputError: one sentence that names the file and says what would be right.
    """
    path = None if isinstance(source, bytes) else Path(source)
    name = name or (path.name if path else "the file")
    if isinstance(source, bytes):
        return _read(lambda: io.BytesIO(source), len(source), name, sheet)
    if not Path(source).is_file():
        raise InputError.of(name, None, f"is not there or not a file (looked at {source})")
    try:
        size = Path(source).stat().st_size
        return _read(_opener(Path(source), name), size, name, sheet)
    except PermissionError:
        raise InputError.of(
            name, None, "cannot be opened; close it in the spreadsheet, or check who may read it"
        ) from None


def _opener(path: Path, name: str) -> Callable[[], BinaryIO]:
    """Open the same file again for each pass; a file that changed meanwhile is refused."""
    stat = path.stat()
    mark = (stat.st_size, stat.st_mtime_ns)

    def reopen() -> BinaryIO:
        now = path.stat()
        if (now.st_size, now.st_mtime_ns) != mark:
            raise InputError.of(name, None, "was changed while it was being read; save it, then give it again")
        return path.open("rb")

    return reopen


def _read(reopen: Callable[[], BinaryIO], size: int, name: str, sheet: str | None) -> Table:
    if size > MAX_BYTES:
        raise InputError.of(
            name,
            None,
            f"has {size / 1e6:,.0f} MB; at most {MAX_BYTES // 1_000_000} MB are read at a time, "
            "about 3 million rows. Split it into several files, by week or by study, "
            "and import one after the other",
        )
    with reopen() as file:
        kind = kind_of(file.read(8192), name)
    digest = _digest(reopen)
    if kind == "text":
        return _text_table(reopen, size, name, digest)
    with reopen() as file:
        read = read_sheet(file.read(), name, sheet)
    return Table(
        name=name,
        sheet=read.name,
        merged=read.merged,
        notes=read.notes,
        sha256=digest,
        size=size,
        source=lambda: iter(read.rows),
    )


def _blocks(reopen: Callable[[], BinaryIO]) -> Iterator[bytes]:
    with reopen() as file:
        while block := file.read(_BLOCK):
            yield block


def _digest(reopen: Callable[[], BinaryIO]) -> str:
    digest = hashlib.sha256()
    for block in _blocks(reopen):
        digest.update(block)
    return digest.hexdigest()


def _text_table(reopen: Callable[[], BinaryIO], size: int, name: str, digest: str) -> Table:
    codec, label = encoding_of(_blocks(reopen), name)

    def open_text() -> io.TextIOWrapper:
        return io.TextIOWrapper(reopen(), encoding=codec, newline="")

    with open_text() as text:
        sample = "".join(islice(text, _SAMPLE_ROWS))[: 4 * _BLOCK]
    if not sample.strip("\ufeff \t\r\n,;|"):
        raise InputError.of(name, None, "has no text in it; it needs a heading row and one row for each reading")
    delimiter = _declared_delimiter(sample) or delimiter_of(sample)
    skip_first = _declared_delimiter(sample) is not None
    notes = [f"Read as {label}, cells separated by {delimiter_name(delimiter)}."]

    def source() -> Iterator[Row]:
        with open_text() as text:
            yield from _csv_rows(text, delimiter, name, skip_first)

    return Table(
        name=name,
        encoding=label,
        delimiter=delimiter,
        notes=tuple(notes),
        sha256=digest,
        size=size,
        source=source,
    )


def _declared_delimiter(sample: str) -> str | None:
    """A first line such as "sep=;", by which a spreadsheet tells what separates the cells."""
    match = re.match(r'^\ufeff?"?sep=([,;|\t])"?\r?\n', sample, re.IGNORECASE)
    return match.group(1) if match else None


def _csv_rows(text: io.TextIOWrapper, delimiter: str, name: str, skip_first: bool) -> Iterator[Row]:
    reader = csv.reader(text, delimiter=delimiter, strict=True)
    number = 1
    try:
        for row in reader:
            yield [] if skip_first and number == 1 else row
            number += 1
    except csv.Error as error:
        if "field limit" in str(error):
            message = f"has a cell of more than {csv.field_size_limit():,} characters; shorten it"
            raise InputError.of(f"{name}, row {number}", None, message) from None
        reason = "opens a quotation mark that is never closed"
        if "expected after" in str(error):
            reason = "has text after a closing quotation mark"
        elif "NUL" in str(error):
            reason = "holds a zero byte"
        raise InputError.of(
            f"{name}, row {number}", None, f'{reason}; write a quotation mark inside a cell twice, like "1/2"" bar"'
        ) from None
