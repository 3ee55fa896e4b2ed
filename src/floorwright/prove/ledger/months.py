"""The ledger month by month: what has come in so far, day by day since each change was measured."""

from __future__ import annotations

import calendar
import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from floorwright.prove.ledger.book import Ledger, Sum, hours_of, value_of
from floorwright.prove.ledger.cents import to_cents
from floorwright.prove.ledger.entries import TIME, Standing


@dataclass(frozen=True, slots=True, kw_only=True)
class Month:
    """One calendar month, with what came in under each standing."""

    first_day: dt.date
    sums: tuple[Sum, ...]

    def sum(self, standing: Standing) -> Sum:
        """The sum of one standing."""
        return next(each for each in self.sums if each.standing == standing)


def by_month(book: Ledger, until: dt.date) -> tuple[Month, ...]:
    """From the month of the first posting to the day `until`, each day bringing its share of the year.

    A step counts from the day on which it was measured, with the standing and frequency that the ledger has
    now. The months of one standing add up to their total to the cent.
    """
    times = [posting for posting in book.postings if posting.column is TIME and posting.on <= until]
    if not times:
        return ()
    starts = list(_months(min(posting.on for posting in times), until))
    lines = {(line.entry.improvement, line.entry.element): line for line in book.lines if line.entry.column is TIME}
    columns = []
    for each in book.sums:
        hours = [Fraction(0)] * len(starts)
        value = [Fraction(0)] * len(starts)
        claimed = [Fraction(0)] * len(starts)
        for posting in times:
            line = lines[posting.improvement, posting.element]
            if line.standing != each.standing:
                continue
            for i, start in enumerate(starts):
                share = _share_of_year(posting.on, start, until)
                hours[i] += share * hours_of(posting.gain, line)
                value[i] += share * value_of(posting.gain, line)
                claimed[i] += share * value_of(posting.gain, line) if line.money_per_year is not None else 0
        columns.append(_sums(each.standing, hours, claimed, value))
    return tuple(
        Month(first_day=start, sums=row) for start, row in zip(starts, zip(*columns, strict=True), strict=True)
    )


def _sums(standing: Standing, hours: list[Fraction], claimed: list[Fraction], value: list[Fraction]) -> list[Sum]:
    return [
        Sum(standing=standing, hours=Decimal(h.numerator) / Decimal(h.denominator), money=money, at_rate=at_rate)
        for h, money, at_rate in zip(hours, to_cents(claimed), to_cents(value), strict=True)
    ]


def _months(first: dt.date, until: dt.date) -> Iterator[dt.date]:
    day = first.replace(day=1)
    while day <= until:
        yield day
        day = _next(day)


def _next(first_day: dt.date) -> dt.date:
    return (first_day + dt.timedelta(days=31)).replace(day=1)


def _share_of_year(since: dt.date, month: dt.date, until: dt.date) -> Fraction:
    """The part of the year's days that lie in the month, from `since` to `until`."""
    begin = max(since, month)
    end = min(until + dt.timedelta(days=1), _next(month))
    year = 366 if calendar.isleap(month.year) else 365
    return Fraction(max((end - begin).days, 0), year)
