"""Marks drawn over a photo, put into a copy of it for paper: strokes with a white edge, which show on any ground.

In one dark colour, so that a page printed in grey shows them as well.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import cache
from importlib.resources import files
from math import atan2, cos, hypot, pi, sin
from typing import Final

from PIL import Image, ImageDraw, ImageFont

from floorwright.draw.ink import ACCENT
from floorwright.draw.text import clean
from floorwright.shop.records import Mark

_EDGE: Final = "white"
_STROKE: Final = 1 / 130  # of the longer side
_LETTERS: Final = 1 / 24
_HEAD: Final = 5.0  # length of an arrow's head in strokes
_QUALITY: Final = 90

Point = tuple[float, float]


def with_marks(image: bytes, marks: Sequence[Mark]) -> bytes:
    """A copy of a photo, as JPEG, with the marks in it; the photo itself where there are none."""
    if not marks:
        return image
    picture = Image.open(io.BytesIO(image)).convert("RGB")
    longer = max(picture.size)
    stroke = max(2, round(longer * _STROKE))
    brush = ImageDraw.Draw(picture)
    for mark in marks:
        points = [(x * picture.width, y * picture.height) for x, y in mark.points]
        # All white edges lie under all strokes of the mark.
        for width, colour in ((stroke * 2 + stroke // 2, _EDGE), (stroke, ACCENT)):
            _stroke(brush, mark.kind, points, width, stroke, colour)
    for mark in marks:
        if mark.label:
            points = [(x * picture.width, y * picture.height) for x, y in mark.points]
            _write(brush, picture.size, mark, points, stroke)
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=_QUALITY)
    return out.getvalue()


def marks_text(marks: Sequence[Mark]) -> str:
    """The marks in words, for who cannot see them: "Marked: a ring (far rack), an arrow"."""
    named = [
        f"{'an' if mark.kind == 'arrow' else 'a'} {mark.kind}" + (f" ({mark.label})" if mark.label else "")
        for mark in marks
    ]
    return f"Marked: {', '.join(named)}." if named else ""


def _stroke(
    brush: ImageDraw.ImageDraw, kind: str, points: Sequence[Point], width: int, stroke: int, colour: str
) -> None:
    if kind == "ring":
        (x1, y1), (x2, y2) = points
        beyond = width / 2
        corners = (
            min(x1, x2) - beyond,
            min(y1, y2) - beyond,
            max(x1, x2) + beyond,
            max(y1, y2) + beyond,
        )
        brush.ellipse(corners, outline=colour, width=width)
    elif kind == "arrow":
        tail, tip = points
        left, right = _head(tail, tip, _HEAD * stroke)
        for line in ((tail, tip), (left, tip, right)):
            _line(brush, line, width, colour)
    else:
        _line(brush, points, width, colour)


def _line(brush: ImageDraw.ImageDraw, points: Sequence[Point], width: int, colour: str) -> None:
    brush.line(list(points), fill=colour, width=width, joint="curve")
    for x, y in (points[0], points[-1]):
        brush.ellipse((x - width / 2, y - width / 2, x + width / 2, y + width / 2), fill=colour)


def _head(tail: Point, tip: Point, length: float) -> tuple[Point, Point]:
    """The two ends of an arrow's head; no longer than the arrow itself."""
    length = min(length, hypot(tip[0] - tail[0], tip[1] - tail[1]))
    back = atan2(tail[1] - tip[1], tail[0] - tip[0])
    left, right = (
        (tip[0] + length * cos(back + turn), tip[1] + length * sin(back + turn)) for turn in (-pi / 6, pi / 6)
    )
    return left, right


def _write(
    brush: ImageDraw.ImageDraw, size: tuple[int, int], mark: Mark, points: Sequence[Point], stroke: int
) -> None:
    label = clean(mark.label)
    edge = max(2, stroke // 2)
    letters = max(10, round(max(size) * _LETTERS))
    wide = brush.textlength(label, font=_font(letters)) + 2 * edge
    font = _font(max(8, int(letters * min(1.0, size[0] / wide))))
    x, y = _label_at(mark.kind, points, 1.5 * stroke)
    left, top, right, bottom = brush.textbbox((x, y), label, font=font, stroke_width=edge)
    # Where it would leave the picture it is moved inside.
    x -= max(0.0, right - size[0]) or min(0.0, left)
    y -= max(0.0, bottom - size[1]) or min(0.0, top)
    brush.text((x, y), label, font=font, fill=ACCENT, stroke_width=edge, stroke_fill=_EDGE)


def _label_at(kind: str, points: Sequence[Point], away: float) -> Point:
    """Below a ring; at the tail of an arrow, where there is nothing to point at; where a line ends."""
    if kind == "ring":
        return min(x for x, _ in points), max(y for _, y in points) + away
    x, y = points[0] if kind == "arrow" else points[-1]
    return x + away, y + away


@cache
def _font(size: int) -> ImageFont.FreeTypeFont:
    letters = (files("floorwright.draw") / "fonts" / "Inter_700Bold.ttf").read_bytes()
    return ImageFont.truetype(io.BytesIO(letters), size)
