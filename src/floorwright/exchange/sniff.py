"""What kind of file it is, in which encoding, and what separates its cells."""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections import Counter
from collections.abc import Iterable
from typing import Final, Literal

from floorwright.basis.errors import InputError

FileKind = Literal["text", "zip", "ole"]

_SIGNATURES: Final = (
    (b"\x89PNG", "a picture (PNG)"),
    (b"\xff\xd8\xff", "a picture (JPEG)"),
    (b"GIF8", "a picture (GIF)"),
    (b"II*\x00", "a picture (TIFF)"),
    (b"MM\x00*", "a picture (TIFF)"),
    (b"BM", "a picture (BMP)"),
    (b"%PDF", "a PDF"),
    (b"\x1f\x8b", "a compressed file (gzip)"),
    (b"Rar!", "a compressed file (RAR)"),
    (b"7z\xbc\xaf", "a compressed file (7z)"),
    (b"SQLite format 3", "a database"),
    (b"{\\rtf", "a text document (RTF)"),
    (b"MZ", "a program"),
    (b"\x7fELF", "a program"),
)
_MARKS: Final = (
    (codecs.BOM_UTF8, "utf-8-sig", "UTF-8"),
    (codecs.BOM_UTF32_LE, "utf-32", "UTF-32"),
    (codecs.BOM_UTF32_BE, "utf-32", "UTF-32"),
    (codecs.BOM_UTF16_LE, "utf-16", "UTF-16"),
    (codecs.BOM_UTF16_BE, "utf-16", "UTF-16"),
)
_TEXT_CONTROLS: Final = bytes(set(range(32)) - {9, 10, 12, 13, 27})
_DELIMITERS: Final = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}
WRONG_KIND: Final = "save the table as CSV (UTF-8) or as an Excel workbook (.xlsx) and give that file"


def kind_of(head: bytes, name: str) -> FileKind:
    """Tell a text file from a workbook by its first bytes.

    Raises:
        InputError: when it is a picture or another thing that holds no table.
    """
    if not head:
        raise InputError.of(name, None, "is empty; it needs a heading row and one row for each reading")
    if head.startswith(b"PK\x03\x04"):
        return "zip"
    if head.startswith(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"):
        return "ole"
    found = next((text for mark, text in _SIGNATURES if head.startswith(mark)), None)
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        found = "a picture (WebP)"
    if head[4:8] == b"ftyp":
        found = "a picture or film from a phone"
    if found in ("a picture (BMP)", "a program") and not _binary(head):
        found = None  # a heading may well start with BM or MZ
    if found:
        raise InputError.of(name, None, f"is {found}, not a table; {WRONG_KIND}")
    if re.match(rb"\s*(<!doctype html|<html|<\?xml|<table)", head[:200].lower()):
        raise InputError.of(
            name,
            None,
            "is a web page or XML under another name; open it in a spreadsheet and save it as .xlsx or CSV",
        )
    return "text"


def _binary(sample: bytes) -> bool:
    controls = sum(byte in _TEXT_CONTROLS for byte in sample)
    return controls > max(2, len(sample) // 100)


def encoding_of(blocks: Iterable[bytes], name: str) -> tuple[str, str]:
    """The encoding of a text file as (Python's name, name for people): UTF-8, UTF-16 or CP1252.

    Args:
        blocks: the whole file in pieces.
        name: for the message.

    Raises:
        InputError: when it is no text in any of them.
    """
    pieces = iter(blocks)
    head = next(pieces, b"")
    for mark, codec, label in _MARKS:
        if head.startswith(mark):
            return _checked(head, pieces, codec, label, name)
    if wide := _wide_without_mark(head):
        return _checked(head, pieces, wide, "UTF-16", name)
    if _binary(head[:8192]):
        raise InputError.of(name, None, f"is not text and no workbook either; {WRONG_KIND}")
    utf8 = codecs.getincrementaldecoder("utf-8")()
    western = codecs.getincrementaldecoder("cp1252")()
    is_utf8 = is_western = True
    for block in _with_end(head, pieces):
        if is_utf8:
            is_utf8 = _decodes(utf8, *block)
        if is_western:
            is_western = _decodes(western, *block)
        if not is_utf8 and not is_western:
            break
    if is_utf8:
        return "utf-8", "UTF-8"
    if is_western:
        return "cp1252", "CP1252 (Windows, Western Europe)"
    raise InputError.of(name, None, f"is in an encoding that is neither UTF-8, UTF-16 nor CP1252; {WRONG_KIND}")


def _with_end(head: bytes, pieces: Iterable[bytes]) -> Iterable[tuple[bytes, bool]]:
    yield head, False
    for piece in pieces:
        yield piece, False
    yield b"", True


def _decodes(decoder: codecs.IncrementalDecoder, block: bytes, final: bool) -> bool:
    try:
        decoder.decode(block, final)
    except UnicodeDecodeError:
        return False
    return True


def _checked(head: bytes, pieces: Iterable[bytes], codec: str, label: str, name: str) -> tuple[str, str]:
    decoder = codecs.getincrementaldecoder(codec)()
    for block, final in _with_end(head, pieces):
        if not _decodes(decoder, block, final):
            raise InputError.of(name, None, f"starts as {label} but is damaged further on; {WRONG_KIND}")
    return codec, label


def _wide_without_mark(head: bytes) -> str | None:
    """UTF-16 without its mark shows as zero bytes on one side only (line ends, separators and digits have them)."""
    sample = head[: 8192 - 8192 % 2]
    if b"\x00" not in sample or len(sample) < 2:
        return None
    sample = sample[: len(sample) - len(sample) % 2]
    low, high = sample[0::2].count(0), sample[1::2].count(0)
    enough = len(sample) // 2 // 10
    for codec, here, there in (("utf-16-le", high, low), ("utf-16-be", low, high)):
        if here > enough and there == 0:
            try:
                text = sample.decode(codec, "strict" if len(head) <= 8192 else "ignore")
            except UnicodeDecodeError:
                return None
            return codec if not any(c < " " and c not in "\t\r\n\f" for c in text) else None
    return None


def delimiter_of(sample: str) -> str:
    """What separates the cells: comma, semicolon, tab or bar; a comma when nothing does."""
    best, best_score = ",", (0, 0.0, 0)
    for delimiter in _DELIMITERS:
        score = _score(sample, delimiter)
        if score > best_score:
            best, best_score = delimiter, score
    return best


def _score(sample: str, delimiter: str) -> tuple[int, float, int]:
    """(has a heading of words as wide as the rows, share of rows of that width, width)."""
    try:
        rows = [row for row in csv.reader(io.StringIO(sample, newline=""), delimiter=delimiter) if any(row)]
    except csv.Error:
        return (0, 0.0, 0)
    if not rows:
        return (0, 0.0, 0)
    widths = Counter(len(row) for row in rows)
    width = max(widths, key=lambda w: (widths[w] * (w > 1), w))
    if width < 2:
        return (0, 0.0, 0)
    first = next(row for row in rows if len(row) == width)
    words = sum(bool(re.search(r"[^\W\d_]", cell)) for cell in first)
    heading = words >= (width + 1) // 2 and not any(re.fullmatch(r"\s*[\d.,:;/-]+\s*", cell) for cell in first)
    return (int(heading), widths[width] / len(rows), width)


def delimiter_name(delimiter: str) -> str:
    """The name of a delimiter for people."""
    return _DELIMITERS[delimiter]
