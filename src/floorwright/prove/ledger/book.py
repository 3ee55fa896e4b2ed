"""The ledger of all improvements: lines, and sums of what is banked, freed and hoped for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from floorwright.basis.stat.intervals import Interval
from floorwright.prove.ledger.cents import to_cents
from floorwright.prove.ledger.entries import (
    MILLION,
    MONEY_USES,
    STANDINGS,
    TIME,
    Column,
    Entry,
    Rate,
    RateBasis,
    Standing,
)
from floorwright.prove.ledger.postings import Posting, post
from floorwright.prove.ledger.reach import NOTHING, Reach, together


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """What stands in the name of one improvement on one element, in one column.

    Attributes:
        gain: per event, in millionths of the unit; below 0 for a loss.
        events_per_year: of the element, the same for all improvements on it; None where nobody has said.
        per_year: gain times events a year, in units; None where nobody has said how often.
        hours_per_year: for time only.
        money_per_year: in whole cents; None where no money is claimed. Lines add up to the total.
        at_rate_per_year: what the hours would be at the rate, claimed or not.
        shares_with: other improvements that touch the same element.
        reach: how far the interval of the gain per event reaches about it, in units; None where nothing tells.
    """

    entry: Entry
    gain: int
    events_per_year: Decimal | None
    per_year: Decimal | None
    hours_per_year: Decimal | None
    money_per_year: Decimal | None
    at_rate_per_year: Decimal | None
    shares_with: tuple[int, ...] = ()
    reach: Reach | None = None

    @property
    def standing(self) -> Standing:
        """As the entry's."""
        return self.entry.standing

    @property
    def hours_reach(self) -> Reach | None:
        """How far the interval of the hours a year reaches about them; None where nothing tells."""
        if self.reach is None or self.events_per_year is None:
            return None
        return self.reach.times(float(self.events_per_year) / 3600)

    @property
    def money_reach(self) -> Reach | None:
        """The same for the money that is claimed, at a rate that is taken as known."""
        hours, rate = self.hours_reach, self.entry.rate
        if hours is None or rate is None:
            return None
        return hours.times(float(rate.per_hour * self.entry.share_used))

    @property
    def hours_interval(self) -> Interval | None:
        """The interval of the hours a year."""
        if self.hours_per_year is None or self.hours_reach is None:
            return None
        return self.hours_reach.about(float(self.hours_per_year))


@dataclass(frozen=True, slots=True, kw_only=True)
class ElementSum:
    """One element in one column: its first level, its last one, and the gain between them, in millionths."""

    element: str
    column: Column
    first: int
    last: int
    gain: int
    improvements: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sum:
    """What stands under one standing, a year or in a month.

    Attributes:
        standing: banked, freed, hoped or not shown.
        hours: hours of time.
        money: money that is claimed.
        at_rate: what the hours would be at their labour rates, claimed or not.
        hours_interval, money_interval: of the two, at the confidence of the measurements (`reach`); None where a
            part has none, or where nothing stands under the standing.
        without: improvements whose gain has no interval.
    """

    standing: Standing
    hours: Decimal
    money: Decimal
    at_rate: Decimal
    hours_interval: Interval | None = None
    money_interval: Interval | None = None
    without: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """The ledger on a day.

    Attributes:
        postings: every step of every level, by day.
        lines: one for each improvement, element and column with a posting.
        elements: one for each element and column with a posting.
        sums: of time a year, one for each standing: banked, freed, hoped, not shown. They are never added up.
        rates: the labour rates that were used, each once.
        notes: sentences that a reader of the figures needs.
    """

    postings: tuple[Posting, ...]
    lines: tuple[Line, ...]
    elements: tuple[ElementSum, ...]
    sums: tuple[Sum, ...]
    rates: tuple[Rate, ...]
    notes: tuple[str, ...] = ()

    def sum(self, standing: Standing) -> Sum:
        """The sum of one standing."""
        return next(each for each in self.sums if each.standing == standing)

    def lines_of(self, improvement: int) -> tuple[Line, ...]:
        """The lines of one improvement."""
        return tuple(line for line in self.lines if line.entry.improvement == improvement)

    def rate_sentence(self, currency: str = "") -> str:
        """Which labour rate stands behind the figures, said once; "" where none was used."""
        if not self.rates:
            return ""
        named = "; ".join(
            f"{rate.name}, {currency}{rate.per_hour:.2f} an hour ({_BASIS[rate.basis]})" for rate in self.rates
        )
        return f"Labour rate{'s' if len(self.rates) > 1 else ''}: {named}."


