"""What a study says so far: the level with its interval, element times and the standard time, how many more.

No figure here is split by operator: the study measures the work, not the people.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from floorwright import catalogue
from floorwright.basis.outcome import Outcome
from floorwright.basis.stat.intervals import mean_t
from floorwright.basis.stat.rates import garwood, wilson
from floorwright.shop.filed import Filed, load, load_settings
from floorwright.shop.ports import Shop
from floorwright.shop.records import Improvement, Measure, MeasureKind, Observation, Study
from floorwright.shop.series import Series, series_of

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


def baseline(shop: Shop, study_id: int) -> Baseline:
    """What a study says so far. Raises NotFoundError."""
    with shop.work() as work:
        filed = load(work, Study, study_id)
        owner = load(work, Improvement, filed.record.improvement)
        measure = owner.record.measure(filed.record.measure) or Measure(
            name=filed.record.measure, kind=filed.record.kind
        )
        rows = work.observations.of(study_id)
        confidence = load_settings(work).confidence
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
            times.setdefault(row.element or "whole cycle", []).append(row)
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
