"""A small stage for drawn photos: boxes, rods and plates in feet, seen from the same corner, back ones first.

x runs to the lower right, y to the lower left, z up; the corner of the two walls is at 0, 0. The light comes from
the left, so tops are lightest, faces to the left come next, faces to the right are darkest. Tones differ enough
that a picture still reads on a grey printer.
"""

from __future__ import annotations

import io
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from importlib.resources import as_file, files
from typing import Final

from PIL import Image, ImageChops, ImageDraw, ImageFont

Spot = tuple[float, float, float]
Pixel = tuple[float, float]
Colour = tuple[int, int, int]

SIZE: Final = (1280, 960)
FINE: Final = 3  # drawn at three times the size, then made smaller, so that edges are smooth
COLOURS: Final = 128

FLOOR: Final[Colour] = (214, 209, 199)
WALL: Final[Colour] = (236, 231, 221)
DADO: Final[Colour] = (190, 197, 196)
INK: Final[Colour] = (52, 56, 60)
STEEL: Final[Colour] = (139, 152, 163)
DARK: Final[Colour] = (78, 88, 98)
WOOD: Final[Colour] = (203, 169, 116)
BLUE: Final[Colour] = (72, 112, 148)
GREEN: Final[Colour] = (110, 140, 120)
ORANGE: Final[Colour] = (214, 134, 62)
RED: Final[Colour] = (176, 78, 58)
YELLOW: Final[Colour] = (230, 192, 84)
WHITE: Final[Colour] = (246, 244, 238)
SKIN: Final[Colour] = (196, 152, 122)


def shade(colour: Colour, factor: float) -> Colour:
    """The colour lighter (above 1) or darker (below 1)."""
    if factor <= 1:
        return (round(colour[0] * factor), round(colour[1] * factor), round(colour[2] * factor))
    rest = factor - 1
    return (
        round(colour[0] + (255 - colour[0]) * rest),
        round(colour[1] + (255 - colour[1]) * rest),
        round(colour[2] + (255 - colour[2]) * rest),
    )


@dataclass(frozen=True, slots=True)
class Item:
    """One thing on the stage: the block of space that it fills, how it is painted, and what it darkens."""

    low: Spot
    high: Spot
    paint: Callable[[Stage], None]
    shadow: tuple[Spot, ...] = ()


@dataclass(slots=True)
class Stage:
    """What is to be seen, and from where.

    Attributes:
        centre: the spot in the middle of the picture.
        scale: pixels a foot.
    """

    centre: Spot
    scale: float = 46.0
    items: list[Item] = field(default_factory=list)
    _image: Image.Image = field(init=False)
    _pen: ImageDraw.ImageDraw = field(init=False)

    def __post_init__(self) -> None:
        self._image = Image.new("RGB", (SIZE[0] * FINE, SIZE[1] * FINE), FLOOR)
        self._pen = ImageDraw.Draw(self._image)

    # -- where things are seen ----------------------------------------------------------------------

    def at(self, spot: Spot) -> Pixel:
        """The pixel of a spot."""
        x, y, z = (value - middle for value, middle in zip(spot, self.centre, strict=True))
        unit = self.scale * FINE
        across = (x - y) * math.cos(math.pi / 6) * unit
        down = ((x + y) * math.sin(math.pi / 6) - z) * unit
        return (SIZE[0] * FINE / 2 + across, SIZE[1] * FINE / 2 + down)

    # -- painting at once ---------------------------------------------------------------------------

    def face(self, spots: Iterable[Spot], colour: Colour, *, edge: Colour | None = None) -> None:
        """A flat face."""
        pixels = [self.at(spot) for spot in spots]
        self._pen.polygon(pixels, fill=colour)
        if edge is not None:
            self._stroke([*pixels, pixels[0]], edge, 1.6 * FINE)

    def line(self, spots: Iterable[Spot], colour: Colour, feet: float) -> None:
        """A line as wide as so many feet, with round ends."""
        self._stroke([self.at(spot) for spot in spots], colour, feet * self.scale * FINE)

    def disc(self, spot: Spot, feet: float, colour: Colour, *, edge: Colour | None = None) -> None:
        """A ball, seen as a disc."""
        (x, y), r = self.at(spot), feet * self.scale * FINE
        self._pen.ellipse([x - r, y - r, x + r, y + r], fill=colour, outline=edge, width=round(1.6 * FINE))

    def balls(self, places: Iterable[tuple[Spot, float]], colour: Colour, *, edge: Colour | None = None) -> None:
        """The outline around balls, each a spot and its radius in feet, filled."""
        pixels = []
        for spot, feet in places:
            (x, y), r = self.at(spot), feet * self.scale * FINE
            pixels += [(x + r * math.cos(t * math.pi / 12), y + r * math.sin(t * math.pi / 12)) for t in range(24)]
        outline = _outline(pixels)
        self._pen.polygon(outline, fill=colour)
        if edge is not None:
            self._stroke([*outline, outline[0]], edge, 1.4 * FINE)

    def dome(self, spot: Spot, feet: float, colour: Colour, *, edge: Colour) -> None:
        """The upper half of a ball: a cap."""
        (x, y), r = self.at(spot), feet * self.scale * FINE
        frame = [x - r, y - r, x + r, y + r]
        self._pen.chord(frame, 180, 360, fill=colour, outline=edge, width=round(1.4 * FINE))

    def hull(self, spots: Iterable[Spot], colour: Colour, *, edge: Colour | None = None) -> None:
        """The outline around spots, filled."""
        pixels = _outline([self.at(spot) for spot in spots])
        self._pen.polygon(pixels, fill=colour)
        if edge is not None:
            self._stroke([*pixels, pixels[0]], edge, 1.6 * FINE)

    def words(self, text: str, spot: Spot, feet: float, colour: Colour) -> None:
        """Letters so many feet high, painted on a plane that faces left; `spot` is their upper left corner."""
        font = _font(round(feet * self.scale * FINE * 1.4))
        left, top, right, bottom = font.getbbox(text)
        letters = Image.new("L", (int(right - left) + 8, int(bottom - top) + 8), 0)
        ImageDraw.Draw(letters).text((4 - left, 4 - top), text, fill=255, font=font)
        across, slope = math.cos(math.pi / 6), math.tan(math.pi / 6)
        wide, high = letters.size
        frame = (round(wide * across), round(high + slope * wide * across))
        skewed = (1 / across, 0, 0, -slope, 1, 0)
        mask = letters.transform(frame, Image.Transform.AFFINE, skewed, Image.Resampling.BICUBIC)
        x, y = self.at(spot)
        self._image.paste(colour, (round(x), round(y)), mask)

    def _stroke(self, pixels: Sequence[Pixel], colour: Colour, width: float) -> None:
        self._pen.line(list(pixels), fill=colour, width=max(round(width), 1), joint="curve")
        r = width / 2
        if r > 1.5:
            for x, y in (pixels[0], pixels[-1]):
                self._pen.ellipse([x - r, y - r, x + r, y + r], fill=colour)

    # -- things that wait for their turn ------------------------------------------------------------

    def add(self, low: Spot, high: Spot, paint: Callable[[Stage], None], *, shadow: Iterable[Spot] = ()) -> None:
        """Put a thing on the stage."""
        self.items.append(Item(low, high, paint, tuple(shadow)))

    def picture(self) -> bytes:
        """Paint shadows, then all things from back to front; give a PNG."""
        self._shadows()
        for item in _back_to_front(self):
            item.paint(self)
        small = self._image.resize(SIZE, Image.Resampling.LANCZOS)
        out = io.BytesIO()
        small.quantize(COLOURS, Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE).save(out, "PNG", optimize=True)
        return out.getvalue()

    def _shadows(self) -> None:
        mask = Image.new("L", self._image.size, 0)
        pen = ImageDraw.Draw(mask)
        for item in self.items:
            if item.shadow:
                cast = [(x, y, 0.0) for x, y, _ in item.shadow]
                cast += [(x + 0.34 * z, y - 0.12 * z, 0.0) for x, y, z in item.shadow]
                pen.polygon(_outline([self.at(spot) for spot in cast]), fill=255)
        dark = Image.new("RGB", self._image.size, shade(FLOOR, 0.82))
        self._image.paste(
            ImageChops.multiply(self._image, dark.point(lambda v: min(255, round(v * 1.32)))), mask=mask
        )


