"""Does a file have the columns that its kind of study needs?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from floorwright.exchange.choices import Task
from floorwright.shop.records import MeasureKind

_SHAPES: Final[dict[MeasureKind, tuple[tuple[str, ...], ...]]] = {
    MeasureKind.TIMES: (("start", "stop"),),
    MeasureKind.DISTANCE: (("route",),),
    MeasureKind.LIFT: (("load", "horizontal", "vertical", "asymmetry", "frequency", "duration", "coupling"),),
    MeasureKind.SPACE: (("length", "width"),),
    MeasureKind.DENSITY: (("pieces", "area"), ("pieces", "length", "width")),
}
_ASKED: Final = {
    MeasureKind.TIMES: "no times: add a column 'time (s)', or 'start' and 'stop', or one column for each element",
    MeasureKind.COUNTS: "no count: add a column 'events', and 'exposure' for what they were counted over",
    MeasureKind.SHARES: "no hits: add columns 'hits' and 'looks', or one row a look with 'seen' yes or no",
    MeasureKind.DISTANCE: "no distance: add a column 'route' like 'rack > bench 2 > rack', or 'distance (ft)'",
    MeasureKind.LIFT: "not all that a lift needs: load, horizontal, vertical, travel or destination vertical, "
    "asymmetry, frequency, duration and coupling; or a column 'lifting index'",
    MeasureKind.SPACE: "no area: add a column 'area (ft2)', or 'length (ft)' and 'width (ft)'",
    MeasureKind.DENSITY: "no density: add columns 'pieces' and 'area (ft2)'",
    MeasureKind.FORCE: "no force: add a column 'force (lbf)' or 'force (N)'",
    MeasureKind.WEIGHT: "no weight: add a column 'weight (lb)' or 'weight (kg)'",
}


def missing_columns(task: Task) -> Iterator[str]:
    """What the headings lack, as the rest of a sentence that starts with "the headings"."""
    of = task.layout.of
    if of("taken_at") is None and of("date") is None and task.choices.day is None:
        yield "have no date; add a column 'date' with dates like 2026-07-13, or give one day for all readings"
    shapes = _SHAPES.get(task.study.kind, ())
    given = (
        of("value") is not None
        or task.layout.element_times
        or any(all(of(name) for name in shape) for shape in shapes)
    )
    if not given:
        found = ", ".join(column.heading for column in task.layout.columns if column.heading)
        yield f"show {_ASKED[task.study.kind]}" + (f" (found: {found})" if found else "")
