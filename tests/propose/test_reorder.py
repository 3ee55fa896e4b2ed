"""Reorder point: what varies, what is left out, messages."""

from __future__ import annotations

from typing import Any

import pytest

from asking import complaints, outcome, results
from formula import check_working

BASE: dict[str, Any] = {
    "demand_mean": 40,
    "demand_sd": 9,
    "lead_time_mean": 4,
    "lead_time_sd": 0.5,
    "service_level": "95 %",
}


def test_demand_and_lead_time_both_vary() -> None:
    """sd = sqrt(4 x 81 + 1600 x 0.25) = sqrt(724) = 26.907; z = 1.64485."""
    found = results("reorder", BASE)
    assert found["safety_stock"] == pytest.approx(1.644854 * 26.907248, rel=1e-6)
    assert found["reorder_point"] == pytest.approx(160 + 44.2585, abs=1e-3)
    assert found["order_quantity"] is None
    assert found["containers"] is None


def test_half_the_time_needs_no_safety_stock() -> None:
    assert results("reorder", BASE | {"service_level": 0.5})["safety_stock"] == pytest.approx(0)


def test_whole_containers_are_not_rounded_past() -> None:
    given = BASE | {"demand_sd": 0, "lead_time_sd": 0, "demand_mean": 0.1, "lead_time_mean": 30, "container": 1}
    assert results("reorder", given)["containers"] == 3


def test_prices_give_costs_and_a_full_working() -> None:
    found = outcome("reorder", BASE | {"order_cost": 18, "holding_cost": 0.04, "unit_cost": 2})
    assert found.results["order_quantity"] == pytest.approx((2 * 40 * 18 / 0.04) ** 0.5)
    assert found.results["stock_value"] == pytest.approx(2 * found.results["average_stock"])
    assert check_working(found.working) == 9


def test_warnings() -> None:
    assert "below 50 %" in outcome("reorder", BASE | {"service_level": 0.4}).warnings[0]
    assert "normal distribution fits poorly" in outcome("reorder", BASE | {"demand_sd": 60}).warnings[0]


@pytest.mark.parametrize(
    ("more", "field", "message"),
    [
        ({"order_cost": 18}, "holding_cost", "is missing; the order quantity needs it beside order_cost"),
        ({"holding_cost": 1}, "order_cost", "is missing; the order quantity needs it beside holding_cost"),
        ({"demand_mean": 0}, "demand_mean", "is 0; it should be more than 0"),
        ({"demand_sd": -1}, "demand_sd", "is -1; it should be 0 or more"),
        ({"service_level": 1}, "service_level", "is 1; it should be 0.999999 or less"),
        ({"service_level": 0}, "service_level", "is 0; it should be more than 0"),
        ({"container": 0}, "container", "it should be more than 0"),
        ({"demand_mean": "40"}, "demand_mean", "should be a bare number"),
    ],
)
def test_bad_input(more: dict[str, Any], field: str, message: str) -> None:
    assert message in complaints("reorder", BASE | more)[field]


def test_min_and_max_of_welding_rod_checked_every_five_days() -> None:
    """Own arithmetic: 12 a day, sd 4, lead and review 5 days each: 120 + 1.644854 x 4 x sqrt(10) = 140.81."""
    given = {
        "demand_mean": 12,
        "demand_sd": 4,
        "lead_time_mean": 10,
        "lead_time_sd": 0,
        "service_level": 0.95,
        "container": 20,
    }
    found = results("reorder", given)
    assert found["reorder_point"] == pytest.approx(140.80594, abs=5e-6)
    assert found["containers"] * 20 == 160
