"""Before against after: every observation, the mean, and the interval of the mean."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np

from floorwright.basis.sentence import Sentence, joined, said, said_n
from floorwright.draw import ink
from floorwright.draw.picture import Picture, Size, chart
from floorwright.draw.place import Box, place_labels, point_box
from floorwright.draw.scale import Scale, axis_words, scale_for, tick_labels
from floorwright.draw.text import Say, clean, decimals_for, number_text

SHOW_EACH_BELOW: Final = 200  # house rule: beyond that, dots run together and a summary says more
DEFAULT_SIZE: Final = Size(346, 178)
_HEAD = 15.0
_LANE_GAP = 8.0
_RADII: Final = (4.4, 3.8, 3.2, 2.7)  # px; the smallest is still seen at arm's length
_EDGE = 10.0  # px kept free at either end, so that no mark is cut off


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One observation.

    Attributes:
        value: in the unit of the chart.
        outlier: far from the rest, kept in the mean.
        foreign: not part of the work studied (an interruption), kept out of the mean.
    """

    value: float
    outlier: bool = False
    foreign: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """One row of the chart.

    Attributes:
        label: `Before` or `After`.
        points: every observation, those kept out of the mean too.
        mean: the mean that was worked out; None where there are too few to say.
        low: lower end of the interval of the mean.
        high: upper end of the interval of the mean.
    """

    label: str
    points: tuple[Point, ...]
    mean: float | None = None
    low: float | None = None
    high: float | None = None


def before_after(
    before: Sample,
    after: Sample | None,
    *,
    measure: str,
    unit: str,
    zero: bool = True,
    size: Size = DEFAULT_SIZE,
    say: Say = str,
) -> Picture:
    """Draw two samples, one above the other, on one axis.

    Every observation is a dot where there are fewer than 200 in all; beyond that a thin line holds nine
    tenths of them, a thick one the middle half, and outliers stay dots. `unit` names the axis. `say` puts the
    words into another language.

    Raises:
        ValueError: when neither sample holds an observation.
    """
    unit = say(unit)
    samples = [replace(s, label=say(s.label)) for s in (before, after) if s is not None and s.points]
    if not samples:
        raise ValueError("a chart needs at least one observation")
    each = sum(len(s.points) for s in samples) < SHOW_EACH_BELOW
    plot = Size(size.width - 2 * _EDGE, size.height - 42)
    values = [p.value for s in samples for p in s.points]
    values += [x for s in samples for x in (s.low, s.high) if x is not None]
    marked = any(p.outlier or p.foreign for s in samples for p in s.points)
    scale = scale_for(values, length=plot.width, zero=zero, room_px=62 if marked else 12)
    decimals = decimals_for(*(x for s in samples for x in (s.mean, s.low, s.high) if x is not None), 0)
    height = plot.height / (2 if after is not None else 1)
    rows = [
        _Row(sample, top=i * height, height=height, second=i > 0 or not before.points, scale=scale, say=say)
        for i, sample in enumerate(samples)
    ]
    radius = min(row.fitting(each=each) for row in rows)
    layers: list[dict[str, Any]] = []
    for row in rows:
        layers += row.layers(plot, decimals=decimals, unit=unit, each=each, radius=radius)
    spec = {
        "padding": {"left": _EDGE, "right": _EDGE, "top": 2, "bottom": 2},
        "encoding": {
            "x": {
                "field": "x",
                "type": "quantitative",
                "scale": {"domain": [scale.low, scale.high], "nice": False, "zero": False},
                "axis": {
                    "title": clean(unit) or None,
                    "description": say(axis_words(clean(unit), scale.low, scale.high)),
                    "grid": False,
                    "tickSize": 5,
                    **tick_labels(scale),
                },
            },
            "y": {
                "field": "y",
                "type": "quantitative",
                "scale": {"domain": [plot.height, 0], "nice": False, "zero": False},
                "axis": None,
            },
        },
        "layer": layers,
    }
    told = _told(samples, measure=clean(measure), unit=clean(unit), decimals=decimals, each=each)
    title = say(said("{measure}: before and after", measure=clean(measure)))
    return chart(spec, size=size, title=title, text=" ".join(map(say, told)))


