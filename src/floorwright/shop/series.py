"""From readings to the series that are compared: one value a cycle, set-up apart, odd readings kept in sight.

Foreign elements are left out of the value and counted; a cycle that lacks one of its elements is left out
and named. A time is divided by its driver (seconds a piece, a kilogram, a metre of weld) where the measure
says so and the reading carries the amount.
"""

from __future__ import annotations

import datetime as dt
import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from floorwright.basis.sentence import said
from floorwright.basis.stat.summary import outliers
from floorwright.shop.records import Measure, MeasureKind, Observation, Study

TOTALS: Final = (MeasureKind.COUNTS, MeasureKind.SHARES)
CYCLE_GAP: Final = dt.timedelta(hours=4)
STRATIFY_BY: Final = ("part", "driver", "operator")


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One value of a series, with what it depends on."""

    value: float
    taken_at: dt.datetime
    cycle: int
    part: str = ""
    lot_size: int | None = None
    operator: str = ""
    driver: str = ""
    note: str = ""
    outlier: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """The values of one measure at one moment, in the order in which they were taken.

    Attributes:
        points: values in SI (events per exposure unit for counts, shares for shares).
        events: sum of events or hits, for counts and shares.
        exposure: sum of exposure, looks or pieces.
        left_out: sentences about readings that do not count, and why.
        foreign: readings marked as foreign.
        per: what a time was divided by ("piece"), "" when it was not.
    """

    points: tuple[Point, ...]
    events: float = 0.0
    exposure: float = 0.0
    left_out: tuple[str, ...] = ()
    foreign: tuple[Observation, ...] = field(default=())
    per: str = ""

    @property
    def values(self) -> list[float]:
        """The bare values, in order."""
        return [point.value for point in self.points]

    def labels(self, fields: Sequence[str]) -> list[str]:
        """What each value depends on, for stratifying: "bench slat / W3"."""
        return [" / ".join(str(getattr(point, name)) or "not given" for name in fields) for point in self.points]


def series_of(measure: Measure, study: Study, rows: Iterable[Observation]) -> Series:
    """The series of a measure from the readings of its study, corrected readings already left out."""
    kept: list[Observation] = []
    foreign: list[Observation] = []
    for row in rows:
        (foreign if row.foreign else kept).append(row)
    if measure.kind in TOTALS:
        return _totals(kept, tuple(foreign))
    if measure.kind is MeasureKind.TIMES:
        points, left_out, per = _cycles(measure, study, kept)
    else:
        points, left_out, per = [_point(row, row.value) for row in kept], [], ""
    return Series(points=tuple(_mark_outliers(points)), left_out=tuple(left_out), foreign=tuple(foreign), per=per)


def _point(row: Observation, value: float, note: str = "") -> Point:
    return Point(
        value=value,
        taken_at=row.taken_at,
        cycle=row.cycle,
        part=row.part,
        lot_size=row.lot_size,
        operator=row.operator,
        driver=row.driver,
        note=note or row.note,
    )


def _totals(rows: list[Observation], foreign: tuple[Observation, ...]) -> Series:
    whole = [row for row in rows if row.exposure is not None]
    left_out = [
        said("cycle {cycle}: no exposure was noted", cycle=row.cycle) for row in rows if row.exposure is None
    ]
    return Series(
        points=tuple(_point(row, row.value / (row.exposure or 1.0)) for row in whole),
        events=sum(row.value for row in whole),
        exposure=sum(row.exposure or 0.0 for row in whole),
        left_out=tuple(left_out),
        foreign=foreign,
    )


def _cycles(measure: Measure, study: Study, rows: list[Observation]) -> tuple[list[Point], list[str], str]:
    # A study without elements timed by readings without an element is of the measure's own element.
    own = {measure.element} if study.elements else {measure.element, ""}
    wanted = [
        row
        for row in rows
        if (measure.include_setup or row.work == "run") and (not measure.element or row.element in own)
    ]
    expected = _expected_elements(measure, study) if study.elements else set()
    per = _common_driver(measure, wanted)
    points: list[Point] = []
    left_out: list[str] = []
    if rows and not wanted:
        named = ", ".join(sorted({f"'{row.element}'" for row in rows if row.element})) or said("none")
        what = said("element '{name}'", name=measure.element) if measure.element else said("the run")
        left_out.append(said("no reading is of {what}; the elements are {named}", what=what, named=named))
    for group in _grouped(study, wanted):
        missing = expected - {row.element for row in group}
        if missing:
            left_out.append(
                said(
                    "cycle {cycle} on {day}: no time for {names}",
                    cycle=group[0].cycle,
                    day=f"{group[0].taken_at:%Y-%m-%d}",
                    names=", ".join(sorted(missing)),
                )
            )
            continue
        amount = next((row.driver_amount for row in group if row.driver_amount is not None), None) if per else 1.0
        if amount is None:
            left_out.append(
                said(
                    "cycle {cycle} on {day}: no amount in {per}",
                    cycle=group[0].cycle,
                    day=f"{group[0].taken_at:%Y-%m-%d}",
                    per=per,
                )
            )
            continue
        notes = "; ".join(dict.fromkeys(row.note for row in group if row.note))
        points.append(_point(group[0], sum(row.value for row in group) / amount, notes))
    return points, left_out, per


def _grouped(study: Study, rows: Sequence[Observation]) -> list[list[Observation]]:
    """Readings of one cycle together: same operator, part and number, until an element comes again.

    Cycle numbers start anew every day, and a night shift's cycle may cross midnight: so the day does not
    tell cycles apart, but an element that comes again does, and so does a gap of four hours.
    """
    most = {element.name: math.ceil(element.frequency) for element in study.elements}
    open_groups: dict[tuple[str, str, int, str], list[Observation]] = {}
    groups: list[list[Observation]] = []
    for row in rows:
        # Two devices that time the same work count their cycles each for itself.
        key = (row.operator, row.part, row.cycle, str(row.detail.get("session", "")))
        group = open_groups.get(key)
        if group is not None:
            again = sum(other.element == row.element for other in group) >= most.get(row.element, 1)
            if again or row.taken_at - group[-1].taken_at > CYCLE_GAP:
                group = None
        if group is None:
            group = open_groups[key] = []
            groups.append(group)
        group.append(row)
    return groups


def _expected_elements(measure: Measure, study: Study) -> set[str]:
    """Elements that every cycle has; one that occurs less often than once a cycle may be absent."""
    if measure.element:
        return {measure.element}
    return {
        element.name
        for element in study.elements
        if element.frequency >= 1 and (measure.include_setup or element.work == "run")
    }


def _common_driver(measure: Measure, rows: Sequence[Observation]) -> str:
    drivers = {row.driver for row in rows if row.driver}
    return measure.per if measure.per and drivers == {measure.per} else ""


def _mark_outliers(points: list[Point]) -> list[Point]:
    if len(points) < 4:  # quartiles of fewer say nothing
        return points
    far = set(outliers([point.value for point in points]).beyond_inner)
    return [replace(point, outlier=i in far) for i, point in enumerate(points)]


def fields_that_differ(before: Series, after: Series) -> list[str]:
    """Which of part, driver and operator are not mixed alike before and after (shares apart by over 0.1)."""
    return [name for name in STRATIFY_BY if _mix_differs(before.labels([name]), after.labels([name]))]


def _mix_differs(before: Sequence[str], after: Sequence[str]) -> bool:
    if not before or not after:
        return False
    first, second = Counter(before), Counter(after)
    return any(abs(first[label] / len(before) - second[label] / len(after)) > 0.1 for label in {*before, *after})


def pairs_of(before: Series, after: Series) -> list[tuple[Point, Point]]:
    """Values taken on the same job before and after: same part and same place in its row of cycles."""

    def keyed(series: Series) -> dict[tuple[str, int], Point]:
        seen: dict[str, int] = {}
        table = {}
        for point in series.points:
            seen[point.part] = seen.get(point.part, 0) + 1
            table[point.part, seen[point.part]] = point
        return table

    first, second = keyed(before), keyed(after)
    return [(point, second[key]) for key, point in first.items() if key in second]