def _font(pixels: int) -> ImageFont.FreeTypeFont:
    with as_file(files("floorwright.draw") / "fonts" / "Inter_700Bold.ttf") as path:
        return ImageFont.truetype(str(path), pixels)


def _outline(pixels: Sequence[Pixel]) -> list[Pixel]:
    """The convex outline of pixels (Andrew's monotone chain)."""
    ordered = sorted(set(pixels))
    if len(ordered) < 3:
        return ordered

    def chain(points: Iterable[Pixel]) -> list[Pixel]:
        found: list[Pixel] = []
        for p in points:
            while len(found) > 1 and _turn(found[-2], found[-1], p) <= 0:
                found.pop()
            found.append(p)
        return found[:-1]

    return chain(ordered) + chain(reversed(ordered))


def _turn(a: Pixel, b: Pixel, c: Pixel) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


# -- which thing hides which ------------------------------------------------------------------


def _corners(item: Item) -> list[Spot]:
    xs, ys, zs = zip(item.low, item.high, strict=True)
    return [(x, y, z) for x in xs for y in ys for z in zs]


def _may_hide(front: Item, back: Item) -> bool:
    """Whether some part of `front` may hide some part of `back`: it reaches further out on every axis."""
    return all(f > b + 1e-6 for f, b in zip(front.high, back.low, strict=True))


def _back_to_front(stage: Stage) -> list[Item]:
    """Things in the order in which to paint them."""
    items = sorted(stage.items, key=lambda item: sum(item.low) + sum(item.high))
    frames = []
    for item in items:
        pixels = [stage.at(spot) for spot in _corners(item)]
        xs, ys = [p[0] for p in pixels], [p[1] for p in pixels]
        frames.append((min(xs), min(ys), max(xs), max(ys)))
    behind: list[set[int]] = [set() for _ in items]  # what has to be painted before it
    for i, one in enumerate(items):
        for j in range(i):
            a, b = frames[i], frames[j]
            if a[0] >= b[2] or b[0] >= a[2] or a[1] >= b[3] or b[1] >= a[3]:
                continue
            if _may_hide(one, items[j]):
                behind[i].add(j)
            elif _may_hide(items[j], one):
                behind[j].add(i)
    done: list[int] = []
    seen: set[int] = set()

    def visit(i: int) -> None:
        if i in seen:
            return
        seen.add(i)
        for j in sorted(behind[i]):
            visit(j)
        done.append(i)

    for i in range(len(items)):
        visit(i)
    return [items[i] for i in done]
