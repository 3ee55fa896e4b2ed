"""What the always-valid intervals give for one set of readings, and how many more are needed."""

from __future__ import annotations

import math

import numpy as np
import pytest

from floorwright.basis.stat import anytime
from floorwright.basis.stat.intervals import Interval, welch_difference
from floorwright.basis.stat.rates import newcombe_difference, rate_difference, rate_ratio

BEFORE = [30.0, 32, 35, 31, 29, 40, 33, 36, 31, 30, 34, 33]
AFTER = [30.0, 28, 32, 31, 29, 28, 33, 29, 30, 29, 31, 32]


def _shown(interval: Interval | None) -> Interval:
    assert interval is not None
    return interval


def test_wider_than_the_fixed_interval_and_around_the_same_difference() -> None:
    shown, fixed = _shown(anytime.difference_of_means(BEFORE, AFTER)), welch_difference(BEFORE, AFTER)
    assert shown.low < fixed.low < fixed.high < shown.high
    assert 1.2 < shown.width / fixed.width < 1.8


def test_the_order_of_the_after_readings_does_not_matter() -> None:
    one = _shown(anytime.difference_of_means(BEFORE, AFTER))
    other = _shown(anytime.difference_of_means(BEFORE, AFTER[::-1]))
    assert (one.low, one.high) == pytest.approx((other.low, other.high), rel=1e-12)


def test_another_unit_scales_the_interval() -> None:
    seconds = _shown(anytime.difference_of_means(BEFORE, AFTER))
    minutes = _shown(anytime.difference_of_means([x / 60 for x in BEFORE], [x / 60 for x in AFTER]))
    assert (minutes.low * 60, minutes.high * 60) == pytest.approx((seconds.low, seconds.high), rel=1e-9)


def test_too_early() -> None:
    assert anytime.difference_of_means(BEFORE, AFTER[:9]) is None
    assert anytime.difference_of_means(BEFORE[:9], AFTER) is None
    assert anytime.mean_of_paired_differences(BEFORE[:9], AFTER[:9]) is None
    assert anytime.difference_of_rates((40, 1000.0), (2, 99.0)) is None
    assert anytime.ratio_of_rates((40, 1000.0), (2, 99.0)) is None
    assert anytime.difference_of_proportions((20, 100), (1, 9)) is None


def test_readings_of_any_sign_get_a_symmetric_interval() -> None:
    before, after = [x - 32.0 for x in BEFORE], [x - 32.0 for x in AFTER]
    shown = _shown(anytime.difference_of_means(before, after))
    middle = np.mean(after) - np.mean(before)
    assert shown.high - middle == pytest.approx(middle - shown.low, rel=1e-9)


def test_series_without_any_spread() -> None:
    assert anytime.difference_of_means([5.0] * 12, [4.0] * 12) == Interval(-1.0, -1.0)
    steady_baseline = _shown(anytime.difference_of_means([5.0] * 12, AFTER))
    assert math.isfinite(steady_baseline.width)
    assert anytime.mean_of_paired_differences([5.0] * 12, [4.0] * 12) == Interval(-1.0, -1.0)


def test_counts_and_proportions_are_wider_than_fixed_ones() -> None:
    before, after = (40, 1000.0), (20, 1000.0)
    shown, fixed = _shown(anytime.difference_of_rates(before, after)), rate_difference(before, after)
    assert shown.low < fixed.low < fixed.high < shown.high
    ratio, fixed_ratio = _shown(anytime.ratio_of_rates(before, after)), rate_ratio(before, after)
    assert ratio.low < fixed_ratio.low < fixed_ratio.high < ratio.high
    share, fixed_share = (
        _shown(anytime.difference_of_proportions((20, 100), (5, 80))),
        newcombe_difference((20, 100), (5, 80)),
    )
    assert share.low < fixed_share.low < fixed_share.high < share.high


def test_no_events_at_all() -> None:
    assert anytime.ratio_of_rates((0, 10.0), (0, 20.0)) == Interval(0.0, math.inf)
    nothing = _shown(anytime.difference_of_rates((0, 10.0), (0, 20.0)))
    assert nothing.low < 0.0 < nothing.high
    one_side = _shown(anytime.ratio_of_rates((0, 10.0), (8, 20.0)))
    assert one_side.low > 0.0
    assert one_side.high == math.inf


@pytest.mark.parametrize("value", [0.0, -0.1])
def test_so_many_more_leave_the_value_out_and_one_fewer_does_not(value: float) -> None:
    """Whole copies of the after series keep its mean; its standard deviation shrinks only a little."""
    more = anytime.looks_needed(BEFORE, AFTER, value)
    assert more is not None
    assert more > 0
    copies = math.ceil((len(AFTER) + 1.2 * more) / len(AFTER))
    assert not _shown(anytime.difference_of_means(BEFORE, AFTER * copies)).contains(value)
    assert _shown(anytime.difference_of_means(BEFORE, AFTER)).contains(value)


def test_enough_already_or_never() -> None:
    quick = [x - 12.0 for x in BEFORE]
    assert anytime.looks_needed(BEFORE, quick) == 0
    assert anytime.looks_needed(BEFORE, quick[:4]) == 6  # shown from the tenth reading on
    assert anytime.looks_needed(BEFORE, BEFORE) is None
    assert anytime.looks_needed_paired(BEFORE, quick) == 0
    assert anytime.looks_needed_paired(BEFORE, BEFORE[::-1]) is None


def test_pairs_trials_and_exposure_needed() -> None:
    pairs = anytime.looks_needed_paired(BEFORE, AFTER, -1.0)
    assert pairs is None or pairs > 0
    trials = anytime.looks_needed_proportions((30, 100), (4, 40))
    assert trials is not None
    assert not _shown(anytime.difference_of_proportions((30, 100), (4 + round(trials / 10), 40 + trials))).contains(
        0
    )
    exposure = anytime.exposure_needed((40, 1000.0), (20, 1000.0))
    assert exposure is not None
    later = (round(20 + 0.02 * exposure), 1000.0 + exposure)
    assert not _shown(anytime.difference_of_rates((40, 1000.0), later)).contains(0.0)
    assert anytime.exposure_needed((40, 1000.0), (40, 1000.0)) is None


@pytest.mark.parametrize("confidence", [0.3, 1.0, 95.0])
def test_confidence_is_checked(confidence: float) -> None:
    with pytest.raises(ValueError, match="takes a confidence from"):
        anytime.difference_of_means(BEFORE, AFTER, confidence)


def test_trials_are_needed_before_asking_how_many_more() -> None:
    with pytest.raises(ValueError, match="trials before"):
        anytime.looks_needed_proportions((1, 5), (1, 20))
