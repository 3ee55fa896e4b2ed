"""Intervals that stay valid however often one looks: a finished baseline, and an after series that grows.

Look after every reading, stop when it pleases, go on when in doubt: with the confidence stated, the true value
lies in every one of the intervals shown from the first look on. The mathematics and its sources are in `sequence`.

What is shown is the interval of the moment, not the overlap of all intervals so far: it depends on the readings
alone, neither on their order nor on who looked when, so that anyone can work it out again from the record. (The
overlap would be valid too and a little narrower, but may end up empty when the work changes under way.)

Limits of validity. The readings must be independent of one another and the work must stay the same while it is
timed: a trend or a lag-1 correlation voids the promise. For few readings the intervals are approximate. Simulated
with a look after each of 10 to 300 readings at nominal 95 %, lognormal times of log-sd 0.2 to 0.8 with baselines
of 10 to 60 keep at least 94 %; the table is in docs/methods/anytime_interval.md. Rare stops of several times the
usual length, of which a short baseline may hold none, are beyond such methods (about 90 % for one reading in 20
tripled): mark them as foreign and keep them apart. Paired differences as lopsided as a lognormal of log-sd 0.8
keep about 92 %.

Functions return None while it is too early: below 10 readings, pairs or trials on either side, or below a tenth
of the baseline's exposure for counts.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from floorwright.basis.stat import sequence
from floorwright.basis.stat._readings import FloatArray, Readings, check_count, check_exposure, readings
from floorwright.basis.stat.intervals import Interval, paired_differences
from floorwright.basis.stat.summary import Moments, moments, skewness

FIRST_LOOK = sequence.FIRST_LOOK
FIRST_EXPOSURE = sequence.FIRST_EXPOSURE
MOST_MORE = 500


def difference_of_means(before: Readings, after: Readings, confidence: float = 0.95) -> Interval | None:
    """Return the always-valid interval for mean(after) - mean(before) of separate readings.

    Where every reading is positive, as times are, the limits allow for times that are skewed to the right
    (`sequence._reach`); otherwise they are symmetric. None below 10 readings on either side.
    """
    b, a = readings(before), readings(after)
    _check(confidence)
    if min(b.size, a.size) < FIRST_LOOK:
        return None
    return _means(moments(b), moments(a), confidence, positive=_all_positive(b, a))


def mean_of_paired_differences(before: Readings, after: Readings, confidence: float = 0.95) -> Interval | None:
    """Return the always-valid interval for the mean of after_i - before_i; None below 10 pairs.

    Pairs have no finished baseline: both sides grow together.
    """
    d = paired_differences(before, after)
    _check(confidence)
    if d.size < FIRST_LOOK:
        return None
    return _paired(moments(d), skewness(d), confidence)


def difference_of_rates(
    before: tuple[int, float], after: tuple[int, float], confidence: float = 0.95
) -> Interval | None:
    """Return the always-valid interval for rate(after) - rate(before); each side is (events, exposure).

    Valid from the moment when the exposure after is a tenth of the one before; None earlier.
    """
    if not _rates_ready(before, after, confidence):
        return None
    return _interval(sequence.rate_difference_limits(*before, *after, confidence))


def ratio_of_rates(
    before: tuple[int, float], after: tuple[int, float], confidence: float = 0.95
) -> Interval | None:
    """Return the always-valid interval for rate(after)/rate(before); see `difference_of_rates`.

    0 to infinity where nothing happened on either side.
    """
    if not _rates_ready(before, after, confidence):
        return None
    if before[0] + after[0] == 0:
        return Interval(0.0, float("inf"))
    return _interval(sequence.rate_ratio_limits(*before, *after, confidence))


def difference_of_proportions(
    before: tuple[int, int], after: tuple[int, int], confidence: float = 0.95
) -> Interval | None:
    """Return the always-valid interval for p(after) - p(before); each side is (successes, trials).

    None below 10 trials on either side.
    """
    for successes, trials in (before, after):
        check_count(trials)
        check_count(successes, trials)
    _check(confidence)
    if min(before[1], after[1]) < FIRST_LOOK:
        return None
    return _interval(sequence.proportion_limits(*before, *after, confidence))


def looks_needed(
    before: Readings, after: Readings, value: float = 0.0, confidence: float = 0.95, most: int = MOST_MORE
) -> int | None:
    """Return about how many more after readings would let `difference_of_means` leave out the value.

    Supposes that mean and standard deviation after the change stay as they are now. 0 where the value is left
    out already; None where `most` more would not do. Needs 10 readings before and 2 after.
    """
    b, a = readings(before, least=FIRST_LOOK), readings(after, least=2)
    _check(confidence)
    base, now, positive = moments(b), moments(a), _all_positive(b, a)

    def shown_with(more: int) -> Interval | None:
        later = Moments(n=now.n + more, mean=now.mean, sd=now.sd)
        return None if later.n < FIRST_LOOK else _means(base, later, confidence, positive=positive)

    return _fewest(shown_with, value, most)


def looks_needed_paired(
    before: Readings, after: Readings, value: float = 0.0, confidence: float = 0.95, most: int = MOST_MORE
) -> int | None:
    """Return about how many more pairs would let `mean_of_paired_differences` leave out the value.

    As `looks_needed`; the skewness is held too. Needs 3 pairs.
    """
    d = readings(paired_differences(before, after), least=3)
    _check(confidence)
    now, skew = moments(d), skewness(d)

    def shown_with(more: int) -> Interval | None:
        later = Moments(n=now.n + more, mean=now.mean, sd=now.sd)
        return None if later.n < FIRST_LOOK else _paired(later, skew, confidence)

    return _fewest(shown_with, value, most)


def looks_needed_proportions(
    before: tuple[int, int],
    after: tuple[int, int],
    value: float = 0.0,
    confidence: float = 0.95,
    most: int = MOST_MORE,
) -> int | None:
    """Return about how many more trials would let `difference_of_proportions` leave out the value.

    Supposes that the proportion after stays as it is now. As `looks_needed`; needs 10 trials before, 1 after.
    """
    if before[1] < FIRST_LOOK or after[1] < 1:
        raise ValueError(f"{FIRST_LOOK} or more trials before and 1 after are needed")
    _check(confidence)
    share = after[0] / after[1]

    def shown_with(more: int) -> Interval | None:
        trials = after[1] + more
        if trials < FIRST_LOOK:
            return None
        return _interval(sequence.proportion_limits(*before, share * trials, trials, confidence))

    return _fewest(shown_with, value, most)


def exposure_needed(
    before: tuple[int, float],
    after: tuple[int, float],
    value: float = 0.0,
    confidence: float = 0.95,
    most: float = MOST_MORE,
) -> float | None:
    """Return about how much more exposure would let `difference_of_rates` leave out the value.

    Supposes that the rate after stays as it is now; in the unit of the exposures, to a hundredth of the one
    before. None where `most` baselines' worth would not do.
    """
    check_exposure(before[1])
    check_exposure(after[1])
    _check(confidence)
    rate, step = after[0] / after[1], before[1] / 100.0

    def shown_with(more: int) -> Interval | None:
        exposure = after[1] + more * step
        if exposure < FIRST_EXPOSURE * before[1]:
            return None
        return _interval(sequence.rate_difference_limits(*before, rate * exposure, exposure, confidence))

    steps = _fewest(shown_with, value, round(most * 100))
    return None if steps is None else steps * step


def _fewest(shown_with: Callable[[int], Interval | None], value: float, most: int) -> int | None:
    """Return the smallest number whose interval leaves out the value; the intervals shrink as it grows."""

    def leaves_out(more: int) -> bool:
        interval = shown_with(more)
        return interval is not None and not interval.contains(value)

    if not leaves_out(most):
        return None
    low, high = -1, most
    while high - low > 1:
        middle = (low + high) // 2
        if leaves_out(middle):
            high = middle
        else:
            low = middle
    return high


def _means(before: Moments, after: Moments, confidence: float, *, positive: bool) -> Interval:
    return _interval(
        sequence.means_limits(
            before.n, before.mean, before.sd, after.n, after.mean, after.sd, confidence, positive=positive
        )
    )


def _paired(differences: Moments, skew: float, confidence: float) -> Interval:
    return _interval(sequence.paired_limits(differences.n, differences.mean, differences.sd, skew, confidence))


def _interval(limits: sequence.Limits) -> Interval:
    return Interval(float(limits[0]), float(limits[1]))


def _all_positive(before: FloatArray, after: FloatArray) -> bool:
    return bool(np.all(before > 0.0) and np.all(after > 0.0))


def _rates_ready(before: tuple[int, float], after: tuple[int, float], confidence: float) -> bool:
    check_count(before[0])
    check_count(after[0])
    check_exposure(before[1])
    check_exposure(after[1])
    _check(confidence)
    return after[1] >= FIRST_EXPOSURE * before[1]


def _check(confidence: float) -> None:
    if not sequence.LEAST_CONFIDENCE <= confidence < 1.0:
        raise ValueError(
            f"an always-valid interval takes a confidence from {sequence.LEAST_CONFIDENCE} to 1, not {confidence}"
        )
