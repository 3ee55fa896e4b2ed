"""The shop's lists as tables to export: improvements, studies, ledger, distances."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Final

from floorwright.shop.filed import load_settings
from floorwright.shop.gains import gains
from floorwright.shop.ports import Shop
from floorwright.shop.showing import unit_of
from floorwright.shop.story import Story, stories
from floorwright.shop.studies import study_rows

Rows = list[Sequence[Any]]


def exported(shop: Shop, what: str) -> tuple[list[str], Rows]:
    """Headings and rows of one of the shop's lists."""
    return _LISTS[what](shop)


def _improvements(shop: Shop) -> tuple[list[str], Rows]:
    headings = [
        "number", "title", "waste", "area", "place", "phase", "noticed by", "noticed on", "question", "change",
        "measure", "unit", "before", "after", "difference", "low", "high", "verdict", "standing", "hours a year",
        "worth a year", "one-off cost", "labour rate", "next step",
    ]  # fmt: skip
    rows = [row for told in stories(shop) for row in _measured(told)]
    return headings, rows


def _measured(told: Story) -> Rows:
    record, money = told.record, told.money
    head = [
        told.filed.id, record.title, record.waste.value, record.area, record.place, told.phase.value,
        record.noticed_by, record.noticed_on, record.question, record.countermeasure,
    ]  # fmt: skip
    annual = round(money.outcome.results["annual"]["mean"], 2) if money.outcome is not None else None
    tail = [
        money.standing,
        _tidy(money.hours_per_year.central_si) if money.hours_per_year is not None else None,
        annual,
        money.one_off,
        money.rate.name if money.rate is not None else "",
        told.next_step,
    ]
    if not told.proofs:
        return [[*head, "", "", None, None, None, None, None, "", *tail]]
    rows: Rows = []
    for proof in told.proofs:
        levels = [side.level for side in (proof.before, proof.after) if side is not None and side.level is not None]
        unit, factor = unit_of(proof.measure, told.settings.units, size=max(map(abs, levels), default=0.0))

        def shown(value: float | None, by: float = factor) -> float | None:
            return None if value is None else _tidy(value * by)

        span = proof.interval
        rows.append(
            [
                *head,
                proof.measure.name,
                unit,
                shown(proof.before.level if proof.before else None),
                shown(proof.after.level if proof.after else None),
                shown(proof.difference),
                shown(span.low_si if span is not None else None),
                shown(span.high_si if span is not None else None),
                proof.verdict or "",
                *tail,
            ]
        )
    return rows


def _studies(shop: Shop) -> tuple[list[str], Rows]:
    headings = [
        "study",
        "improvement",
        "measure",
        "moment",
        "kind",
        "readings",
        "people asked on",
        "timing",
        "note",
    ]
    rows: Rows = [
        [
            each.filed.id,
            each.filed.record.improvement,
            each.filed.record.measure,
            each.filed.record.moment,
            each.filed.record.kind.value,
            each.readings,
            each.filed.record.people_asked_on,
            each.filed.record.timing,
            each.filed.record.note,
        ]
        for each in study_rows(shop)
    ]
    return headings, rows


def _ledger(shop: Shop) -> tuple[list[str], Rows]:
    headings = ["on", "improvement", "work element", "column", "unit", "gain", "kind"]
    rows: Rows = [
        [each.on, each.improvement, each.element, each.column.name, each.column.unit, each.gain / 1e6, each.kind]
        for each in gains(shop).postings
    ]
    return headings, rows


def _distances(shop: Shop) -> tuple[list[str], Rows]:
    with shop.work() as work:
        settings = load_settings(work)
    return ["from", "to", "distance (m)"], [
        [start, end, _tidy(metres)] for start, end, metres in settings.distances_m
    ]


def _tidy(value: float) -> float:
    """A number without the noise of its last bits, which a spreadsheet would show."""
    return float(f"{value:.10g}")


_LISTS: Final[dict[str, Callable[[Shop], tuple[list[str], Rows]]]] = {
    "improvements": _improvements,
    "studies": _studies,
    "ledger": _ledger,
    "distances": _distances,
}
