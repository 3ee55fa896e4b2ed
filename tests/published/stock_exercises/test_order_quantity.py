"""Stock: public exercises.

A managerial-accounting text, exercise 15.50, and an applied-calculus problem (both seen); Render, Stair and Hanna,
hardware warehouse (answers from memory; the text uses z = 1.65, exactly 1.645).
"""

from __future__ import annotations

from typing import Any

import pytest

from floorwright import catalogue


def run(**given: Any) -> dict[str, Any]:
    base = {"demand_sd": 0, "lead_time_mean": 1, "lead_time_sd": 0, "service_level": 0.5}
    return catalogue.calculation("reorder")(base | given).to_record("reorder")["results"]


@pytest.mark.parametrize(
    ("demand", "order", "holding", "quantity", "cost"), [(4800, 150, 4, 600, 2400), (10_000, 80, 10, 400, 4000)]
)
def test_economic_order_quantity(demand: float, order: float, holding: float, quantity: float, cost: float) -> None:
    found = run(demand_mean=demand, order_cost=order, holding_cost=holding)
    assert found["order_quantity"] == pytest.approx(quantity)
    assert found["cost_per_period"] == pytest.approx(cost)


def test_variable_lead_time() -> None:
    found = run(demand_mean=5, lead_time_mean=3, lead_time_sd=2, service_level=0.95)
    assert found["safety_stock"] == pytest.approx(16.5, abs=0.06)
    assert found["safety_stock"] == pytest.approx(16.45, abs=0.005)
    assert found["reorder_point"] == pytest.approx(31.5, abs=0.06)
