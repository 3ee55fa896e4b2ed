"""What the charts of values in time order share: the frame, the lines across it, the labels beside points."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from floorwright.basis.sentence import said
from floorwright.draw import ink
from floorwright.draw.picture import Picture, Size, chart
from floorwright.draw.place import Box, place_labels, point_box
from floorwright.draw.scale import Scale, axis_words, scale_for, tick_labels
from floorwright.draw.text import Say, clean, shorten

_LEFT: Final = 46.0
_TOP: Final = 24.0
_BOTTOM: Final = 38.0
_RING: Final = 190
LONGEST_LABEL: Final = 28  # letters beside a point; more would run across the values


@dataclass(frozen=True, slots=True)
class Frame:
    """The plot of a series: `count` points across, `scale` up, and the words on its axes."""

    count: int
    scale: Scale
    size: Size
    right: float
    unit: str
    order: str
    say: Say

    @property
    def plot(self) -> Size:
        """The part of the picture in which points lie."""
        return Size(self.size.width - _LEFT - self.right, self.size.height - _TOP - _BOTTOM)

    def x_px(self, position: float) -> float:
        """Where the point at a position, counted from 1, lies across."""
        return (position - 0.5) / self.count * self.plot.width

    def y_px(self, value: float) -> float:
        """Where a value lies, from the top."""
        return self.plot.height - self.scale.px(value)

    def to_data(self, x: float, y: float) -> tuple[float, float]:
        """Position and value at a place of the plot."""
        return x / self.plot.width * self.count + 0.5, self.scale.value(self.plot.height - y)


def frame_for(
    values: Sequence[float],
    *,
    count: int,
    size: Size,
    zero: bool,
    unit: str,
    order: str,
    line_words: Sequence[str],
    say: Say,
) -> Frame:
    """A frame that holds the values and leaves room at the right for the words of its lines.

    `unit`, `order` and `line_words` are in the language of the picture already; `say` says the rest in it.
    """
    right = max((ink.text_width(words) for words in line_words), default=0.0) + 12
    right = min(right, size.width * 0.35)
    scale = scale_for(values, length=size.height - _TOP - _BOTTOM, zero=zero, room_px=10, most_ticks=4)
    return Frame(count=count, scale=scale, size=size, right=right, unit=clean(unit), order=clean(order), say=say)


def draw(frame: Frame, layers: Sequence[Mapping[str, Any]], *, title: str, text: str) -> Picture:
    """The frame with its layers as a picture."""
    count = frame.count
    step = max(1, -(-count // 10))
    ticks = [i for i in range(1, count + 1) if count <= 10 or i % step == 0 or i == 1]
    spec = {
        # The plot has a fixed place, so that labels can be put to the pixel.
        "autosize": {"type": "none"},
        "padding": {"left": _LEFT, "right": frame.right, "top": _TOP, "bottom": _BOTTOM},
        "width": frame.plot.width,
        "height": frame.plot.height,
        "encoding": {
            "x": {
                "field": "x",
                "type": "quantitative",
                "scale": {"domain": [0.5, count + 0.5], "nice": False, "zero": False},
                "axis": {
                    "title": frame.order,
                    "description": frame.say(axis_words(frame.order, 1, count)),
                    "grid": False,
                    "values": ticks,
                    "format": "d",
                    "tickSize": 4,
                    "labelFlush": False,
                },
            },
            "y": {
                "field": "y",
                "type": "quantitative",
                "scale": {"domain": [frame.scale.low, frame.scale.high], "nice": False, "zero": False},
                "axis": {
                    "title": frame.unit or None,
                    "description": frame.say(axis_words(frame.unit, frame.scale.low, frame.scale.high)),
                    "titleAngle": 0,
                    "titleAlign": "left",
                    "titleAnchor": "end",
                    "titleBaseline": "bottom",
                    "titleX": -_LEFT + 4,
                    "titleY": -9,
                    "grid": False,
                    "tickSize": 4,
                    **tick_labels(frame.scale),
                },
            },
        },
        "layer": list(layers),
    }
    return chart(spec, size=frame.size, title=title, text=text)


def joined(values: Sequence[float]) -> dict[str, Any]:
    """A thin line through the values in their order; it carries no words of its own."""
    data = [{"x": i, "y": value} for i, value in enumerate(values, 1)]
    mark = {"type": "line", "stroke": ink.SOFT_INK, "strokeWidth": 1.25, "aria": False}
    return {"data": {"values": data}, "mark": mark}


def marks(
    points: Sequence[tuple[float, float, str]], *, colour: str, shape: str, size: float, ring: bool = False
) -> list[dict[str, Any]]:
    """Points (position, value, words), each with its words for a screen reader; ringed where they stand out."""
    if not points:
        return []
    data = {"values": [{"x": x, "y": y, "d": words} for x, y, words in points]}
    mark = {"type": "point", "filled": True, "opacity": 1, "fill": colour, "shape": shape, "size": size}
    layers: list[dict[str, Any]] = [
        {"data": data, "mark": {**mark, "strokeWidth": 0}, "encoding": {"description": {"field": "d"}}}
    ]
    if ring:
        around = {"type": "point", "shape": "circle", "size": _RING, "filled": False, "stroke": ink.INK}
        layers.append({"data": data, "mark": {**around, "strokeWidth": 1.5, "opacity": 1, "aria": False}})
    return layers


def line_across(
    start: float, end: float, value: float, *, dash: Sequence[int], width: float, words: str
) -> dict[str, Any]:
    """A level line between two positions."""
    data = {"values": [{"x": start, "x2": end, "y": value}]}
    mark = {"type": "rule", "stroke": ink.INK, "strokeWidth": width, "strokeDash": list(dash)}
    return {"data": data, "mark": mark, "encoding": {"x2": {"field": "x2"}, "description": {"value": words}}}


def words_at_end(frame: Frame, lines: Sequence[tuple[float, str]]) -> dict[str, Any]:
    """The words of level lines, right of the plot, pushed apart where lines lie close together."""
    pitch = ink.LABEL_SIZE * 1.25
    wanted = sorted((frame.y_px(value), words) for value, words in lines)
    spots: list[float] = []
    for y, _ in wanted:
        spots.append(max(y, spots[-1] + pitch) if spots else y)
    overflow = max(spots[-1] - frame.plot.height - 4, 0.0) if spots else 0.0
    data = []
    for y, (_, words) in zip(spots, wanted, strict=True):
        at_x, at_y = frame.to_data(frame.plot.width + 8, y - overflow)
        data.append({"x": at_x, "y": at_y, "t": words})
    mark = {"type": "text", "align": "left", "baseline": "middle", "fontWeight": 600, "aria": False}
    return {"data": {"values": data}, "mark": mark, "encoding": {"text": {"field": "t"}}}


def words_beside(
    frame: Frame,
    wanted: Sequence[tuple[float, float, str]],
    *,
    points: Sequence[tuple[float, float]],
    levels: Sequence[float],
) -> list[dict[str, Any]]:
    """Short words beside points (position, value, words), clear of every point and of the lines at `levels`."""
    spots = [
        (frame.x_px(x), frame.y_px(y), shorten(clean(words), LONGEST_LABEL))
        for x, y, words in wanted
        if clean(words)
    ]
    taken: list[Box] = [point_box(frame.x_px(x), frame.y_px(y), 5) for x, y in points]
    level_px = [frame.y_px(level) for level in levels]
    taken += [Box(0, y - 1, frame.plot.width, y + 1) for y in level_px]
    placed = place_labels(spots, taken=taken, inside=Box(0, 0, frame.plot.width, frame.plot.height))
    if not placed:
        return []
    data, leaders = [], []
    for label in placed:
        x, y = frame.to_data(label.x, label.y)
        data.append({"x": x, "y": y, "t": label.text, "a": label.align})
        if label.far:
            toward = 7 if label.y > label.point[1] else -7
            at, near = frame.to_data(label.point[0], label.y - toward)
            leaders.append({"x": at, "y": near, "y2": frame.to_data(label.point[0], label.point[1] + toward)[1]})
    mark = {"type": "text", "baseline": "middle", "align": {"expr": "datum.a"}, "aria": False}
    layers: list[dict[str, Any]] = [{"data": {"values": data}, "mark": mark, "encoding": {"text": {"field": "t"}}}]
    if leaders:
        line = {"type": "rule", "stroke": ink.INK, "strokeWidth": 1, "aria": False}
        layers.append({"data": {"values": leaders}, "mark": line, "encoding": {"y2": {"field": "y2"}}})
    return layers


def split(frame: Frame, after_position: int, words: str) -> list[dict[str, Any]]:
    """An upright line between two points, with a word on top."""
    x = after_position + 0.5
    told = frame.say(said("{words} after point {i}", words=words, i=after_position))
    rule = {
        "data": {"values": [{"x": x, "y": frame.scale.low, "y2": frame.scale.high}]},
        "mark": {"type": "rule", "stroke": ink.INK, "strokeWidth": 1.5, "strokeDash": [2, 3]},
        "encoding": {"y2": {"field": "y2"}, "description": {"value": told}},
    }
    label = {
        "data": {"values": [{"x": x, "y": frame.scale.high, "t": words}]},
        "mark": {"type": "text", "baseline": "bottom", "dy": -3, "fontWeight": 600, "aria": False},
        "encoding": {"text": {"field": "t"}},
    }
    return [rule, label]
