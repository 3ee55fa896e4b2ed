"""However wrong a device's clock is: no reading lies ahead, readings keep their distance, a right one stays."""

from __future__ import annotations

import datetime as dt

from hypothesis import given
from hypothesis import strategies as st

from floorwright.shop.device_clock import NOTED_AS, TOLERANCE, DeviceClock, same_but_for_the_clock
from floorwright.shop.records import Observation

NOW = dt.datetime(2026, 11, 20, 9, 0)
OFFS = st.timedeltas(dt.timedelta(days=-20_000), dt.timedelta(days=20_000))
AGES = st.lists(st.timedeltas(dt.timedelta(), dt.timedelta(days=30)), min_size=1, max_size=8)


def rows(times: list[dt.datetime]) -> list[Observation]:
    return [Observation(key=f"r{i}", taken_at=at, cycle=i + 1, value=1.0) for i, at in enumerate(times)]


@given(OFFS, OFFS, AGES)
def test_no_reading_lies_ahead_and_all_are_moved_alike(
    then: dt.timedelta, sent: dt.timedelta, ages: list[dt.timedelta]
) -> None:
    """Also where the clock was set between timing (`then` off) and sending (`sent` off)."""
    made_at = NOW + then
    timed = rows([made_at - age for age in ages])
    found = DeviceClock.seen(NOW + sent, NOW).readings(timed, made_at)
    assert all(row.taken_at <= NOW + TOLERANCE and row.taken_at.date() <= NOW.date() for row in found)
    moved = {old.taken_at - new.taken_at for old, new in zip(timed, found, strict=True)}
    assert len(moved) == 1
    (by,) = moved
    assert all(row.detail.get(NOTED_AS, 0) == round(by.total_seconds(), 3) for row in found)
    assert all(same_but_for_the_clock(old, new) for old, new in zip(timed, found, strict=True))


@given(st.timedeltas(-TOLERANCE, TOLERANCE), AGES)
def test_a_clock_that_is_nearly_right_changes_nothing(off: dt.timedelta, ages: list[dt.timedelta]) -> None:
    made_at = NOW + off
    timed = rows([made_at - age for age in ages])
    assert DeviceClock.seen(made_at, NOW).readings(timed, made_at) == timed


@given(OFFS, st.timedeltas(dt.timedelta(), dt.timedelta(days=30)))
def test_what_was_made_is_dated_when_it_was_made(off: dt.timedelta, age: dt.timedelta) -> None:
    clock = DeviceClock.seen(NOW + off, NOW)
    found = clock.moment(NOW + off - age)
    assert abs(found - (NOW - age)) <= TOLERANCE + dt.timedelta(seconds=1)
    assert found <= NOW
    assert clock.day((NOW + off).date(), NOW + off) == clock.moment(NOW + off).date()