@dataclass(frozen=True, slots=True)
class _Row:
    """Where one sample goes: headline, dots, and the mean below them."""

    sample: Sample
    top: float
    height: float
    second: bool
    scale: Scale
    say: Say

    @property
    def dots_y(self) -> float:
        return self.top + _HEAD + (self.height - _HEAD - _LANE_GAP - 8) / 2 + 3

    @property
    def mean_y(self) -> float:
        return self.top + self.height - _LANE_GAP - 2

    @property
    def colour(self) -> str:
        return ink.AFTER if self.second else ink.BEFORE

    @property
    def shape(self) -> str:
        return ink.AFTER_SHAPE if self.second else ink.BEFORE_SHAPE

    @property
    def dots_room(self) -> float:
        return self.height - _HEAD - 22

    def dots(self, *, each: bool) -> list[Point]:
        return [p for p in self.sample.points if each or p.outlier]

    def fitting(self, *, each: bool) -> float:
        """The largest radius at which the dots of this row keep clear of one another."""
        px = [self.scale.px(p.value) for p in self.dots(each=each)]
        return next((r for r in _RADII if _clear(px, radius=r, room=self.dots_room)), _RADII[-1])

    def layers(self, plot: Size, *, decimals: int, unit: str, each: bool, radius: float) -> list[dict[str, Any]]:
        found = [self._headline(decimals, unit)]
        found += [] if each else self._summary()
        found += self._dots(plot, decimals=decimals, unit=unit, each=each, radius=radius)
        if self.sample.mean is not None:
            found += self._mean(decimals, unit)
        return found

    def _headline(self, decimals: int, unit: str) -> dict[str, Any]:
        words = self.say(headline(self.sample, decimals))
        return {
            "data": {"values": [{"x": self.scale.low, "y": self.top + 7, "t": words}]},
            "mark": {
                "type": "text",
                "align": "left",
                "baseline": "middle",
                "fontSize": ink.HEAD_SIZE,
                "fontWeight": 600,
                "fill": ink.INK,
            },
            "encoding": {"text": {"field": "t"}, "description": {"value": f"{words}, {unit}"}},
        }

    def _dots(self, plot: Size, *, decimals: int, unit: str, each: bool, radius: float) -> list[dict[str, Any]]:
        points = self.dots(each=each)
        offsets = stacked([self.scale.px(p.value) for p in points], radius=radius, room=self.dots_room)
        rows = [
            {
                "x": p.value,
                "y": self.dots_y + dy,
                "kind": "foreign" if p.foreign else "outlier" if p.outlier else "kept",
                "d": self.say(self._dot_words(p, decimals, unit)),
            }
            for p, dy in zip(points, offsets, strict=True)
        ]
        look = {"size": (2 * radius) ** 2 * (1.25 if self.second else 1.0), "shape": self.shape}
        layers: list[dict[str, Any]] = []
        for kind in ("kept", "outlier", "foreign"):
            data = [r for r in rows if r["kind"] == kind]
            if not data:
                continue
            hollow = kind == "foreign"
            mark = {"type": "point", "filled": not hollow, "opacity": 1 if hollow else 0.85, **look}
            mark |= {"stroke" if hollow else "fill": self.colour, "strokeWidth": 2 if hollow else 0}
            layers.append({"data": {"values": data}, "mark": mark, "encoding": {"description": {"field": "d"}}})
            if kind == "outlier":
                layers.append(self._ring(data))
        labels = self._labels(rows, plot)
        return [*layers, labels] if labels else layers

    def _dot_words(self, point: Point, decimals: int, unit: str) -> Sentence:
        value = f"{number_text(point.value, max(decimals, decimals_for(point.value)))} {unit}"
        parts = {"label": self.sample.label, "value": value}
        if point.foreign:
            return said("{label}: {value}, foreign, kept out of the mean", **parts)
        if point.outlier:
            return said("{label}: {value}, outlier", **parts)
        return said("{label}: {value}", **parts)

    def _ring(self, data: list[dict[str, Any]]) -> dict[str, Any]:
        mark = {
            "type": "point",
            "shape": "circle",
            "size": 200,
            "stroke": ink.INK,
            "strokeWidth": 1.5,
            "filled": False,
        }
        return {"data": {"values": data}, "mark": {**mark, "aria": False, "opacity": 1}}

    def _labels(self, rows: list[dict[str, Any]], plot: Size) -> dict[str, Any] | None:
        names = {"outlier": self.say(said("outlier")), "foreign": self.say(said("foreign")), "kept": ""}
        spots = [(self.scale.px(r["x"]), r["y"], names[r["kind"]]) for r in rows]
        wanted = sorted((s for s in spots if s[2]), key=lambda s: -s[0])
        taken = [point_box(x, y, 6) for x, y, _ in spots]
        head = ink.text_width(self.say(headline(self.sample, 1)), ink.HEAD_SIZE)
        taken.append(Box(0, self.top, head, self.top + _HEAD))
        taken.append(Box(0, self.mean_y - 5, plot.width, self.mean_y + 5))
        row = Box(0, self.top, plot.width, self.top + self.height)
        placed = place_labels(wanted, taken=taken, inside=row, far=False)
        if not placed:
            return None
        data = [{"x": self.scale.value(p.x), "y": p.y, "t": p.text, "a": p.align} for p in placed]
        return {
            "data": {"values": data},
            "mark": {"type": "text", "baseline": "middle", "aria": False, "align": {"expr": "datum.a"}},
            "encoding": {"text": {"field": "t"}},
        }

    def _summary(self) -> list[dict[str, Any]]:
        kept = np.array([p.value for p in self.sample.points if not p.foreign])
        p05, q1, q3, p95 = (float(x) for x in np.quantile(kept, [0.05, 0.25, 0.75, 0.95]))
        most = said("{label}: nine tenths lie between these ends", label=self.sample.label)
        half = said("{label}: the middle half lies between these ends", label=self.sample.label)
        return [
            self._bar(p05, p95, self.dots_y, 5, self.colour, self.say(most)),
            self._bar(q1, q3, self.dots_y, 16, self.colour, self.say(half)),
        ]

    def _mean(self, decimals: int, unit: str) -> list[dict[str, Any]]:
        sample = self.sample
        mean = f"{number_text(sample.mean or 0.0, decimals)} {unit}"
        words = self.say(said("{label}: mean {mean}", label=sample.label, mean=mean))
        layers: list[dict[str, Any]] = []
        if sample.low is not None and sample.high is not None:
            span = said(
                "{mean}, interval {low} to {high}",
                mean=words,
                low=number_text(sample.low, decimals),
                high=number_text(sample.high, decimals),
            )
            layers.append(self._bar(sample.low, sample.high, self.mean_y, ink.THICK, ink.INK, self.say(span)))
        tick = {"type": "tick", "orient": "vertical", "size": 15, "thickness": 4, "color": ink.INK, "opacity": 1}
        data = {"values": [{"x": sample.mean, "y": self.mean_y}]}
        layers.append({"data": data, "mark": tick, "encoding": {"description": {"value": words}}})
        return layers

    def _bar(self, low: float, high: float, y: float, width: float, colour: str, words: str) -> dict[str, Any]:
        return {
            "data": {"values": [{"x": low, "x2": high, "y": y}]},
            "mark": {"type": "rule", "strokeWidth": width, "stroke": colour},
            "encoding": {"x2": {"field": "x2"}, "description": {"value": words}},
        }


