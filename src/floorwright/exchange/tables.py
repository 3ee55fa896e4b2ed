"""The shop's lists as tables, headings and rows, whatever they are shown on or written to.

Every `..._table` is made of what was worked out already; `exported` works it out for one list of a shop. Physical
values are SI with the unit in the heading or beside them, those of improvements in the shop's own units.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any, Final

from floorwright.basis.stat.intervals import Interval
from floorwright.exchange.writing import observation_headings, observation_row
from floorwright.prove.ledger import Ledger, Month, Standing
from floorwright.prove.ledger import by_month as monthly
from floorwright.shop.due import Due, due
from floorwright.shop.filed import KINDS, SETTINGS_ID, Filed, load_all, load_settings
from floorwright.shop.gains import gains
from floorwright.shop.ports import HistoryEntry, Shop
from floorwright.shop.records import SI_UNIT, Improvement, MeasureKind, Observation, Settings, Study
from floorwright.shop.showing import unit_of
from floorwright.shop.story import Story, stories
from floorwright.shop.studies import StudyRow, study_rows

Rows = list[Sequence[Any]]
Table = tuple[list[str], Iterable[Sequence[Any]]]
"""Headings, and rows of as many cells."""


def exported(shop: Shop, what: str) -> Table:
    """One of the lists of a shop, by its name in `LISTS`."""
    return _LISTS[what](shop)


def improvements_table(told: Iterable[Story]) -> Table:
    """Every measure of every improvement, with what it shows and what the gain is worth."""
    headings = [
        "number", "title", "waste", "area", "place", "phase", "noticed by", "noticed on", "question", "change",
        "measure", "unit", "before", "after", "difference", "low", "high", "verdict", "standing", "hours a year",
        "worth a year", "one-off cost", "labour rate", "next step",
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


def gains_table(book: Ledger) -> Table:
    """What stands in the name of each improvement, and how it counts."""
    headings = [
        "improvement", "work element", "column", "unit", "counted as", "verdict", "gain", "events a year",
        "hours a year", "low", "high", "money a year", "at rate a year",
    ]  # fmt: skip
    rows: Rows = []
    for line in book.lines:
        entry = line.entry
        rows.append(
            [
                entry.improvement, entry.element, entry.column.name, entry.column.unit, line.standing,
                entry.verdict or "", line.gain / 1e6, line.events_per_year, line.hours_per_year,
                *_ends(line.hours_interval), line.money_per_year, line.at_rate_per_year,
            ]
        )  # fmt: skip
    return headings, rows


_STANDINGS: Final[tuple[Standing, ...]] = ("banked", "freed", "hoped")


def months_table(months: Iterable[Month]) -> Table:
    """What has come in, month by month; banked, freed and hoped for are never added up."""
    headings = ["month"]
    for standing in _STANDINGS:
        headings += [f"{standing} hours", f"{standing} low", f"{standing} high", f"{standing} money"]
    rows: Rows = []
    for month in months:
        cells: list[Any] = [month.first_day]
        for standing in _STANDINGS:
            found = month.sum(standing)
            cells += [found.hours, *_ends(found.hours_interval), found.money]
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


def choosing_table(given: Mapping[str, Any], results: Mapping[str, Any]) -> Table:
    """What could be done and what is chosen: input and results of the calculation `choose`."""
    headings = ["name", "chosen", "value", "cost", "hours", "needs", "excludes"]
    rows: Rows = [
        [
            each["name"],
            each["name"] in results["chosen"],
            each["value"],
            each["cost"],
            each.get("hours", 0.0),
            "; ".join(each.get("needs", ())),
            "; ".join(each.get("excludes", ())),
        ]
        for each in given["improvements"]
    ]
    return headings, rows


def distances_table(settings: Settings) -> Table:
    """The distance table of the shop."""
    rows: Rows = [[start, end, _tidy(metres)] for start, end, metres in settings.distances_m]
    return ["from", "to", "distance (m)"], rows


def _ends(interval: Interval | None) -> tuple[float | None, float | None]:
    return (None, None) if interval is None else (_tidy(interval.low), _tidy(interval.high))


def _tidy(value: float) -> float:
    """A number without the noise of its last bits, which a spreadsheet would show."""
    return float(f"{value:.10g}")


def _all_readings(shop: Shop) -> Iterator[tuple[Filed[Study], Observation]]:
    with shop.work() as work:
        for study in load_all(work, Study):
            for row in work.observations.stream(study.id):
                yield study, row


def _all_history(shop: Shop) -> Iterator[HistoryEntry]:
    with shop.work() as work:
        yield from work.records.history("settings", SETTINGS_ID)
        for kind in (KINDS[Improvement], KINDS[Study]):
            for number in work.records.versions(kind):
                yield from work.records.history(kind, number)


def _settings(shop: Shop) -> Settings:
    with shop.work() as work:
        return load_settings(work)


_LISTS: Final[dict[str, Callable[[Shop], Table]]] = {
    "improvements": lambda shop: improvements_table(stories(shop)),
    "studies": lambda shop: studies_table(study_rows(shop)),
    "readings": lambda shop: readings_table(_all_readings(shop)),
    "ledger": lambda shop: ledger_table(gains(shop)),
    "gains": lambda shop: gains_table(gains(shop)),
    "months": lambda shop: months_table(monthly(gains(shop), shop.clock.now().date())),
    "due": lambda shop: due_table(due(shop)),
    "history": lambda shop: history_table(_all_history(shop)),
    "distances": lambda shop: distances_table(_settings(shop)),
}
LISTS: Final = tuple(_LISTS)
"""The lists that a shop has."""
