"""Put short labels beside points so that they cover neither a point nor one another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from floorwright.draw.ink import LABEL_SIZE, text_width

Align = Literal["left", "center", "right"]
_GAP = 12.0
_UP = 17.0
_HALF_LINE = LABEL_SIZE * 0.62


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle that is taken, in px from the top left of the plot."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box) -> bool:
        """Whether the two overlap."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def within(self, other: Box) -> bool:
        """Whether it lies wholly inside another."""
        return (
            self.left >= other.left
            and self.right <= other.right
            and self.top >= other.top
            and self.bottom <= other.bottom
        )


@dataclass(frozen=True, slots=True)
class Label:
    """A label where it is to be drawn.

    Attributes:
        text: what it says.
        x: the place its `align` side sits on.
        y: the middle of its line.
        align: the side of the text that sits on `x`.
        point: the place it speaks of.
    """

    text: str
    x: float
    y: float
    align: Align
    point: tuple[float, float]

    @property
    def far(self) -> bool:
        """Whether it needs a line to the point it speaks of."""
        return abs(self.y - self.point[1]) > _UP


def point_box(x: float, y: float, radius: float = 5.0) -> Box:
    """The room a point takes."""
    return Box(x - radius, y - radius, x + radius, y + radius)


def place_labels(
    wanted: Sequence[tuple[float, float, str]], *, taken: Sequence[Box], inside: Box, far: bool = True
) -> tuple[Label, ...]:
    """Labels for points (x, y, text), in order of importance; one that fits nowhere is left out.

    What is left out is still said in the text of the picture. With `far` a label may also stand well off its
    point, which then needs a line to it.
    """
    boxes = list(taken)
    placed: list[Label] = []
    for x, y, text in wanted:
        for label, box in _tries(x, y, text):
            if label.far and not far:
                break
            if box.within(inside) and not any(box.meets(other) for other in boxes):
                placed.append(label)
                boxes.append(box)
                break
    return tuple(placed)


def _tries(x: float, y: float, text: str) -> Iterator[tuple[Label, Box]]:
    """Places for a label: beside the point, over and under it, then further off with a line back to it."""
    width = text_width(text)
    sides: list[tuple[float, float, Align]] = [(_GAP, 0.0, "left"), (0.0, -_UP, "center"), (-_GAP, 0.0, "right")]
    for away in (_UP, 2 * _UP, 3 * _UP, 4 * _UP):
        for dy in (-away, away):
            sides += [(0.0, dy, "center"), (-5.0, dy, "left"), (5.0, dy, "right")]
    for dx, dy, align in sides:
        left = x + dx - {"left": 0.0, "center": width / 2, "right": width}[align]
        box = Box(left, y + dy - _HALF_LINE, left + width, y + dy + _HALF_LINE)
        yield Label(text, x + dx, y + dy, align, (x, y)), box
