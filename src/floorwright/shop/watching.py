"""Does the gain hold? Readings of one measure since the change, in time, on a control chart."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal

from floorwright import catalogue
from floorwright.basis.errors import InputError
from floorwright.basis.outcome import Outcome
from floorwright.hold.run_rules import RuleName
from floorwright.shop.filed import Filed, load, load_settings
from floorwright.shop.ports import Shop, UnitOfWork
from floorwright.shop.records import Improvement, Measure, MeasureKind, Moment, Settings, Study
from floorwright.shop.series import series_of
from floorwright.shop.showing import unit_of
from floorwright.shop.studies import studies_by_improvement

Kind = Literal["xmr", "p", "c", "u"]
KINDS: Final[dict[MeasureKind, tuple[Kind, ...]]] = {MeasureKind.COUNTS: ("u", "c"), MeasureKind.SHARES: ("p",)}
CALLED: Final[dict[Kind, str]] = {
    "xmr": "single readings (XmR)",
    "p": "shares (p)",
    "c": "counts over the same (c)",
    "u": "counts over varying sizes (u)",
}
LEAST: Final = 3
SINCE: Final[tuple[Moment, ...]] = ("after", "again")


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """A measure over time.

    Attributes:
        improvement: whose it is.
        measure: what is watched.
        kind: of the chart; `kinds` are those that fit the measure.
        unit: of the values.
        values: what is plotted, in time.
        days: when each was taken.
        baseline: how many of the first set the limits.
        outcome: of `control_chart`; None with fewer than three readings.
    """

    improvement: Filed[Improvement]
    measure: Measure
    kind: Kind
    kinds: tuple[Kind, ...]
    unit: str
    values: tuple[float, ...]
    days: tuple[dt.date, ...]
    baseline: int
    outcome: Outcome | None


def watched(
    shop: Shop,
    improvement: int,
    *,
    measure: str = "",
    kind: str = "",
    baseline: int | None = None,
    rules: Sequence[RuleName] = (),
) -> Watched:
    """The control chart of a measure since the change.

    Args:
        shop: the open shop.
        improvement: its number.
        measure: its name; the main one unless told.
        kind: of the chart; the one that fits best unless told.
        baseline: how many of the first readings set the limits; those right after the change unless told.
        rules: that mark points; limits alone unless told.

    Raises:
        InputError: a measure it does not have, a chart that does not fit it, or a baseline that cannot be.
        NotFoundError: no such improvement.
    """
    with shop.work() as work:
        filed = load(work, Improvement, improvement)
        settings = load_settings(work)
        chosen = _measure(filed, measure)
        kinds = KINDS.get(chosen.kind, ("xmr",))
        used = _kind(kind, kinds)
        found = _readings(work, filed, chosen, settings)
    first = found.first if found.first >= LEAST else len(found.values)
    count = baseline if baseline is not None else first
    outcome = None
    if len(found.values) >= LEAST:
        raw: dict[str, Any] = {"kind": used, "data": found.data(used), "baseline": count}
        if used in ("p", "u"):
            raw["sizes"] = list(found.sizes)
        if rules:
            raw["rules"] = list(rules)
        outcome = catalogue.calculation("control_chart")(raw)
    return Watched(
        improvement=filed,
        measure=chosen,
        kind=used,
        kinds=kinds,
        unit="in each look" if used == "c" else found.unit,
        values=tuple(float(x) for x in (found.data("c") if used == "c" else found.values)),
        days=found.days,
        baseline=count,
        outcome=outcome,
    )


def _measure(filed: Filed[Improvement], name: str) -> Measure:
    if not filed.record.measures:
        raise InputError.of("measure", name, "nothing is measured yet; say what you would measure first")
    found = filed.record.measure(name) if name else filed.record.measures[0]
    if found is None:
        known = ", ".join(f"'{each.name}'" for each in filed.record.measures)
        raise InputError.of("measure", name, f"'{name}' is no measure of improvement {filed.id}; it has {known}")
    return found


def _kind(wanted: str, kinds: tuple[Kind, ...]) -> Kind:
    if not wanted:
        return kinds[0]
    for each in kinds:
        if each == wanted:
            return each
    raise InputError.of("kind", wanted, f"'{wanted}' does not fit what is measured; choose {' or '.join(kinds)}")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Readings:
    values: tuple[float, ...]
    counts: tuple[int, ...]
    sizes: tuple[float, ...]
    days: tuple[dt.date, ...]
    first: int
    unit: str

    def data(self, kind: Kind) -> list[float]:
        """What the calculation is given."""
        return list(self.values) if kind == "xmr" else list(self.counts)


def _readings(work: UnitOfWork, filed: Filed[Improvement], measure: Measure, settings: Settings) -> _Readings:
    own = [
        each
        for each in studies_by_improvement(work).get(filed.id, [])
        if each.record.measure == measure.name and each.record.moment in SINCE
    ]
    own.sort(key=lambda each: (each.record.moment != "after", each.id))
    if measure.kind in KINDS:
        return _counted(work, own, measure, settings)
    parts = [series_of(measure, each.record, work.observations.of(each.id)).points for each in own]
    first = sum(len(p) for p, each in zip(parts, own, strict=True) if each.record.moment == "after")
    points = [point for part in parts for point in part]
    unit, factor = unit_of(measure, settings.units, size=max((abs(p.value) for p in points), default=0.0))
    return _Readings(
        values=tuple(point.value * factor for point in points),
        counts=(),
        sizes=(),
        days=tuple(point.taken_at.date() for point in points),
        first=first,
        unit=unit,
    )


def _counted(work: UnitOfWork, own: Sequence[Filed[Study]], measure: Measure, settings: Settings) -> _Readings:
    rows = [
        (each.record.moment, row)
        for each in own
        for row in work.observations.of(each.id)
        if not row.foreign and row.exposure is not None
    ]
    unit, factor = unit_of(measure, settings.units)
    sizes = tuple(row.exposure or 1.0 for _, row in rows)
    return _Readings(
        values=tuple(row.value / size * factor for (_, row), size in zip(rows, sizes, strict=True)),
        counts=tuple(round(row.value) for _, row in rows),
        sizes=sizes,
        days=tuple(row.taken_at.date() for _, row in rows),
        first=sum(moment == "after" for moment, _ in rows),
        unit=unit,
    )
