"""The four views of an aid on one sheet: three to one standard scale in third-angle projection, one at a slant."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from html import escape
from typing import Final

from floorwright.basis.proposal import Shape
from floorwright.basis.quantity import UnitSystem
from floorwright.draw import ink
from floorwright.draw.aid_dimensions import extent, measures
from floorwright.draw.aid_look import FRONT, ISO, SIDE, TOP, UV
from floorwright.draw.aid_rows import LETTERS
from floorwright.draw.aid_views import Placed, picture_box, place_view
from floorwright.draw.picture import Picture, Size

POINTS_PER_M: Final = 72 / 0.0254  # on paper one px is one point
SCALES: Final[Mapping[UnitSystem, tuple[int, ...]]] = {
    # Metric ones after ISO 5455, with steps between that are common; those in inches: common practice, no source.
    "us": (1, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 24, 28, 32, 36, 40, 48, 64, 96, 144),
    "si": (1, 2, 5, 10, 15, 20, 25, 30, 40, 50, 75, 100, 200),
}
_SHRUNK: Final = 0.7  # of the letters of a screen, which are 13 px; 9 points read well on paper
_GAP: Final = 26.0
_HEAD: Final = 18.0


@dataclass(frozen=True, slots=True)
class Sheet:
    """The views on one sheet: the picture, and the scale that it is drawn to ("1:16")."""

    picture: Picture
    scale: str


def aid_sheet(scene: Sequence[Shape], system: UnitSystem, size: Size) -> Sheet:
    """Draw three views to the largest standard scale at which they fit, and the slanted one as large as it can be.

    Args:
        scene: what there is to see.
        system: units of the dimensions.
        size: of the picture, in points on paper.
    """
    if extent(scene) is None:
        text = "Nothing to draw yet: the aid has no bars."
        return Sheet(_whole(f'<text x="10" y="30" font-size="13">{text}</text>', text, size), "")
    inner = Size(size.width / _SHRUNK, size.height / _SHRUNK)
    views: dict[str, Placed] = {}
    for ratio in SCALES[system]:
        views = _views(scene, system, POINTS_PER_M / _SHRUNK / ratio)
        corners, needed, free = _arranged(views, inner)
        if needed.width <= inner.width and needed.height <= inner.height:
            break
    views["iso"] = iso = _slanted(scene, free.size)
    corners["iso"] = (free.left + (free.size.width - iso.width) / 2, free.top + iso.height)
    left, top = max(0.0, (inner.width - needed.width) / 2), max(0.0, (inner.height - needed.height) / 2)
    titles = {view.name: view.title for view in (SIDE, FRONT, TOP)} | {"iso": f"{ISO.title}, not to scale"}
    parts = []
    for name, placed in views.items():
        x, y = corners[name][0] + left, corners[name][1] + top
        heading = y - placed.height - placed.above - 8
        parts.append(
            f'<g transform="translate({x:.1f} {y:.1f})">{placed.body}</g>'
            f'<text x="{x - placed.left:.1f}" y="{heading:.1f}" font-size="{LETTERS:g}" font-weight="600"'
            f' fill="currentColor">{escape(titles[name])}</text>'
        )
    body = f'<g transform="scale({_SHRUNK})">{"".join(parts)}</g>'
    text = " ".join(placed.text for placed in views.values())
    return Sheet(_whole(body, text, size), f"1:{ratio}")


def _views(scene: Sequence[Shape], system: UnitSystem, scale: float) -> dict[str, Placed]:
    """The views with those dimensions that no other view gives."""
    return {
        view.name: place_view(scene, view, [each for each in measures(scene, view, system) if each.home], scale)
        for view in (TOP, SIDE, FRONT)
    }


def _slanted(scene: Sequence[Shape], room: Size) -> Placed:
    """The slanted view, as large as there is room for it."""
    low, high = picture_box(scene, ISO)
    scale = min(room.width / max(high[0] - low[0], 1e-3), room.height / max(high[1] - low[1], 1e-3))
    return place_view(scene, ISO, (), scale)


@dataclass(frozen=True, slots=True)
class _Free:
    """Room for the slanted view."""

    left: float
    top: float
    size: Size


def _arranged(views: Mapping[str, Placed], inner: Size) -> tuple[dict[str, UV], Size, _Free]:
    """Lower left corner of each view: from above over from the side, from the front to the right of it.

    What is left over the view from the front is for the slanted one.
    """
    side, front, top = (views[view.name] for view in (SIDE, FRONT, TOP))
    x = max(side.left, top.left)
    second = x + max(side.width + side.right, top.width + top.right) + _GAP + front.left
    y = _HEAD + top.above + top.height
    low = y + top.below + _GAP + _HEAD + max(side.above + side.height, front.above + front.height)
    corners: dict[str, UV] = {"top": (x, y), "side": (x, low), "front": (second, low)}
    needed = Size(second + front.width + front.right, low + max(side.below, front.below) + 8)
    left = second - front.left
    bottom = low - front.height - front.above - _HEAD - _GAP
    spare = max(0.0, (inner.width - needed.width) / 2)  # to the right of views that stand in the middle
    room = Size(max(needed.width + spare - left, 40.0), max(bottom - _HEAD, 40.0))
    return corners, needed, _Free(left, _HEAD, room)


def _whole(body: str, text: str, size: Size) -> Picture:
    mark = sha256(f"{text}{body}".encode()).hexdigest()[:10]
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size.width:.0f} {size.height:.0f}"'
        f' width="{size.width:.0f}" height="{size.height:.0f}" role="graphics-document"'
        f' aria-labelledby="t{mark}" aria-describedby="d{mark}" color="{ink.INK}"'
        f' font-family="{ink.FONT}, sans-serif">'
        f'<title id="t{mark}">Four views</title><desc id="d{mark}">{escape(text)}</desc>{body}</svg>'
    )
    return Picture(svg=svg, text=text)
