"""The shop's lists as tables, headings and rows, whatever they are shown on or written to.

Every `..._table` is made of what was worked out already. Physical values are SI with the unit in the heading or
beside them, those of improvements in the shop's own units. `exchange.lists` has them all by name.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, Final

from floorwright.basis.stat.intervals import Interval
from floorwright.exchange.writing import observation_headings, observation_row
from floorwright.prove.ledger import Ledger, Month, Standing
from floorwright.shop.due import Due
from floorwright.shop.filed import Filed
from floorwright.shop.ports import HistoryEntry
from floorwright.shop.records import SI_UNIT, MeasureKind, Observation, Study
from floorwright.shop.showing import unit_of
from floorwright.shop.story import Story
from floorwright.shop.studies import StudyRow

Rows = list[Sequence[Any]]
Table = tuple[list[str], Iterable[Sequence[Any]]]
"""Headings, and rows of as many cells."""


def improvements_table(told: Iterable[Story], currency: str) -> Table:
    """Every measure of every improvement, with what it shows and what the gain is worth."""
    headings = [
        "number", "title", "waste", "area", "place", "phase", "noticed by", "noticed on", "question", "change",
        "measure", "unit", "before", "after", "difference", "low", "high", "verdict", "standing", "hours a year",
        f"worth a year ({currency})", f"one-off cost ({currency})", "labour rate", "next step",
    ]  # fmt: skip
    return headings, [row for each in told for row in _measured(each)]


def _measured(told: Story) -> Rows:
    record, money = told.record, told.money
    head = [
        told.filed.id, record.title, record.waste.value, record.area, record.place, told.phase.value,
        record.noticed_by, record.noticed_on, record.question, record.countermeasure,
    ]  # fmt: skip
    annual = round(money.outcome.results["annual"]["mean"], 2) if money.outcome is not None else None
    tail = [
        money.standing,
        tidy(money.hours_per_year.central_si) if money.hours_per_year is not None else None,
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
            return None if value is None else tidy(value * by)

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


def studies_table(studies: Iterable[StudyRow]) -> Table:
    """Every study with the number of its readings."""
    headings = [
        "study", "improvement", "measure", "moment", "kind", "readings", "planned", "people asked on",
        "shown to people on", "timing", "note",
    ]  # fmt: skip
    rows: Rows = []
    for each in studies:
        record = each.filed.record
        rows.append(
            [
                each.filed.id, record.improvement, record.measure, record.moment, record.kind.value, each.readings,
                record.planned, record.people_asked_on, record.shown_to_people_on, record.timing, record.note,
            ]
        )  # fmt: skip
    return headings, rows


_VALUE: Final = 3  # place of the value among the columns of a reading


def readings_table(readings: Iterable[tuple[Filed[Study], Observation]]) -> Table:
    """Readings of any studies, each with its study; values in SI with the unit beside them."""
    own = [heading.text for heading in observation_headings(MeasureKind.TIMES)]
    own[_VALUE : _VALUE + 1] = ["value", "unit"]
    return ["study", "improvement", "measure", "moment", *own], (_reading(study, row) for study, row in readings)


def _reading(study: Filed[Study], row: Observation) -> list[Any]:
    cells = list(observation_row(row))
    cells.insert(_VALUE + 1, SI_UNIT[study.record.kind])
    return [study.id, study.record.improvement, study.record.measure, study.record.moment, *cells]


def ledger_table(book: Ledger) -> Table:
    """Every step that was posted, by day."""
    headings = ["on", "improvement", "work element", "column", "unit", "gain", "kind"]
    rows: Rows = [
        [each.on, each.improvement, each.element, each.column.name, each.column.unit, each.gain / 1e6, each.kind]
        for each in book.postings
    ]
    return headings, rows


def gains_table(book: Ledger, currency: str) -> Table:
    """What stands in the name of each improvement, and how it counts."""
    headings = [
        "improvement", "work element", "column", "unit", "counted as", "verdict", "gain", "gain low", "gain high",
        "events a year", "hours a year", "hours low", "hours high", f"money a year ({currency})",
        f"at rate a year ({currency})",
    ]  # fmt: skip
    rows: Rows = []
    for line in book.lines:
        entry, gain = line.entry, line.gain / 1e6
        each_time = _ends(None if line.reach is None else line.reach.about(gain))
        rows.append(
            [
                entry.improvement, entry.element, entry.column.name, entry.column.unit, line.standing,
                entry.verdict or "", gain, *each_time, line.events_per_year, line.hours_per_year,
                *_ends(line.hours_interval), line.money_per_year, line.at_rate_per_year,
            ]
        )  # fmt: skip
    return headings, rows


_STANDINGS: Final[tuple[Standing, ...]] = ("banked", "freed", "hoped")


def months_table(months: Iterable[Month], currency: str) -> Table:
    """What has come in, month by month; banked, freed and hoped for are never added up."""
    headings = ["month"]
    for standing in _STANDINGS:
        headings += [f"{standing} hours", f"{standing} hours low", f"{standing} hours high"]
        headings += [f"{standing} {name} ({currency})" for name in ("money", "money low", "money high")]
    rows: Rows = []
    for month in months:
        cells: list[Any] = [month.first_day]
        for standing in _STANDINGS:
            found = month.sum(standing)
            cells += [found.hours, *_ends(found.hours_interval), found.money, *_ends(found.money_interval)]
        rows.append(cells)
    return headings, rows


def due_table(things: Iterable[Due]) -> Table:
    """What needs someone, earliest first."""
    rows: Rows = [[each.on, each.late, each.improvement, each.title, each.what] for each in things]
    return ["on", "late", "improvement", "title", "what"], rows


def history_table(entries: Iterable[HistoryEntry]) -> Table:
    """Who changed what, when and why: a row for each field that a version changed."""
    headings = [
        "record", "number", "version", "at", "who", "role", "reason", "corrects version", "field", "before",
        "after",
    ]  # fmt: skip
    rows: Rows = []
    for entry in entries:
        head = [
            entry.kind, entry.id, entry.version, entry.at, entry.who, entry.role, entry.reason,
            entry.replaces or None,
        ]  # fmt: skip
        rows += [[*head, each.path, each.before, each.after] for each in entry.changes] or [[*head, "", None, None]]
    return headings, rows


def sums_table(book: Ledger, currency: str) -> Table:
    """What stands a year, as it is today; banked, freed and hoped for are never added up."""
    headings = [
        "counted as", "hours a year", "hours low", "hours high", f"money a year ({currency})",
        f"money low ({currency})", f"money high ({currency})", "without an interval",
    ]  # fmt: skip
    rows: Rows = []
    for standing in _STANDINGS:
        found = book.sum(standing)
        hours, money = _ends(found.hours_interval), _ends(found.money_interval)
        rows.append([standing, found.hours, *hours, found.money, *money, ", ".join(map(str, found.without))])
    return headings, rows


def _ends(interval: Interval | None) -> tuple[float | None, float | None]:
    return (None, None) if interval is None else (tidy(interval.low), tidy(interval.high))


def tidy(value: float) -> float:
    """A number without the noise of its last bits, which a spreadsheet would show."""
    return float(f"{value:.10g}")
