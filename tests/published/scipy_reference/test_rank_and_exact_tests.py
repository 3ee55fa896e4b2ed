"""Rank tests and exact tests: examples printed in the documentation of SciPy, and SciPy itself.

Darwin's maize pairs (Cureton, 1967; Fisher, The Design of Experiments, 1935), the small rank-test example,
weed seeds (Przyborowski and Wilenski, 1940), Chan's vaccine table (1998) and the Fisher table: seen in the
documentation. Fisher's t and p of the maize pairs are from memory.
"""

from __future__ import annotations

import numpy as np
import pytest
import scipy.stats as scipy_stats

from floorwright.basis.stat import quantiles, ranks, tests
from floorwright.basis.stat.rates import clopper_pearson, wilson
from floorwright.basis.stat.sample import power_two_means
from floorwright.basis.stat.series import lag1_autocorrelation, trend
from floorwright.basis.stat.summary import moments, quartiles, skewness

MAIZE = [6, 8, 14, 16, 23, 24, 28, 29, 41, -48, 49, 56, 60, -67, 75]


def test_darwins_maize_signed_ranks() -> None:
    result = tests.signed_rank_of(MAIZE)
    assert (result.rank_sum_up, result.rank_sum_down) == (96.0, 24.0)
    assert result.exact
    assert result.p_value == pytest.approx(0.041259766, abs=5e-10)


def test_darwins_maize_paired_t() -> None:
    result = tests.paired([0.0] * 15, MAIZE)
    assert result.t == pytest.approx(2.148, abs=5e-4)
    assert result.p_value == pytest.approx(0.0497, abs=5e-5)


def test_small_rank_example() -> None:
    result = tests.mann_whitney(before=[20, 11, 17, 12], after=[19, 22, 16, 29, 24])
    assert result.u == 17.0
    assert result.exact
    assert result.p_value == pytest.approx(0.1111111, abs=5e-8)


def test_small_rank_example_with_a_tie_is_approximate() -> None:
    before, after = [20, 11, 17, 12], [19, 22, 17, 29, 24]
    result = tests.mann_whitney(before, after)
    theirs = scipy_stats.mannwhitneyu(after, before, method="asymptotic")
    assert not result.exact
    assert result.p_value == pytest.approx(theirs.pvalue, rel=1e-12)


def test_weed_seeds() -> None:
    assert tests.two_rates((3, 100), (0, 100)).p_value == pytest.approx(0.25, abs=1e-12)


def test_chan_table_fisher() -> None:
    result = tests.two_proportions(before=(12, 15), after=(7, 15))
    assert result.p_lower == pytest.approx(0.064, abs=5e-4)


def test_fisher_table() -> None:
    assert tests.two_proportions(before=(1, 6), after=(8, 10)).p_value == pytest.approx(0.034965035, abs=5e-10)


@pytest.mark.parametrize(("n", "m"), [(1, 1), (3, 4), (5, 9), (12, 7), (20, 20)])
def test_mann_whitney_distribution(n: int, m: int) -> None:
    rng = np.random.default_rng(n * 100 + m)
    before, after = rng.normal(size=n), rng.normal(0.5, size=m)
    theirs = scipy_stats.mannwhitneyu(after, before, method="exact")
    ours = tests.mann_whitney(before, after)
    assert (ours.u, ours.p_value) == pytest.approx((theirs.statistic, theirs.pvalue), rel=1e-10)


def test_mann_whitney_of_long_series_with_ties() -> None:
    rng = np.random.default_rng(4)
    before, after = rng.integers(20, 40, 300).astype(float), rng.integers(19, 39, 200).astype(float)
    theirs = scipy_stats.mannwhitneyu(after, before)
    assert tests.mann_whitney(before, after).p_value == pytest.approx(theirs.pvalue, rel=1e-9)


@pytest.mark.parametrize("n", [4, 11, 30, 49])
def test_signed_rank_distribution(n: int) -> None:
    differences = np.random.default_rng(n).normal(0.3, 1.0, n)
    theirs = scipy_stats.wilcoxon(differences, method="exact")
    assert tests.signed_rank_of(differences).p_value == pytest.approx(theirs.pvalue, rel=1e-10)


