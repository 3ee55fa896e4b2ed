"""What a study says on its page, as text in the shop's units. Nothing here is split by operator."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from floorwright.basis.quantity import UnitSystem
from floorwright.draw.picture import Picture
from floorwright.draw.run_chart import Run, RunPoint, long_notes, run_chart
from floorwright.report.assemble_numbers import capital
from floorwright.report.fit import true_minus
from floorwright.shop.baseline import Baseline
from floorwright.shop.baseline_words import how_many, legs_text, to_see
from floorwright.shop.records import MeasureKind, Observation, Settings, Study
from floorwright.shop.series import TOTALS
from floorwright.shop.showing import level_text, number_text, unit_of
from floorwright.shop.typed import value_text
from floorwright.web.results_view import NARROW
from floorwright.web.workings import Shown, of_outcome

PAGE_ROWS: Final = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class ElementRow:
    """An element with its mean, spread and normal time a cycle, in seconds."""

    name: str
    readings: int
    mean: str
    spread: str
    normal: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Elements:
    """The elements of the run or of the set-up, normal and standard time, and the working."""

    work: str
    rows: tuple[ElementRow, ...]
    normal: str
    standard: str
    allowance: str
    working: Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingRow:
    """One reading as the table shows it; `state` is "", "foreign", "replaced" or "correction"."""

    key: str
    taken: str
    cycle: int
    element: str
    value: str
    state: str
    note: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What a study says.

    Attributes:
        level, interval: with their unit; "" where there is none.
        count: number of values.
        facts: short labels with what they say.
        elements: of run and set-up.
        legs: the longest walks, as cells of a table.
        run, run_narrow: the values in their order; None for counts and shares, and for fewer than two.
        run_notes: notes too long for the chart.
        workings: of how many more.
    """

    level: str
    interval: str
    count: int
    facts: tuple[tuple[str, str], ...]
    elements: tuple[Elements, ...]
    legs: tuple[tuple[str, ...], ...]
    run: Picture | None
    run_narrow: Picture | None
    run_notes: tuple[str, ...]
    workings: tuple[Shown, ...]


def said_of(found: Baseline, settings: Settings) -> Said:
    """What a study says so far."""
    system = settings.units
    unit, factor = unit_of(found.measure, system, size=abs(found.level or 0))
    interval = ""
    if found.low is not None and found.high is not None:
        interval = f"{number_text(found.low * factor)} to {number_text(found.high * factor)} {unit}"
    run = _run(found, system)
    outcomes = (("How many readings", found.sample), ("To see the smallest change that matters", found.to_see))
    return Said(
        level="" if found.level is None else level_text(found.measure, found.level, system),
        interval=true_minus(interval),
        count=len(found.series.points),
        facts=tuple(_facts(found, system, settings)),
        elements=tuple(_elements(found, settings)),
        legs=() if found.walks is None else tuple(legs_text(found.walks, system)),
        run=None if run is None else run_chart(run),
        run_narrow=None if run is None else run_chart(run, size=NARROW),
        run_notes=() if run is None else long_notes(run),
        workings=tuple(of_outcome(title, outcome, settings) for title, outcome in outcomes if outcome is not None),
    )


def _facts(found: Baseline, system: UnitSystem, settings: Settings) -> Iterator[tuple[str, str]]:
    unit, factor = unit_of(found.measure, system, size=abs(found.level or 0))
    if text := how_many(found):
        yield "How many", capital(text) + "."
    if text := to_see(found, system):
        yield "To see it", capital(text) + "."
    if found.study.record.planned is not None:
        yield "Planned", f"{found.study.record.planned:,} readings were fixed beforehand."
    odd = [point for point in found.series.points if point.outlier]
    if odd:
        told = "; ".join(
            f"cycle {point.cycle}, {number_text(point.value * factor)} {unit}"
            + (f" ({point.note})" if point.note else " (no note: ask why)")
            for point in odd[:8]
        )
        more = f"; and {len(odd) - 8:,} more" if len(odd) > 8 else ""
        yield "Far out", f"{capital(told)}{more}. Shown and kept."
    if count := len(found.series.foreign):
        yield "Foreign", f"{count:,} marked as foreign, kept in sight, left out of the mean."
    if found.series.left_out:
        shown, rest = found.series.left_out[:8], len(found.series.left_out) - 8
        yield "Left out", "; ".join(map(capital, shown)) + (f"; and {rest:,} more." if rest > 0 else ".")


def _run(found: Baseline, system: UnitSystem) -> Run | None:
    points = found.series.points
    if found.measure.kind in TOTALS or len(points) < 2:
        return None
    unit, factor = unit_of(found.measure, system, size=abs(found.level or 0))
    ordered = sorted(point.value * factor for point in points)
    middle = len(ordered) // 2
    median = ordered[middle] if len(ordered) % 2 else (ordered[middle - 1] + ordered[middle]) / 2
    latest = points[-MOST_DRAWN:]
    return Run(
        measure=found.measure.name,
        unit=unit,
        points=tuple(RunPoint(value=p.value * factor, note=p.note if p.outlier else "") for p in latest),
        median=median,
    )


MOST_DRAWN: Final = 400


def _elements(found: Baseline, settings: Settings) -> Iterator[Elements]:
    record = found.study.record
    basis = "of work time" if record.allowance_basis == "work_time" else "of shift time"
    for work, outcome in (("run", found.times), ("set-up", found.setup_times)):
        if outcome is None:
            continue
        results = outcome.results
        yield Elements(
            work=work,
            rows=tuple(
                ElementRow(
                    name=each["name"],
                    readings=int(each["n"]),
                    mean=_seconds(each["mean"]),
                    spread=_seconds(each["sd"]),
                    normal=_seconds(each["normal_time"]),
                )
                for each in results["elements"]
            ),
            normal=_seconds(results["normal_time"]),
            standard=_seconds(results["standard_time"]),
            allowance=f"{100 * record.allowance:g} % {basis}",
            working=of_outcome(f"Standard time, {work}", outcome, settings),
        )


def _seconds(value: Any) -> str:
    return "" if value is None else f"{number_text(value.value_si)} s"


def reading_rows(rows: Sequence[Observation], study: Study, system: UnitSystem, start: int) -> list[ReadingRow]:
    """A page of readings for the table, the latest first; corrected ones stay readable."""
    replaced = {row.replaces for row in rows}
    end = max(len(rows) - start, 0)
    shown = reversed(rows[max(end - PAGE_ROWS, 0) : end])
    return [_reading(row, study, system, replaced=row.key in replaced) for row in shown]


def _reading(row: Observation, study: Study, system: UnitSystem, *, replaced: bool) -> ReadingRow:
    state = "replaced" if replaced else "foreign" if row.foreign else "correction" if row.replaces else ""
    return ReadingRow(
        key=row.key,
        taken=f"{row.taken_at:%Y-%m-%d %H:%M}".removesuffix(" 00:00"),
        cycle=row.cycle,
        element=row.element,
        value=value_text(row, study, system),
        state=state,
        note=row.note,
        reason=row.reason,
    )


DOORS: Final[dict[MeasureKind, tuple[tuple[str, str], ...]]] = {
    MeasureKind.TIMES: (("watch", "Time it"), ("video", "Time it from a video")),
    MeasureKind.COUNTS: (("count", "Count"),),
    MeasureKind.SHARES: (("count", "Count"),),
    MeasureKind.DISTANCE: (("walk", "Follow one person"),),
    MeasureKind.LIFT: (("lift", "Measure a lift"),),
}
"""Ways to take readings of a kind: the end of the address, and what the button says."""
