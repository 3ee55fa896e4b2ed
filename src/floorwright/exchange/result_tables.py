"""What one improvement shows, as tables: levels, both intervals, every value compared, repeats, worth, photos."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from statistics import median
from typing import Any, Final

from floorwright.exchange.tables import Rows, Table, tidy
from floorwright.prove.sensitivity import Swing
from floorwright.shop.baseline import Baseline, baseline
from floorwright.shop.baseline_words import how_many_more
from floorwright.shop.ports import Shop
from floorwright.shop.proof import Side
from floorwright.shop.records import Improvement, Measure, Settings
from floorwright.shop.series import Series
from floorwright.shop.showing import unit_of
from floorwright.shop.story import Story
from floorwright.shop.studies import studies_by_improvement
from floorwright.shop.trying import Tried
from floorwright.shop.two_ways import two_ways
from floorwright.shop.words import shown_unit

SIDES: Final = ("before", "after", "again")


def levels_table(shop: Shop, told: Story) -> Table:
    """Every study of an improvement with the level that it says, in the shop's units."""
    headings = [
        "measure", "moment", "study", "first day", "last day", "readings", "level", "low", "high", "unit",
        "how many more", "people asked on",
    ]  # fmt: skip
    rows: Rows = []
    with shop.work() as work:
        studies = studies_by_improvement(work).get(told.filed.id, [])
    for proof in told.proofs:
        for found in [baseline(shop, each.id) for each in studies if each.record.measure == proof.measure.name]:
            unit, factor = unit_of(proof.measure, told.settings.units, size=abs(found.level or 0.0))
            days = [point.taken_at.date() for point in found.series.points]
            _, more = how_many_more(proof, found)
            rows.append(
                [
                    proof.measure.name, found.study.record.moment, found.study.id, min(days, default=None),
                    max(days, default=None), len(days), _times(found.level, factor), _times(found.low, factor),
                    _times(found.high, factor), unit, "" if more is None else str(more),
                    found.study.record.people_asked_on,
                ]
            )  # fmt: skip
    return headings, rows


def intervals_table(told: Story) -> Table:
    """Both intervals of every comparison, after minus before, and which of them the verdict rests on."""
    rows: Rows = [
        [
            proof.measure.name, each.name, _times(each.low), _times(each.high), each.unit, each.holds, each.decides,
            proof.verdict or "",
        ]
        for proof in told.proofs
        for each in two_ways(proof, told.settings)
    ]  # fmt: skip
    return ["measure", "interval", "low", "high", "unit", "when it holds", "decides", "verdict"], rows


_VALUES: Final = [
    "study", "measure", "moment", "place", "taken at", "cycle", "value", "unit", "median of the moment", "far out",
    "part", "note",
]  # fmt: skip


def comparison_table(told: Story) -> Table:
    """Every value that is compared, in the order in which it was taken; one a cycle, odd ones marked."""

    def rows() -> Iterator[Sequence[Any]]:
        for proof in told.proofs:
            unit, factor = shown_unit(proof, told.settings.units)
            for moment in SIDES:
                side: Side | None = getattr(proof, moment)
                if side is not None:
                    yield from _values(side.study.id, proof.measure, moment, side.series, unit, factor)

    return list(_VALUES), rows()


def values_table(found: Baseline, settings: Settings) -> Table:
    """The values of one study, in the order in which they were taken; one a cycle, odd ones marked."""
    unit, factor = unit_of(found.measure, settings.units, size=abs(found.level or 0))
    moment = found.study.record.moment
    return list(_VALUES), _values(found.study.id, found.measure, moment, found.series, unit, factor)


def _values(
    study: int, measure: Measure, moment: str, series: Series, unit: str, factor: float
) -> Iterator[Sequence[Any]]:
    middle = tidy(median(series.values) * factor) if series.values else None
    for place, point in enumerate(series.points, 1):
        yield [
            study, measure.name, moment, place, point.taken_at, point.cycle, tidy(point.value * factor), unit,
            middle, point.outlier, point.part, point.note,
        ]  # fmt: skip


