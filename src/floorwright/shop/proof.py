"""Did it help? The comparison of before and after for each measure of an improvement, by one calculation.

The numbers come from the calculation `compare` of the catalogue alone, so that page, command, report and
library call cannot give different answers.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from floorwright import catalogue
from floorwright.basis.errors import InputError
from floorwright.basis.outcome import Outcome, Span
from floorwright.basis.sentence import said
from floorwright.hold.followup import FollowUp, follow_up
from floorwright.shop.filed import Filed, load, load_settings
from floorwright.shop.ports import Shop, UnitOfWork
from floorwright.shop.records import Improvement, Measure, MeasureKind, Moment, Settings, Study
from floorwright.shop.series import Series, fields_that_differ, pairs_of, series_of
from floorwright.shop.showing import unit_of
from floorwright.shop.studies import latest, studies_by_improvement

VerdictWord = Literal["proven", "likely", "not shown", "worse"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One side of a comparison: the study, its series, and the level it says."""

    study: Filed[Study]
    series: Series

    @property
    def n(self) -> int:
        """Number of values, or of rows of counts."""
        return len(self.series.points)

    @property
    def level(self) -> float | None:
        """Mean of the values; for counts and shares events over exposure. None without readings."""
        if not self.series.points:
            return None
        if self.series.exposure:
            return self.series.events / self.series.exposure
        return sum(self.series.values) / self.n

    @property
    def first_day(self) -> dt.date | None:
        """Day of the first reading."""
        return min((point.taken_at.date() for point in self.series.points), default=None)

    @property
    def last_day(self) -> dt.date | None:
        """Day of the last reading."""
        return max((point.taken_at.date() for point in self.series.points), default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What one measure of an improvement shows.

    Attributes:
        measure: the measure.
        before, after, again: its sides, as far as they were observed; `again` is the latest repeat.
        outcome: of `compare` before against after, in the shop's units; None while a side has no readings.
        shown_per_si: how many of the outcome's units one SI unit is.
        compared_on: fields on which the comparison was stratified.
        notes: sentences about what was left out and why there is no result yet.
        follow_up: when a proven gain is to be measured again.
        again_outcome: of `compare` for before against the repeat; None while there is none.
        again_per_si: how many of the units of `again_outcome` one SI unit is.
    """

    measure: Measure
    before: Side | None
    after: Side | None
    again: Side | None = None
    outcome: Outcome | None = None
    shown_per_si: float = 1.0
    compared_on: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    follow_up: FollowUp | None = None
    again_outcome: Outcome | None = None
    again_per_si: float = 1.0

    @property
    def held(self) -> bool | None:
        """Whether the repeat still shows the gain; None while there is none, or one too small to tell."""
        word = self.again_outcome.results["verdict"] if self.again_outcome else None
        return None if word is None else word in ("proven", "likely")

    @property
    def verdict(self) -> VerdictWord | None:
        """The verdict in words; None while there is none."""
        word: VerdictWord | None = self.outcome.results["verdict"] if self.outcome else None
        return word

    @property
    def difference(self) -> float | None:
        """After minus before, in SI of the measure: of the means, or the shift of ranks where they decide."""
        return (
            None if self.outcome is None else float(self.outcome.results["verdict_difference"]) / self.shown_per_si
        )

    @property
    def interval(self) -> Span | None:
        """The interval of this difference that belongs to the verdict, in SI: always valid, or the planned one."""
        if self.outcome is None:
            return None
        found: Span = self.outcome.results["verdict_interval"]

        def si(end: float | None) -> float | None:
            return None if end is None else end / self.shown_per_si

        return Span(si(found.low_si), si(found.high_si))


def plan_was_kept(measure: Measure, taken: int) -> bool:
    """Whether so many readings were fixed beforehand, and in time."""
    return measure.planned_after == taken and not measure.said_late


def prove(shop: Shop, improvement_id: int) -> list[Proof]:
    """Compare before and after for every measure of an improvement. Raises NotFoundError."""
    with shop.work() as work:
        filed = load(work, Improvement, improvement_id)
        studies = studies_by_improvement(work).get(filed.id, [])
        return proofs_of(work, filed, studies, load_settings(work), shop.clock.now().date())


def proofs_of(
    work: UnitOfWork,
    filed: Filed[Improvement],
    studies: Sequence[Filed[Study]],
    settings: Settings,
    today: dt.date,
) -> list[Proof]:
    """As `prove`, inside a transaction that is open already, with the studies of the improvement."""

    def side(measure: Measure, moment: Moment) -> Side | None:
        study = latest(studies, measure.name, moment)
        if study is None:
            return None
        series = series_of(measure, study.record, work.observations.of(study.id))
        return Side(study=study, series=series) if series.points or series.foreign else None

    return [
        _proof(
            filed, measure, side(measure, "before"), side(measure, "after"), side(measure, "again"), settings, today
        )
        for measure in filed.record.measures
    ]


def _proof(
    filed: Filed[Improvement],
    measure: Measure,
    before: Side | None,
    after: Side | None,
    again: Side | None,
    settings: Settings,
    today: dt.date,
) -> Proof:
    found = Proof(
        measure=measure,
        before=before,
        after=after,
        again=again,
        notes=tuple(note for side in (before, after) if side is not None for note in side.series.left_out),
    )
    if before is None or after is None or not before.n or not after.n:
        return found
    try:
        _check_order(before, after)
        found = replace(found, notes=(*found.notes, *_cautions(measure, before, after, filed.record)))
        found_now = _compared(measure, before, after, settings)
        repeat = _compared(measure, before, again, settings) if again is not None and again.n else None
    except InputError as error:
        return replace(found, notes=(*found.notes, said("No comparison yet. {why}", why=str(error))))
    proven_on = after.last_day if found_now.outcome.results["verdict"] == "proven" else None
    return replace(
        found,
        outcome=found_now.outcome,
        shown_per_si=found_now.shown_per_si,
        compared_on=found_now.compared_on,
        follow_up=None if proven_on is None else follow_up(proven_on, today, _days(again)),
        again_outcome=repeat.outcome if repeat is not None else None,
        again_per_si=repeat.shown_per_si if repeat is not None else 1.0,
    )


def _check_order(before: Side, after: Side) -> None:
    """Raises InputError when all readings after the change are older than those before it."""
    first, last = before.first_day, after.last_day
    if first is not None and last is not None and last < first:
        wrong = said(
            "The readings after the change end on {last}, before those from before it begin ({first}); check which "
            "study is which",
            last=last,
            first=first,
        )
        raise InputError.of("", last.isoformat(), wrong)


def _cautions(measure: Measure, before: Side, after: Side, record: Improvement) -> Iterator[str]:
    """What a reader should know of two sides before believing what they show."""
    trial = record.trial_started_on
    if trial is not None and before.last_day is not None and before.last_day >= trial:
        yield said(
            "Some readings before the change were taken on or after {day}, the day the trial started.", day=trial
        )
    if trial is not None and after.first_day is not None and after.first_day < trial:
        yield said("Some readings after the change were taken before {day}, the day the trial started.", day=trial)
    if measure.planned_after is not None and after.n != measure.planned_after:
        yield said(
            "{planned} readings after the change were fixed beforehand and {n} were taken, so the always-valid "
            "interval counts.",
            planned=measure.planned_after,
            n=after.n,
        )
    if measure.said_late:
        yield said("What matters here was changed after readings were in; the history says when and why.")
    if measure.paired:
        pairs = len(pairs_of(before.series, after.series))
        if alone := before.n + after.n - 2 * pairs:
            yield said(
                "{pairs} pairs are compared; readings without a partner are left out ({alone}).",
                pairs=pairs,
                alone=alone,
            )


def _compared(measure: Measure, before: Side, after: Side, settings: Settings) -> _Compared:
    raw, compared_on, factor = comparison_input(measure, before.series, after.series, settings)
    return _Compared(catalogue.calculation("compare")(raw), compared_on, factor)


@dataclass(frozen=True, slots=True)
class _Compared:
    outcome: Outcome
    compared_on: tuple[str, ...]
    shown_per_si: float


def _days(side: Side | None) -> tuple[dt.date, ...]:
    return () if side is None else tuple(sorted({point.taken_at.date() for point in side.series.points}))


def comparison_input(
    measure: Measure, before: Series, after: Series, settings: Settings
) -> tuple[dict[str, Any], tuple[str, ...], float]:
    """The input of `compare` for a measure in the shop's units, so that sentences and working are in them too.

    Returns:
        The input, the fields on which it is stratified, and how many shown units one SI unit is.
    """
    size = max((abs(point.value) for series in (before, after) for point in series.points), default=0.0)
    unit, factor = unit_of(measure, settings.units, size=size)
    if measure.kind is MeasureKind.SHARES:
        factor = 1.0  # shares are compared as shares; only pages show per cent
    common: dict[str, Any] = {
        "better": measure.better,
        "smallest_that_matters": measure.smallest_that_matters * factor,
        "confidence": settings.confidence,
        "planned": plan_was_kept(measure, len(after.points)),
    }
    if measure.kind is MeasureKind.COUNTS:
        sides = {"before": _events(before), "after": _events(after)}
        return common | {"kind": "counts", "unit": unit} | sides, (), factor
    if measure.kind is MeasureKind.SHARES:
        return common | {"kind": "proportions", "before": _hits(before), "after": _hits(after)}, (), factor
    common["unit"] = unit
    if measure.paired:
        pairs = pairs_of(before, after)
        values = {"before": [a.value * factor for a, _ in pairs], "after": [b.value * factor for _, b in pairs]}
        return common | {"kind": "paired"} | values, (), factor
    differing = tuple(fields_that_differ(before, after))
    strata = _groups(before.labels(differing), after.labels(differing)) if differing else {}
    values = {name: [x * factor for x in series.values] for name, series in (("before", before), ("after", after))}
    return common | {"kind": "times"} | values | strata, differing, factor


def _groups(before: list[str], after: list[str]) -> dict[str, Any]:
    """Labels as bare group numbers: a working must not show how one person compares with another."""
    number = {label: f"group {i}" for i, label in enumerate(sorted({*before, *after}), start=1)}
    return {
        "before_strata": [number[label] for label in before],
        "after_strata": [number[label] for label in after],
    }


def _events(series: Series) -> dict[str, Any]:
    return {"events": round(series.events), "exposure": series.exposure}


def _hits(series: Series) -> dict[str, Any]:
    return {"successes": round(series.events), "trials": round(series.exposure)}
