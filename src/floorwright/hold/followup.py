"""When a proven gain is measured again: 30 and 90 days after the proof, and how that stands today.

A proof is provisional until both measurements are in: people settle into a change, and slide back from it, over
weeks. The two dates are common practice, no source.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

from floorwright.basis.sentence import Sentence, said

AFTER_DAYS: Final = (30, 90)
EARLY_DAYS: Final = 7
"""A measurement up to a week before its date counts for it."""
OVERDUE_DAYS: Final = 14
"""From two weeks past its date a missing measurement is overdue."""

State = Literal["measured", "waiting", "due", "overdue"]


@dataclass(frozen=True, slots=True, kw_only=True)
class DueDate:
    """One date on which to measure again.

    Attributes:
        after_days: days after the proof.
        due_on: the date.
        measured_on: the first day on which a measurement for it was made; None while there is none.
        state: measured, waiting (its date lies ahead), due, or overdue.
    """

    after_days: int
    due_on: dt.date
    measured_on: dt.date | None
    state: State


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowUp:
    """How the repeated measurements of a proven gain stand on a given day.

    Attributes:
        proven_on: day of the proof.
        dates: the dates on which to measure again, in order.
    """

    proven_on: dt.date
    dates: tuple[DueDate, ...]

    @property
    def next(self) -> DueDate | None:
        """The first date that is still without a measurement; None when all are in."""
        return next((date for date in self.dates if date.measured_on is None), None)

    @property
    def provisional(self) -> bool:
        """Whether the proof still waits for a measurement."""
        return self.next is not None

    @property
    def sentence(self) -> Sentence:
        """What to do next, in one sentence."""
        open_date = self.next
        if open_date is None:
            return said(
                "Measured again {days} days after the proof; nothing more is due.", days=_days_text(self.dates)
            )
        when, days = open_date.due_on.isoformat(), open_date.after_days
        if open_date.state == "waiting":
            return said("Provisional: measure again on {when}, {days} days after the proof.", when=when, days=days)
        if open_date.state == "due":
            return said("Measure again now: the {days}-day measurement was due on {when}.", when=when, days=days)
        return said("Measure again now: the {days}-day measurement is overdue since {when}.", when=when, days=days)


def _days_text(dates: tuple[DueDate, ...]) -> Sentence:
    first, second = (date.after_days for date in dates)
    return said("{first} and {second}", first=first, second=second)


def due_dates(proven_on: dt.date) -> tuple[dt.date, ...]:
    """The dates on which to measure again, 30 and 90 days after the proof."""
    return tuple(proven_on + dt.timedelta(days=days) for days in AFTER_DAYS)


def follow_up(proven_on: dt.date, today: dt.date, measured_again: Iterable[dt.date] = ()) -> FollowUp:
    """How the repeated measurements stand today.

    A date is met by the first measurement made on it, later, or up to a week before it. So a first
    repeat after 85 days meets both dates: it says more than one after 30 days would have.

    Args:
        proven_on: day of the proof (the last reading it rests on).
        today: the day to judge from.
        measured_again: days with repeated readings, in any order; those up to the proof are left out.
    """
    days = sorted(day for day in measured_again if proven_on < day <= today)
    return FollowUp(
        proven_on=proven_on,
        dates=tuple(
            _stand(after, due_on, today, days)
            for after, due_on in zip(AFTER_DAYS, due_dates(proven_on), strict=True)
        ),
    )


def _stand(after_days: int, due_on: dt.date, today: dt.date, days: list[dt.date]) -> DueDate:
    from_day = due_on - dt.timedelta(days=EARLY_DAYS)
    measured_on = next((day for day in days if day >= from_day), None)
    state: State
    if measured_on is not None:
        state = "measured"
    elif today < due_on:
        state = "waiting"
    elif today < due_on + dt.timedelta(days=OVERDUE_DAYS):
        state = "due"
    else:
        state = "overdue"
    return DueDate(after_days=after_days, due_on=due_on, measured_on=measured_on, state=state)
