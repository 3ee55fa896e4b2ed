"""Reading one sheet of a workbook: cached values, merged cells, and the cells that have no usable value."""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import Any, Final
from xml.sax.saxutils import unescape

from python_calamine import CalamineError, CalamineWorkbook, PasswordError, SheetTypeEnum, SheetVisibleEnum

from floorwright.basis.errors import InputError
from floorwright.exchange.cells import Cell, Fault, column_index, counted
from floorwright.exchange.inflate import check_archive, check_extent
from floorwright.exchange.sniff import WRONG_KIND

_ENCRYPTED: Final = "EncryptedPackage".encode("utf-16-le")
_CELL: Final = re.compile(rb'<c\s[^<>]*?\br="([A-Z]{1,3})(\d{1,7})"([^<>]*)>(.*?)</c>', re.DOTALL)
_TYPE_ERROR: Final = re.compile(rb'\bt="e"')
_VALUE: Final = re.compile(rb"<v[^<>]*>([^<]+)</v>")
_FORMULA: Final = re.compile(rb"<f[\s/>]")
_HIDDEN: Final = re.compile(rb'<row\s[^<>]*\bhidden="(?:1|true)"')


@dataclass(frozen=True, slots=True)
class Merged:
    """A block of merged cells: rows from 1, columns from 0, both ends included."""

    top: int
    left: int
    bottom: int
    right: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet: its rows (the first is row 1), merged blocks, and notes on how it was read."""

    name: str
    rows: Sequence[Sequence[Cell]]
    merged: tuple[Merged, ...]
    notes: tuple[str, ...]


def read_sheet(data: bytes, name: str, wanted: str | None) -> Sheet:
    """Read one sheet of an .xlsx, .xls or .ods workbook.

    Args:
        data: the file.
        name: for messages.
        wanted: name of the sheet; None when the workbook has only one with anything on it.

    Raises:
        InputError: when it cannot be read, is locked, is a bomb, or it is not clear which sheet is meant.
    """
    xml_of = _guard(data, name)
    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(data))
    except PasswordError:
        raise _locked(name) from None
    except CalamineError:
        raise InputError.of(name, None, f"is damaged or no workbook; {WRONG_KIND}") from None
    return _one_sheet(book, xml_of, name, wanted)


def filled_sheets(data: bytes, name: str) -> tuple[str, ...]:
    """The visible sheets with anything on them, in their order.

    Raises:
        InputError: as `read_sheet`.
    """
    _guard(data, name)
    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(data))
    except PasswordError:
        raise _locked(name) from None
    except CalamineError:
        raise InputError.of(name, None, f"is damaged or no workbook; {WRONG_KIND}") from None
    metas = [meta for meta in book.sheets_metadata if meta.typ == SheetTypeEnum.WorkSheet]
    visible = [meta.name for meta in metas if meta.visible == SheetVisibleEnum.Visible]
    return tuple(sheet for sheet in visible if _opened(book, sheet, name).end is not None)


def _locked(name: str) -> InputError:
    return InputError.of(name, None, "is locked with a password; save it without one and give that file")


def _guard(data: bytes, name: str) -> dict[str, bytes]:
    """Check a workbook before it is parsed. Gives the XML of the sheets of an .xlsx by sheet name."""
    if not data.startswith(b"PK"):
        if _ENCRYPTED in data:
            raise _locked(name)
        return {}
    raw = io.BytesIO(data)
    try:
        archive = zipfile.ZipFile(raw)
        members = set(archive.namelist())
        check_archive(archive, raw, name)
        if "xl/workbook.bin" in members:
            raise InputError.of(name, None, "is a binary workbook (.xlsb); save it as .xlsx and give that file")
        if "xl/workbook.xml" in members:
            return _sheet_xml(archive, name)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, KeyError, ValueError):
        raise InputError.of(
            name, None, "is a damaged workbook; open it in the spreadsheet and save it again as .xlsx"
        ) from None
    if "content.xml" not in members:
        raise InputError.of(name, None, f"is an archive, not a workbook; unpack it first, then {WRONG_KIND}")
    if b"number-" in (content := archive.read("content.xml")):
        _check_repeats(content, name)
    return {}


def _check_repeats(content: bytes, name: str) -> None:
    """An OpenDocument sheet may say 'this cell a million times over'; only blank cells may be so many."""
    filled = re.compile(
        rb"<table:table-cell\b[^<>]*number-columns-repeated=\"(\d+)\"[^<>]*(?:office:value|value-type)[^<>]*>"
        rb"|<table:table-cell\b[^<>]*(?:office:value|value-type)[^<>]*number-columns-repeated=\"(\d+)\""
    )
    wide = max((int(match.group(1) or match.group(2)) for match in filled.finditer(content)), default=1)
    rows = re.finditer(
        rb"<table:table-row\b[^<>]*number-rows-repeated=\"(\d+)\"[^<>]*>(.*?)</table:table-row>", content
    )
    tall = max((int(row.group(1)) for row in rows if b"value-type" in row.group(2)), default=1)
    if wide > 1000 or tall > 100_000:
        raise InputError.of(
            name,
            None,
            "repeats one cell many thousand times, which a sheet of readings does not need; "
            "copy the readings into a new workbook",
        )


def _sheet_xml(archive: zipfile.ZipFile, name: str) -> dict[str, bytes]:
    """The XML of each sheet by the name on its tab."""
    book = archive.read("xl/workbook.xml").decode("utf-8", "replace")
    links = archive.read("xl/_rels/workbook.xml.rels").decode("utf-8", "replace")
    targets: dict[str, str] = {}
    for link in re.findall(r"<(?:\w+:)?Relationship\s[^<>]*>", links):
        if (id_ := _attribute(link, "Id")) and (target := _attribute(link, "Target")):
            targets[id_] = target
    for path in archive.namelist():
        if path.startswith("xl/") and b"sheetData" in (xml := archive.read(path)):
            check_extent(xml, name, PurePosixPath(path).stem)
    found: dict[str, bytes] = {}
    for tag in re.findall(r"<(?:\w+:)?sheet\s[^<>]*>", book):
        tab, target = _attribute(tag, "name"), targets.get(_attribute(tag, r"\w+:id") or "")
        if tab is None or target is None or "worksheets" not in target:
            continue
        path = target.lstrip("/") if target.startswith("/") else posixpath.normpath(posixpath.join("xl", target))
        if path in archive.namelist():
            found[tab] = archive.read(path)
    return found


def _attribute(tag: str, name: str) -> str | None:
    match = re.search(rf'\s{name}\s*=\s*"([^"]*)"', tag) or re.search(rf"\s{name}\s*=\s*'([^']*)'", tag)
    return unescape(match.group(1), {"&quot;": '"', "&apos;": "'"}) if match else None


def _one_sheet(book: Any, xml_of: dict[str, bytes], name: str, wanted: str | None) -> Sheet:
    metas = [meta for meta in book.sheets_metadata if meta.typ == SheetTypeEnum.WorkSheet]
    visible = [meta.name for meta in metas if meta.visible == SheetVisibleEnum.Visible]
    notes: list[str] = []
    hidden = [meta.name for meta in metas if meta.name not in visible]
    if hidden:
        notes.append(f"Hidden sheets are not read: {', '.join(hidden)}.")
    if wanted is not None:
        chosen = _by_name(wanted, visible, name)
        sheet = _opened(book, chosen, name)
    else:
        chosen, sheet = _only_filled(book, visible, name)
    rows, merged = _rows(sheet), _merged(sheet)
    if not any(cell != "" for row in rows for cell in row):
        raise InputError.of(name, None, f"sheet '{chosen}' is empty; it needs a heading row and one row a reading")
    xml = xml_of.get(chosen, b"")
    _mark_faults(rows, xml)
    if count := len(_HIDDEN.findall(xml)):
        notes.append(
            counted(count, "hidden or filtered row is read", "hidden or filtered rows are read").rstrip(".")
            + " like the others."
        )
    return Sheet(name=chosen, rows=rows, merged=merged, notes=tuple(notes))


def _by_name(wanted: str, visible: list[str], name: str) -> str:
    for sheet in visible:
        if sheet.casefold() == wanted.strip().casefold():
            return sheet
    raise InputError.of(name, wanted, f"has no sheet '{wanted}'; its sheets are {', '.join(visible)}")


def _opened(book: Any, sheet: str, name: str) -> Any:
    try:
        return book.get_sheet_by_name(sheet)
    except CalamineError:
        raise InputError.of(
            name, None, f"has a damaged sheet '{sheet}'; open it in the spreadsheet and save it again as .xlsx"
        ) from None


def _only_filled(book: Any, visible: list[str], name: str) -> tuple[str, Any]:
    opened = ((sheet, _opened(book, sheet, name)) for sheet in visible)
    filled = {sheet: found for sheet, found in opened if found.end is not None}
    if not filled:
        raise InputError.of(
            name, None, "has no sheet with anything on it; it needs a heading row and one row a reading"
        )
    if len(filled) > 1:
        raise InputError.of(name, None, f"has {len(filled)} sheets ({', '.join(filled)}); say which one is meant")
    return next(iter(filled.items()))


def _rows(sheet: Any) -> list[list[Cell]]:
    """Rows from row 1 on, so that row numbers are those on the screen."""
    rows: list[list[Any]] = sheet.to_python(skip_empty_area=False)
    for row in rows:
        for index, cell in enumerate(row):
            if cell is True or cell is False:
                row[index] = "yes" if cell else "no"
            elif type(cell) is int:
                row[index] = float(cell)
    return rows


def _merged(sheet: Any) -> tuple[Merged, ...]:
    ranges = sheet.merged_cell_ranges or []
    return tuple(Merged(top + 1, left, bottom + 1, right) for (top, left), (bottom, right) in ranges)


def _mark_faults(rows: list[list[Cell]], xml: bytes) -> None:
    """Put a Fault where the sheet holds an error value or a formula without its worked-out value."""
    if b"<f" not in xml and b't="e"' not in xml:
        return
    for match in _CELL.finditer(xml):
        attributes, body = match.group(0).split(b">", 1)[0], match.group(4)
        value = _VALUE.search(body)
        fault: Fault | None = None
        if _TYPE_ERROR.search(attributes):
            text = value.group(1).decode("utf-8", "replace") if value else "#N/A"
            fault = Fault(f"holds the spreadsheet's {text}; put the value right there, or clear the cell", text)
        elif value is None and _FORMULA.search(body):
            fault = Fault(
                "holds a formula that was never worked out; open the file in a spreadsheet, save it, "
                "and give it again",
                "formula",
            )
        if fault is not None:
            _put(rows, int(match.group(2)), column_index(match.group(1).decode()), fault)


def _put(rows: list[list[Cell]], number: int, column: int, cell: Cell) -> None:
    while len(rows) < number:
        rows.append([])
    row = rows[number - 1]
    row.extend([""] * (column + 1 - len(row)))
    row[column] = cell
