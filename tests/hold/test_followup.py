"""When a proven gain is measured again, and how that stands on a given day."""

from __future__ import annotations

import datetime as dt

import pytest

from floorwright.hold.followup import due_dates, follow_up

PROVEN = dt.date(2026, 3, 2)


def day(after: int) -> dt.date:
    return PROVEN + dt.timedelta(days=after)


def test_dates_are_30_and_90_days_later_over_month_ends() -> None:
    assert due_dates(PROVEN) == (dt.date(2026, 4, 1), dt.date(2026, 5, 31))
    assert due_dates(dt.date(2028, 1, 30)) == (dt.date(2028, 2, 29), dt.date(2028, 4, 29))


@pytest.mark.parametrize(
    ("today", "first", "second"),
    [
        (0, "waiting", "waiting"),
        (29, "waiting", "waiting"),
        (30, "due", "waiting"),
        (43, "due", "waiting"),
        (44, "overdue", "waiting"),
        (90, "overdue", "due"),
        (104, "overdue", "overdue"),
    ],
)
def test_without_a_repeat_the_dates_become_due(today: int, first: str, second: str) -> None:
    stand = follow_up(PROVEN, day(today))
    assert [date.state for date in stand.dates] == [first, second]
    assert stand.provisional


def test_a_repeat_up_to_a_week_early_counts_and_no_earlier() -> None:
    assert follow_up(PROVEN, day(40), [day(23)]).dates[0].measured_on == day(23)
    assert follow_up(PROVEN, day(40), [day(22)]).dates[0].measured_on is None


def test_one_late_repeat_meets_both_dates() -> None:
    stand = follow_up(PROVEN, day(100), [day(85)])
    assert [date.state for date in stand.dates] == ["measured", "measured"]
    assert not stand.provisional
    assert stand.next is None
    assert "nothing more is due" in stand.sentence


def test_days_before_the_proof_or_after_today_do_not_count() -> None:
    stand = follow_up(PROVEN, day(30), [day(-3), day(0), day(31)])
    assert stand.dates[0].state == "due"


def test_the_sentence_says_what_to_do() -> None:
    assert (
        follow_up(PROVEN, day(1)).sentence == "Provisional: measure again on 2026-04-01, 30 days after the proof."
    )
    assert "was due on 2026-04-01" in follow_up(PROVEN, day(35)).sentence
    assert "90-day measurement is overdue since 2026-05-31" in follow_up(PROVEN, day(200), [day(31)]).sentence