_BASIS: Final[dict[RateBasis, str]] = {
    "wage": "the wage alone",
    "burdened": "the wage with its burden",
    "billing": "what the customer is billed",
}


def ledger(entries: Iterable[Entry]) -> Ledger:
    """Bring all entries into one ledger; the order in which they are given does not matter.

    Raises:
        ValueError: when an improvement stands twice on the same element and column.
    """
    groups = _groups(entries)
    postings: list[Posting] = []
    elements: list[ElementSum] = []
    drafts: list[_Draft] = []
    notes: list[str] = []
    for (element, column), members in sorted(groups.items(), key=lambda item: (item[0][0], item[0][1].name)):
        first, posted = post(members)
        if not posted:
            continue
        total = sum(each.gain for each in posted)
        last = first - total if column.better == "lower" else first + total
        named = tuple(sorted({each.improvement for each in posted}))
        elements.append(
            ElementSum(element=element, column=column, first=first, last=last, gain=total, improvements=named)
        )
        postings += posted
        frequency, note = _frequency(members, element)
        notes += note
        for entry in members:
            if entry.improvement in named:
                gain = sum(each.gain for each in posted if each.improvement == entry.improvement)
                others = tuple(number for number in named if number != entry.improvement)
                drafts.append(_Draft(entry, gain, frequency, others))
    lines = _lines(drafts)
    rates = tuple(dict.fromkeys(line.entry.rate for line in lines if line.at_rate_per_year and line.entry.rate))
    if len({rate.basis for rate in rates}) > 1:
        notes.append("The figures rest on labour rates of different kinds, which do not compare.")
    return Ledger(
        postings=tuple(sorted(postings, key=lambda each: (each.on, each.improvement))),
        lines=lines,
        elements=tuple(elements),
        sums=tuple(_sum(standing, lines) for standing in STANDINGS),
        rates=rates,
        notes=tuple(notes),
    )


def _groups(entries: Iterable[Entry]) -> dict[tuple[str, Column], list[Entry]]:
    groups: dict[tuple[str, Column], list[Entry]] = {}
    for entry in sorted(entries, key=lambda each: each.improvement):
        group = groups.setdefault((entry.element, entry.column), [])
        if group and group[-1].improvement == entry.improvement:
            raise ValueError(f"improvement {entry.improvement} stands twice on '{entry.element}'")
        group.append(entry)
    return groups


def _frequency(members: Sequence[Entry], element: str) -> tuple[Decimal | None, list[str]]:
    """How often an element happens: as the improvement measured last says; a note where they do not agree."""
    said = [
        (max((r.on for r in each.readings), default=dt.date.min), each.improvement, each.events_per_year)
        for each in members
        if each.events_per_year is not None
    ]
    if not said:
        return None, []
    chosen = max(said)[2]
    differ = len({events for _, _, events in said}) > 1
    note = (
        f"'{element}' is said to happen {_listed(sorted({e for _, _, e in said}))} times a year; "
        f"all its gains are counted with the latest, {chosen.normalize():f}."
    )
    return chosen, [note] if differ else []


def _listed(numbers: Sequence[Decimal]) -> str:
    return " and ".join(f"{number.normalize():f}" for number in numbers)


@dataclass(frozen=True, slots=True)
class _Draft:
    entry: Entry
    gain: int
    events: Decimal | None
    others: tuple[int, ...]

    @property
    def hours(self) -> Fraction | None:
        """Hours a year, exactly; None where they cannot be said."""
        return None if self.events is None or self.entry.column is not TIME else _hours(self.gain, self.events)

    @property
    def value(self) -> Fraction | None:
        """Hours a year at the labour rate, exactly; None without hours or rate."""
        hours, rate = self.hours, self.entry.rate
        return None if hours is None or rate is None else hours * Fraction(rate.per_hour)

    @property
    def claimed(self) -> Fraction | None:
        """The share of that value that is put to use and counts as money; None where none is claimed."""
        claims = self.entry.standing in ("banked", "hoped") and self.entry.use in MONEY_USES
        return self.value * Fraction(self.entry.share_used) if claims and self.value is not None else None


