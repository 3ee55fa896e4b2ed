"""A control chart: the values, the centre, the limits, and each signal with a mark and a word."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from floorwright.basis.sentence import Sentence, joined, said, said_n, template
from floorwright.draw import ink, series
from floorwright.draw.picture import Picture, Size
from floorwright.draw.text import Say, clean, decimals_for, number_text

IN_TIME: Final = said("in time order")
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
    order: str = IN_TIME
    zero: bool = False


def control_chart(control: Control, *, size: Size = DEFAULT_SIZE, say: Say = str) -> Picture:
    """Draw a control chart; a signal is a dark triangle in a ring with its word beside it.

    `say` puts its words into another language.

    Raises:
        ValueError: when it holds no points, or a line has not one number a point.
    """
    count = len(control.points)
    if not count:
        raise ValueError("a control chart needs at least one value")
    lines = _lines(control, count)
    values = [p.value for p in control.points]
    decimals = decimals_for(*(line.level[-1] for line in lines))
    unit = say(control.unit)
    words = [say(said(line.words, number=number_text(line.level[-1], decimals))) for line in lines]
    frame = series.frame_for(
        [*values, *(x for line in lines for x in line.level)],
        count=count,
        size=size,
        zero=control.zero,
        unit=unit,
        order=say(control.order),
        line_words=words,
        say=say,
    )
    layers: list[dict[str, Any]] = []
    for line, told in zip(lines, words, strict=True):
        layers += _level(line.level, dash=line.dash, words=f"{told} {unit}")
    layers += [series.joined(values), *_points(control, unit, say)]
    if control.baseline is not None and control.baseline < count:
        layers += series.split(frame, control.baseline, say(said("limits set before")))
    ends = [(line.level[-1], told) for line, told in zip(lines, words, strict=True)]
    layers.append(series.words_at_end(frame, ends))
    signals = [(i, p.value, say(p.signal)) for i, p in enumerate(control.points, 1) if p.signal]
    levels = {x for line in lines for x in line.level}
    layers += series.words_beside(frame, signals, points=list(enumerate(values, 1)), levels=sorted(levels))
    title = say(said("Control chart of {measure}", measure=clean(control.measure)))
    return series.draw(frame, layers, title=title, text=_told(control, words, say))


@dataclass(frozen=True, slots=True)
class _Line:
    """A line across: the template of its words, one number a point, and its dashes."""

    words: str
    level: tuple[float, ...]
    dash: tuple[int, ...]


def _lines(control: Control, count: int) -> list[_Line]:
    found: list[_Line] = []
    for name, words, given, dash in (
        ("upper limit", template("upper limit {number}"), control.upper, (8, 4)),
        ("average", template("average {number}"), control.centre, ()),
        ("lower limit", template("lower limit {number}"), control.lower, (8, 4)),
    ):
        if given is None:
            continue
        level = given if isinstance(given, tuple) else (given,) * count
        if len(level) != count:
            raise ValueError(f"the {name} has {len(level)} numbers for {count} points")
        found.append(_Line(words, level, dash))
    return found


def _level(level: Sequence[float], *, dash: Sequence[int], words: str) -> list[dict[str, Any]]:
    """A line that may step: one level stretch for every run of equal numbers."""
    layers: list[dict[str, Any]] = []
    start = 0
    for i in range(1, len(level) + 1):
        if i == len(level) or level[i] != level[start]:
            layers.append(series.line_across(start + 0.5, i + 0.5, level[start], dash=dash, width=2.0, words=words))
            start = i
    return layers


def _points(control: Control, unit: str, say: Say) -> list[dict[str, Any]]:
    plain: list[tuple[float, float, str]] = []
    signals: list[tuple[float, float, str]] = []
    for i, p in enumerate(control.points, 1):
        words = f"{i}: {number_text(p.value)} {unit}"
        if p.signal:
            told = said("{point}, signal: {signal}", point=words, signal=_signal(p))
            signals.append((i, p.value, say(told)))
        else:
            plain.append((i, p.value, words))
    size = 56 if len(control.points) <= 60 else 28
    return [
        *series.marks(plain, colour=ink.AFTER, shape="circle", size=size),
        *series.marks(signals, colour=ink.INK, shape=ink.SIGNAL_SHAPE, size=90, ring=True),
    ]


def _signal(point: ControlPoint) -> str:
    return point.signal if isinstance(point.signal, Sentence) else clean(point.signal)


def _told(control: Control, words: Sequence[str], say: Say) -> str:
    signals = [said("point {i}: {note}", i=i, note=_signal(p)) for i, p in enumerate(control.points, 1) if p.signal]
    count = said_n("{n} value", "{n} values", len(control.points))
    unit = clean(say(control.unit))
    parts = [
        say(said("{measure}, in {unit}: {count}.", measure=clean(control.measure), unit=unit, count=count)),
        f"{'; '.join(words).capitalize()}.",
    ]
    if not signals:
        parts.append(say(said("No signal: nothing here is out of the ordinary.")))
    else:
        parts.append(
            say(said_n("{n} signal: {which}.", "{n} signals: {which}.", len(signals), which=joined(signals, "; ")))
        )
    return " ".join(parts)
