"""What a gain is worth: seconds into hours, hours into money only when someone has said what happens with them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from typing import Any, Final, Literal

from floorwright import catalogue
from floorwright.basis.errors import InputError
from floorwright.basis.estimate import Estimate
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import TIME
from floorwright.basis.sentence import said
from floorwright.shop.proof import Proof
from floorwright.shop.records import Cost, Improvement, LabourRate, MeasureKind, Settings, Use

Standing = Literal["banked", "freed", "hoped", "none"]
MONEY_USES: Final = (Use.FEWER_HOURS, Use.MORE_MADE, Use.OVERTIME_AVOIDED)
DRAWS: Final = 20_000
SEED: Final = 1
_CENT: Final = Decimal("0.01")


@dataclass(frozen=True, slots=True, kw_only=True)
class Money:
    """What an improvement's gain is worth.

    Attributes:
        standing: banked (proven, and turned into money), freed (proven, nothing done with it yet), hoped
            (not proven yet), or none (no gain of time is claimed).
        reason: why no money is claimed; "" where it is.
        saved_s: seconds saved each time, with interval; None where nothing is known.
        hours_per_year: the same in hours a year; None without the number of times a year.
        rate: the labour rate used.
        one_off: cost of the change: building and standing still at that rate, and material.
        outcome: of the calculation `gain`; None where no money is claimed.
    """

    standing: Standing
    reason: str = ""
    saved_s: Estimate | None = None
    hours_per_year: Estimate | None = None
    rate: LabourRate | None = None
    one_off: Decimal | None = None
    outcome: Outcome | None = None


def money_of(record: Improvement, proofs: Sequence[Proof], settings: Settings) -> Money:
    """What the gain of an improvement is worth, from its proofs."""
    rate = settings.rate(record.labour_rate)
    one_off = None if record.cost is None else one_off_cost(record.cost, rate)
    proof = next((each for each in proofs if each.measure.saves_time), None)
    if proof is None:
        return Money(standing="none", reason=said("no measure of it saves time"), rate=rate, one_off=one_off)
    saved = saved_each_time(proof, settings)
    if saved is None:
        return Money(standing="none", reason=said("not measured before and after yet"), rate=rate, one_off=one_off)
    standing = _standing(record, proof)
    if standing == "none":
        reason = _no_gain(record, proof)
        return Money(standing="none", reason=reason, saved_s=saved, rate=rate, one_off=one_off)
    hours = None if record.events_per_year is None else _hours(saved, record.events_per_year)
    reason = _no_money(record, standing, rate)
    return Money(
        standing=standing,
        reason=reason,
        saved_s=saved,
        hours_per_year=hours,
        rate=rate,
        one_off=one_off,
        outcome=None if reason else _gain(record, saved, rate, one_off, settings),
    )


def _no_gain(record: Improvement, proof: Proof) -> str:
    """Why no gain of time is claimed."""
    if record.dropped:
        return said("it was dropped")
    name = proof.measure.name
    if proof.held is False:
        return said("the gain in '{name}' has not held", name=name)
    if proof.verdict == "worse":
        return said("'{name}' has got worse", name=name)
    if proof.verdict == "not shown":
        return said("'{name}' has no gain that is shown", name=name)
    return said("'{name}' has no verdict yet", name=name)


def saved_each_time(proof: Proof, settings: Settings) -> Estimate | None:
    """Seconds saved each time, from the difference of a time or of a walked distance; None while unknown."""
    if proof.difference is None or proof.interval is None:
        return None
    per_unit = 1 / settings.walking_speed_m_s if proof.measure.kind is MeasureKind.DISTANCE else 1.0
    low, high = proof.interval.low_si, proof.interval.high_si
    if low is None or high is None:
        return None
    return Estimate(
        central_si=-proof.difference * per_unit,
        low_si=-high * per_unit,
        high_si=-low * per_unit,
        confidence=settings.confidence,
        origin="measured",
        dimension=TIME,
    )


def one_off_cost(cost: Cost, rate: LabourRate | None) -> Decimal:
    """Material, and hours of building and of standing still at the labour rate (material alone without a rate)."""
    hours = Decimal(str(cost.building_hours)) + Decimal(str(cost.downtime_hours))
    labour = hours * rate.per_hour if rate is not None else Decimal(0)
    return (cost.material + labour).quantize(_CENT, ROUND_HALF_UP)


def _standing(record: Improvement, proof: Proof) -> Standing:
    if record.dropped or proof.held is False or proof.verdict not in ("proven", "likely"):
        return "none"
    if proof.verdict == "likely":
        return "hoped"
    return "banked" if record.use_of_time in MONEY_USES and record.share_used else "freed"


def _hours(saved: Estimate, events: float) -> Estimate:
    factor = events / 3600
    return Estimate(
        central_si=saved.central_si * factor,
        low_si=saved.low_si * factor,
        high_si=saved.high_si * factor,
        confidence=saved.confidence,
        origin="derived",
    )


def _no_money(record: Improvement, standing: Standing, rate: LabourRate | None) -> str:
    """Why no money is claimed; "" where it is."""
    if record.events_per_year is None:
        return said("nobody has said how often it happens in a year")
    if record.use_of_time is None:
        return said("nobody has said what happens with the time")
    if record.use_of_time is Use.NOTHING_YET or not record.share_used:
        return said("nothing is done with the time yet")
    if rate is None:
        return said("the shop has no labour rate")
    if record.cost is None:
        return said("nobody has said what the change costs")
    return "" if standing in ("banked", "hoped") else said("the gain is not proven")


def _gain(
    record: Improvement, saved: Estimate, rate: LabourRate | None, one_off: Decimal | None, settings: Settings
) -> Outcome:
    if rate is None or record.cost is None or one_off is None or record.events_per_year is None:
        raise InputError.of("cost", None, "is missing; money is claimed only with cost, rate and times a year")
    used = record.share_used
    raw: dict[str, Any] = {
        "per_event_saving": {
            "mean": saved.central_si * used,
            "low": saved.low_si * used,
            "high": saved.high_si * used,
            "confidence": saved.confidence,
        },
        "events_per_year": record.events_per_year,
        "labour_rate": float(rate.per_hour),
        "cost": float(one_off),
        "upkeep": float(record.cost.upkeep_per_year),
        "life_years": record.cost.life_years,
        "rate": settings.interest,
        "draws": DRAWS,
        "seed": SEED,
    }
    found = catalogue.calculation("gain")(raw)
    return (
        found
        if used == 1
        else _saying(found, f"{used:.0%} of the time saved each time is put to use: s is that part")
    )


def _saying(outcome: Outcome, assumption: str) -> Outcome:
    working = replace(outcome.working, assumptions=(*outcome.working.assumptions, assumption))
    return replace(outcome, working=working)
