"""What a study says so far: the level with its interval, element times and the standard time, how many more.

No figure here is split by operator: the study measures the work, not the people.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from floorwright import catalogue
from floorwright.basis.errors import InputError
from floorwright.basis.outcome import Outcome
from floorwright.basis.stat.intervals import mean_t
from floorwright.basis.stat.rates import garwood, wilson
from floorwright.basis.stat.summary import sd
from floorwright.observe.walk import trips_of
from floorwright.shop.filed import Filed, load_settings
from floorwright.shop.ports import Shop
from floorwright.shop.records import Measure, MeasureKind, Observation, Settings, Study
from floorwright.shop.series import Series, series_of
from floorwright.shop.studies import measured

WHOLE_CYCLE: Final = "whole cycle"
"""The element of readings that name none."""
POWER: Final = 0.8  # chance of seeing the change; common practice, no source
RELATIVE_ERROR: Final = 0.05  # of the mean; the trade's usual aim for a standard time


@dataclass(frozen=True, slots=True, kw_only=True)
class Baseline:
    """What one study says.

    Attributes:
        study: the study.
        measure: the measure it belongs to.
        series: its values.
        level: mean, rate or share; None without readings.
        low, high: interval of the level; None where there are too few readings for one.
        times: outcome of `time_study` for run elements; None for other kinds.
        setup_times: the same for set-up elements.
        sample: outcome of `sample_size` for the whole cycle; None with fewer than 3 values.
        to_see: outcome of `power`: readings on either side for one chance in five of missing the smallest
            change that matters; None where that was not said or too little is known.
        walks: outcome of `from_to` over the routes of a distance study; None for other kinds.
    """

    study: Filed[Study]
    measure: Measure
    series: Series
    level: float | None
    low: float | None
    high: float | None
    times: Outcome | None = None
    setup_times: Outcome | None = None
    sample: Outcome | None = None
    to_see: Outcome | None = None
    walks: Outcome | None = None


def baseline(shop: Shop, study_id: int) -> Baseline:
    """What a study says so far. Raises NotFoundError."""
    with shop.work() as work:
        filed, _, measure = measured(work, study_id)
        rows = work.observations.of(study_id)
        settings = load_settings(work)
    confidence = settings.confidence
    series = series_of(measure, filed.record, rows)
    level, low, high = level_of(measure.kind, series, confidence)
    is_time = measure.kind is MeasureKind.TIMES
    return Baseline(
        study=filed,
        measure=measure,
        series=series,
        level=level,
        low=low,
        high=high,
        times=_time_study(filed.record, rows, "run") if is_time else None,
        setup_times=_time_study(filed.record, rows, "setup") if is_time else None,
        sample=_sample_size(measure.kind, series, confidence),
        to_see=_to_see(measure, series, confidence),
        walks=_walks(rows, settings),
    )


def level_of(
    kind: MeasureKind, series: Series, confidence: float
) -> tuple[float | None, float | None, float | None]:
    """Level of a series with its interval: Student for means, exact for rates, Wilson for shares."""
    if not series.points:
        return None, None, None
    if kind is MeasureKind.COUNTS:
        found = garwood(round(series.events), series.exposure, confidence)
        return series.events / series.exposure, found.low, found.high
    if kind is MeasureKind.SHARES:
        found = wilson(round(series.events), round(series.exposure), confidence)
        return series.events / series.exposure, found.low, found.high
    mean = sum(series.values) / len(series.values)
    if len(series.values) < 2:
        return mean, None, None
    found = mean_t(series.values, confidence)
    return mean, found.low, found.high


def _time_study(study: Study, rows: list[Observation], work: str) -> Outcome | None:
    declared = {element.name: element for element in study.elements}
    times: dict[str, list[Observation]] = {name: [] for name, each in declared.items() if each.work == work}
    for row in rows:
        if not row.foreign and row.work == work:
            times.setdefault(row.element or WHOLE_CYCLE, []).append(row)
    elements: list[dict[str, Any]] = []
    for name, readings in times.items():
        if not readings:
            continue
        rated = [row.rating for row in readings if row.rating is not None]
        element = declared.get(name)
        usual = element.rating if element else 1.0
        elements.append(
            {
                "name": name,
                "times": [row.value for row in readings],
                "rating": sum(rated) / len(rated) if rated else usual,
                "frequency": element.frequency if element else 1.0,
            }
        )
    if not elements:
        return None
    raw = {"elements": elements, "allowance": study.allowance, "allowance_basis": study.allowance_basis}
    return catalogue.calculation("time_study")(raw)


def _sample_size(kind: MeasureKind, series: Series, confidence: float) -> Outcome | None:
    values = series.values
    if kind in (MeasureKind.COUNTS, MeasureKind.SHARES) or len(values) < 3 or len(set(values)) < 2:
        return None
    raw = {"times": values, "relative_error": RELATIVE_ERROR, "confidence": confidence, "distribution": "t"}
    return catalogue.calculation("sample_size")(raw)


def _to_see(measure: Measure, series: Series, confidence: float) -> Outcome | None:
    """How many readings before and after would show the smallest change that matters, four times in five."""
    change = measure.smallest_that_matters * (-1 if measure.better == "lower" else 1)
    values = series.values
    summary: dict[str, Any]
    raw: dict[str, Any]
    if not change or measure.paired:
        return None
    if measure.kind is MeasureKind.COUNTS:
        level = series.events / series.exposure if series.exposure else 0.0
        summary = {"events": round(series.events), "exposure": series.exposure}
        raw = {"kind": "counts", "before": summary}
    elif measure.kind is MeasureKind.SHARES:
        level = series.events / series.exposure if series.exposure else 0.0
        raw = {
            "kind": "proportions",
            "before": {"successes": round(series.events), "trials": round(series.exposure)},
        }
    elif len(values) >= 3 and len(set(values)) > 1:
        level = sum(values) / len(values)
        raw = {"kind": "times", "before": {"mean": level, "sd": sd(values)}}
    else:
        return None
    if level + change <= 0 or not level:
        return None  # a change as large as the level itself needs no planning
    more = {"change": change, "power": POWER, "confidence": confidence}
    return catalogue.calculation("power")(raw | more)


def _walks(rows: list[Observation], settings: Settings) -> Outcome | None:
    """Where the walking goes: a from-to chart of the routes, by the shop's distance table."""
    routes = [row.detail["route"] for row in rows if not row.foreign and isinstance(row.detail.get("route"), list)]
    trips = trips_of(routes)
    if not trips or not settings.distances_m:
        return None
    raw = {
        "distances": [list(each) for each in settings.distances_m],
        "trips": [list(each) for each in trips],
        "speed": settings.walking_speed_m_s,
    }
    try:
        return catalogue.calculation("from_to")(raw)
    except InputError:
        return None  # the distance table has changed since, and no longer holds every leg
