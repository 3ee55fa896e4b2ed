"""What a proof and a gain say in words, the same on page, paper and terminal."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from floorwright.basis.estimate import Estimate
from floorwright.basis.quantity import UnitSystem, plain_number
from floorwright.basis.sentence import said, said_n
from floorwright.prove.ledger import Sum
from floorwright.shop.money import Money
from floorwright.shop.proof import Proof
from floorwright.shop.records import LabourRate, Settings
from floorwright.shop.showing import gain_text, unit_of

NO_MONEY: Final = said("no money claimed")
MINUS: Final = "\N{MINUS SIGN}"


def shown_unit(proof: Proof, system: UnitSystem) -> tuple[str, float]:
    """The unit in which a proof is shown, and the factor from SI: one for both sides and the difference."""
    sides = [side for side in (proof.before, proof.after) if side is not None and side.level is not None]
    return unit_of(proof.measure, system, size=max((abs(side.level or 0.0) for side in sides), default=0.0))


def change_text(proof: Proof, system: UnitSystem) -> str:
    """The difference with the interval that the verdict rests on; "" while there is none."""
    if proof.difference is None:
        return ""
    levels = [
        abs(side.level) for side in (proof.before, proof.after) if side is not None and side.level is not None
    ]
    return gain_text(proof.measure, proof.difference, proof.interval, system, size=max(levels, default=0.0))


def verdict_text(proof: Proof) -> str:
    """The verdict in words, with what limits it."""
    if proof.outcome is None:
        return "no verdict yet"
    word = proof.verdict
    if word is None:
        return "no verdict yet"
    if proof.held is False:
        return f"{word}, not held"
    if word == "proven" and proof.follow_up is not None and proof.follow_up.provisional:
        return "proven (provisional)"
    return word


def money_text(amount: float, currency: str) -> str:
    """Money without cents from a hundred on: "$1,840"."""
    sign = MINUS if amount < 0 else ""
    shown = f"{abs(amount):,.0f}" if abs(amount) >= 100 else f"{abs(amount):,.2f}"
    return f"{sign}{currency}{shown}"


def worth_text(money: Money, settings: Settings) -> str:
    """Worth a year with its range, or why no money is claimed."""
    if money.outcome is None:
        return f"{NO_MONEY}: {money.reason}"
    annual = money.outcome.results["annual"]
    low, mean, high = (money_text(annual[key], settings.currency) for key in ("p05", "mean", "p95"))
    hoped = " hoped for, not proven yet" if money.standing == "hoped" else ""
    return f"{mean} a year ({low} to {high}, nine times in ten){hoped}"


def payback_text(money: Money) -> str:
    """Payback with its range; "" where no money is claimed."""
    if money.outcome is None:
        return ""
    found = money.outcome.results["payback"]
    if found["p50"] is None:
        return said("it does not pay back within its life")
    if found["p05"] is None or found["p95"] is None:
        return said("{middle}, or not at all", middle=years_text(found["p50"]))
    low, middle, high = (years_text(found[key]) for key in ("p05", "p50", "p95"))
    return said("{middle} ({low} to {high})", low=low, middle=middle, high=high)


def years_text(years: float) -> str:
    """A span of years as a person says it: weeks, months or years."""
    if years < 1 / 6:
        return said_n("{n} week", "{n} weeks", max(1, round(years * 52)))
    if years < 2:
        return said_n("{n} month", "{n} months", round(years * 12))
    return said("{years} years", years=f"{years:.1f}")


def rate_text(rate: LabourRate | None, settings: Settings) -> str:
    """Which labour rate was used: "at the burdened rate of $38.20 an hour"."""
    if rate is None:
        return ""
    return said(
        "at the {basis} rate of {amount} an hour ({name})",
        basis=said(rate.basis.value),
        amount=f"{settings.currency}{rate.per_hour:.2f}",
        name=rate.name,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class SumText:
    """A sum of the ledger in words: hours a year, money, each with its interval in brackets.

    Attributes:
        hours: "125 h", and `hours_range`: "91 to 148"; "" where no interval can be given.
        money: "$4,280", and `money_range`; both "" under freed, where no money is claimed.
        missing: why there is no interval; "" where there is one, or nothing to count.
    """

    hours: str
    hours_range: str
    money: str
    money_range: str
    missing: str

    @property
    def hours_whole(self) -> str:
        """Hours with their interval: "125 h (91 to 148)"."""
        return _with_range(self.hours, self.hours_range)

    @property
    def money_whole(self) -> str:
        """Money with its interval: "$4,280 ($3,200 to $5,200)"."""
        return _with_range(self.money, self.money_range)


def _with_range(amount: str, inside: str) -> str:
    return f"{amount} ({inside})" if inside else amount


def sum_text(found: Sum, currency: str) -> SumText:
    """A sum of the ledger in words; no gain stands there without its interval, or the reason why it has none."""
    hours, money = found.hours_interval, found.money_interval
    claims = found.standing != "freed"
    missing = ""
    if found.without:
        one = len(found.without) == 1
        numbers = ", ".join(map(str, found.without))
        missing = (
            f"no interval: no{'' if one else 's'}. {numbers} {'has' if one else 'have'} too few readings for one"
        )
    return SumText(
        hours=f"{hours_number(float(found.hours))} h",
        hours_range="" if hours is None else f"{hours_number(hours.low)} to {hours_number(hours.high)}",
        money=money_text(float(found.money), currency) if claims else "",
        money_range=f"{money_text(money.low, currency)} to {money_text(money.high, currency)}"
        if claims and money is not None
        else "",
        missing=missing,
    )


def hours_number(hours: float) -> str:
    """Hours without decimals, from a hundred on with thousands parted; below ten with one."""
    shown = f"{abs(hours):,.1f}" if 0 < abs(hours) < 10 else f"{abs(hours):,.0f}"
    return f"{MINUS}{shown}" if hours < 0 and shown.strip("0.") else shown


def hours_text(hours: Estimate | None) -> str:
    """Hours a year with their interval: "82 h a year (65 to 99)"; "" where unknown."""
    if hours is None:
        return ""
    mean, low, high = (plain_number(value, 2) for value in (hours.central_si, hours.low_si, hours.high_si))
    return said("{mean} h a year ({low} to {high})", mean=mean, low=low, high=high)
