"""What a device needs to time, count, walk or lift for a study, with or without a network afterwards."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from floorwright.shop.baseline import RELATIVE_ERROR
from floorwright.shop.filed import Filed, load, load_settings
from floorwright.shop.ports import Author, Shop, UnitOfWork
from floorwright.shop.records import Improvement, Measure, MeasureKind, Moment, Observation, Settings, Study
from floorwright.shop.series import series_of
from floorwright.shop.studies import latest, measured, plan_study, studies_by_improvement

MOST_VALUES: Final = 2000  # on a device; more would change no sentence there
MOMENTS: Final[tuple[Moment, ...]] = ("before", "after", "again")
_SESSION: Final = "session"  # in the detail of a reading: which run of which device it belongs to


@dataclass(frozen=True, slots=True, kw_only=True)
class ToTime:
    """A study as a device takes it along.

    Attributes:
        study, improvement: the records.
        measure: what is measured.
        settings: of the shop.
        so_far: values that the shop holds already, in SI, each with the session of the device that took it
            ("" where it was no device), so that a device can leave out its own.
        before: values of the study before, in SI; empty for a study before, for pairs, and for times that are
            divided by a driver, which a device does not know.
        next_cycle: number of the next cycle today.
        counted_with: studies of other counts of the same moment over the same unit, whose people were asked: they
            are counted on the same page.
        relative_error: how far the mean may be off.
    """

    study: Filed[Study]
    improvement: Filed[Improvement]
    measure: Measure
    settings: Settings
    so_far: tuple[tuple[float, str], ...]
    before: tuple[float, ...]
    next_cycle: int
    counted_with: tuple[Filed[Study], ...] = ()
    relative_error: float = RELATIVE_ERROR


def to_time(shop: Shop, study_id: int) -> ToTime:
    """A study with what is shown while it goes on. Raises NotFoundError."""
    with shop.work() as work:
        filed, owner, measure = measured(work, study_id)
        rows = work.observations.of(study_id)
        return ToTime(
            study=filed,
            improvement=owner,
            measure=measure,
            settings=load_settings(work),
            so_far=_by_session(measure, filed.record, rows)[-MOST_VALUES:],
            before=_before(work, filed, measure),
            next_cycle=_next_cycle(rows, shop.clock.now().date()),
            counted_with=_counted_with(work, filed, owner.record, measure),
        )


def _by_session(measure: Measure, study: Study, rows: Sequence[Observation]) -> tuple[tuple[float, str], ...]:
    """Values session by session: the cycles of two devices never mix."""
    sessions: dict[str, list[Observation]] = {}
    for row in rows:
        sessions.setdefault(str(row.detail.get(_SESSION, "")), []).append(row)
    return tuple(
        (value, session) for session, mine in sessions.items() for value in series_of(measure, study, mine).values
    )


def _before(work: UnitOfWork, filed: Filed[Study], measure: Measure) -> tuple[float, ...]:
    if filed.record.moment == "before" or measure.paired:
        return ()
    studies = studies_by_improvement(work).get(filed.record.improvement, [])
    first = latest(studies, measure.name, "before")
    if first is None:
        return ()
    series = series_of(measure, first.record, work.observations.of(first.id))
    return () if series.per else tuple(series.values[-MOST_VALUES:])


def _counted_with(
    work: UnitOfWork, filed: Filed[Study], record: Improvement, measure: Measure
) -> tuple[Filed[Study], ...]:
    if measure.kind is not MeasureKind.COUNTS:
        return ()
    studies = studies_by_improvement(work).get(filed.record.improvement, [])
    others = (
        latest(studies, each.name, filed.record.moment)
        for each in record.measures
        if each.kind is MeasureKind.COUNTS and each.per == measure.per and each.name != measure.name
    )
    return tuple(each for each in others if each is not None and each.record.people_asked_on is not None)


def _next_cycle(rows: Sequence[Observation], today: dt.date) -> int:
    return max((row.cycle for row in rows if row.taken_at.date() == today), default=0) + 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A measure that can be taken now.

    Attributes:
        measure: the measure.
        moment: the moment that fits the state of the improvement.
        studies: the latest study of each moment that has one.
    """

    measure: Measure
    moment: Moment
    studies: dict[Moment, Filed[Study]]


def choices(shop: Shop, improvement_id: int) -> tuple[Filed[Improvement], list[Choice]]:
    """What can be taken for an improvement. Raises NotFoundError."""
    with shop.work() as work:
        filed = load(work, Improvement, improvement_id)
        studies = studies_by_improvement(work).get(filed.id, [])
    found = []
    for measure in filed.record.measures:
        mine = {moment: latest(studies, measure.name, moment) for moment in MOMENTS}
        known = {moment: study for moment, study in mine.items() if study is not None}
        found.append(Choice(measure=measure, moment=_moment(filed.record, known), studies=known))
    return filed, found


def _moment(record: Improvement, known: dict[Moment, Filed[Study]]) -> Moment:
    """Before the trial the old way; then the new one; and again where that has been begun."""
    if record.trial_started_on is None:
        return "before"
    return "again" if "again" in known else "after"


def study_for(shop: Shop, improvement_id: int, measure: str, moment: Moment, author: Author) -> Filed[Study]:
    """The latest study of a measure at a moment; where there is none, a new one on the plan of the latest other.

    Raises:
        InputError: the improvement has no such measure.
        NotFoundError: no such improvement.
    """
    _, found = choices(shop, improvement_id)
    mine = next((each for each in found if each.measure.name == measure), None)
    if mine is not None and moment in mine.studies:
        return mine.studies[moment]
    raw = {"improvement": improvement_id, "measure": measure, "moment": moment}
    earlier = list(mine.studies.values()) if mine is not None else []
    if mine is not None and mine.measure.kind is MeasureKind.TIMES and earlier:
        plan = earlier[-1].record.model_dump(mode="json")
        raw |= {name: plan[name] for name in ("timing", "elements", "allowance", "allowance_basis")}
    if mine is not None and moment == "after" and mine.measure.planned_after is not None:
        raw["planned"] = mine.measure.planned_after
    return plan_study(shop, raw, author)
