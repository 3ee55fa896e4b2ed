"""Learning curves far out, and what they refuse."""

from __future__ import annotations

from math import fsum, log

import pytest

from asking import complaints, outcome
from floorwright.observe.learning import learned, sum_of_powers
from formula import check_working


@pytest.mark.parametrize("exponent", [-0.0, -0.1520, -0.3219, -0.9999, -1.0, -1.0001, -2.5])
@pytest.mark.parametrize("n", [1, 2, 999, 1000, 1001, 20_000])
def test_sum_agrees_with_adding_up(exponent: float, n: int) -> None:
    assert sum_of_powers(exponent, n) == pytest.approx(fsum(k**exponent for k in range(1, n + 1)), rel=1e-14)


def test_a_million_units_one_by_one() -> None:
    b = log(0.8) / log(2)
    assert learned(1.0, 0.8, 1_000_000, "unit").total == pytest.approx(
        fsum(k**b for k in range(1, 1_000_001)), rel=1e-13
    )


def test_harmonic_sum() -> None:
    """1 + 1/2 + ... + 1/1,000,000 = 14.392726722865..., a well-known value."""
    assert sum_of_powers(-1.0, 1_000_000) == pytest.approx(14.392726722865, abs=1e-12)


def test_unit_of_the_cumulative_model_far_out_does_not_cancel() -> None:
    """For large n unit n takes (1 + b) of the average; total(n) - total(n - 1) in floats would lose 9 digits."""
    found = learned(100.0, 0.9, 10**9, "cumulative")
    assert found.unit_time == pytest.approx((1 + found.exponent) * found.cumulative_average, rel=1e-8)


def test_no_learning_at_all() -> None:
    for model in ("unit", "cumulative"):
        found = learned(7.0, 1.0, 5, model)  # type: ignore[arg-type]
        assert (found.unit_time, found.cumulative_average, found.total) == pytest.approx((7, 7, 35))


@pytest.mark.parametrize("unit", [1, 2, 17])
def test_working_of_the_cumulative_model(unit: int) -> None:
    given = {"first_unit": "2 h", "rate": "85 %", "unit": unit, "model": "cumulative"}
    assert check_working(outcome("learning", given).working) == 4


def test_bad_input() -> None:
    found = complaints("learning", {"first_unit": "0 s", "rate": "120 %", "unit": 1.5, "model": "wright"})
    assert "it should be more than 0 s" in found["first_unit"]
    assert "is 1.2; it should be 1 or less" in found["rate"]
    assert "it should be a whole number" in found["unit"]
    assert "it should be 'unit' or 'cumulative'" in found["model"]


def test_cumulative_rate_of_a_half_is_refused() -> None:
    given = {"first_unit": "2 h", "rate": "50 %", "unit": 3, "model": "cumulative"}
    assert "in the cumulative model it should be above 0.5" in complaints("learning", given)["rate"]
