"""What must hold for any readings: order, units and sides do not matter where they should not."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy.stats  # noqa: F401 - loaded here so that no example pays for it within its deadline
from hypothesis import assume, given
from hypothesis import strategies as st

from floorwright.basis.stat import ranks
from floorwright.basis.stat.intervals import (
    hodges_lehmann_paired,
    hodges_lehmann_shift,
    mean_t,
    ratio_of_means,
    ratio_of_paired_means,
    welch_difference,
)
from floorwright.basis.stat.rates import (
    clopper_pearson,
    garwood,
    newcombe_difference,
    rate_difference,
    rate_ratio,
    wilson,
)
from floorwright.basis.stat.sample import exposure_each, power_two_proportions, power_two_rates, proportions_each
from floorwright.basis.stat.series import runs_test, trend
from floorwright.basis.stat.summary import mean, moments, outliers, quartiles
from floorwright.basis.stat.tests import mann_whitney, paired, signed_rank, two_proportions, two_rates, welch

times = st.lists(st.floats(0.5, 500.0), min_size=3, max_size=25)
counts = st.integers(0, 60)
exposures = st.floats(0.1, 1000.0)


@given(times, times)
def test_swapping_before_and_after_turns_the_signs(before: list[float], after: list[float]) -> None:
    there, back = welch_difference(before, after), welch_difference(after, before)
    assert (there.low, there.high) == pytest.approx((-back.high, -back.low), abs=1e-9)
    assert welch(before, after).p_value == pytest.approx(welch(after, before).p_value, abs=1e-9)
    one, other = ratio_of_means(before, after), ratio_of_means(after, before)
    assert (one.low, one.high) == pytest.approx((1 / other.high, 1 / other.low), rel=1e-9)
    ranked, turned = mann_whitney(before, after), mann_whitney(after, before)
    assert ranked.p_value == pytest.approx(turned.p_value, abs=1e-9)
    assert ranked.chance_after_smaller == pytest.approx(turned.chance_after_larger, abs=1e-12)


@given(times, times, st.floats(0.01, 100.0))
def test_another_unit_scales_the_difference_and_leaves_p(b: list[float], a: list[float], unit: float) -> None:
    assume(moments(b).sd > 1e-6 and moments(a).sd > 1e-6)
    plain, scaled = welch(b, a), welch([x * unit for x in b], [x * unit for x in a])
    assert scaled.difference == pytest.approx(plain.difference * unit, abs=1e-9 * unit)
    assert scaled.p_value == pytest.approx(plain.p_value, abs=1e-7)


@given(times, st.randoms(use_true_random=False))
def test_the_order_of_readings_does_not_move_their_summary(values: list[float], random: object) -> None:
    shuffled = list(values)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    assert mean(shuffled) == mean(values)
    assert moments(shuffled).sd == pytest.approx(moments(values).sd, abs=1e-9)
    assert quartiles(shuffled) == quartiles(values)
    found = sorted(shuffled[i] for i in outliers(shuffled).beyond_inner)
    assert found == sorted(values[i] for i in outliers(values).beyond_inner)


@given(times)
def test_far_fences_hold_fewer_than_near_ones(values: list[float]) -> None:
    found = outliers(values)
    assert set(found.beyond_outer) <= set(found.beyond_inner)


@given(times)
def test_reversed_series_has_the_opposite_trend(values: list[float]) -> None:
    there, back = trend(values), trend(values[::-1])
    assert (there.s, there.p_value) == (-back.s, pytest.approx(back.p_value))
    assert there.slope_per_reading == pytest.approx(-back.slope_per_reading, abs=1e-9)
    assert 0.0 <= there.p_value <= 1.0
    assert runs_test(values).p_value == pytest.approx(runs_test(values[::-1]).p_value)


@given(times)
def test_more_confidence_is_wider(values: list[float]) -> None:
    narrow, wide = mean_t(values, 0.8), mean_t(values, 0.99)
    assert wide.low <= narrow.low <= narrow.high <= wide.high


@given(times, st.floats(-40.0, 40.0))
def test_a_pure_shift_is_found_exactly(values: list[float], shift: float) -> None:
    moved = [x + shift for x in values]
    found = hodges_lehmann_shift(values, moved)
    assert found.shift == pytest.approx(shift, abs=1e-9)
    assert found.interval.low <= found.shift <= found.interval.high
    pairs = hodges_lehmann_paired([b - a for a, b in zip(values, moved, strict=True)])
    assert pairs.shift == pytest.approx(shift, abs=1e-9)


@given(counts, exposures, counts, exposures)
def test_intervals_of_rates_hold_their_estimate(x: int, t: float, y: int, u: float) -> None:
    own = garwood(x, t)
    assert own.low <= x / t <= own.high
    difference = rate_difference((x, t), (y, u))
    assert difference.low <= y / u - x / t <= difference.high
    ratio = rate_ratio((x, t), (y, u))
    inverse = rate_ratio((y, u), (x, t))
    if x > 0 and y > 0:
        assert ratio.low <= (y / u) / (x / t) <= ratio.high
        assert ratio.low == pytest.approx(1 / inverse.high, rel=1e-9)


@given(counts, exposures, counts, exposures)
def test_one_sided_p_of_the_exact_rate_test_belongs_to_the_central_interval(
    x: int, t: float, y: int, u: float
) -> None:
    ratio, test = rate_ratio((x, t), (y, u)), two_rates((x, t), (y, u))
    smaller_tail = min(test.p_lower, test.p_higher)
    assume(abs(smaller_tail - 0.025) > 1e-9)
    assert (smaller_tail > 0.025) == (ratio.low < 1.0 < ratio.high)


@given(st.integers(1, 80), st.integers(1, 80), st.data())
def test_intervals_of_proportions(n: int, m: int, data: st.DataObject) -> None:
    x, y = data.draw(st.integers(0, n)), data.draw(st.integers(0, m))
    for interval in (wilson(x, n), clopper_pearson(x, n)):
        assert 0.0 <= interval.low <= x / n <= interval.high <= 1.0
    there, back = newcombe_difference((x, n), (y, m)), newcombe_difference((y, m), (x, n))
    assert (there.low, there.high) == pytest.approx((-back.high, -back.low), abs=1e-12)
    assert two_proportions((x, n), (y, m)).p_value == pytest.approx(two_proportions((y, m), (x, n)).p_value)


@given(times)
def test_pairs_that_do_not_change(values: list[float]) -> None:
    assert paired(values, values).p_value == 1.0
    assert signed_rank(values, values).p_value == 1.0
    interval = ratio_of_paired_means(values, values)
    assert (interval.low, interval.high) == pytest.approx((1.0, 1.0))


@given(st.lists(st.integers(-50, 50), min_size=1, max_size=30), st.data())
def test_pairwise_means_found_by_halving(whole: list[int], data: st.DataObject) -> None:
    """The search used for long series gives what sorting every pair gives."""
    values = np.array(whole, dtype=float)
    most = len(whole) * (len(whole) + 1) // 2
    place = data.draw(st.integers(1, most))
    direct = ranks.pairwise_means(values, [place])
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(ranks, "_MOST_PAIRS_AT_ONCE", 0)
        assert ranks.pairwise_means(values, [place]) == pytest.approx(direct, abs=1e-9)


@given(
    st.lists(st.integers(-50, 50), min_size=1, max_size=20), st.lists(st.integers(-50, 50), min_size=1), st.data()
)
def test_pairwise_differences_found_by_halving(b: list[int], a: list[int], data: st.DataObject) -> None:
    before, after = np.array(b, dtype=float), np.array(a, dtype=float)
    place = data.draw(st.integers(1, before.size * after.size))
    direct = ranks.pairwise_differences(before, after, [place])
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(ranks, "_MOST_PAIRS_AT_ONCE", 0)
        assert ranks.pairwise_differences(before, after, [place]) == pytest.approx(direct, abs=1e-9)


@given(st.floats(0.02, 0.98), st.floats(0.02, 0.98), st.floats(0.5, 0.99))
def test_numbers_needed_reach_the_power_asked(before: float, after: float, power: float) -> None:
    assume(abs(before - after) > 0.01)
    needed = proportions_each(before, after, power)
    assert power_two_proportions(before, after, needed.exact) == pytest.approx(power, abs=1e-9)
    exposure = exposure_each(before, after, power)
    assert power_two_rates(before, after, exposure) == pytest.approx(power, abs=1e-9)


def test_long_series_are_blocked_before_their_trend_is_taken() -> None:
    rng = np.random.default_rng(3)
    values = 10.0 + 0.001 * np.arange(5_000) + rng.normal(size=5_000)
    found = trend(values)
    assert found.block == 5
    assert found.slope_per_reading == pytest.approx(0.001, rel=0.05)
    assert found.p_value < 1e-9


def test_no_events_on_either_side_tell_nothing() -> None:
    assert two_rates((0, 4.0), (0, 9.0)).p_value == 1.0
    ratio = rate_ratio((0, 4.0), (0, 9.0))
    assert (ratio.low, ratio.high) == (0.0, math.inf)
