"""What moves the worth most? One assumption at a time goes to the ends of its range, the others stay put.

Worth here is the net present value, a closed form: (s n w u / 3600 - U) a(i, L) - C with the annuity factor a. The
bars, longest first, make what is called a tornado chart. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from floorwright.prove.gain import annuity_factor


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumptions:
    """What the worth of a gain rests on.

    Attributes:
        saved_s: seconds saved each time.
        events_per_year: how often that happens.
        share_used: share of the time that is put to use.
        labour_rate: money an hour.
        cost: money to make the change.
        upkeep: money a year.
        life_years: years it lasts.
        interest: a year, as a fraction.
    """

    saved_s: float
    events_per_year: float
    share_used: float
    labour_rate: float
    cost: float
    upkeep: float
    life_years: float
    interest: float


def annual_worth(given: Assumptions) -> float:
    """What is saved in a year, after upkeep."""
    hours = given.saved_s * given.events_per_year / 3600
    return hours * given.share_used * given.labour_rate - given.upkeep


def net_worth(given: Assumptions) -> float:
    """The net present value: what is saved over its life, discounted, less the cost."""
    return annual_worth(given) * float(annuity_factor(given.interest, given.life_years)) - given.cost


@dataclass(frozen=True, slots=True, kw_only=True)
class Swing:
    """What one assumption does to the worth.

    Attributes:
        name: of the assumption.
        low, high: ends of its range.
        worth_low, worth_high: the worth with the assumption at either end, in the same order.
    """

    name: str
    low: float
    high: float
    worth_low: float
    worth_high: float

    @property
    def width(self) -> float:
        """How far the two lie apart."""
        return abs(self.worth_high - self.worth_low)


def swings(given: Assumptions, ranges: Mapping[str, tuple[float, float]]) -> tuple[Swing, ...]:
    """What each assumption with a range does to the net present value, the one that moves it most first.

    Args:
        given: the assumptions as they stand.
        ranges: field of `Assumptions` -> low and high end.
    """
    found = [
        Swing(
            name=name,
            low=low,
            high=high,
            worth_low=net_worth(replace(given, **{name: low})),
            worth_high=net_worth(replace(given, **{name: high})),
        )
        for name, (low, high) in ranges.items()
    ]
    return tuple(sorted(found, key=lambda each: (-each.width, FIELDS.index(each.name))))


FIELDS: Final = tuple(Assumptions.__dataclass_fields__)