def test_signed_rank_with_ties_and_zeros() -> None:
    differences = np.array([0, 1, 1, -2, 3, 3, 3, -1, 4, 5, 0, -2, 6, 2], dtype=float)
    theirs = scipy_stats.wilcoxon(differences, correction=True, method="asymptotic")
    ours = tests.signed_rank_of(differences)
    assert not ours.exact
    assert ours.pairs_used == 12
    assert ours.p_value == pytest.approx(theirs.pvalue, rel=1e-10)


@pytest.mark.parametrize(("successes", "trials"), [(0, 12), (1, 34), (7, 34), (50, 50), (26, 200)])
def test_intervals_of_a_proportion(successes: int, trials: int) -> None:
    theirs = scipy_stats.binomtest(successes, trials)
    for ours, method in ((wilson, "wilson"), (clopper_pearson, "exact")):
        interval = ours(successes, trials)
        reference = theirs.proportion_ci(method=method)
        assert (interval.low, interval.high) == pytest.approx((reference.low, reference.high), abs=1e-12)


def test_welch_and_shape_of_skewed_times() -> None:
    rng = np.random.default_rng(8)
    before, after = rng.lognormal(3.0, 0.5, 23), rng.lognormal(2.8, 0.3, 41)
    theirs = scipy_stats.ttest_ind(after, before, equal_var=False)
    ours = tests.welch(before, after)
    assert (ours.t, ours.df, ours.p_value) == pytest.approx((theirs.statistic, theirs.df, theirs.pvalue), rel=1e-9)
    assert skewness(before) == pytest.approx(scipy_stats.skew(before, bias=False), rel=1e-12)
    assert moments(before).sd == pytest.approx(np.std(before, ddof=1), rel=1e-13)
    q = quartiles(before)
    assert (q.low, q.middle, q.high) == pytest.approx(np.percentile(before, (25, 50, 75)), rel=1e-13)


@pytest.mark.parametrize("n", [5, 9, 30])
def test_trend_without_ties_is_the_exact_kendall_test(n: int) -> None:
    values = np.random.default_rng(n).normal(size=n) + 0.05 * np.arange(n)
    theirs = scipy_stats.kendalltau(np.arange(n), values, method="exact")
    ours = trend(values)
    assert ours.exact
    assert (ours.tau, ours.p_value) == pytest.approx((theirs.statistic, theirs.pvalue), rel=1e-9)
    assert ours.slope_per_reading == pytest.approx(scipy_stats.theilslopes(values).slope, rel=1e-12)


def test_quantiles() -> None:
    assert quantiles.z(0.975) == pytest.approx(scipy_stats.norm.ppf(0.975), rel=1e-14)
    for df in (1.0, 4.7, 29.0, 1e6):
        assert quantiles.t(0.995, df) == pytest.approx(scipy_stats.t.ppf(0.995, df), rel=1e-9)
        assert quantiles.t_p_value(-2.2, df) == pytest.approx(2 * scipy_stats.t.sf(2.2, df), rel=1e-9)


def test_rank_chances_add_up() -> None:
    assert ranks.mann_whitney_chances(49, 49).sum() == pytest.approx(1.0, rel=1e-12)
    assert ranks.signed_rank_chances(49).sum() == pytest.approx(1.0, rel=1e-12)


def test_power_of_a_simulated_study() -> None:
    """SciPy's own t test on 20,000 simulated studies; the simulation error is 0.0028."""
    rng = np.random.default_rng(11)
    before, after = rng.normal(0.0, 1.0, (20_000, 12)), rng.normal(0.9, 1.0, (20_000, 18))
    seen = np.mean(scipy_stats.ttest_ind(before, after, axis=1).pvalue < 0.05)
    assert power_two_means(0.9, 1.0, 12, 18) == pytest.approx(seen, abs=0.01)


def test_lag_one_of_an_alternating_series() -> None:
    """Fixed by the definition: -(n - 1)/n for an alternating series of even length."""
    assert lag1_autocorrelation([1.0, 3.0] * 20) == pytest.approx(-39 / 40, rel=1e-12)