def headline(sample: Sample, decimals: int) -> Sentence:
    """The direct label of a row: `Before: mean 62.4 (58.1 to 66.7), 24 seen`."""
    kept = sum(not p.foreign for p in sample.points)
    if sample.mean is None:
        return said_n("{label}: {n} seen", "{label}: {n} seen", kept, label=sample.label)
    return said_n(
        "{label}: {mean}, {n} seen",
        "{label}: {mean}, {n} seen",
        kept,
        label=sample.label,
        mean=_mean(sample, decimals),
    )


def _mean(sample: Sample, decimals: int) -> Sentence:
    mean = number_text(sample.mean or 0.0, decimals)
    if sample.low is None or sample.high is None:
        return said("mean {mean}", mean=mean)
    low, high = number_text(sample.low, decimals), number_text(sample.high, decimals)
    return said("mean {mean} ({low} to {high})", mean=mean, low=low, high=high)


def _clear(px: Sequence[float], *, radius: float, room: float) -> bool:
    """Whether dots of this size overlap by no more than their rims."""
    spots = sorted(zip(px, stacked(px, radius=radius, room=room), strict=True))
    return all(
        math.dist(one, other) >= 1.5 * radius
        for one, other in itertools.combinations(spots, 2)
        if other[0] - one[0] < 2 * radius
    )


