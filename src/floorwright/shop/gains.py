"""The shop's gain ledger: every proof as entries, so that no minute is counted twice."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Final

from floorwright.prove.ledger import TIME, Column, Entry, Ledger, Rate, Reach, Reading, ledger, millionths
from floorwright.prove.ledger import Moment as LedgerMoment
from floorwright.shop.ports import Shop
from floorwright.shop.proof import Proof, Side
from floorwright.shop.records import LabourRate, Measure, MeasureKind
from floorwright.shop.showing import DIMENSION, unit_of
from floorwright.shop.story import Story, stories

_NAMES: Final = {
    MeasureKind.LIFT: "lifting index",
    MeasureKind.FORCE: "push force",
    MeasureKind.SPACE: "floor space",
    MeasureKind.DENSITY: "pieces on the floor",
    MeasureKind.WEIGHT: "material",
    MeasureKind.DISTANCE: "walking",
}


def gains(shop: Shop) -> Ledger:
    """The ledger of the whole shop as it stands today."""
    return ledger_of(shop, stories(shop))


def ledger_of(shop: Shop, found: Sequence[Story]) -> Ledger:
    """The ledger of stories that have been told already."""
    names = _Elements(found)
    book = ledger(entry for told in found for entry in entries_of(told, names, _dropped_on(shop, told)))
    return replace(book, notes=(*book.notes, *names.notes(book)))


class _Elements:
    """The piece of work whose minutes an improvement touches; two that touch the same minutes get one name.

    What a `work_element` names is the same whatever its capitals and spaces. Without one, times of the same name
    in the same area are taken for the same minutes: to count them once is the safe side.
    """

    def __init__(self, found: Iterable[Story]) -> None:
        told = [(each, measure) for each in found for measure in each.record.measures if measure.saves_time]
        self._named = {
            (_plain(each.record.area), _plain(each.record.work_element))
            for each, _ in told
            if each.record.work_element
        }
        self._shown: dict[tuple[str, str], str] = {}
        self._areas = {_plain(each.record.area): each.record.area for each, _ in told}
        self._guessed: set[tuple[str, str]] = set()
        for each, measure in told:
            key = self._key(each, measure)
            self._shown.setdefault(key, self._name(each, measure))
            if not each.record.work_element:
                self._guessed.add(key)

    def __call__(self, told: Story, measure: Measure) -> str:
        """The element of a measure, as the ledger names it."""
        key = self._key(told, measure)
        return self._full(key)

    def notes(self, book: Ledger) -> Iterator[str]:
        """What was taken for granted where nobody named the work element."""
        guessed = {self._full(key) for key in self._guessed}
        for each in book.elements:
            if each.column is TIME and len(each.improvements) > 1 and each.element in guessed:
                numbers = ", ".join(map(str, each.improvements))
                yield (
                    f"Nos. {numbers} time '{each.element}' in one area, so its minutes are counted once; "
                    "name a work_element in each if they are not the same work."
                )

    def _full(self, key: tuple[str, str]) -> str:
        """The name as written, with its area where another area has one of the same name."""
        area, name = key
        twins = sum(1 for _, other in self._shown if other == name)
        return self._shown[key] if twins == 1 or not area else f"{self._shown[key]} ({self._areas[area]})"

    def _name(self, told: Story, measure: Measure) -> str:
        return " ".join((told.record.work_element or measure.element or measure.name).split())

    def _key(self, told: Story, measure: Measure) -> tuple[str, str]:
        name, area = _plain(self._name(told, measure)), _plain(told.record.area)
        named = bool(told.record.work_element) or (area, name) in self._named
        return ("", name) if named else (area, name)


def _plain(text: str) -> str:
    return " ".join(text.split()).casefold()


def _dropped_on(shop: Shop, told: Story) -> dt.date | None:
    """The day on which an improvement was dropped, from its history; None while it is alive."""
    if not told.record.dropped:
        return None
    with shop.work() as work:
        for version in reversed(work.records.history("improvement", told.filed.id)):
            if any(change.path == "dropped" for change in version.changes):
                return version.at.date()
    return told.today


def entries_of(told: Story, names: _Elements, dropped_on: dt.date | None) -> Iterator[Entry]:
    """What one improvement brings to the ledger: its seconds, and every gain that is not money."""
    for proof in told.proofs:
        if proof.before is None or proof.after is None or not proof.before.n or not proof.after.n:
            continue
        measure = proof.measure
        if not measure.saves_time and measure.kind is MeasureKind.TIMES:
            continue  # time that is not counted as saved stands with its proof alone
        per_unit = 1.0
        if measure.saves_time and measure.kind is MeasureKind.DISTANCE:
            per_unit = 1 / told.settings.walking_speed_m_s
        elif measure.kind is MeasureKind.SHARES:
            per_unit = 100.0  # its column is in per cent
        yield Entry(
            improvement=told.filed.id,
            element=names(told, measure) if measure.saves_time else f"{measure.name} (no. {told.filed.id})",
            readings=tuple(_readings(proof, per_unit)),
            column=TIME if measure.saves_time else _column(measure),
            events_per_year=_events(told) if measure.saves_time else None,
            verdict="not shown" if proof.held is False else proof.verdict,
            use=told.record.use_of_time.value if told.record.use_of_time and told.record.share_used else None,
            rate=_rate(told.money.rate),
            withdrawn_on=dropped_on,
            reach=_reach(proof, per_unit),
            share_used=Decimal(str(told.record.share_used)),
        )


def _reach(proof: Proof, per_unit: float) -> Reach | None:
    """How far the interval of the gain per event reaches about it, by the comparison with the latest level."""
    if proof.before is None or proof.after is None:
        return None
    outcome, per_si = proof.outcome, proof.shown_per_si
    if proof.again_outcome is not None and proof.again is not None:
        outcome, per_si = proof.again_outcome, proof.again_per_si
    span = None if outcome is None else outcome.results["verdict_interval"]
    if outcome is None or span is None or span.low_si is None or span.high_si is None:
        return None
    factor = per_unit / per_si
    middle = float(outcome.results["verdict_difference"])
    # A gain lies below 0 where lower is better; below it then lies what the difference has above.
    down, up = middle - span.low_si, span.high_si - middle
    below, above = (up, down) if proof.measure.better == "lower" else (down, up)
    return Reach(below=max(below, 0.0) * factor, above=max(above, 0.0) * factor)


def _column(measure: Measure) -> Column:
    unit = DIMENSION[measure.kind].si if measure.kind in DIMENSION else unit_of(measure, "si")[0]
    return Column(
        name=_NAMES.get(measure.kind, measure.name),
        unit=unit,
        better=measure.better,
        adds_up=measure.kind in (MeasureKind.SPACE, MeasureKind.WEIGHT),
    )


def _events(told: Story) -> Decimal | None:
    events = told.record.events_per_year
    return None if events is None else Decimal(str(events))


def _rate(rate: LabourRate | None) -> Rate | None:
    return None if rate is None else Rate(name=rate.name, basis=rate.basis.value, per_hour=rate.per_hour)


def _readings(proof: Proof, per_unit: float) -> Iterator[Reading]:
    sides: tuple[tuple[LedgerMoment, Side | None], ...] = (
        ("before", proof.before),
        ("after", proof.after),
        ("again", proof.again),
    )
    for moment, side in sides:
        if side is not None and side.level is not None and side.last_day is not None:
            yield Reading(on=side.last_day, moment=moment, level=millionths(side.level * per_unit))
