"""Degenerate series, and the ValueErrors of wrong use."""

from __future__ import annotations

import math

import numpy as np
import pytest

from floorwright.basis.stat import intervals, rates, sample, series, summary
from floorwright.basis.stat import tests as stat_tests
from floorwright.basis.stat.constants import chart_constants
from floorwright.basis.stat.intervals import Interval


@pytest.mark.parametrize("bad", [[], [1.0, math.nan], [1.0, math.inf], [[1.0, 2.0]]])
def test_a_series_must_be_finite_and_flat(bad: list[float]) -> None:
    with pytest.raises(ValueError, match=r"readings|finite|dimension"):
        summary.mean(bad)


def test_one_reading_has_no_spread() -> None:
    with pytest.raises(ValueError, match="2 or more readings are needed, there are 1"):
        summary.sd([3.0])


@pytest.mark.parametrize("confidence", [0.0, 1.0, 95.0])
def test_confidence_is_a_fraction(confidence: float) -> None:
    with pytest.raises(ValueError, match="fraction between 0 and 1"):
        intervals.mean_t([1.0, 2.0], confidence)


def test_series_without_any_spread() -> None:
    flat = [4.0] * 6
    assert summary.sd(flat) == 0.0
    assert summary.skewness(flat) == 0.0
    assert series.lag1_autocorrelation(flat) == 0.0
    assert series.runs_test(flat).p_value == 1.0
    assert series.trend(flat).p_value == 1.0
    same, lower = stat_tests.welch(flat, flat), stat_tests.welch(flat, [3.0] * 5)
    assert (same.t, same.p_value) == (0.0, 1.0)
    assert (lower.t, lower.p_value, lower.df) == (-math.inf, 0.0, 9.0)
    assert intervals.welch_difference(flat, [3.0] * 5) == Interval(-1.0, -1.0)
    assert stat_tests.mann_whitney(flat, flat).p_value == 1.0


def test_interval_runs_upward() -> None:
    assert Interval(1.0, 3.0).width == 2.0
    assert Interval(1.0, 3.0).contains(3.0)
    assert not Interval(1.0, 3.0).contains(3.1)
    with pytest.raises(ValueError, match="from low to high"):
        Interval(2.0, 1.0)


def test_unequal_pairs_are_refused() -> None:
    with pytest.raises(ValueError, match="2 and 3 readings"):
        stat_tests.paired([1.0, 2.0], [1.0, 2.0, 3.0])
    with pytest.raises(ValueError, match="2 and 3 readings"):
        intervals.ratio_of_paired_means([1.0, 2.0], [1.0, 2.0, 3.0])


def test_ratio_wants_positive_means() -> None:
    with pytest.raises(ValueError, match="positive means"):
        intervals.ratio_of_means([-1.0, 0.5], [1.0, 2.0])


@pytest.mark.parametrize(("count", "trials"), [(-1, 5), (6, 5), (2.5, 5)])
def test_counts_are_whole_and_within_their_trials(count: int, trials: int) -> None:
    with pytest.raises(ValueError, match="whole number"):
        rates.wilson(count, trials)


def test_exposure_is_positive() -> None:
    with pytest.raises(ValueError, match="exposure is a positive number"):
        rates.garwood(3, 0.0)


def test_outliers_are_named_by_position() -> None:
    values = [10.0, 11.0, 10.5, 9.5, 60.0, 10.2, 9.9, 12.0, 10.1, 10.4, 10.6, 9.8]
    found = summary.outliers(values)
    assert found.beyond_inner == (4, 7)
    assert found.beyond_outer == (4,)


def test_planning_for_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="a change of nothing"):
        sample.means_each(0.0, 1.0)
    with pytest.raises(ValueError, match="power is a fraction"):
        sample.means_each(1.0, 1.0, power=90.0)
    with pytest.raises(ValueError, match="would be needed"):
        sample.means_each(1e-7, 1.0)


def test_a_huge_change_needs_two_readings_each() -> None:
    assert sample.means_each(1000.0, 1.0).observations == 2
    assert sample.pairs_needed(1000.0, 1.0).observations == 2


def test_chart_constants_only_for_usual_subgroups() -> None:
    with pytest.raises(ValueError, match="subgroups of 2 to 25, not 1"):
        chart_constants(1)


def test_longer_series_use_the_normal_form_of_the_shift_interval() -> None:
    rng = np.random.default_rng(5)
    before, after = rng.normal(30.0, 4.0, 400), rng.normal(27.0, 4.0, 300)
    found = intervals.hodges_lehmann_shift(before, after)
    welch = intervals.welch_difference(before, after)
    assert not found.exact
    assert found.shift == pytest.approx(after.mean() - before.mean(), abs=0.3)
    assert found.interval.width == pytest.approx(welch.width, rel=0.1)


def test_rank_interval_of_darwins_pairs_agrees_with_the_signed_rank_test() -> None:
    maize = [6, 8, 14, 16, 23, 24, 28, 29, 41, -48, 49, 56, 60, -67, 75]
    p = stat_tests.signed_rank_of(maize).p_value
    assert intervals.hodges_lehmann_paired(maize, 1.0 - p + 1e-9).interval.contains(0.0)
    assert not intervals.hodges_lehmann_paired(maize, 1.0 - p - 0.02).interval.contains(0.0)
