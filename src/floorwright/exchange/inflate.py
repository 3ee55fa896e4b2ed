"""Is this archive safe to open? Declared sizes, real sizes and how far it blows up, before anything is parsed."""

from __future__ import annotations

import re
import struct
import zipfile
import zlib
from collections.abc import Iterator
from typing import BinaryIO, Final

from floorwright.basis.errors import InputError

MAX_INFLATED: Final = 1_000_000_000  # bytes of XML: a sheet of a million rows by ten columns has about half
MAX_MEMBER_RATIO: Final = 250  # plain sheets pack 5 to 60 times; only a bomb packs more
_RATIO_FROM: Final = 20_000_000  # a small member may pack as well as it likes
MAX_MEMBERS: Final = 5_000
MAX_CELLS: Final = 30_000_000
_BLOCK: Final = 1 << 20
_REFERENCE: Final = re.compile(rb'<(?:\w+:)?c\s(?:[^<>]*?\s)?r="([A-Z]{1,3})(\d{1,7})"')
_WIDE_REFERENCE: Final = re.compile(rb'\sr="[A-Z]{2,3}\d')


def check_archive(archive: zipfile.ZipFile, raw: BinaryIO, name: str) -> None:
    """Refuse an archive that would fill the memory.

    Args:
        archive: the opened archive.
        raw: the file itself; declared sizes can lie, so every member is inflated once and counted.
        name: for the message.

    Raises:
        InputError: naming what is wrong with it.
    """
    members = archive.infolist()
    if len(members) > MAX_MEMBERS:
        raise _bomb(name, f"it holds {len(members):,} parts")
    if any(member.flag_bits & 1 for member in members):
        raise InputError.of(name, None, "is locked with a password; save it without one and give that file")
    declared = sum(member.file_size for member in members)
    if declared > MAX_INFLATED:
        raise _bomb(name, f"it says it unpacks to {declared / 1e6:,.0f} MB")
    total = 0
    for member in members:
        size = 0
        for block in _inflate(raw, member, name):
            size += len(block)
            total += len(block)
            if total > MAX_INFLATED:
                raise _bomb(name, f"it unpacks to more than {MAX_INFLATED // 1_000_000:,} MB")
            if size > max(_RATIO_FROM, member.compress_size * MAX_MEMBER_RATIO):
                raise _bomb(
                    name, f"its part {member.filename} unpacks to more than {MAX_MEMBER_RATIO} times its size"
                )
        if size != member.file_size:
            raise InputError.of(name, None, "is damaged: a part of it is not as long as it says; save it again")


def _bomb(name: str, what: str) -> InputError:
    return InputError.of(
        name,
        None,
        f"is not opened, because {what}, far more than a sheet of readings needs; "
        "copy the readings into a new workbook, or save the sheet as CSV",
    )


def _inflate(raw: BinaryIO, member: zipfile.ZipInfo, name: str) -> Iterator[bytes]:
    """The member's real bytes, block by block, whatever length the archive declares."""
    raw.seek(member.header_offset)
    header = raw.read(30)
    if len(header) < 30 or not header.startswith(b"PK\x03\x04"):
        raise InputError.of(name, None, "is damaged; open it in the spreadsheet and save it again")
    name_length, extra_length = struct.unpack("<HH", header[26:30])
    raw.seek(name_length + extra_length, 1)
    left = member.compress_size
    if member.compress_type == zipfile.ZIP_STORED:
        while left > 0 and (block := raw.read(min(_BLOCK, left))):
            left -= len(block)
            yield block
        return
    if member.compress_type != zipfile.ZIP_DEFLATED:
        raise InputError.of(name, None, "is packed in a way workbooks are not; save it again as .xlsx")
    engine = zlib.decompressobj(-15)
    try:
        while left > 0 and not engine.eof:
            block = raw.read(min(_BLOCK, left))
            if not block:
                break
            left -= len(block)
            while block:
                yield engine.decompress(block, _BLOCK)
                block = engine.unconsumed_tail
    except zlib.error:
        raise InputError.of(name, None, "is damaged; open it in the spreadsheet and save it again") from None


def check_extent(xml: bytes, name: str, sheet: str) -> None:
    """Refuse a sheet whose farthest cells span an area that would fill the memory, however few they are.

    Raises:
        InputError: naming the sheet and the farthest cell.
    """
    last_row = max(
        (int(number) for number in re.findall(rb'<(?:\w+:)?row\s[^<>]*?\br="(\d{1,9})"', xml)), default=0
    )
    columns = {b"Z"}
    if _WIDE_REFERENCE.search(xml) or not last_row:
        for match in _REFERENCE.finditer(xml):
            columns.add(match.group(1))
            last_row = max(last_row, int(match.group(2)))
    widest = max(columns, key=lambda letters: (len(letters), letters))
    if _width(widest) * last_row > MAX_CELLS:
        raise InputError.of(
            name,
            None,
            f"sheet '{sheet}' has a cell out at {widest.decode()}{last_row}; "
            "delete what is far off the table, or copy the table into a new workbook",
        )


def _width(letters: bytes) -> int:
    index = 0
    for character in letters:
        index = index * 26 + character - 64
    return index
