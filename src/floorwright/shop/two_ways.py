"""The intervals of a difference between before and after, two ways, and which of them the verdict rests on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

from floorwright.basis.outcome import Span
from floorwright.shop.proof import Proof, plan_was_kept
from floorwright.shop.records import Settings
from floorwright.shop.words import shown_unit

_ONCE: Final = "holds when the number of readings was fixed beforehand and you look once"
_RANKS: Final = "holds as the fixed one, and no odd reading carries it away"
_OFTEN: Final = "holds however often you look"


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One interval of after minus before.

    Attributes:
        name: of the interval, with its confidence.
        low, high: its ends in `unit`; None for no limit.
        early: whether it is too early for one.
        unit: of both ends.
        holds: when it holds.
        decides: whether the verdict rests on it.
    """

    name: str
    low: float | None
    high: float | None
    early: bool
    unit: str
    holds: str
    decides: bool


def two_ways(proof: Proof, settings: Settings) -> Iterator[Way]:
    """The intervals of a comparison, the fixed one first; none while there is no comparison."""
    if proof.outcome is None:
        return
    unit, factor = shown_unit(proof, settings.units)
    scale = factor / proof.shown_per_si
    percent = f"{100 * settings.confidence:g} %"
    found, decides = proof.outcome.results, _rests_on(proof)
    by_ranks = found["reported"] == "rank"

    def way(name: str, span: Span | None, holds: str, *, decides: bool) -> Way:
        low, high = (None, None) if span is None else (span.low_si, span.high_si)
        return Way(
            name=name,
            low=None if low is None else low * scale,
            high=None if high is None else high * scale,
            early=span is None,
            unit=unit,
            holds=holds,
            decides=decides,
        )

    yield way(f"fixed, {percent}", found["interval"], _ONCE, decides=decides == "fixed" and not by_ranks)
    if by_ranks:
        span = found["rank_test"]["shift_interval"]
        yield way(f"fixed, by ranks, {percent}", span, _RANKS, decides=decides == "fixed")
    yield way(f"always valid, {percent}", found["anytime_interval"], _OFTEN, decides=decides == "anytime")


def _rests_on(proof: Proof) -> Literal["fixed", "anytime"]:
    """Which interval the verdict rests on: what is proven without a plan asks for the always-valid one."""
    planned = proof.after is not None and plan_was_kept(proof.measure, proof.after.n)
    return "anytime" if proof.verdict == "proven" and not planned else "fixed"
