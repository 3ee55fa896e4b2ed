"""A control chart: the values, the centre, the limits, and each signal with a mark and a word."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from floorwright.draw import ink, series
from floorwright.draw.picture import Picture, Size
from floorwright.draw.text import clean, count_text, decimals_for, number_text

DEFAULT_SIZE: Final = Size(532, 190)


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlPoint:
    """One plotted value; `signal` says in a word or two what is unusual about it ("above the limit")."""

    value: float
    signal: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Control:
    """What a control chart shows.

    Attributes:
        measure: what is watched.
        unit: its unit, printed on the axis.
        points: the values in time order.
        centre: the centre line, one number or one a point.
        lower: the lower limit likewise; None where there is none.
        upper: the upper limit likewise; None where there is none.
        baseline: how many points set the limits, if not all of them.
        order: what one step to the right is ("weeks").
        zero: whether zero means something on this axis.
    """

    measure: str
    unit: str
    points: tuple[ControlPoint, ...]
    centre: float | tuple[float, ...]
    lower: float | tuple[float, ...] | None = None
    upper: float | tuple[float, ...] | None = None
    baseline: int | None = None
    order: str = "in time order"
    zero: bool = False


def control_chart(control: Control, *, size: Size = DEFAULT_SIZE) -> Picture:
    """Draw a control chart; a signal is a dark triangle in a ring with its word beside it.

    Raises:
        ValueError: when it holds no points, or a line has not one number a point.
    """
    count = len(control.points)
    if not count:
        raise ValueError("a control chart needs at least one value")
    lines = _lines(control, count)
    values = [p.value for p in control.points]
    decimals = decimals_for(*(level[-1] for _, level in lines))
    words = [f"{name} {number_text(level[-1], decimals)}" for name, level in lines]
    frame = series.frame_for(
        [*values, *(x for _, level in lines for x in level)],
        count=count,
        size=size,
        zero=control.zero,
        unit=control.unit,
        order=control.order,
        line_words=words,
    )
    layers: list[dict[str, Any]] = []
    for (name, level), said in zip(lines, words, strict=True):
        layers += _level(level, name=name, words=f"{said} {control.unit}")
    layers += [series.joined(values), *_points(control)]
    if control.baseline is not None and control.baseline < count:
        layers += series.split(frame, control.baseline, "limits set before")
    layers.append(series.words_at_end(frame, [(lv[-1], said) for (_, lv), said in zip(lines, words, strict=True)]))
    signals = [(i, p.value, p.signal) for i, p in enumerate(control.points, 1) if p.signal]
    levels = {x for _, level in lines for x in level}
    layers += series.words_beside(frame, signals, points=list(enumerate(values, 1)), levels=sorted(levels))
    return series.draw(frame, layers, title=f"Control chart of {clean(control.measure)}", text=_say(control, words))


def _lines(control: Control, count: int) -> list[tuple[str, tuple[float, ...]]]:
    found: list[tuple[str, tuple[float, ...]]] = []
    for name, line in (("upper limit", control.upper), ("average", control.centre), ("lower limit", control.lower)):
        if line is None:
            continue
        level = line if isinstance(line, tuple) else (line,) * count
        if len(level) != count:
            raise ValueError(f"the {name} has {len(level)} numbers for {count} points")
        found.append((name, level))
    return found


def _level(level: Sequence[float], *, name: str, words: str) -> list[dict[str, Any]]:
    """A line that may step: one level stretch for every run of equal numbers."""
    dash, width = ((), 2.0) if name == "average" else ((8, 4), 2.0)
    layers: list[dict[str, Any]] = []
    start = 0
    for i in range(1, len(level) + 1):
        if i == len(level) or level[i] != level[start]:
            layers.append(
                series.line_across(start + 0.5, i + 0.5, level[start], dash=dash, width=width, words=words)
            )
            start = i
    return layers


def _points(control: Control) -> list[dict[str, Any]]:
    plain = [
        (i, p.value, f"{i}: {number_text(p.value)} {control.unit}")
        for i, p in enumerate(control.points, 1)
        if not p.signal
    ]
    signals = [
        (i, p.value, f"{i}: {number_text(p.value)} {control.unit}, signal: {clean(p.signal)}")
        for i, p in enumerate(control.points, 1)
        if p.signal
    ]
    size = 56 if len(control.points) <= 60 else 28
    return [
        *series.marks(plain, colour=ink.AFTER, shape="circle", size=size),
        *series.marks(signals, colour=ink.INK, shape=ink.SIGNAL_SHAPE, size=90, ring=True),
    ]


def _say(control: Control, words: Sequence[str]) -> str:
    signals = [f"point {i}: {clean(p.signal)}" for i, p in enumerate(control.points, 1) if p.signal]
    parts = [
        f"{clean(control.measure)}, in {clean(control.unit)}: {count_text(len(control.points), 'value', 'values')}."
    ]
    parts.append(f"{'; '.join(words).capitalize()}.")
    if not signals:
        parts.append("No signal: nothing here is out of the ordinary.")
    else:
        parts.append(f"{count_text(len(signals), 'signal', 'signals')}: {'; '.join(signals)}.")
    return " ".join(parts)
