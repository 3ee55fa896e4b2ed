"""Which letters the bundled typeface can draw, read from the font file itself.

Text in scripts it lacks (Chinese, Arabic, emoji ...) is set in a font of the computer where there is one; a
letter that no font has is printed as an empty box. Nothing is dropped and nothing stops.
"""

from __future__ import annotations

import struct
from functools import cache
from importlib.resources import files
from typing import Final

REGULAR: Final = "Inter_400Regular.ttf"
_ZERO_WIDTH: Final = frozenset({0x200B, 0x200C, 0x200D, 0x2060})
_PRIVATE: Final = range(0xE000, 0xF900)  # each font means something else by these


@cache
def drawable() -> frozenset[int]:
    """Code points for which Inter has a shape."""
    data = (files("floorwright.draw") / "fonts" / REGULAR).read_bytes()
    return (_code_points(data, _table(data, b"cmap")) | _ZERO_WIDTH) - frozenset(_PRIVATE)


def missing_letters(text: str) -> str:
    """The letters of a text, each once, that the bundled typeface lacks."""
    known = drawable()
    return "".join(sorted({char for char in text if ord(char) not in known}))


def _table(data: bytes, wanted: bytes) -> int:
    """Offset of a table in an OpenType file (OpenType specification, table directory)."""
    (count,) = struct.unpack_from(">H", data, 4)
    for i in range(count):
        tag, _, offset, _ = struct.unpack_from(">4sIII", data, 12 + 16 * i)
        if tag == wanted:
            return int(offset)
    raise ValueError(f"the font has no {wanted.decode()} table")


def _code_points(data: bytes, cmap: int) -> frozenset[int]:
    """Code points of the segmented coverage subtable (OpenType specification, cmap format 12)."""
    (count,) = struct.unpack_from(">H", data, cmap + 2)
    for i in range(count):
        _, _, offset = struct.unpack_from(">HHI", data, cmap + 4 + 8 * i)
        at = cmap + offset
        if struct.unpack_from(">H", data, at)[0] != 12:
            continue
        (groups,) = struct.unpack_from(">I", data, at + 12)
        spans = (struct.unpack_from(">III", data, at + 16 + 12 * k) for k in range(groups))
        return frozenset(code for first, last, _ in spans for code in range(first, last + 1))
    raise ValueError("the font has no format 12 character map")
