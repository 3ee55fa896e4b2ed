"""The gain ledger: no minute counted twice, freed apart from banked, what came back, what was withdrawn."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from floorwright.prove.ledger import Column, Entry, Rate, Reading, by_month, ledger, millionths, to_cents

WELDER = Rate(name="welding", basis="burdened", per_hour=Decimal("36.00"))
LIFT = Column("lift index", "", adds_up=False)
DENSITY = Column("pieces per square metre", "1/m2", better="higher")


def on(month: int, day: int = 1) -> dt.date:
    return dt.date(2026, month, day)


def entry(
    improvement: int, *levels: tuple[dt.date, Any, float], element: str = "load the brake", **more: Any
) -> Entry:
    readings = tuple(Reading(on=day, moment=moment, level=millionths(level)) for day, moment, level in levels)
    return Entry(
        improvement=improvement,
        element=element,
        readings=readings,
        **({"events_per_year": Decimal(1000), "verdict": "proven", "rate": WELDER} | more),
    )


FIRST = entry(1, (on(1), "before", 60.0), (on(2), "after", 50.0))
SECOND = entry(2, (on(3), "before", 50.0), (on(4), "after", 40.0))


def seconds(found: Any, improvement: int) -> float:
    return float(sum(line.gain for line in found.lines_of(improvement)) / 1e6)


def test_two_improvements_on_the_same_minutes_share_them() -> None:
    """Both measured against the untouched work: 20 s each by themselves, 30 s together."""
    cart = entry(1, (on(1), "before", 60.0), (on(2), "after", 40.0))
    labels = entry(2, (on(1, 5), "before", 60.0), (on(4), "after", 30.0))
    found = ledger([labels, cart])
    assert (seconds(found, 1), seconds(found, 2)) == (20.0, 10.0)
    (total,) = found.elements
    assert (total.first, total.last, total.gain) == (60_000_000, 30_000_000, 30_000_000)
    assert found.lines_of(1)[0].shares_with == (2,)


def test_what_slid_back_before_the_second_one_is_taken_from_the_first() -> None:
    found = ledger([entry(2, (on(3), "before", 55.0), (on(4), "after", 40.0)), FIRST])
    assert (seconds(found, 1), seconds(found, 2)) == (5.0, 15.0)
    assert [posting.kind for posting in found.postings] == ["gain", "reversal", "gain"]


def test_a_later_measurement_that_is_worse_is_a_reversal() -> None:
    again = entry(1, (on(1), "before", 60.0), (on(2), "after", 50.0), (on(5), "again", 58.0))
    found = ledger([again])
    assert seconds(found, 1) == 2.0
    assert [(posting.kind, posting.gain) for posting in found.postings] == [
        ("gain", 10_000_000),
        ("reversal", -8_000_000),
    ]


def test_something_that_made_it_worse_is_a_loss() -> None:
    found = ledger([entry(1, (on(1), "before", 60.0), (on(2), "after", 66.0), verdict="worse")])
    assert found.postings[0].kind == "loss"
    assert found.sum("freed").hours == Decimal("-6000") / 3600


def test_a_withdrawn_improvement_gives_its_gain_back() -> None:
    found = ledger([entry(1, (on(1), "before", 60.0), (on(2), "after", 50.0), withdrawn_on=on(5)), SECOND])
    assert (seconds(found, 1), seconds(found, 2)) == (0.0, 10.0)
    assert found.postings[-1].kind == "withdrawal"
    assert found.elements[0].last == 50_000_000


def test_readings_after_the_withdrawal_do_not_count() -> None:
    gone = entry(1, (on(1), "before", 60.0), (on(2), "after", 50.0), (on(6), "again", 45.0), withdrawn_on=on(5))
    assert seconds(ledger([gone]), 1) == 0.0


def test_banked_freed_hoped_and_not_shown_stay_apart() -> None:
    def one(number: int, **more: Any) -> Entry:
        return entry(number, (on(1), "before", 60.0), (on(2), "after", 24.0), element=f"e{number}", **more)

    found = ledger(
        [
            one(1, use="overtime avoided"),
            one(2, use="nothing yet"),
            one(3),
            one(4, verdict="likely", use="more made"),
            one(5, verdict="not shown", use="more made"),
            one(6, verdict=None),
        ]
    )
    assert [line.standing for line in found.lines] == ["banked", "freed", "freed", "hoped", "not shown", "hoped"]
    assert found.sum("banked").hours == 10
    assert found.sum("banked").money == Decimal("360.00")
    assert found.sum("freed").hours == 20
    assert found.sum("freed").money == 0
    assert found.sum("freed").at_rate == Decimal("720.00")
    assert found.sum("hoped").money == Decimal("360.00")
    assert [line.money_per_year for line in found.lines][1] is None
    assert found.sum("not shown").money == 0


def test_the_rate_is_named_once_with_what_it_holds() -> None:
    found = ledger([FIRST, SECOND])
    assert found.rate_sentence() == "Labour rate: welding, 36.00 an hour (the wage with its burden)."
    shop = Rate(name="shop", basis="billing", per_hour=Decimal("95.00"))
    other = entry(3, (on(1), "before", 9.0), (on(2), "after", 8.0), element="other", rate=shop)
    assert "do not compare" in ledger([FIRST, other]).notes[0]
    assert ledger([]).rate_sentence() == ""


def test_improvements_that_name_different_frequencies_are_counted_with_the_latest() -> None:
    found = ledger([FIRST, entry(2, (on(4), "after", 40.0), events_per_year=Decimal(1200))])
    assert found.elements[0].gain == 20_000_000
    assert sum(line.hours_per_year or 0 for line in found.lines) == pytest.approx(Decimal(24000) / 3600)
    assert "1000 and 1200 times a year" in found.notes[0]


def test_without_a_frequency_there_are_seconds_and_no_hours() -> None:
    (line,) = ledger([entry(1, (on(1), "before", 60.0), (on(2), "after", 50.0), events_per_year=None)]).lines
    assert line.gain == 10_000_000
    assert line.hours_per_year is None
    assert line.money_per_year is None


def test_gains_that_are_not_money_keep_their_own_columns() -> None:
    found = ledger(
        [
            entry(1, (on(1), "before", 1.84), (on(2), "after", 0.91), column=LIFT, use="more made"),
            entry(1, (on(1), "before", 6.0), (on(2), "after", 9.5), column=DENSITY, events_per_year=None),
            FIRST,
        ]
    )
    by_column = {total.column.name: total for total in found.elements}
    assert by_column["lift index"].gain == 930_000
    assert by_column["pieces per square metre"].gain == 3_500_000
    assert {line.entry.column.name: line.money_per_year for line in found.lines}["lift index"] is None
    assert found.sum("freed").hours == Decimal(10_000) / 3600


def test_nothing_is_posted_before_the_first_after() -> None:
    waiting = ledger([entry(1, (on(1), "before", 60.0)), entry(2, (on(1, 3), "before", 58.0))])
    assert waiting.lines == ()
    assert waiting.postings == ()


def test_the_same_improvement_twice_on_an_element_is_refused() -> None:
    with pytest.raises(ValueError, match="stands twice"):
        ledger([FIRST, FIRST])


def test_cents_add_up_to_the_rounded_total() -> None:
    thirds = [Fraction(10, 3)] * 3
    assert to_cents(thirds) == [Decimal("3.34"), Decimal("3.33"), Decimal("3.33")]
    assert to_cents([]) == []
    assert sum(to_cents([Fraction(-1, 3), Fraction(1, 7), Fraction(22, 7)])) == Decimal("2.95")


def test_lines_add_up_to_the_sum_to_the_cent() -> None:
    lines = [
        entry(number, (on(1), "before", 60.0), (on(2), "after", 59.9), element=f"e{number}", use="more made")
        for number in range(1, 8)
    ]
    found = ledger(lines)
    assert sum(line.money_per_year or 0 for line in found.lines) == found.sum("banked").money == Decimal("7.00")


def test_months_bring_their_share_of_the_year() -> None:
    book = ledger([entry(1, (on(1), "before", 60.0), (on(2, 15), "after", 24.0), use="more made")])
    months = by_month(book, dt.date(2026, 4, 10))
    assert [month.first_day for month in months] == [on(2), on(3), on(4)]
    days = [14, 31, 10]
    assert [float(month.sum("banked").hours) for month in months] == pytest.approx([10 * d / 365 for d in days])
    total = sum(month.sum("banked").money for month in months)
    assert total == round(Decimal(360) * 55 / 365, 2)
    assert by_month(book, on(2)) == ()


def test_months_after_a_reversal_bring_less() -> None:
    again = entry(1, (on(1), "before", 60.0), (on(2), "after", 24.0), (on(3), "again", 42.0))
    february, march = by_month(ledger([again]), dt.date(2026, 3, 31))
    assert float(february.sum("freed").hours) == pytest.approx(10 * 28 / 365)
    assert float(march.sum("freed").hours) == pytest.approx(5 * 31 / 365)
    assert march.sum("freed").money == 0
