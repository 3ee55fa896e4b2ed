"""Text on a terminal: tables and facts that fit its width, whatever script they are written in."""

from __future__ import annotations

import shutil
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

NARROWEST: Final = 10  # columns that a cell of words keeps
WIDEST: Final = 100  # columns of running text


def room() -> int:
    """Columns of the terminal; 100 where there is none."""
    return max(40, shutil.get_terminal_size((WIDEST, 24)).columns)


def plain(text: str) -> str:
    """Text on one line, without characters that would move the cursor or change colours."""
    flat = "".join(" " if unicodedata.category(c) in ("Cc", "Zl", "Zp", "Cs") else c for c in text)
    return " ".join(flat.split())


def width_of(text: str) -> int:
    """Columns that a text takes in a terminal."""
    return sum(map(_columns, text))


def _columns(character: str) -> int:
    if unicodedata.combining(character) or unicodedata.category(character) in ("Cf", "Mn", "Me"):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1


def wrapped(text: str, width: int) -> list[str]:
    """Text in lines of at most so many columns, broken at blanks, or inside a word that is longer."""
    lines = [""]
    for word in plain(text).split(" "):
        for piece in _pieces(word, width):
            joined = f"{lines[-1]} {piece}" if lines[-1] else piece
            if width_of(joined) <= width:
                lines[-1] = joined
            else:
                lines.append(piece)
    return lines


def _pieces(word: str, width: int) -> Iterator[str]:
    piece, used = "", 0
    for character in word:
        taken = _columns(character)
        if used + taken > width and piece:
            yield piece
            piece, used = "", 0
        piece, used = piece + character, used + taken
    yield piece


def _padded(text: str, width: int, *, right: bool = False) -> str:
    gap = " " * max(0, width - width_of(text))
    return gap + text if right else text + gap


def table(
    headings: Sequence[str],
    rows: Sequence[Sequence[str]],
    *,
    indent: str = "",
    right: str = "",
    wrap: str = "",
) -> str:
    """A plain table that fits the terminal.

    Args:
        headings: of the columns, which are lettered from a.
        rows: their cells.
        indent: what every line begins with.
        right: letters of the columns that are set flush right.
        wrap: letters of the columns whose cells are wrapped first where the table is too wide.
    """
    lines = [[plain(cell) for cell in row] for row in (headings, *rows)]
    natural = [max(width_of(line[i]) for line in lines) for i in range(len(headings))]
    letters = [chr(ord("a") + i) for i in range(len(headings))]
    first = [i for i, letter in enumerate(letters) if letter in wrap]
    widths = _fitted(natural, room() - len(indent) - 2 * (len(headings) - 1), first)
    flush = [letter in right for letter in letters]

    def drawn(line: Sequence[str]) -> Iterator[str]:
        cells = [wrapped(cell, width) for cell, width in zip(line, widths, strict=True)]
        for place in range(max(map(len, cells))):
            parts = [
                _padded(cell[place] if place < len(cell) else "", widths[i], right=flush[i])
                for i, cell in enumerate(cells)
            ]
            yield (indent + "  ".join(parts)).rstrip()

    rule = indent + "  ".join("-" * width for width in widths)
    return "\n".join([*drawn(lines[0]), rule, *(text for line in lines[1:] for text in drawn(line))])


def _fitted(natural: Sequence[int], wanted: int, first: Sequence[int]) -> list[int]:
    """Column widths whose sum fits, taken from the widest of some columns first, then from the widest of all."""
    widths = list(natural)
    for columns in (first, range(len(widths))):
        while sum(widths) > wanted and any(widths[i] > NARROWEST for i in columns):
            widths[max(columns, key=lambda i: widths[i])] -= 1
    return widths


def facts(pairs: Mapping[str, str], *, indent: str = "") -> str:
    """Names and texts, one a line, long texts wrapped under themselves."""
    shown = {name: text for name, text in pairs.items() if plain(text)}
    if not shown:
        return ""
    column = max(width_of(name) for name in shown) + 2
    width = max(20, min(WIDEST, room()) - len(indent) - column)
    lines = []
    for name, text in shown.items():
        first, *more = wrapped(text, width)
        lines.append(indent + _padded(name, column) + first)
        lines += [indent + " " * column + line for line in more]
    return "\n".join(lines)


def paragraph(text: str, *, indent: str = "") -> str:
    """Running text wrapped to the terminal."""
    return "\n".join(indent + line for line in wrapped(text, min(WIDEST, room()) - len(indent)))
