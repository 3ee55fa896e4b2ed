"""Tables out: CSV and XLSX that a spreadsheet opens without harm, and that come back exactly as they went.

A file is written under another name and renamed when it is complete, so that a half-written one is never seen.
"""

from __future__ import annotations

import csv
import datetime as dt
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from decimal import Decimal
from pathlib import Path
from typing import Any, Final, Literal

from floorwright.basis.errors import InputError
from floorwright.exchange.cells import Heading, as_json, escape_controls, make_safe
from floorwright.shop.records import MeasureKind, Observation, Study

FileFormat = Literal["csv", "xlsx"]
Progress = Callable[[str, int, int], None]


def format_of(path: Path) -> FileFormat:
    """The format that a file's name asks for.

    Raises:
        InputError: when it ends in neither .csv nor .xlsx.
    """
    ending = path.suffix.casefold()
    if ending == ".csv":
        return "csv"
    if ending == ".xlsx":
        return "xlsx"
    raise InputError.of("file", str(path), f"'{path.name}' should end in .csv or .xlsx")


def write_table(
    path: Path,
    headings: Sequence[Heading | str],
    rows: Iterable[Sequence[Any]],
    *,
    file_format: FileFormat | None = None,
    sheet: str = "Table",
    mark: bool = True,
    progress: Progress | None = None,
) -> int:
    """Write a table; gives the number of rows below the headings.

    Args:
        path: where to; an older file there is replaced once the new one is complete.
        headings: of the columns, with units.
        rows: cells as text, numbers, Decimal, yes-or-no, dates, moments, None for blank; a dict or list
            becomes JSON.
        file_format: csv or xlsx; what the name of the file says unless told.
        sheet: name of the sheet.
        mark: start a CSV with the UTF-8 mark, by which spreadsheets tell its encoding.
        progress: called now and then.

    Raises:
        InputError: when it cannot be written there, or does not fit into a workbook.
    """
    columns = [heading if isinstance(heading, Heading) else Heading(text=heading) for heading in headings]
    chosen = file_format or format_of(path)
    told = _told(rows, progress)
    with complete_or_nothing(path) as part:
        if chosen == "csv":
            return _write_csv(part, columns, told, mark)
        from floorwright.exchange.xlsx_writing import write_xlsx  # slow to import, and only exports need it

        return write_xlsx(part, columns, told, sheet=sheet, name=path.name)


def _told(rows: Iterable[Sequence[Any]], progress: Progress | None) -> Iterator[Sequence[Any]]:
    for number, row in enumerate(rows, 1):
        if progress is not None and number % 20_000 == 0:
            progress("writing", number, 0)
        yield row


@contextmanager
def complete_or_nothing(path: Path) -> Iterator[Path]:
    """A path beside `path` to write to, which takes its place when the block ends well. Raises InputError."""
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    if not path.parent.is_dir():
        raise InputError.of("file", str(path), f"the folder {path.parent} is not there; make it first")
    try:
        part.touch()
        yield part
        part.replace(path)
    except PermissionError:
        raise InputError.of(
            "file",
            str(path),
            f"'{path.name}' cannot be written; close it in the spreadsheet, or choose another folder",
        ) from None
    finally:
        part.unlink(missing_ok=True)


def _write_csv(path: Path, columns: Sequence[Heading], rows: Iterable[Sequence[Any]], mark: bool) -> int:
    count = 0
    with path.open("w", encoding="utf-8-sig" if mark else "utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow([make_safe(column.text) for column in columns])
        for row in rows:
            writer.writerow([_csv_cell(cell) for cell in row])
            count += 1
        file.flush()
        os.fsync(file.fileno())
    return count


def _csv_cell(cell: Any) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        return make_safe(escape_controls(cell))
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return repr(float(cell))
    if isinstance(cell, (int, Decimal)):
        return str(cell)
    if isinstance(cell, dt.datetime):
        return cell.isoformat(" ")
    if isinstance(cell, dt.date):
        return cell.isoformat()
    return escape_controls(as_json(cell))


VALUE_HEADING: Final = {
    MeasureKind.TIMES: "time (s)",
    MeasureKind.DISTANCE: "distance (m)",
    MeasureKind.LIFT: "lifting index",
    MeasureKind.SPACE: "area (m2)",
    MeasureKind.DENSITY: "density (1/m2)",
    MeasureKind.FORCE: "force (N)",
    MeasureKind.WEIGHT: "weight (kg)",
    MeasureKind.COUNTS: "events",
    MeasureKind.SHARES: "hits",
}


def observation_headings(kind: MeasureKind) -> tuple[Heading, ...]:
    """The columns of exported observations: every field, units in the headings."""
    return (
        Heading(text="taken at", width=19),
        Heading(text="cycle", width=7),
        Heading(text="element", width=18),
        Heading(text=VALUE_HEADING[kind], width=12),
        Heading(text="exposure", width=9),
        Heading(text="work", width=7),
        Heading(text="part", width=14),
        Heading(text="lot size", width=8),
        Heading(text="shift", width=8),
        Heading(text="operator", width=9),
        Heading(text="driver", width=8),
        Heading(text="driver amount", width=13),
        Heading(text="rating", width=7),
        Heading(text="foreign", width=8),
        Heading(text="note", width=30),
        Heading(text="detail", width=20),
        Heading(text="key", width=26),
        Heading(text="replaces", width=26),
        Heading(text="reason", width=20),
    )


def observation_row(row: Observation) -> tuple[Any, ...]:
    """One observation in the order of `observation_headings`."""
    return (
        row.taken_at,
        row.cycle,
        row.element,
        row.value,
        row.exposure,
        row.work,
        row.part,
        row.lot_size,
        row.shift,
        row.operator,
        row.driver,
        row.driver_amount,
        row.rating,
        "yes" if row.foreign else "",
        row.note,
        row.detail or None,
        row.key,
        row.replaces,
        row.reason,
    )


def export_observations(
    study: Study,
    rows: Iterable[Observation],
    path: Path,
    file_format: FileFormat | None = None,
    *,
    progress: Progress | None = None,
) -> int:
    """Write the observations of a study with all their fields, so that importing the file gives them back exactly.

    Raises:
        InputError: when the file cannot be written, or does not fit into a workbook.
    """
    return write_table(
        path,
        observation_headings(study.kind),
        map(observation_row, rows),
        file_format=file_format,
        sheet=f"{study.kind.value} {study.moment}",
        progress=progress,
    )