def stacked(px: Sequence[float], *, radius: float, room: float) -> list[float]:
    """Offsets that set dots apart where they would cover one another, as near the middle line as they can.

    `room` is the height they may use; where it does not suffice, dots overlap as little as they can.
    """
    reach = max(int((room / 2 - radius) / (radius / 2)), 0)
    steps = sorted((k * radius / 2 for k in range(-reach, reach + 1)), key=abs)
    offsets = [0.0] * len(px)
    placed: list[tuple[float, float]] = []
    for i in sorted(range(len(px)), key=lambda i: px[i]):
        near = [(x, dy) for x, dy in placed if px[i] - x < 2 * radius]
        gaps = [min((math.hypot(px[i] - x, dy - step) for x, dy in near), default=math.inf) for step in steps]
        fits = (step for step, gap in zip(steps, gaps, strict=True) if gap >= 1.9 * radius)
        offsets[i] = next(fits, steps[max(range(len(steps)), key=gaps.__getitem__)])
        placed.append((px[i], offsets[i]))
    return offsets


def _count(values: Sequence[float]) -> Sentence:
    if not values:
        return said_n("{n} observation", "{n} observations", 0)
    return said_n(
        "{n} observation from {low} to {high}",
        "{n} observations from {low} to {high}",
        len(values),
        low=number_text(min(values)),
        high=number_text(max(values)),
    )


def _told(samples: Sequence[Sample], *, measure: str, unit: str, decimals: int, each: bool) -> Iterator[Sentence]:
    """The chart in sentences."""
    yield said("{measure}, in {unit}.", measure=measure, unit=unit) if unit else said("{measure}.", measure=measure)
    for sample in samples:
        values = [p.value for p in sample.points if not p.foreign]
        parts: list[Sentence] = [_count(values)]
        if sample.mean is not None:
            parts.append(_mean(sample, decimals))
        yield said("{label}: {what}.", label=sample.label, what=joined(parts, ", "))
        if outliers := [number_text(p.value) for p in sample.points if p.outlier and not p.foreign]:
            yield said("Outliers, shown ringed and kept in the mean: {which}.", which=", ".join(outliers[:8]))
        if foreign := [number_text(p.value) for p in sample.points if p.foreign]:
            yield said(
                "Foreign elements, shown hollow and kept out of the mean: {which}.", which=", ".join(foreign[:8])
            )
    if not each:
        yield said("Too many to show each: the thin bar holds nine tenths of them, the thick bar the middle half.")
