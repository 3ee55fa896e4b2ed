"""Intervals, the ratio and difference of rates, and power against statsmodels."""

from __future__ import annotations

import pytest
from statsmodels.stats.power import TTestIndPower, TTestPower
from statsmodels.stats.proportion import confint_proportions_2indep
from statsmodels.stats.rates import confint_poisson, confint_poisson_2indep
from statsmodels.stats.rates import test_poisson_2indep as poisson_2indep

from floorwright.basis.stat.rates import garwood, newcombe_difference, rate_difference
from floorwright.basis.stat.sample import means_each, pairs_needed, power_paired, power_two_means
from floorwright.basis.stat.tests import two_rates

RATES = [((60, 514.775), (30, 543.087)), ((3, 10.0), (9, 20.0)), ((4, 5.0), (0, 5.0)), ((120, 40.0), (60, 35.0))]


@pytest.mark.parametrize(("before", "after"), RATES)
def test_difference_of_rates_is_mover_on_exact_limits(before: tuple[int, float], after: tuple[int, float]) -> None:
    theirs = confint_poisson_2indep(*after, *before, method="mover", compare="diff", method_mover="exact-c")
    ours = rate_difference(before, after)
    assert (ours.low, ours.high) == pytest.approx(tuple(theirs), abs=1e-9)


@pytest.mark.parametrize(("before", "after"), RATES)
def test_exact_two_rate_test(before: tuple[int, float], after: tuple[int, float]) -> None:
    theirs = poisson_2indep(*after, *before, method="exact-cond")
    assert two_rates(before, after).p_value == pytest.approx(theirs.pvalue, rel=1e-9)


@pytest.mark.parametrize("events", [0, 1, 7, 250])
def test_garwood(events: int) -> None:
    ours = garwood(events, 12.5, 0.9)
    low, high = confint_poisson(events, 12.5, method="exact-c", alpha=0.1)
    assert (ours.low, ours.high) == pytest.approx((low if events else 0.0, high), rel=1e-10)


@pytest.mark.parametrize(("before", "after"), [((1, 34), (7, 34)), ((0, 20), (0, 30)), ((18, 20), (29, 30))])
def test_newcombe(before: tuple[int, int], after: tuple[int, int]) -> None:
    theirs = confint_proportions_2indep(*after, *before, method="newcomb", compare="diff", alpha=0.1)
    ours = newcombe_difference(before, after, 0.9)
    assert (ours.low, ours.high) == pytest.approx(theirs, abs=1e-10)


@pytest.mark.parametrize(("difference", "sd", "n"), [(0.5, 1.0, 30), (3.0, 7.5, 12), (10.0, 8.0, 9)])
def test_power(difference: float, sd: float, n: int) -> None:
    two = TTestIndPower().power(difference / sd, n, 0.05)
    assert power_two_means(difference, sd, n, n) == pytest.approx(two, abs=1e-8)
    one = TTestPower().power(difference / sd, n, 0.05)
    assert power_paired(difference, sd, n) == pytest.approx(one, abs=1e-8)


def test_numbers_needed() -> None:
    two = TTestIndPower().solve_power(0.6, power=0.8, alpha=0.05)
    assert means_each(0.6, 1.0, power=0.8).exact == pytest.approx(two, rel=1e-6)
    one = TTestPower().solve_power(0.6, power=0.8, alpha=0.05)
    assert pairs_needed(0.6, 1.0, power=0.8).exact == pytest.approx(one, rel=1e-6)
