"""Gains on one element sum to its first before minus its last after, in whatever order they were entered."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from fractions import Fraction
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from floorwright.prove.ledger import STANDINGS, Entry, Rate, Reading, by_month, ledger, to_cents

START = dt.date(2026, 1, 1)
levels = st.integers(0, 200_000_000)


@st.composite
def histories(draw: st.DrawFn) -> list[Entry]:
    """Improvements on one element, one after the other: before, after, perhaps again, on rising days."""
    day = START
    entries = []
    for number in range(1, draw(st.integers(1, 6)) + 1):
        readings = []
        for moment in ("before", "after", "again"):
            if moment == "after" or number == 1 or draw(st.booleans()):
                day += dt.timedelta(days=draw(st.integers(1, 40)))
                readings.append(Reading(on=day, moment=moment, level=draw(levels)))
        entries.append(
            Entry(
                improvement=number,
                element="drill",
                readings=tuple(readings),
                events_per_year=Decimal(draw(st.integers(1, 50_000))),
                verdict=draw(st.sampled_from(["proven", "likely", "not shown", "worse", None])),
                use=draw(st.sampled_from(["fewer hours paid", "nothing yet", None])),
                rate=Rate(name="r", basis="wage", per_hour=Decimal("31.37")),
            )
        )
    return entries


@given(histories(), st.randoms(use_true_random=False))
def test_gains_sum_to_first_before_minus_last_after_in_any_order(entries: list[Entry], dice: Any) -> None:
    book = ledger(entries)
    shuffled = list(entries)
    dice.shuffle(shuffled)
    turned = []
    for each in shuffled:
        readings = list(each.readings)
        dice.shuffle(readings)
        turned.append(Entry(**{f: getattr(each, f) for f in each.__slots__} | {"readings": tuple(readings)}))
    other = ledger(turned)
    first = entries[0].readings[0].level
    last = max((r for each in entries for r in each.readings), key=lambda r: r.on).level
    assert sum(line.gain for line in book.lines) == first - last
    assert [(line.entry.improvement, line.gain, line.money_per_year) for line in book.lines] == [
        (line.entry.improvement, line.gain, line.money_per_year) for line in other.lines
    ]
    assert [(p.on, p.gain) for p in book.postings] == [(p.on, p.gain) for p in other.postings]
    assert book.sums == other.sums


@given(histories())
def test_hours_of_all_standings_are_the_gain_of_the_element(entries: list[Entry]) -> None:
    book = ledger(entries)
    total = sum((each.hours for each in book.sums), Decimal(0))
    (element,) = book.elements
    events = max(entries, key=lambda e: (max(r.on for r in e.readings), e.improvement)).events_per_year
    assert events is not None
    assert abs(total - Decimal(element.gain) / 10**6 * events / 3600) < Decimal("1e-15")


@given(histories(), st.integers(0, 900))
def test_months_add_up_to_the_cent(entries: list[Entry], days: int) -> None:
    book = ledger(entries)
    until = START + dt.timedelta(days=days)
    months = by_month(book, until)
    for standing in STANDINGS:
        exact = Fraction(0)
        for line in book.lines:
            if line.standing != standing or line.money_per_year is None or line.events_per_year is None:
                continue
            for posting in book.postings:
                if posting.improvement == line.entry.improvement and posting.on <= until:
                    per_day = (
                        Fraction(posting.gain, 3600 * 10**6) * Fraction(line.events_per_year) * Fraction("31.37")
                    )
                    for day in range((until - posting.on).days + 1):
                        year = (posting.on + dt.timedelta(days=day)).year
                        exact += per_day / (366 if year == 2028 else 365)
        shown = sum((month.sum(standing).money for month in months), Decimal(0))
        assert shown == Decimal(round(exact * 100)) / 100


@given(st.lists(st.fractions(-1000, 1000), max_size=12))
def test_rounded_parts_lie_within_a_cent_and_add_up(amounts: list[Fraction]) -> None:
    cents = to_cents(amounts)
    assert sum(cents, Decimal(0)) == Decimal(round(sum(amounts, Fraction(0)) * 100)) / 100
    assert all(abs(Fraction(shown) - exact) < Fraction(1, 100) for shown, exact in zip(cents, amounts, strict=True))
