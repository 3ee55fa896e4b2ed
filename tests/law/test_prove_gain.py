"""What must hold for any gain: more saving is never worth less, money scales, percentiles stand in order."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floorwright.prove.gain import CALCULATION

amounts = st.floats(1, 5000)


@st.composite
def ranges(draw: st.DrawFn) -> dict[str, Any]:
    low, likely, high = sorted(draw(st.lists(amounts, min_size=3, max_size=3)))
    return {"low": low, "likely": likely, "high": high, "shape": draw(st.sampled_from(["triangular", "pert"]))}


def gain(saving: Any, cost: Any, wage: float = 40.0, upkeep: float = 20.0, seed: int = 1) -> dict[str, Any]:
    raw = {
        "per_event_saving": saving,
        "events_per_year": 900,
        "labour_rate": wage,
        "cost": cost,
        "upkeep": upkeep,
        "life_years": 5,
        "rate": 0.08,
        "draws": 400,
        "seed": seed,
    }
    return dict(CALCULATION(raw).results)


@settings(max_examples=40)
@given(ranges(), ranges(), st.integers(0, 9))
def test_percentiles_stand_in_order(saving: dict[str, Any], cost: dict[str, Any], seed: int) -> None:
    found = gain(saving, cost, seed=seed)
    for name in ("annual", "npv", "payback"):
        one = found[name]
        never = float("inf")
        low, middle, high = (never if one[p] is None else one[p] for p in ("p05", "p50", "p95"))
        assert low <= middle <= high


@settings(max_examples=40)
@given(ranges(), ranges(), st.floats(0.1, 50))
def test_another_currency_scales_the_money_and_leaves_the_payback(
    saving: dict[str, Any], cost: dict[str, Any], factor: float
) -> None:
    plain = gain(saving, cost)
    scaled_cost = cost | {name: cost[name] * factor for name in ("low", "likely", "high")}
    scaled = gain(saving, scaled_cost, wage=40.0 * factor, upkeep=20.0 * factor)
    size = abs(plain["npv"]["p50"]) + 1
    assert scaled["npv"]["p50"] == pytest.approx(plain["npv"]["p50"] * factor, abs=1e-6 * size * factor)
    if plain["payback"]["p50"] is not None:
        assert scaled["payback"]["p50"] == pytest.approx(plain["payback"]["p50"], rel=1e-6)


@settings(max_examples=40)
@given(ranges(), amounts, st.floats(0, 100))
def test_a_dearer_change_is_worth_that_much_less(saving: dict[str, Any], cost: float, more: float) -> None:
    assert gain(saving, cost + more)["npv"]["mean"] == pytest.approx(
        gain(saving, cost)["npv"]["mean"] - more, abs=1e-4
    )
