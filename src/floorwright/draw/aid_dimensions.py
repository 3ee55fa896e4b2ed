"""What a drawing of an aid says in numbers: overall sizes, wheels, handle, tiers and slots."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Literal

from floorwright.basis.proposal import Shape
from floorwright.basis.quantity import UnitSystem
from floorwright.draw.aid_lengths import length_text
from floorwright.draw.aid_look import FRONT, ISO, SIDE, TOP, UV, View
from floorwright.draw.aid_solids import XYZ, solid_of

Side = Literal["below", "above", "left", "right"]
SAME_M: Final = 5e-4  # two heights or pitches less than this apart are one
SHOWS_M: Final = (
    0.0254 / 16
)  # the load gets sizes of its own when it sticks out by more than a sixteenth of an inch
MOST_STEPS: Final = 6  # unequal tiers beyond so many are dimensioned from the lowest to the highest


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """A dimension of a view.

    Attributes:
        name: what it measures ("wheelbase").
        start, end: the points that it runs between, in metres on the picture.
        side: side of the picture on which its line lies; level ones lie below or above.
        value_m: the length.
        text: the length in the shop's units, with a remark where it stands for several.
        home: whether a sheet of all views gives it in this view.
    """

    name: str
    start: UV
    end: UV
    side: Side
    value_m: float
    text: str
    home: bool = True

    @property
    def level(self) -> bool:
        """Whether it measures along the picture rather than up."""
        return self.side in ("below", "above")


@dataclass(frozen=True, slots=True)
class Extent:
    """The box of some shapes: lowest and highest corner."""

    low: XYZ
    high: XYZ


def extent(shapes: Iterable[Shape]) -> Extent | None:
    """The box that holds shapes with their real thickness; None where there is nothing."""
    points: list[XYZ] = []
    for shape in shapes:
        if shape.kind == "wheel":
            (x, y, z), (diameter, width) = shape.points_m[0], shape.size_m
            r = diameter / 2
            points += [(x - r, y - width / 2, z - r), (x + r, y + width / 2, z + r)]
        elif (solid := solid_of(shape)) is not None:
            points += solid.points
        else:
            points += shape.points_m
    if not points:
        return None
    lows, highs = (tuple(f(point[i] for point in points) for i in range(3)) for f in (min, max))
    return Extent((lows[0], lows[1], lows[2]), (highs[0], highs[1], highs[2]))


def measures(scene: Sequence[Shape], view: View, system: UnitSystem) -> tuple[Measure, ...]:
    """The dimensions of a view; a view at a slant has none."""
    own = extent(shape for shape in scene if shape.role != "piece")
    whole = extent(scene)
    if whole is None or view.name == ISO.name:
        return ()
    facts = _Facts(scene, view, system)
    # The floor is at 0: heights are told from there even where nothing touches it.
    return tuple(
        each
        for each in (
            *_overall(facts, own or whole, whole),
            *_wheels(facts, own or whole),
            *_handle(facts),
            *_load(facts),
        )
    )


@dataclass(frozen=True, slots=True)
class _Facts:
    scene: Sequence[Shape]
    view: View
    system: UnitSystem

    @property
    def across(self) -> int:
        """Axis of the scene that runs to the right of the picture."""
        return 1 if self.view.name == FRONT.name else 0

    @property
    def upward(self) -> int:
        """Axis that runs up."""
        return 1 if self.view.name == TOP.name else 2

    def measure(self, name: str, start: UV, end: UV, side: Side, *, home: bool = True, remark: str = "") -> Measure:
        level = side in ("below", "above")
        value = abs(end[0] - start[0]) if level else abs(end[1] - start[1])
        text = length_text(value, self.system) + (f" ({remark})" if remark else "")
        return Measure(name=name, start=start, end=end, side=side, value_m=value, text=text, home=home)


def _overall(facts: _Facts, own: Extent, whole: Extent) -> Iterator[Measure]:
    i, j = facts.across, facts.upward
    names = ("length", "width", "height")
    floor = 0.0 if j == 2 else own.low[j]
    # Each size has one view in which the sheet gives it: length from the side, width and height from the front.
    across_home = facts.view.name != TOP.name
    up_home = facts.view.name == FRONT.name
    low, high = own.low, own.high
    yield facts.measure(names[i], (low[i], floor), (high[i], floor), "below", home=across_home)
    yield facts.measure(names[j], (high[i], floor), (high[i], high[j]), "right", home=up_home)
    if max(low[i] - whole.low[i], whole.high[i] - high[i]) > SHOWS_M:
        a, b = whole.low[i], whole.high[i]
        level = _load_level(facts)
        yield facts.measure(
            f"{names[i]} with load", (a, level), (b, level), "below", home=across_home, remark="with load"
        )
    if max(low[j] - whole.low[j], whole.high[j] - high[j]) > SHOWS_M:
        base = 0.0 if j == 2 else whole.low[j]
        yield facts.measure(
            f"{names[j]} with load",
            (whole.high[i], base),
            (whole.high[i], whole.high[j]),
            "right",
            home=up_home,
            remark="with load",
        )


def _load_level(facts: _Facts) -> float:
    """How far up the lowest thing of the load lies, where its extension lines start."""
    box = extent(shape for shape in facts.scene if shape.role == "piece")
    return 0.0 if box is None else box.low[facts.upward]


def _wheels(facts: _Facts, own: Extent) -> Iterator[Measure]:
    wheels = [shape for shape in facts.scene if shape.kind == "wheel"]
    if len(wheels) < 2:
        return
    at = [wheel.points_m[-1] for wheel in wheels]
    i, j = facts.across, facts.upward
    top = facts.view.name == TOP.name
    for axis, side in ((i, "below"), (j, "left")):
        if axis == 2:
            continue
        low, high = min(point[axis] for point in at), max(point[axis] for point in at)
        if high - low < SAME_M:
            continue
        name = ("wheelbase", "track")[axis]
        if side == "below":
            level = own.low[j] if top else 0.0
            yield facts.measure(name, (low, level), (high, level), "below", home=top, remark=name)
        else:
            where = own.low[i]
            yield facts.measure(name, (where, low), (where, high), "left", home=top, remark=name)


def _handle(facts: _Facts) -> Iterator[Measure]:
    bars = [shape for shape in facts.scene if shape.role == "handle" and shape.kind == "bar"]
    if not bars or facts.view.name != SIDE.name:
        return
    end = max((point for bar in bars for point in bar.points_m), key=lambda point: point[2])
    x, _, z = end
    if z > SAME_M:
        side: Side = "left" if x <= 0 else "right"
        yield facts.measure("handle height", (x, 0.0), (x, z), side, remark="handle")


def _load(facts: _Facts) -> Iterator[Measure]:
    """Heights of what is carried and its pitch, up and across."""
    pieces = [shape for shape in facts.scene if shape.role == "piece" and shape.kind == "box"]
    if not pieces:
        return
    i, j = facts.across, facts.upward
    if j == 2:
        levels = _distinct(min(point[2] for point in piece.points_m) for piece in pieces)
        edge = min(point[i] for piece in pieces for point in piece.points_m)
        home = facts.view.name == FRONT.name
        if home:
            yield facts.measure("load height", (edge, 0.0), (edge, levels[0]), "left", remark="load")
            yield from _steps(facts, "tier", levels, "left", edge)
    centres = _distinct((piece.points_m[0][i] + piece.points_m[1][i]) / 2 for piece in pieces)
    if facts.view.name != TOP.name:
        top = max(point[j] for piece in pieces for point in piece.points_m)
        yield from _steps(facts, "slot", centres, "above", top)


def _steps(facts: _Facts, name: str, at: Sequence[float], side: Side, edge: float) -> Iterator[Measure]:
    """Equal steps as one dimension from the first to the last, unequal ones each by itself."""
    if len(at) < 2:
        return

    def from_to(a: float, b: float, what: str, remark: str = "") -> Measure:
        start, end = ((a, edge), (b, edge)) if side in ("below", "above") else ((edge, a), (edge, b))
        return facts.measure(what, start, end, side, remark=remark)

    gaps = [b - a for a, b in pairwise(at)]
    if max(gaps) - min(gaps) < SAME_M:
        pitch = length_text(sum(gaps) / len(gaps), facts.system)
        many = f"{len(gaps)} × {pitch}" if len(gaps) > 1 else ""
        yield from_to(at[0], at[-1], f"{name} pitch", many)
    elif len(gaps) <= MOST_STEPS:
        for number, (a, b) in enumerate(pairwise(at), start=1):
            yield from_to(a, b, f"{name} {number} to {number + 1}")
    else:
        yield from_to(at[0], at[-1], f"{name}s", f"{len(at)} {name}s")


def _distinct(values: Iterable[float]) -> list[float]:
    """Values in order, those that are the same once."""
    found: list[float] = []
    for value in sorted(values):
        if not found or value - found[-1] > SAME_M:
            found.append(value)
    return found
