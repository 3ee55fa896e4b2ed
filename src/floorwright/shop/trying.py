"""What a gain would be worth under other assumptions; nothing is stored."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from floorwright.prove.sensitivity import Assumptions, Swing, net_worth, swings
from floorwright.shop.filed import checked, with_fields
from floorwright.shop.money import Money, money_of
from floorwright.shop.records import Improvement, Settings
from floorwright.shop.story import Story

GIVE_OR_TAKE: Final = 0.2  # of every assumption that nobody gave a range for; common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """A gain under the assumptions that are tried.

    Attributes:
        record, settings: with the assumptions in place.
        money: what the gain would be worth.
        worth: over its life, less the cost; None where no money is claimed.
        swings: what moves that worth, the most first; the saving over its measured interval, the others so much
            either way.
    """

    record: Improvement
    settings: Settings
    money: Money
    worth: float | None = None
    swings: tuple[Swing, ...] = ()


def tried(
    told: Story, fields: Mapping[str, Any], *, interest: float | None = None, give_or_take: float = GIVE_OR_TAKE
) -> Tried:
    """Try other assumptions.

    Args:
        told: the improvement as it stands.
        fields: of the improvement, with the values to try; "cost.material" is a field of a field.
        interest: a year; the shop's own unless told.
        give_or_take: how far every assumption but the saving is tried either way, as a fraction of it.

    Raises:
        InputError: listing every field that is wrong.
    """
    record = checked(Improvement, with_fields(told.record.model_dump(mode="json"), fields))
    settings = told.settings
    if interest is not None:
        settings = checked(Settings, settings.model_dump(mode="json") | {"interest": interest})
    money = money_of(record, told.proofs, settings)
    given = _assumptions(record, settings, money)
    if given is None:
        return Tried(record=record, settings=settings, money=money)
    ranges = _ranges(given, money, give_or_take)
    return Tried(
        record=record, settings=settings, money=money, worth=net_worth(given), swings=swings(given, ranges)
    )


def _assumptions(record: Improvement, settings: Settings, money: Money) -> Assumptions | None:
    """What the worth rests on; None where no money is claimed."""
    saved, rate, cost = money.saved_s, money.rate, record.cost
    if money.outcome is None or saved is None or rate is None or cost is None or money.one_off is None:
        return None
    return Assumptions(
        saved_s=saved.central_si,
        events_per_year=record.events_per_year or 0.0,
        share_used=record.share_used,
        labour_rate=float(rate.per_hour),
        cost=float(money.one_off),
        upkeep=float(cost.upkeep_per_year),
        life_years=cost.life_years,
        interest=settings.interest,
    )


def _ranges(given: Assumptions, money: Money, give_or_take: float) -> dict[str, tuple[float, float]]:
    names = ("events_per_year", "share_used", "labour_rate", "cost", "upkeep", "life_years", "interest")
    ranges = {}
    for name in names:
        value = getattr(given, name)
        if value:
            ranges[name] = (value * (1 - give_or_take), value * (1 + give_or_take))
    if "share_used" in ranges:
        ranges["share_used"] = (ranges["share_used"][0], min(ranges["share_used"][1], 1.0))
    if money.saved_s is not None:
        ranges["saved_s"] = (money.saved_s.low_si, money.saved_s.high_si)
    return ranges
