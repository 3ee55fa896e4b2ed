"""`gain`: every way to write a range, the same seed, what never pays back, and what falls below zero."""

from __future__ import annotations

import tracemalloc
from typing import Any

import pytest
from scipy import stats

from floorwright.basis.errors import InputError
from floorwright.basis.outcome import Outcome
from floorwright.prove.gain import CALCULATION, CHUNK
from floorwright.prove.worth import CALCULATION as WORTH

FIXED: dict[str, Any] = {
    "per_event_saving": 36.0,
    "events_per_year": 1000,
    "labour_rate": 40,
    "cost": 900,
    "upkeep": 100,
    "life_years": 4,
    "rate": 0.1,
}


def gain(**changed: Any) -> Outcome:
    return CALCULATION(FIXED | changed)


def test_plain_numbers_give_one_answer_that_agrees_with_worth() -> None:
    found = gain().results  # 36 s x 1000 = 10 h; 10 h x 40 - 100 = 300 a year
    assert found["annual"] == {"mean": 300.0, "sd": 0.0, "p05": 300.0, "p50": 300.0, "p95": 300.0}
    npv = WORTH({"cash_flows": [-900, 300, 300, 300, 300], "rate": 0.1}).results["npv"]
    assert found["npv"]["p50"] == pytest.approx(npv)
    assert found["payback"]["mean"] == pytest.approx(3.0)
    assert found["chance_of_loss"] == 0.0 if npv >= 0 else 1.0


def test_the_same_seed_gives_the_same_answer_and_another_seed_does_not() -> None:
    spread = {"cost": {"low": 500, "likely": 900, "high": 1500}, "draws": 5000}
    first, second, other = (gain(**spread, seed=seed).results for seed in (4, 4, 5))
    assert first == second
    assert first["npv"] != other["npv"]


def test_draws_beyond_one_chunk_use_the_same_start() -> None:
    spread = {"cost": {"low": 500, "likely": 900, "high": 1500}, "seed": 2}
    one, more = gain(**spread, draws=CHUNK), gain(**spread, draws=2 * CHUNK)
    assert more.results["npv"]["mean"] == pytest.approx(one.results["npv"]["mean"], abs=2)
    assert more.results["npv"]["mean"] != one.results["npv"]["mean"]


@pytest.mark.parametrize(
    "saving",
    [
        {"mean": "36 s", "sd": "3 s"},
        {"mean": 36, "low": 36 - 3 * 1.959964, "high": 36 + 3 * 1.959964, "confidence": 0.95},
        {"mean": "0.6 min", "low": "33 s", "high": "39 s", "confidence": 2 * stats.norm.cdf(1) - 1},
    ],
)
def test_a_measured_interval_is_the_normal_spread_it_stands_for(saving: dict[str, Any]) -> None:
    found = gain(per_event_saving=saving, draws=400_000).results
    assert found["annual"]["mean"] == pytest.approx(300, rel=2e-3)
    assert found["annual"]["p05"] == pytest.approx(300 - 1.645 * 3 / 36 * 400, rel=6e-3)
    assert found["annual"]["p95"] == pytest.approx(300 + 1.645 * 3 / 36 * 400, rel=6e-3)


def test_chance_of_loss_is_that_of_the_normal_distribution() -> None:
    found = gain(cost={"mean": 950, "sd": 200}, draws=400_000).results
    worth = 300 * 3.169865446
    assert found["chance_of_loss"] == pytest.approx(stats.norm.sf((worth - 950) / 200), abs=3e-3)


def test_what_never_pays_back_leaves_the_mean_empty_and_is_said() -> None:
    found = gain(per_event_saving={"mean": 10, "sd": 6}, draws=20_000)
    payback = found.results["payback"]
    assert payback["mean"] is None
    assert payback["p95"] is None
    assert payback["p50"] is not None
    assert "never pay back" in found.warnings[0]
    nothing = gain(per_event_saving=-5).results
    assert nothing["payback"] == {"mean": None, "p05": None, "p50": None, "p95": None}
    assert nothing["chance_of_loss"] == 1.0
    assert nothing["chance_paid_back_in_life"] == 0.0


def test_normal_draws_below_zero_are_set_to_zero_and_counted() -> None:
    found = gain(upkeep={"mean": 50, "sd": 50}, draws=400_000)
    assert "upkeep: 16 % of the draws fell below 0" in found.warnings[0]
    clipped = {given.symbol: given.value for given in found.working.given}["U"]
    assert clipped == pytest.approx(50 + 50 * (stats.norm.pdf(1) - stats.norm.sf(1)))
    assert found.results["annual"]["mean"] == pytest.approx(400 - clipped, rel=1e-3)


def test_uncertain_life_and_rate() -> None:
    found = gain(life_years={"low": 2, "likely": 4, "high": 9}, rate={"low": 0, "likely": 0.05, "high": 0.15})
    assert found.results["npv"]["p05"] < found.results["npv"]["p50"] < found.results["npv"]["p95"]
    assert "NPV" not in {step.symbol for step in found.working.steps}


def test_a_free_change_pays_back_at_once() -> None:
    assert gain(cost=0).results["payback"]["mean"] == 0


def test_memory_grows_with_the_results_alone() -> None:
    spread = {
        "per_event_saving": {"low": 20, "likely": 36, "high": 60},
        "events_per_year": {"mean": 1000, "sd": 50},
        "labour_rate": {"low": 35, "likely": 40, "high": 48, "shape": "pert"},
    }
    tracemalloc.start()
    gain(**spread, draws=1_000_000)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 60e6  # three results of 8 MB, copies while sorting, one chunk


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"cost": {"low": 5, "likely": 3, "high": 9}}, "cost"),
        ({"cost": {"low": -5, "likely": 3, "high": 9}}, "cost.low"),
        ({"cost": {"mean": 5}}, "cost.sd"),
        ({"cost": {"low": 1, "likely": 2}}, "cost.high"),
        ({"cost": {"likely": 2, "most": 3}}, "cost"),
        ({"cost": "12 s"}, "cost"),
        ({"per_event_saving": {"mean": "3 kg", "sd": 1}}, "per_event_saving.mean"),
        ({"per_event_saving": {"mean": 3, "low": 4, "high": 5}}, "per_event_saving"),
        ({"upkeep": {"low": 1, "likely": 2, "high": 3, "shape": "round"}}, "upkeep.shape"),
        ({"life_years": 0}, "life_years"),
        ({"rate": "8 kg"}, "rate"),
        ({"draws": 1e12}, "draws"),
        ({"draws": 10.5}, "draws"),
        ({"seed": -1}, "seed"),
        ({"labour_rate": None}, "labour_rate"),
    ],
)
def test_bad_input_names_the_field(changed: dict[str, Any], field: str) -> None:
    with pytest.raises(InputError) as caught:
        gain(**changed)
    assert [problem.field for problem in caught.value.problems] == [field]


@pytest.mark.parametrize("rate", [8, {"low": 6, "likely": 8, "high": 9}, {"mean": 8, "sd": 1}])
def test_a_percentage_without_its_sign_is_warned_of(rate: Any) -> None:
    assert "rate: 8 means 800 % a year; write '8 %' for 8 per cent." in gain(rate=rate).warnings
    assert not any("a year; write" in warning for warning in gain(rate="8 %").warnings)
