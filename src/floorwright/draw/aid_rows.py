"""Where dimension lines and their texts go beside a view, so that none crosses another or its text."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from floorwright.draw.aid_dimensions import Measure
from floorwright.draw.ink import text_width

LETTERS: Final = 13.0  # px, at any width of the drawing
ARROW: Final = 7.0  # px
ROW: Final = 22.0  # from one dimension line to the next
FIRST: Final = 20.0  # from the picture to the first line
_AIR: Final = 6.0
_KEPT: Final = 3.0  # between a text and an extension line that passes it


@dataclass(frozen=True, slots=True)
class Line:
    """A dimension line in its place, along one side of a view, in px along that side.

    Attributes:
        measure: what it says.
        row: 0 for the one nearest to the picture.
        low, high: its ends.
        text_at: middle of its text.
        text_long: length of its text.
        inside: whether the text, and the arrows, lie between the ends.
    """

    measure: Measure
    row: int
    low: float
    high: float
    text_at: float
    text_long: float
    inside: bool

    @property
    def reach(self) -> tuple[float, float]:
        """From where to where it takes room, its text and arrows too."""
        half = self.text_long / 2
        arrows = 0.0 if self.inside else 2 * ARROW
        return (
            min(self.low - arrows, self.text_at - half),
            max(self.high + arrows, self.text_at + half),
        )


def rows(found: Sequence[tuple[Measure, float, float]], size: float = LETTERS) -> tuple[Line, ...]:
    """Put dimension lines of one side into rows, the shorter nearer to the picture.

    Args:
        found: each with the ends of its line, in px along the side.
        size: of the letters.
    """
    placed: list[Line] = []
    ordered = sorted(found, key=lambda each: (abs(each[2] - each[1]), each[0].name))
    for number, (measure, a, b) in enumerate(ordered, start=1):
        later = [end for _, *both in ordered[number:] for end in both]
        placed.append(_placed(measure, min(a, b), max(a, b), placed, later, size))
    return tuple(placed)


def _placed(
    measure: Measure, low: float, high: float, placed: Sequence[Line], ends: Sequence[float], size: float
) -> Line:
    long = text_width(measure.text, size)
    half = long / 2
    tries: list[tuple[float, bool]] = []
    # On the left and above, the text lies on the far side of its line, clear of its own extension lines, and may be
    # longer than the line.
    if high - low >= (2 * ARROW if measure.side in ("left", "above") else long) + 2 * ARROW + _AIR:
        tries.append(((low + high) / 2, True))
    tries += [(high + 2 * ARROW + _AIR + half, False), (low - 2 * ARROW - _AIR - half, False)]
    row = 0
    while True:
        for at, inside in tries:
            line = Line(measure, row, low, high, at, long, inside)
            if _free(line, placed, ends):
                return line
        row += 1
        if row > len(placed) + 1:
            # Extension lines stand on every side: the text then lies beyond all of them.
            return Line(measure, row, low, high, max(high, *ends) + _AIR + 2 * ARROW + half, long, inside=False)


def _free(line: Line, placed: Sequence[Line], ends: Sequence[float]) -> bool:
    low, high = line.reach
    for other in placed:
        a, b = other.reach
        if other.row == line.row and low < b + _AIR and a < high + _AIR and not _touch(line, other):
            return False
        # Its own extension lines pass the texts of the rows nearer to the picture.
        if other.row < line.row and any(_in_text(end, other) for end in (line.low, line.high)):
            return False
        # A shorter one put further out would be passed through by what lies nearer; rows keep their order there.
        if other.row > line.row and (_in_text(other.low, line) or _in_text(other.high, line)):
            return False
    # Those that come after it lie further out: their extension lines must not pass its text.
    return not any(_in_text(end, line) for end in ends)


def _touch(one: Line, other: Line) -> bool:
    """Whether two lines stand end to end as a chain, both with text and arrows inside."""
    return one.inside and other.inside and (abs(one.low - other.high) < _KEPT or abs(one.high - other.low) < _KEPT)


def _in_text(end: float, line: Line) -> bool:
    half = line.text_long / 2 + _KEPT
    return line.text_at - half < end < line.text_at + half


def depth_of(lines: Sequence[Line]) -> float:
    """How far out the rows of one side reach from the picture, in px."""
    return 0.0 if not lines else FIRST + ROW * max(line.row for line in lines) + 4.0
