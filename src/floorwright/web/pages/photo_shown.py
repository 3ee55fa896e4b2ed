"""Photos as pages show them: their size, and what is drawn over them."""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from floorwright.basis.errors import NotFoundError
from floorwright.shop.ports import Shop
from floorwright.shop.records import Mark, Photo

# As on paper, see report.marks: of the longer side, of the stroke, and half the opening of an arrow's head.
STROKE: Final = 1 / 130
LETTERS: Final = 1 / 24
HEAD: Final = 5.0
TURN: Final = math.pi / 6
_sizes: dict[str, tuple[int, int]] = {}  # by content hash, so what it holds never goes stale
_MOST_SIZES = 20_000


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownPhoto:
    """A photo of an improvement as a page shows it.

    Attributes:
        photo: the record.
        width, height: of the picture.
        marks: what is drawn over it, as SVG; "" where nothing is.
        marks_text: the same in words.
    """

    photo: Photo
    width: int
    height: int
    marks: Markup
    marks_text: str


def photos_of(shop: Shop, photos: Sequence[Photo]) -> list[ShownPhoto]:
    """The photos of an improvement; one that was removed for good is left out."""
    found = []
    for photo in photos:
        try:
            width, height = size_of(shop, photo.hash)
        except NotFoundError:
            continue
        found.append(
            ShownPhoto(
                photo=photo,
                width=width,
                height=height,
                marks=marks_svg(photo.marks, width, height),
                marks_text=_in_words(photo.marks),
            )
        )
    return found


def _in_words(marks: Sequence[Mark]) -> str:
    from floorwright.report.marks import marks_text  # with Pillow, which pages without marks do not need

    return marks_text(marks) if marks else ""


def size_of(shop: Shop, hash_: str) -> tuple[int, int]:
    """Width and height of a photo in pixels. Raises NotFoundError."""
    held = _sizes.get(hash_)
    if held is None:
        from PIL import Image  # loaded by those that show photos

        with Image.open(io.BytesIO(shop.photos.read(hash_)), formats=("JPEG",)) as picture:
            held = picture.size
        if len(_sizes) >= _MOST_SIZES:
            _sizes.clear()
        _sizes[hash_] = held
    return held


def marks_svg(marks: Sequence[Mark], width: int, height: int) -> Markup:
    """The marks over a photo as they are on paper: strokes with a white edge, which show on any ground."""
    if not marks:
        return Markup("")
    drawn = Markup("").join(_mark(each, width, height) for each in marks)
    return Markup('<svg class="drawn" viewBox="0 0 {} {}" aria-hidden="true" focusable="false">{}</svg>').format(
        width, height, drawn
    )


def _mark(mark: Mark, width: int, height: int) -> Markup:
    points = [(x * width, y * height) for x, y in mark.points]
    stroke = max(width, height) * STROKE
    shape = {"ring": _ring, "arrow": _arrow, "line": _line}[mark.kind](points, stroke)
    twice = Markup("").join(
        Markup('<path class="{}" stroke-width="{:.1f}" d="{}"/>').format(name, wide, shape)
        for name, wide in (("mark-under", 2.5 * stroke), ("mark-over", stroke))
    )
    return twice + (_label(mark, points, width, height) if mark.label else Markup(""))


def _ring(points: Sequence[tuple[float, float]], _: float) -> str:
    (x1, y1), (x2, y2) = points
    rx, ry = abs(x2 - x1) / 2, abs(y2 - y1) / 2
    left, middle = min(x1, x2), (y1 + y2) / 2
    return (
        f"M{left:.1f},{middle:.1f}a{rx:.1f},{ry:.1f} 0 1,0 {2 * rx:.1f},0a{rx:.1f},{ry:.1f} 0 1,0 {-2 * rx:.1f},0"
    )


def _arrow(points: Sequence[tuple[float, float]], stroke: float) -> str:
    (x1, y1), (x2, y2) = points
    back = math.atan2(y1 - y2, x1 - x2)
    head = min(HEAD * stroke, math.hypot(x2 - x1, y2 - y1))
    ends = [(x2 + head * math.cos(back + turn), y2 + head * math.sin(back + turn)) for turn in (-TURN, TURN)]
    return (
        f"M{x1:.1f},{y1:.1f}L{x2:.1f},{y2:.1f}"
        f"M{ends[0][0]:.1f},{ends[0][1]:.1f}L{x2:.1f},{y2:.1f}L{ends[1][0]:.1f},{ends[1][1]:.1f}"
    )


def _line(points: Sequence[tuple[float, float]], _: float) -> str:
    return "M" + "L".join(f"{x:.1f},{y:.1f}" for x, y in points)


def _label(mark: Mark, points: Sequence[tuple[float, float]], width: int, height: int) -> Markup:
    """The words beside a mark, inside the photo: below a ring, at the tail of an arrow, where a line ends."""
    stroke = max(width, height) * STROKE
    size = min(max(width, height) * LETTERS, width / (0.62 * len(mark.label) + 0.5))
    if mark.kind == "ring":
        x, y = min(x for x, _ in points), max(y for _, y in points) + 1.5 * stroke
    else:
        x, y = points[0] if mark.kind == "arrow" else points[-1]
        x, y = x + 1.5 * stroke, y + 1.5 * stroke
    x = max(0.0, min(x, width - 0.62 * len(mark.label) * size))
    y = max(0.0, min(y, height - 1.3 * size)) + size
    return Markup(
        '<text class="mark-label" stroke-width="{:.1f}" x="{:.1f}" y="{:.1f}" font-size="{:.1f}">{}</text>'
    ).format(1.4 * stroke, x, y, size, mark.label)
