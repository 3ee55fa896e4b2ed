"""What a study says on its page, as text in the shop's units. Nothing here is split by operator."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from floorwright.basis.quantity import UnitSystem
from floorwright.basis.sentence import capital, said, said_n
from floorwright.draw.picture import Picture
from floorwright.draw.run_chart import Run, RunPoint, long_notes, run_chart
from floorwright.report.fit import true_minus
from floorwright.shop.baseline import WHOLE_CYCLE, Baseline
from floorwright.shop.baseline_words import how_many, legs_text, to_see
from floorwright.shop.records import MeasureKind, Observation, Settings, Study
from floorwright.shop.series import TOTALS, Point
from floorwright.shop.showing import level_text, number_text, unit_of
from floorwright.shop.typed import value_text
from floorwright.web import words
from floorwright.web.results_view import NARROW
from floorwright.web.words import N_
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

    title: str
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
        interval = words.said(
            said(
                "{low} to {high} {unit}",
                low=number_text(found.low * factor),
                high=number_text(found.high * factor),
                unit=unit,
            )
        )
    run = _run(found, system)
    outcomes = (
        (N_("How many readings"), found.sample),
        (N_("To see the smallest change that matters"), found.to_see),
    )
    return Said(
        level="" if found.level is None else words.said(level_text(found.measure, found.level, system)),
        interval=true_minus(interval),
        count=len(found.series.points),
        facts=tuple(_facts(found, system)),
        elements=tuple(_elements(found, settings)),
        legs=() if found.walks is None else tuple(legs_text(found.walks, system)),
        run=None if run is None else run_chart(run, say=words.said),
        run_narrow=None if run is None else run_chart(run, size=NARROW, say=words.said),
        run_notes=() if run is None else long_notes(run, say=words.said),
        workings=tuple(
            of_outcome(words.gettext(title), outcome, settings)
            for title, outcome in outcomes
            if outcome is not None
        ),
    )


def _facts(found: Baseline, system: UnitSystem) -> Iterator[tuple[str, str]]:
    if text := how_many(found):
        yield words.gettext(N_("How many")), _sentence(text)
    if text := to_see(found, system):
        yield words.gettext(N_("To see it")), _sentence(text)
    if found.study.record.planned is not None:
        planned = said("{n} readings were fixed beforehand", n=f"{found.study.record.planned:,}")
        yield words.gettext(N_("Planned")), _sentence(planned)
    if odd := [_odd(found, point, system) for point in found.series.points if point.outlier]:
        kept = words.gettext("Shown and kept.")
        yield words.gettext(N_("Far out")), f"{_sentence(*odd)} {kept}"
    if count := len(found.series.foreign):
        foreign = said_n(
            "{n} marked as foreign, kept in sight, left out of the mean",
            "{n} marked as foreign, kept in sight, left out of the mean",
            count,
        )
        yield words.gettext(N_("Foreign")), _sentence(foreign)
    if found.series.left_out:
        yield words.gettext(N_("Left out")), _sentence(*found.series.left_out)


def _odd(found: Baseline, point: Point, system: UnitSystem) -> str:
    unit, factor = unit_of(found.measure, system, size=abs(found.level or 0))
    about = {"cycle": point.cycle, "number": number_text(point.value * factor), "unit": unit}
    if point.note:
        return said("cycle {cycle}, {number} {unit} ({note})", note=point.note, **about)
    return said("cycle {cycle}, {number} {unit} (no note: ask why)", **about)


def _sentence(*told: str) -> str:
    """What was found as one sentence in the language at hand; of many the first eight, and how many more."""
    shown = [capital(words.said(each)) for each in told[:MOST_TOLD]]
    if rest := len(told) - len(shown):
        shown.append(words.said(said("and {n} more", n=f"{rest:,}")))
    return "; ".join(shown) + "."


MOST_TOLD: Final = 8


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
        unit=words.said(unit),
        points=tuple(RunPoint(value=p.value * factor, note=p.note if p.outlier else "") for p in latest),
        median=median,
    )


MOST_DRAWN: Final = 400


def _elements(found: Baseline, settings: Settings) -> Iterator[Elements]:
    record = found.study.record
    share = f"{100 * record.allowance:g}"
    allowance = (
        said("{share} % of work time", share=share)
        if record.allowance_basis == "work_time"
        else said("{share} % of shift time", share=share)
    )
    kinds = (
        (N_("Elements of the run"), N_("Standard time, run"), found.times),
        (N_("Elements of the set-up"), N_("Standard time, set-up"), found.setup_times),
    )
    for title, standard, outcome in kinds:
        if outcome is None:
            continue
        results = outcome.results
        yield Elements(
            title=words.gettext(title),
            rows=tuple(
                ElementRow(
                    name=words.gettext(WHOLE_CYCLE) if each["name"] == WHOLE_CYCLE else each["name"],
                    readings=int(each["n"]),
                    mean=_seconds(each["mean"]),
                    spread=_seconds(each["sd"]),
                    normal=_seconds(each["normal_time"]),
                )
                for each in results["elements"]
            ),
            normal=_seconds(results["normal_time"]),
            standard=_seconds(results["standard_time"]),
            allowance=words.said(allowance),
            working=of_outcome(words.gettext(standard), outcome, settings),
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
        value=words.said(value_text(row, study, system)),
        state=state,
        note=row.note,
        reason=row.reason,
    )


DOORS: Final[dict[MeasureKind, tuple[tuple[str, str], ...]]] = {
    MeasureKind.TIMES: (("watch", N_("Time it")), ("video", N_("Time it from a video"))),
    MeasureKind.COUNTS: (("count", N_("Count")),),
    MeasureKind.SHARES: (("count", N_("Count")),),
    MeasureKind.DISTANCE: (("walk", N_("Follow one person")),),
    MeasureKind.LIFT: (("lift", N_("Measure a lift")),),
}
"""Ways to take readings of a kind: the end of the address, and what the button says."""
