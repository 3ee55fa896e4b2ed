"""Values in the order they happened, with the median before and after the change."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from floorwright.basis.sentence import said, said_n
from floorwright.draw import ink, series
from floorwright.draw.picture import Picture, Size
from floorwright.draw.text import Say, clean, decimals_for, number_text

ORDER: Final = said("in the order they were timed")
DEFAULT_SIZE: Final = Size(532, 190)


@dataclass(frozen=True, slots=True, kw_only=True)
class RunPoint:
    """One value in time order.

    Attributes:
        value: in the unit of the chart.
        note: a few words that belong to this point ("new helper"), "" for most.
    """

    value: float
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """What a run chart shows.

    Attributes:
        measure: what was measured.
        unit: its unit, printed on the axis.
        points: the values in the order they happened.
        median: median of all points, or of those before the change.
        change_after: how many points lie before the change; None where nothing was changed.
        median_after: median of the points after the change.
        order: what one step to the right is ("baskets in the order they were timed").
        zero: whether zero means something on this axis.
    """

    measure: str
    unit: str
    points: tuple[RunPoint, ...]
    median: float
    change_after: int | None = None
    median_after: float | None = None
    order: str = ORDER
    zero: bool = True


def run_chart(run: Run, *, size: Size = DEFAULT_SIZE, say: Say = str) -> Picture:
    """Draw a run chart; `say` puts its words into another language.

    Raises:
        ValueError: when it holds no points.
    """
    if not run.points:
        raise ValueError("a run chart needs at least one value")
    count = len(run.points)
    first = count if run.change_after is None else run.change_after
    values = [p.value for p in run.points]
    unit = say(run.unit)
    medians = [m for m in (run.median, run.median_after) if m is not None]
    decimals = decimals_for(*medians)
    words = [say(said("median {number}", number=number_text(m, decimals))) for m in medians]
    frame = series.frame_for(
        [*values, *medians],
        count=count,
        size=size,
        zero=run.zero,
        unit=unit,
        order=say(run.order),
        line_words=words,
        say=say,
    )
    layers: list[dict[str, Any]] = [series.joined(values)]
    if run.median_after is None:
        layers.append(_median(0.5, count + 0.5, run.median, f"{words[0]} {unit}", old=False))
    else:
        # The old median goes on past the change, so that the eye sees what moved.
        layers.append(
            _median(
                0.5,
                first + 0.5,
                run.median,
                say(said("{median} {unit} before", median=words[0], unit=unit)),
                old=False,
            )
        )
        layers.append(
            _median(first + 0.5, count + 0.5, run.median, say(said("the median before, carried on")), old=True)
        )
        layers.append(
            _median(
                first + 0.5,
                count + 0.5,
                run.median_after,
                say(said("{median} {unit} after", median=words[1], unit=unit)),
                old=False,
            )
        )
    layers += _points(run, first, unit)
    if run.change_after is not None:
        layers += series.split(frame, first, say(said("change")))
    layers.append(series.words_at_end(frame, list(zip(medians, words, strict=True))))
    noted = [(i, p.value, _label(i, p, say)) for i, p in enumerate(run.points, 1) if p.note]
    layers += series.words_beside(frame, noted, points=list(enumerate(values, 1)), levels=medians)
    title = say(said("{measure} in time order", measure=clean(run.measure)))
    return series.draw(frame, layers, title=title, text=_told(run, first, words, say))


def long_notes(run: Run, *, say: Say = str) -> tuple[str, ...]:
    """The notes too long to stand in the picture, by the number of their point: to be set beside it."""
    return tuple(say(_noted(i, p)) for i, p in enumerate(run.points, 1) if _label(i, p, say) != clean(p.note))


def _noted(position: int, point: RunPoint) -> str:
    return said("Point {i}: {note}.", i=position, note=clean(point.note))


def _label(position: int, point: RunPoint, say: Say) -> str:
    note = clean(point.note)
    return note if len(note) <= series.LONGEST_LABEL else say(said("point {i}", i=position))


def _median(start: float, end: float, value: float, words: str, *, old: bool) -> dict[str, Any]:
    dash = (3, 4) if old else (9, 4)
    return series.line_across(start, end, value, dash=dash, width=1.25 if old else 2.5, words=words)


def _points(run: Run, first: int, unit: str) -> list[dict[str, Any]]:
    size = 60 if len(run.points) <= 60 else 30
    layers: list[dict[str, Any]] = []
    for after in (False, True):
        for noted in (False, True):
            found = [
                (i, p.value, f"{i}: {number_text(p.value)} {unit}" + (f", {clean(p.note)}" if p.note else ""))
                for i, p in enumerate(run.points, 1)
                if (i > first) is after and bool(p.note) is noted
            ]
            layers += series.marks(
                found,
                colour=ink.AFTER if after else ink.BEFORE,
                shape=ink.AFTER_SHAPE if after else ink.BEFORE_SHAPE,
                size=size * (1.25 if after else 1.0),
                ring=noted,
            )
    return layers


def _told(run: Run, first: int, medians: list[str], say: Say) -> str:
    count = said_n("{n} value", "{n} values", len(run.points))
    parts = [
        say(
            said(
                "{measure}, in {unit}: {count}.", measure=clean(run.measure), unit=clean(say(run.unit)), count=count
            )
        )
    ]
    if run.median_after is None:
        parts.append(say(said("The {median}.", median=medians[0])))
    else:
        change = said(
            "Before the change, points 1 to {first}: {median}. After it: {later}.",
            first=first,
            median=medians[0],
            later=medians[1],
        )
        parts.append(say(change))
    parts += [say(_noted(i, p)) for i, p in enumerate(run.points, 1) if p.note]
    return " ".join(parts)
