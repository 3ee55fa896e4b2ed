"""The intervals of the ledger's sums: what they must always do, and how often they hold what is true.

The coverage is simulated: studies of two sides are drawn again and again, each gain gets its own interval, and
the sums of independent gains must hold the true sum about as often as their parts hold theirs.
"""

from __future__ import annotations

import datetime as dt
import math
from decimal import Decimal

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from floorwright.basis.stat.intervals import Interval, welch_difference
from floorwright.prove.ledger import Entry, Ledger, Rate, Reach, Reading, by_month, ledger, millionths

RATE = Rate(name="floor", basis="burdened", per_hour=Decimal("36.00"))


def entry(
    number: int, gain: float, reach: Reach | None, *, element: str = "", events: int = 3600, **more: object
) -> Entry:
    fields = {"verdict": "proven", "use": "fewer hours paid", "rate": RATE} | more
    return Entry(
        improvement=number,
        element=element or f"element {number}",
        readings=(
            Reading(on=dt.date(2026, 1, 5), moment="before", level=millionths(1000.0)),
            Reading(on=dt.date(2026, 2, 5), moment="after", level=millionths(1000.0 - gain)),
        ),
        events_per_year=Decimal(events),
        reach=reach,
        **fields,  # type: ignore[arg-type]
    )


def banked(*entries: Entry) -> Ledger:
    return ledger(entries)


def hours(book: Ledger) -> Interval:
    found = book.sum("banked").hours_interval
    assert found is not None
    return found


reaches = st.builds(Reach, below=st.floats(0, 50), above=st.floats(0, 50))
gains = st.floats(-100, 100)


@given(gain=gains, reach=reaches)
def test_the_sum_of_one_gain_has_the_interval_of_that_gain(gain: float, reach: Reach) -> None:
    interval = hours(banked(entry(1, gain, reach)))  # 3600 times a year: seconds become hours
    assert math.isclose(interval.low, gain - reach.below, abs_tol=1e-5)
    assert math.isclose(interval.high, gain + reach.above, abs_tol=1e-5)


@given(parts=st.lists(st.tuples(gains, reaches), min_size=2, max_size=6))
def test_a_sum_is_less_sure_than_each_part_and_surer_than_all_at_their_worst(
    parts: list[tuple[float, Reach]],
) -> None:
    interval = hours(banked(*(entry(i, gain, reach) for i, (gain, reach) in enumerate(parts, 1))))
    middle = sum(gain for gain, _ in parts)
    for end, reached in (
        (middle - interval.low, [reach.below for _, reach in parts]),
        (interval.high - middle, [reach.above for _, reach in parts]),
    ):
        assert end >= max(reached) - 1e-4
        assert end <= sum(reached) + 1e-4


@given(parts=st.lists(st.tuples(gains, reaches), min_size=2, max_size=5), seed=st.integers(0, 99))
def test_the_order_of_entry_changes_nothing(parts: list[tuple[float, Reach]], seed: int) -> None:
    entries = [entry(i, gain, reach) for i, (gain, reach) in enumerate(parts, 1)]
    shuffled = list(np.random.default_rng(seed).permutation(len(entries)))
    one, other = hours(banked(*entries)), hours(banked(*(entries[i] for i in shuffled)))
    assert (one.low, one.high) == (other.low, other.high)


def test_a_gain_without_an_interval_leaves_the_sum_without_one_and_is_named() -> None:
    found = banked(entry(1, 10.0, Reach(below=1.0, above=1.0)), entry(2, 5.0, None)).sum("banked")
    assert (found.hours_interval, found.money_interval, found.without) == (None, None, (2,))


def test_money_follows_the_hours_at_the_rate_and_the_share_that_is_used() -> None:
    book = banked(entry(1, 10.0, Reach(below=2.0, above=4.0), share_used=Decimal("0.5")))
    found = book.sum("banked")
    assert (found.hours, found.money, found.at_rate) == (Decimal(10), Decimal("180.00"), Decimal("360.00"))
    assert found.money_interval == Interval(180 - 36, 180 + 72)


def test_what_was_given_back_whole_is_known_to_be_nothing() -> None:
    gone = entry(1, 10.0, Reach(below=2.0, above=2.0), withdrawn_on=dt.date(2026, 3, 1))
    kept = entry(2, 10.0, Reach(below=2.0, above=2.0))
    assert hours(banked(gone, kept)) == Interval(8.0, 12.0)


def test_a_month_has_its_part_of_the_interval() -> None:
    book = banked(entry(1, 365.0, Reach(below=36.5, above=73.0)))
    months = by_month(book, dt.date(2026, 3, 31))
    march = months[-1].sum("banked")
    assert march.hours == Decimal(31)
    assert march.hours_interval is not None
    assert math.isclose(march.hours_interval.low, 31 - 3.1, abs_tol=1e-9)
    assert math.isclose(march.hours_interval.high, 31 + 6.2, abs_tol=1e-9)


def test_sums_hold_the_true_sum_as_often_as_their_confidence_says() -> None:
    """Three pieces of work of different size and spread, 20 readings a side, 2,000 shops."""
    dice = np.random.default_rng(20261125)
    truth = ((60.0, 18.0, 40.0, 9.0, 5000), (200.0, 70.0, 150.0, 40.0, 900), (15.0, 4.0, 14.0, 4.0, 20000))
    true_hours = sum((before - after) * events / 3600 for before, _, after, _, events in truth)
    held = 0
    shops = 2000
    for _ in range(shops):
        entries = []
        for number, (before, sd_b, after, sd_a, events) in enumerate(truth, 1):
            b, a = dice.normal(before, sd_b, 20), dice.normal(after, sd_a, 20)
            interval = welch_difference(b, a, 0.95)
            gain = float(b.mean() - a.mean())
            reach = Reach(below=interval.high + gain, above=-gain - interval.low)
            entries.append(entry(number, gain, reach, events=events))
        held += hours(ledger(entries)).contains(true_hours)
    assert 0.935 <= held / shops <= 0.965
