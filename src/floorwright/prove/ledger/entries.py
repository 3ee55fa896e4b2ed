"""What goes into the ledger: levels measured on days, by improvement, work element and column."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Final, Literal

from floorwright.prove.ledger.reach import Reach

Moment = Literal["before", "after", "again"]
VerdictWord = Literal["proven", "likely", "not shown", "worse"]
UseOfTime = Literal["fewer hours paid", "more made", "overtime avoided", "nothing yet"]
RateBasis = Literal["wage", "burdened", "billing"]
Standing = Literal["banked", "freed", "hoped", "not shown"]

MONEY_USES: Final[tuple[UseOfTime, ...]] = ("fewer hours paid", "more made", "overtime avoided")
STANDINGS: Final[tuple[Standing, ...]] = ("banked", "freed", "hoped", "not shown")
MILLION: Final = 10**6


def millionths(value: float | Decimal) -> int:
    """A level as the ledger keeps it: whole millionths, rounded to the nearest."""
    return int((Decimal(str(value)) * MILLION).to_integral_value(ROUND_HALF_EVEN))


@dataclass(frozen=True, slots=True)
class Column:
    """What is counted in a column of the ledger.

    Attributes:
        name: "time", "lift index", "push force", "scratches", "floor space" ...
        unit: unit of the level.
        better: which way is better.
        adds_up: whether gains of different elements may be summed (square metres yes, lift indices no).
    """

    name: str
    unit: str
    better: Literal["lower", "higher"] = "lower"
    adds_up: bool = True


TIME: Final = Column("time", "s")


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """A labour rate: money an hour, and what it holds."""

    name: str
    basis: RateBasis
    per_hour: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A level measured on a day, in millionths of the column's unit per event."""

    on: dt.date
    moment: Moment
    level: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What one improvement did to one work element, in one column.

    Attributes:
        improvement: its number.
        element: the piece of work; two improvements that touch the same minutes name the same one.
        readings: its levels, in any order; nothing is posted before its first `after`.
        column: what is counted.
        events_per_year: how often it happens in a year; None where nobody has said.
        verdict: of its proof; None while there is none.
        use: what happens with the time; None until someone says.
        rate: the labour rate that values it.
        withdrawn_on: the day it was taken back.
        reach: how far the interval of its own comparison reaches about the gain per event, in units of the column;
            None where there is none.
        share_used: share of the saved time that is put to its use; money is claimed for this share alone.
    """

    improvement: int
    element: str
    readings: tuple[Reading, ...]
    column: Column = TIME
    events_per_year: Decimal | None = None
    verdict: VerdictWord | None = None
    use: UseOfTime | None = None
    rate: Rate | None = None
    withdrawn_on: dt.date | None = None
    reach: Reach | None = None
    share_used: Decimal = Decimal(1)

    @property
    def standing(self) -> Standing:
        """Banked, freed, hoped for, or not shown.

        Proven gains, and losses that were shown, count: banked where the time was turned into money, else freed.
        What is likely or has too few readings for a verdict is hoped for.
        """
        if self.verdict in ("proven", "worse"):
            return "banked" if self.use in MONEY_USES else "freed"
        return "not shown" if self.verdict == "not shown" else "hoped"
