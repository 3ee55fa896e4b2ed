"""The clock of a device against the shop's: where it is wrong, times are set right, and readings say how much."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Self

from floorwright.basis.sentence import said
from floorwright.shop.records import Observation

TOLERANCE: Final = dt.timedelta(minutes=2)
"""So far off a clock may be, and the message on its way, without anybody being told."""
NOTED_AS: Final = "device_clock_off_s"
"""The field of a reading's detail that says by how many seconds the device's clock was ahead of the shop's."""
_YEARS: Final = range(1970, 2170)


def usable(moment: dt.datetime) -> dt.datetime:
    """A local time from a device, however wrong its clock is, within what can be reckoned with.

    Raises:
        ValueError: a time zone, or a year that no clock shows.
    """
    if moment.tzinfo is not None:
        raise ValueError(said("should be the device's local time, without a time zone"))
    if moment.year not in _YEARS:
        raise ValueError(said("is in the year {year}; set the clock of the device", year=moment.year))
    return moment


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviceClock:
    """How a device's clock stands against the shop's.

    Attributes:
        off: how far it is ahead, to the second; nothing within the tolerance.
        now: the shop's time.
    """

    off: dt.timedelta
    now: dt.datetime

    @classmethod
    def seen(cls, device_time: dt.datetime | None, now: dt.datetime) -> Self:
        """From the time that the device says it is, now."""
        off = dt.timedelta(seconds=round((device_time - now).total_seconds())) if device_time else dt.timedelta()
        return cls(off=off if abs(off) > TOLERANCE else dt.timedelta(), now=now)

    def moment(self, made_at: dt.datetime) -> dt.datetime:
        """When something was made, by the shop's clock; never later than now."""
        return min(made_at - self.off, self.now).replace(microsecond=0)

    def day(self, typed: dt.date, made_at: dt.datetime) -> dt.date:
        """A day that was typed; the device's own today is the shop's day at that moment."""
        return self.moment(made_at).date() if typed == made_at.date() else typed

    def readings(self, rows: Sequence[Observation], made_at: dt.datetime) -> list[Observation]:
        """Readings with their times set right, all by the same amount, which is noted with each.

        A reading whose time was typed, ahead of the device's own clock, stays as it is, to be refused. Within the
        tolerance a reading may lie a little ahead of now, as long as it is of today.
        """

        def timed(row: Observation) -> bool:
            return row.taken_at.year in _YEARS and row.taken_at <= made_at + TOLERANCE

        latest = max((row.taken_at - self.off for row in rows if timed(row)), default=self.now)
        ahead = latest - self.now
        must = ahead > TOLERANCE or latest.date() > self.now.date()
        off = self.off + ahead if must else self.off
        if not off:
            return list(rows)
        return [_set_right(row, off) if timed(row) else row for row in rows]


def _set_right(row: Observation, off: dt.timedelta) -> Observation:
    noted = row.detail | {NOTED_AS: round(off.total_seconds(), 3)}
    return row.model_copy(update={"taken_at": row.taken_at - off, "detail": noted})


def same_but_for_the_clock(one: Observation, other: Observation) -> bool:
    """Whether two readings differ at most in what was set right, which differs from one message to the next."""

    def rest(row: Observation) -> Observation:
        detail = {name: value for name, value in row.detail.items() if name != NOTED_AS}
        return row.model_copy(update={"taken_at": one.taken_at, "detail": detail})

    return rest(one) == rest(other)