def _hours(gain: int, events: Decimal) -> Fraction:
    return Fraction(gain, MILLION * 3600) * Fraction(events)


def hours_of(gain: int, line: Line) -> Fraction:
    """Hours a year that a gain of so many millionths of a second brings at the frequency of the line, exactly."""
    return Fraction(0) if line.events_per_year is None else _hours(gain, line.events_per_year)


def claimed_of(gain: int, line: Line) -> Fraction:
    """The part of the hours at the labour rate that is claimed as money, exactly."""
    return (
        value_of(gain, line) * Fraction(line.entry.share_used) if line.money_per_year is not None else Fraction(0)
    )


def value_of(gain: int, line: Line) -> Fraction:
    """The same hours at the labour rate of the line, exactly; 0 without a rate."""
    rate = line.entry.rate
    return Fraction(0) if rate is None else hours_of(gain, line) * Fraction(rate.per_hour)


def _lines(drafts: Sequence[_Draft]) -> tuple[Line, ...]:
    valued = _in_cents(drafts, [draft.value for draft in drafts])
    claimed = _in_cents(drafts, [draft.claimed for draft in drafts])
    return tuple(_line(*each) for each in zip(drafts, valued, claimed, strict=True))


def _in_cents(drafts: Sequence[_Draft], amounts: Sequence[Fraction | None]) -> list[Decimal | None]:
    """Each standing's sum is rounded once, and its parts to it."""
    found: list[Decimal | None] = [None] * len(drafts)
    for standing in STANDINGS:
        chosen = [
            (i, amount)
            for i, (draft, amount) in enumerate(zip(drafts, amounts, strict=True))
            if draft.entry.standing == standing and amount is not None
        ]
        for (i, _), cents in zip(chosen, to_cents([amount for _, amount in chosen]), strict=True):
            found[i] = cents
    return found


def _line(draft: _Draft, value: Decimal | None, claimed: Decimal | None) -> Line:
    hours = draft.hours
    # What was withdrawn and given back whole is known to be nothing.
    gone = draft.entry.withdrawn_on is not None and draft.gain == 0
    return Line(
        entry=draft.entry,
        gain=draft.gain,
        events_per_year=draft.events,
        per_year=None if draft.events is None else Decimal(draft.gain) / MILLION * draft.events,
        hours_per_year=None if hours is None else _decimal(hours),
        money_per_year=claimed,
        at_rate_per_year=value,
        shares_with=draft.others,
        reach=NOTHING if gone else draft.entry.reach,
    )


def _decimal(value: Fraction) -> Decimal:
    return Decimal(value.numerator) / Decimal(value.denominator)


def _sum(standing: Standing, lines: Sequence[Line]) -> Sum:
    own = [line for line in lines if line.standing == standing and line.entry.column is TIME]
    zero = Decimal(0)
    hours = sum((line.hours_per_year or zero for line in own), zero)
    money = sum((line.money_per_year or zero for line in own), Decimal("0.00"))
    timed = [line for line in own if line.hours_per_year is not None]
    paid = [line for line in own if line.money_per_year is not None]
    return Sum(
        standing=standing,
        hours=hours,
        money=money,
        at_rate=sum((line.at_rate_per_year or zero for line in own), Decimal("0.00")),
        hours_interval=interval_of(hours, [line.hours_reach for line in timed]),
        money_interval=interval_of(money, [line.money_reach for line in paid]),
        without=tuple(sorted({line.entry.improvement for line in timed if line.hours_reach is None})),
    )


def interval_of(total: Decimal | Fraction, parts: Sequence[Reach | None]) -> Interval | None:
    """The interval of a sum; None where there is no part, or one whose reach is not known."""
    reach = together(parts) if parts else None
    return None if reach is None else reach.about(float(total))
