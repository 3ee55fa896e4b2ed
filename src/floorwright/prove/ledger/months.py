"""The ledger month by month: what has come in so far, day by day since each change was measured."""

from __future__ import annotations

import calendar
import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from floorwright.prove.ledger.book import Ledger, Line, Sum, claimed_of, hours_of, interval_of, value_of
from floorwright.prove.ledger.cents import to_cents
from floorwright.prove.ledger.entries import TIME, Standing
from floorwright.prove.ledger.postings import Posting
from floorwright.prove.ledger.reach import Reach


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
    now. The months of one standing add up to their total to the cent. The interval of a month is that of the gains
    in force in it, for the part of the year in which they were.
    """
    times = [posting for posting in book.postings if posting.column is TIME and posting.on <= until]
    if not times:
        return ()
    starts = list(_months(min(posting.on for posting in times), until))
    lines = {(line.entry.improvement, line.entry.element): line for line in book.lines if line.entry.column is TIME}
    columns = []
    for each in book.sums:
        own = [
            posting for posting in times if lines[posting.improvement, posting.element].standing == each.standing
        ]
        columns.append(_column(each.standing, own, lines, starts, until))
    return tuple(
        Month(first_day=start, sums=row) for start, row in zip(starts, zip(*columns, strict=True), strict=True)
    )


Lines = dict[tuple[int, str], Line]


def _column(
    standing: Standing, postings: Sequence[Posting], lines: Lines, starts: Sequence[dt.date], until: dt.date
) -> list[Sum]:
    """The months of one standing."""
    hours = [Fraction(0)] * len(starts)
    value = [Fraction(0)] * len(starts)
    claimed = [Fraction(0)] * len(starts)
    for posting in postings:
        line = lines[posting.improvement, posting.element]
        for i, start in enumerate(starts):
            share = _share_of_year(posting.on, start, until)
            hours[i] += share * hours_of(posting.gain, line)
            value[i] += share * value_of(posting.gain, line)
            claimed[i] += share * claimed_of(posting.gain, line)
    amounts = zip(starts, hours, to_cents(claimed), to_cents(value), strict=True)
    return [
        _sum(standing, time, money, at_rate, _in_force(postings, lines, start, until))
        for start, time, money, at_rate in amounts
    ]


InForce = list[tuple[Line, float]]


def _in_force(postings: Sequence[Posting], lines: Lines, start: dt.date, until: dt.date) -> InForce:
    """The lines that bring something in a month, each with the part of the year for which it does."""
    since: dict[tuple[int, str], dt.date] = {}
    for posting in postings:
        key = (posting.improvement, posting.element)
        since[key] = min(since.get(key, posting.on), posting.on)
    found = [(lines[key], float(_share_of_year(day, start, until))) for key, day in since.items()]
    return [(line, share) for line, share in found if share]


def _sum(standing: Standing, hours: Fraction, money: Decimal, at_rate: Decimal, in_force: InForce) -> Sum:
    def reach(found: Reach | None, share: float) -> Reach | None:
        return None if found is None else found.times(share)

    timed = [(line, share) for line, share in in_force if line.hours_per_year is not None]
    paid = [(line, share) for line, share in in_force if line.money_per_year is not None]
    return Sum(
        standing=standing,
        hours=Decimal(hours.numerator) / Decimal(hours.denominator),
        money=money,
        at_rate=at_rate,
        hours_interval=interval_of(hours, [reach(line.hours_reach, share) for line, share in timed]),
        money_interval=interval_of(money, [reach(line.money_reach, share) for line, share in paid]),
        without=tuple(sorted({line.entry.improvement for line, _ in timed if line.hours_reach is None})),
    )


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