def repeats_table(told: Story) -> Table:
    """When each proven gain is measured again, and how that stands."""
    rows: Rows = [
        [proof.measure.name, date.after_days, date.due_on, date.state, date.measured_on, proof.held]
        for proof in told.proofs
        if proof.follow_up is not None
        for date in proof.follow_up.dates
    ]
    return ["measure", "days after the proof", "due on", "state", "measured on", "gain held"], rows


def notes_table(record: Improvement) -> Table:
    """What was noted on trial."""
    return ["on", "who", "note"], [[each.on, each.who, each.text] for each in record.trial_notes]


def photos_table(record: Improvement) -> Table:
    """The photos of an improvement in their order, by the name under which a backup holds each."""
    rows: Rows = [
        [
            place,
            each.moment,
            each.taken_on,
            each.caption,
            "; ".join(m.label or m.kind for m in each.marks),
            each.hash,
        ]
        for place, each in enumerate(record.photos, 1)
    ]
    return ["place", "moment", "taken on", "caption", "marks", "file"], rows


def worth_table(found: Tried) -> Table:
    """What a gain is worth, and what each assumption alone would do to the worth over its life, less the cost."""
    money, currency = found.money, found.settings.currency
    headings = [
        "what", "unit", "low", "central", "high", f"worth at low ({currency})", f"worth at high ({currency})",
    ]  # fmt: skip
    rows: Rows = [["counted as", "", None, money.standing, None, None, None]]
    if money.reason:
        rows.append(["no money claimed", "", None, money.reason, None, None, None])
    if money.hours_per_year is not None:
        hours = money.hours_per_year
        rows.append(
            ["time", "h a year", tidy(hours.low_si), tidy(hours.central_si), tidy(hours.high_si), None, None]
        )
    if money.outcome is not None:
        results = money.outcome.results
        annual, back = results["annual"], results["payback"]
        rows.append(["worth after upkeep", f"{currency} a year", *_cents(annual, "p05", "mean", "p95"), None, None])
        years = [None if back[name] is None else tidy(back[name]) for name in ("p05", "p50", "p95")]
        rows.append(["payback", "years", *years, None, None])
    if found.worth is not None:
        rows.append(["worth over its life, less the cost", currency, None, round(found.worth, 2), None, None, None])
    if money.one_off is not None:
        rows.append(["cost, once", currency, None, money.one_off, None, None, None])
    if money.rate is not None:
        rows.append(
            [f"labour, {money.rate.name}", f"{currency} an hour", None, money.rate.per_hour, None, None, None]
        )
    rows += [_swing(each, currency) for each in found.swings]
    return headings, rows


def _cents(values: Any, *names: str) -> list[float]:
    return [round(values[name], 2) for name in names]


_ASSUMED: Final = {
    "saved_s": ("saved each time", "s", 1.0),
    "events_per_year": ("times a year", "times", 1.0),
    "share_used": ("share of the time used", "%", 100.0),
    "labour_rate": ("labour rate", "{currency} an hour", 1.0),
    "cost": ("cost of the change", "{currency}", 1.0),
    "upkeep": ("upkeep a year", "{currency} a year", 1.0),
    "life_years": ("life", "years", 1.0),
    "interest": ("interest", "% a year", 100.0),
}


def _swing(each: Swing, currency: str) -> list[Any]:
    words, unit, factor = _ASSUMED[each.name]
    ends = tidy(each.low * factor), tidy(each.high * factor)
    told = f"{words}, tried alone"
    return [
        told, unit.format(currency=currency), ends[0], None, ends[1], round(each.worth_low, 2),
        round(each.worth_high, 2),
    ]  # fmt: skip


def _times(value: float | None, factor: float = 1.0) -> float | None:
    return None if value is None else tidy(value * factor)
