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
        inside: whether the arrows lie between the ends; else the line runs on under its text.
        far: whether the text lies on that side of the line which is away from the picture.
    """

    measure: Measure
    row: int
    low: float
    high: float
    text_at: float
    text_long: float
    inside: bool
    far: bool

    @property
    def strip(self) -> int:
        """The strip that the text lies in: strip k is between row k - 1 and row k."""
        return self.row + self.far

    @property
    def text(self) -> tuple[float, float]:
        """From where to where the text goes."""
        return self.text_at - self.text_long / 2, self.text_at + self.text_long / 2

    @property
    def drawn(self) -> tuple[float, float]:
        """From where to where the line and its arrows go."""
        if self.inside:
            return self.low, self.high
        return min(self.low - 2 * ARROW, self.text[0]), max(self.high + 2 * ARROW, self.text[1])

    @property
    def reach(self) -> tuple[float, float]:
        """From where to where line and text take room."""
        return min(self.drawn[0], self.text[0]), max(self.drawn[1], self.text[1])


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
    measure: Measure, low: float, high: float, placed: Sequence[Line], later: Sequence[float], size: float
) -> Line:
    long = text_width(measure.text, size)
    # A row further out is better than a text beside its line.
    tries = _tries(measure, low, high, long)
    choices = [
        (row + (0.0 if inside else 1.5), row, at, inside, far)
        for row in range(len(placed) + 2)
        for at, inside, far in tries
    ]
    for _, row, at, inside, far in sorted(choices, key=lambda choice: choice[0]):
        line = Line(measure, row, low, high, at, long, inside, far)
        if _free(line, placed, later):
            return line
    # Extension lines stand on every side: the text then lies beyond all of them.
    at = max(high, *later) + _AIR + 2 * ARROW + long / 2
    return Line(measure, len(placed) + 1, low, high, at, long, inside=False, far=_always_far(measure))


def _tries(measure: Measure, low: float, high: float, long: float) -> list[tuple[float, bool, bool]]:
    """Places for a text, best first: in the middle, longer than its line on the far side of it, beside the line."""
    far, middle, half = _always_far(measure), (low + high) / 2, long / 2
    tries = []
    if high - low >= long + 2 * ARROW + _AIR:
        tries.append((middle, True, far))
    elif high - low >= 4 * ARROW:
        # On the far side it is clear of its own extension lines, which end at the dimension line.
        spots = (middle, high - half, low + half) if measure.level else (low + half, middle, high - half)
        tries += [(at, True, True) for at in spots]
    away = 2 * ARROW + _AIR + half
    return [*tries, (high + away, False, far), (low - away, False, far)]


def _always_far(measure: Measure) -> bool:
    """Texts stand above their lines, read from below or from the right: away from what is below or to the right."""
    return measure.side in ("left", "above")


def _free(line: Line, placed: Sequence[Line], later: Sequence[float]) -> bool:
    """Whether it crosses no line, text or extension line; those of `later` may come to pass its text anywhere."""
    for other in placed:
        if other.row == line.row and not _chain(line, other) and _meet(line.drawn, other.drawn, _AIR):
            return False
        if other.strip == line.strip and _meet(line.text, other.text, _AIR):
            return False
        # An extension line passes every strip up to its own row.
        if other.strip <= line.row and _passed(other, (line.low, line.high)):
            return False
        if line.strip <= other.row and _passed(line, (other.low, other.high)):
            return False
    return not _passed(line, later)


def _chain(one: Line, other: Line) -> bool:
    """Whether two lines stand end to end, with their arrows inside."""
    return one.inside and other.inside and (abs(one.low - other.high) < _KEPT or abs(one.high - other.low) < _KEPT)


def _meet(one: tuple[float, float], other: tuple[float, float], air: float) -> bool:
    return one[0] < other[1] + air and other[0] < one[1] + air


def _passed(line: Line, ends: Sequence[float]) -> bool:
    low, high = line.text
    return any(low - _KEPT < end < high + _KEPT for end in ends)


def depth_of(lines: Sequence[Line]) -> float:
    """How far out the rows of one side reach from the picture, with their texts, in px."""
    if not lines:
        return 0.0
    return FIRST + max(ROW * line.row + (LETTERS + 4.0 if line.far else 4.0) for line in lines)
