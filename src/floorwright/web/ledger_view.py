"""The ledger of the shop as its page shows it: sums and months with their intervals, and where each gain stands."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from floorwright.basis.quantity import UnitSystem
from floorwright.draw.money import LedgerBar, ledger_bars
from floorwright.draw.picture import Picture, Size
from floorwright.prove.ledger import TIME, Ledger, Line, Standing, by_month
from floorwright.shop.records import Settings
from floorwright.shop.showing import BY_SI_UNIT, number_text, printed_unit
from floorwright.shop.words import MINUS, SumText, hours_number, money_text, sum_text

SAID: Final[dict[Standing, str]] = {
    "banked": "banked",
    "freed": "freed",
    "hoped": "hoped for",
    "not shown": "not shown",
}
COUNTED: Final[tuple[Standing, ...]] = ("banked", "freed", "hoped")
MONTHS_DRAWN: Final = 12
_WIDE, _NARROW = Size(640, 240), Size(346, 220)


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthRow:
    """A month: what came in under each standing, and the money that was banked."""

    name: str
    banked: SumText
    freed: SumText
    hoped: SumText


@dataclass(frozen=True, slots=True, kw_only=True)
class LineRow:
    """What stands in the name of one improvement on one piece of work.

    Attributes:
        improvement: its number.
        title: its title.
        standing: banked, freed, hoped for, not shown; "lost" where the gain is below zero.
        gain: each time, with its interval.
        hours: a year, with their interval.
        money: claimed a year; "" where none is.
    """

    improvement: int
    title: str
    standing: str
    gain: str
    hours: str
    money: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ElementRow:
    """A piece of work: its first and its last level, and the steps between them."""

    name: str
    first: str
    last: str
    lines: tuple[LineRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherRow:
    """A gain that is not money, with its interval."""

    name: str
    improvement: int
    gain: str
    verdict: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerPage:
    """Everything that the page of the ledger shows."""

    sums: dict[str, SumText]
    months: tuple[MonthRow, ...]
    so_far: str
    chart: Picture | None
    narrow: Picture | None
    elements: tuple[ElementRow, ...]
    others: tuple[OtherRow, ...]
    rates: str
    notes: tuple[str, ...]


def ledger_page(book: Ledger, titles: dict[int, str], settings: Settings, today: dt.date) -> LedgerPage:
    """The ledger in words and pictures."""
    currency = settings.currency
    months = by_month(book, today)
    bars = [
        LedgerBar(
            label=f"{each.first_day:%b}" if i and each.first_day.month > 1 else f"{each.first_day:%b %y}",
            banked=float(each.sum("banked").hours),
            freed=float(each.sum("freed").hours),
            hoped=float(each.sum("hoped").hours),
        )
        for i, each in enumerate(months[-MONTHS_DRAWN:])
    ]
    total = sum(each.sum("banked").money for each in months)
    return LedgerPage(
        sums={each.standing: sum_text(each, currency) for each in book.sums},
        months=tuple(
            MonthRow(
                name=f"{each.first_day:%B %Y}",
                banked=sum_text(each.sum("banked"), currency),
                freed=sum_text(each.sum("freed"), currency),
                hoped=sum_text(each.sum("hoped"), currency),
            )
            for each in reversed(months)
        ),
        so_far=money_text(float(total), currency) if months else "",
        chart=ledger_bars(bars, currency="", unit="hours", size=_WIDE) if bars else None,
        narrow=ledger_bars(bars[-6:], currency="", unit="hours", size=_NARROW) if bars else None,
        elements=tuple(_elements(book, titles, currency)),
        others=tuple(_others(book, settings.units)),
        rates=book.rate_sentence(currency),
        notes=book.notes,
    )


def _elements(book: Ledger, titles: dict[int, str], currency: str) -> Iterator[ElementRow]:
    for each in book.elements:
        if each.column is not TIME:
            continue
        lines = [line for line in book.lines if line.entry.column is TIME and line.entry.element == each.element]
        yield ElementRow(
            name=each.element,
            first=f"{number_text(each.first / 1e6)} s",
            last=f"{number_text(each.last / 1e6)} s",
            lines=tuple(_line(line, titles, currency) for line in lines),
        )


def _line(line: Line, titles: dict[int, str], currency: str) -> LineRow:
    number = line.entry.improvement
    gain = line.gain / 1e6
    hours, inside = "not said how often", ""
    if line.hours_per_year is not None:
        hours = f"{hours_number(float(line.hours_per_year))} h"
    if (interval := line.hours_interval) is not None:
        inside = f" ({hours_number(interval.low)} to {hours_number(interval.high)})"
    withdrawn = line.entry.withdrawn_on is not None
    return LineRow(
        improvement=number,
        title=titles.get(number, ""),
        standing="withdrawn" if withdrawn else SAID[line.standing] if line.gain >= 0 else "lost",
        gain=f"{_signed(gain)} s{_reach(line, gain, 1.0)}",
        hours=hours + inside,
        money="" if line.money_per_year is None else money_text(float(line.money_per_year), currency),
    )


def _reach(line: Line, gain: float, factor: float) -> str:
    if line.reach is None:
        return ", no interval"
    interval = line.reach.about(gain)
    return f" ({_signed(interval.low * factor)} to {_signed(interval.high * factor)})"


def _signed(value: float) -> str:
    return f"{MINUS}{number_text(-value)}" if value < 0 else number_text(value)


def _others(book: Ledger, system: UnitSystem) -> Iterator[OtherRow]:
    for line in book.lines:
        column = line.entry.column
        if column is TIME or line.entry.withdrawn_on is not None:
            continue
        dimension, gain = BY_SI_UNIT.get(column.unit), line.gain / 1e6
        unit, factor = column.unit, 1.0
        if dimension is not None:
            unit, factor = printed_unit(dimension, system), dimension.to_shown(1.0, system)
        yield OtherRow(
            name=column.name,
            improvement=line.entry.improvement,
            gain=f"{_signed(gain * factor)} {unit}{_reach(line, gain, factor)}",
            verdict=line.entry.verdict or "no verdict yet",
        )
