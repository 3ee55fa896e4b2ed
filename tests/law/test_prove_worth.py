"""What must hold for any flows: rates are roots, none is missed, and size does not matter."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from floorwright.prove.rates_of_return import rates_of_return
from floorwright.prove.worth import CALCULATION, payback

money = st.integers(-5000, 5000).map(float)
flows = st.lists(money, min_size=2, max_size=14)


def npv(series: list[float], rate: float) -> float:
    return math.fsum(flow / (1 + rate) ** t for t, flow in enumerate(series))


@given(flows)
def test_every_rate_makes_the_worth_zero(series: list[float]) -> None:
    for rate in rates_of_return(series):
        size = math.fsum(abs(flow) / (1 + rate) ** t for t, flow in enumerate(series))
        assert abs(npv(series, rate)) <= 1e-6 * size


@given(flows)
def test_the_sign_of_the_worth_changes_only_at_the_rates(series: list[float]) -> None:
    """On a fine grid between -60 % and 400 % each change of sign brackets a rate that was found."""
    rates = rates_of_return(series)
    grid = np.linspace(-0.6, 4.0, 700)
    worth = [npv(series, float(rate)) for rate in grid]
    for i in range(len(grid) - 1):
        if worth[i] * worth[i + 1] < 0 and min(abs(worth[i]), abs(worth[i + 1])) > 1e-6:
            assert any(grid[i] <= rate <= grid[i + 1] for rate in rates)


@given(st.lists(st.floats(0.02, 0.9), min_size=1, max_size=4, unique_by=lambda r: round(r, 2)))
def test_flows_built_from_rates_give_them_back(rates: list[float]) -> None:
    poly = np.array([1.0])
    for rate in rates:
        poly = np.convolve(poly, [-1.0, 1 + rate])
    found = rates_of_return([float(c) for c in poly])
    assert sorted(found) == pytest.approx(sorted(rates), abs=1e-6)


@given(flows, st.sampled_from([0.125, 4.0, 1024.0]))
def test_rates_do_not_depend_on_the_currency(series: list[float], factor: float) -> None:
    assert rates_of_return([flow * factor for flow in series]) == rates_of_return(series)


@given(flows)
def test_turning_every_sign_keeps_the_rates(series: list[float]) -> None:
    assert rates_of_return([-flow for flow in series]) == rates_of_return(series)


@given(flows, st.floats(0.0, 0.5))
def test_annual_worth_for_n_years_is_worth_as_much(series: list[float], rate: float) -> None:
    found = CALCULATION({"cash_flows": series, "rate": rate}).results
    level = [0.0] + [found["annual_worth"]] * (len(series) - 1)
    assert npv(level, rate) == pytest.approx(found["npv"], abs=1e-6)


@given(st.floats(1, 1e5), st.floats(1, 1e4), st.integers(1, 30))
def test_payback_of_a_level_saving_is_cost_over_saving(cost: float, saving: float, years: int) -> None:
    found = payback([-cost] + [saving] * years)
    if cost <= saving * years * (1 - 1e-9):
        assert found is not None
        assert found.years == pytest.approx(cost / saving)
    elif cost > saving * years * (1 + 1e-9):
        assert found is None
