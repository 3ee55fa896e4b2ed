"""An aid as drawings: from the side, from the front, from above, and at a slant, with its dimensions.

Every view is one SVG with a title and a text that says what it shows. What is nearer is painted over what is
farther; the load is drawn light and dashed. Sizes of letters are the same at any width: a phone gets a narrower
drawing, not a smaller one.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from html import escape
from typing import Final

from floorwright.basis.proposal import Shape
from floorwright.basis.quantity import UnitSystem
from floorwright.draw import ink
from floorwright.draw.aid_dimensions import Measure, Side, extent, measures
from floorwright.draw.aid_look import UV, VIEWS, View, in_order, seen
from floorwright.draw.aid_marks import dimension, floor_line, key, outlines
from floorwright.draw.aid_rows import LETTERS, Line, depth_of, rows
from floorwright.draw.aid_solids import joined, solids_of
from floorwright.draw.picture import Picture
from floorwright.draw.text import clean, shorten

WIDE: Final = 720  # px, for a page on a desk
NARROW: Final = 340  # px, for a phone
_EDGE: Final = 10.0
_HEAD: Final = 30.0  # heading, and once more where what is marked needs a line of its own
_TALLEST: Final = 0.85  # of the width
_STEPS: Final = 40
_SIDES: Final[tuple[Side, ...]] = ("below", "above", "left", "right")


@dataclass(frozen=True, slots=True)
class Placed:
    """A view with its scale: what is drawn, and the room around it.

    Attributes:
        body: the SVG of the view, with the picture's corner (lowest left of what is drawn) at (0, 0).
        width, height: of the drawing of the aid itself, in px.
        left, right, above, below: room that the dimensions take around it.
        text: what it shows.
    """

    body: str
    width: float
    height: float
    left: float
    right: float
    above: float
    below: float
    text: str


def views(
    scene: Sequence[Shape], system: UnitSystem, highlight: str = "", *, width: float = WIDE
) -> dict[str, str]:
    """Four views as SVG by name: side, front, top, iso.

    Args:
        scene: what there is to see.
        system: units of the dimensions.
        highlight: label or part of the bar, wheel or piece that stands out; nothing where no shape has it.
        width: of each drawing in px: `WIDE` or `NARROW`.
    """
    return {name: picture.svg for name, picture in aid_pictures(scene, system, highlight, width=width).items()}


def aid_pictures(
    scene: Sequence[Shape], system: UnitSystem, highlight: str = "", *, width: float = WIDE
) -> Mapping[str, Picture]:
    """The same with the text of each view beside it."""
    return {view.name: _picture(tuple(scene), view, system, highlight, width) for view in VIEWS}


@lru_cache(maxsize=64)
def _picture(scene: tuple[Shape, ...], view: View, system: UnitSystem, highlight: str, width: float) -> Picture:
    box = extent(scene)
    marked = _marked(scene, highlight)
    if box is None:
        return _framed("Nothing to draw yet: the aid has no bars.", "", view, "", width, 2 * _HEAD)
    found = measures(scene, view, system)
    scale = _scale(scene, view, found, width)
    placed = place_view(scene, view, found, scale, highlight=highlight)
    # In the middle of the width, dimensions included.
    room = placed.left + placed.width + placed.right
    head = _HEAD + (22.0 if marked and _key_at(view.title, marked, width)[1] > 18.0 else 0.0)
    x, y = (width - room) / 2 + placed.left, head + placed.above + placed.height
    height = y + placed.below + _EDGE
    body = f'<g transform="translate({x:.1f} {y:.1f})">{placed.body}</g>'
    return _framed(placed.text, body, view, marked, width, height)


def _marked(scene: Sequence[Shape], highlight: str) -> str:
    return highlight if highlight and any(highlight in (each.label, each.part) for each in scene) else ""


def _scale(scene: Sequence[Shape], view: View, found: Sequence[Measure], width: float) -> float:
    """Px per metre at which the view and its dimensions fill the width, not too tall."""
    low, high = picture_box(scene, view)
    across, up = max(high[0] - low[0], 1e-3), max(high[1] - low[1], 1e-3)
    most = min((width - 2 * _EDGE) / across, _TALLEST * width / up)
    # Texts keep their size, and go outside their line where it gets short: the largest scale that fits is the best.
    for step in range(_STEPS):
        scale = most * (1 - step / _STEPS)
        left, right, _, _ = room_beside(dimension_lines(found, low, high, scale), across * scale, up * scale)
        if left + across * scale + right <= width - 2 * _EDGE:
            return scale
    return most / 2


def place_view(
    scene: Sequence[Shape], view: View, found: Sequence[Measure], scale: float, *, highlight: str = ""
) -> Placed:
    """Draw a view at a scale.

    Args:
        scene: what there is to see.
        view: from where.
        found: the dimensions that it is given.
        scale: px per metre.
        highlight: label or part that stands out.
    """
    low, high = picture_box(scene, view)
    across, up = (high[0] - low[0]) * scale, (high[1] - low[1]) * scale

    def at(point: UV) -> UV:
        return (point[0] - low[0]) * scale, (low[1] - point[1]) * scale

    marked = [each for each in scene if highlight and highlight in (each.label, each.part)]
    drawn = in_order([seen(solid, view) for solid in solids_of(joined(scene))])
    parts = [floor_line(at((0.0, 0.0))[1], across)] if view.up[2] == 1.0 else []
    parts += outlines(scene, drawn, view, at)
    # What a check is about lies over everything: it has to be found wherever it is.
    parts += outlines(
        (), in_order([seen(solid, view) for solid in solids_of(joined(marked))]), view, at, marked=True
    )
    lines = dimension_lines(found, low, high, scale)
    parts += [dimension(line, side, at, across, up) for side, several in lines.items() for line in several]
    left, right, above, below = room_beside(lines, across, up)
    return Placed("".join(parts), across, up, left, right, above, below, _told(scene, view, found, marked))


def dimension_lines(found: Sequence[Measure], low: UV, high: UV, scale: float) -> dict[Side, tuple[Line, ...]]:
    """The dimension lines of each side of a view, in px from the lower left corner of the picture."""
    placed: dict[Side, tuple[Line, ...]] = {}
    for side in _SIDES:
        axis = 0 if side in ("below", "above") else 1
        placed[side] = rows(
            [
                (each, (each.start[axis] - low[axis]) * scale, (each.end[axis] - low[axis]) * scale)
                for each in found
                if each.side == side
            ]
        )
    return placed


def picture_box(scene: Sequence[Shape], view: View) -> tuple[UV, UV]:
    """Lowest and highest corner of the picture, in metres; the floor is on it where the view shows one."""
    corners = [view.place(point) for solid in solids_of(scene) for point in solid.points]
    corners += [view.place(point) for shape in scene for point in shape.points_m]
    if view.up[2] == 1.0:
        corners.append((corners[0][0], 0.0))
    us, vs = [u for u, _ in corners], [v for _, v in corners]
    return (min(us), min(vs)), (max(us), max(vs))


def room_beside(
    lines: Mapping[Side, Sequence[Line]], across: float, up: float
) -> tuple[float, float, float, float]:
    """Px that dimensions take left, right, above and below; texts that run past the ends of a side count too."""
    deep = {side: depth_of(several) for side, several in lines.items()}
    level = [line.reach for side in ("below", "above") for line in lines[side]]
    upright = [line.reach for side in ("left", "right") for line in lines[side]]
    return (
        max(deep["left"], *(-low for low, _ in level), 0.0),
        max(deep["right"], *(high - across for _, high in level), 0.0),
        max(deep["above"], *(high - up for _, high in upright), 0.0),
        max(deep["below"], *(-low for low, _ in upright), 0.0),
    )


def _told(scene: Sequence[Shape], view: View, found: Sequence[Measure], marked: Sequence[Shape]) -> str:
    bars = {each.part or each.label for each in scene if each.kind == "bar"}
    wheels = sum(each.kind == "wheel" for each in scene)
    pieces = sum(each.role == "piece" for each in scene)
    parts = [f"{view.title}: a frame of {len(bars)} bars"]
    if wheels:
        parts.append(f"{wheels} wheels")
    if pieces:
        parts.append(f"places for {pieces} loads, dashed" if pieces > 1 else "one load, dashed")
    text = ", ".join(parts) + "."
    if found:
        sizes = "; ".join(f"{each.name} {each.text}" for each in found)
        text += f" {sizes[0].upper()}{sizes[1:]}."
    if marked:
        text += f" Marked: {marked[0].label if len(marked) == 1 else marked[0].part or marked[0].label}."
    return text


def _key_at(title: str, marked: str, width: float) -> UV:
    """Where the name of what is marked goes: beside the heading, or under it where there is no room."""
    beside = _EDGE + ink.text_width(title, LETTERS + 2) + 16
    needed = ink.text_width(clean(marked), LETTERS) + 22 + _EDGE
    return (beside, 18.0) if beside + needed <= width else (_EDGE, 40.0)


def _framed(text: str, body: str, view: View, marked: str, width: float, height: float) -> Picture:
    """The SVG with its heading, title and description; no style and no script, so that any page may hold it."""
    title, text = view.title, clean(text)
    heading = (
        f'<text x="{_EDGE}" y="18" font-size="{LETTERS + 1}" font-weight="600" fill="currentColor">{title}</text>'
    )
    if marked:
        x, y = _key_at(title, marked, width)
        most = max(4, int((width - x - 22 - _EDGE) / (LETTERS * ink.LETTER_WIDTH)))
        heading += key(x, y, shorten(clean(marked), most))
    if not body:
        heading += f'<text x="{_EDGE}" y="42" font-size="{LETTERS}" fill="currentColor">{escape(text)}</text>'
    mark = hashlib.sha256(f"{title}{text}{body}{width}".encode()).hexdigest()[:10]
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}" width="{width:.0f}"'
        f' height="{height:.0f}" role="graphics-document" aria-labelledby="t{mark}" aria-describedby="d{mark}"'
        f' color="{ink.INK}" font-family="{ink.FONT}, sans-serif">'
        f'<title id="t{mark}">{escape(title)}</title><desc id="d{mark}">{escape(text)}</desc>{heading}{body}</svg>'
    )
    return Picture(svg=svg, text=text)
