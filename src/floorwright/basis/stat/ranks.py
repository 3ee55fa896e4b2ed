"""Exact distributions of the rank statistics, and order statistics of all pairwise differences or means."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

import numpy as np

from floorwright.basis.stat._readings import FloatArray

# As in R's wilcox.test: exact for fewer than 50 readings a side.
EXACT_BELOW = 50
_MOST_PAIRS_AT_ONCE = 2_000_000


def mann_whitney_chances(n: int, m: int) -> FloatArray:
    """Return P(U = u), u = 0 ... n m, for untied samples of n and m from one distribution.

    P(n, m; u) = n/(n+m) P(n-1, m; u-m) + m/(n+m) P(n, m-1; u) (Mann and Whitney, Annals of Mathematical
    Statistics 18 (1947) 50-60): sums of positive terms only, so nothing cancels.
    """
    return _mann_whitney_chances(min(n, m), max(n, m))


@lru_cache(maxsize=32)
def _mann_whitney_chances(n: int, m: int) -> FloatArray:
    row = [np.ones(1) for _ in range(m + 1)]
    for i in range(1, n + 1):
        fresh = [np.ones(1)]
        for j in range(1, m + 1):
            chances = np.zeros(i * j + 1)
            chances[j:] += i / (i + j) * row[j]
            chances[: i * (j - 1) + 1] += j / (i + j) * fresh[j - 1]
            fresh.append(chances)
        row = fresh
    row[m].setflags(write=False)
    return row[m]


@lru_cache(maxsize=64)
def signed_rank_chances(n: int) -> FloatArray:
    """Return P(W = w), w = 0 ... n(n+1)/2, for the sum of the ranks with a plus sign, signs by coin toss."""
    chances = np.ones(1)
    for rank in range(1, n + 1):
        longer = np.zeros(chances.size + rank)
        longer[: chances.size] += 0.5 * chances
        longer[rank:] += 0.5 * chances
        chances = longer
    chances.setflags(write=False)
    return chances


def two_sided_p(chances: FloatArray, statistic: int) -> float:
    """Return twice the smaller tail of a distribution on 0, 1, 2 ..., the observed value included."""
    lower = float(chances[: statistic + 1].sum())
    upper = float(chances[statistic:].sum())
    return min(1.0, 2.0 * min(lower, upper))


def lower_rank(chances: FloatArray, tail: float) -> int:
    """Return the largest k >= 1 with P(statistic <= k - 1) <= tail; 1 where even the extreme is too likely."""
    below = np.cumsum(chances)
    return max(1, int(np.searchsorted(below, tail, side="right")))


def pairwise_differences(before: FloatArray, after: FloatArray, places: list[int]) -> list[float]:
    """Return the order statistics (places from 1) of all after_j - before_i.

    Few pairs are written out; many are found by halving, each step counting the pairs below a trial value in
    the sorted series, to the last bits of a float.
    """
    if before.size * after.size <= _MOST_PAIRS_AT_ONCE:
        pairs = np.sort(np.subtract.outer(after, before), axis=None)
        return [float(pairs[place - 1]) for place in places]
    left, right = np.sort(before), np.sort(after)

    def up_to(trial: float) -> int:
        return int(np.searchsorted(right, left + trial, side="right").sum())

    ends = float(right[0] - left[-1]), float(right[-1] - left[0])
    return [_by_halving(up_to, ends, place) for place in places]


def pairwise_means(values: FloatArray, places: list[int]) -> list[float]:
    """Return the order statistics (places from 1) of all means of two readings, each with itself too."""
    n = values.size
    ordered = np.sort(values)
    if n * (n + 1) // 2 <= _MOST_PAIRS_AT_ONCE:
        first, second = np.triu_indices(n)
        means = np.sort(0.5 * (ordered[first] + ordered[second]))
        return [float(means[place - 1]) for place in places]

    def up_to(trial: float) -> int:
        both_orders = int(np.searchsorted(ordered, 2.0 * trial - ordered, side="right").sum())
        with_itself = int(np.searchsorted(ordered, trial, side="right"))
        return (both_orders + with_itself) // 2

    return [_by_halving(up_to, (float(ordered[0]), float(ordered[-1])), place) for place in places]


def _by_halving(up_to: Callable[[float], int], ends: tuple[float, float], place: int) -> float:
    low, high = ends
    if up_to(low) >= place:
        return low
    while True:
        middle = low + 0.5 * (high - low)
        if middle <= low or middle >= high:
            return high
        if up_to(middle) >= place:
            high = middle
        else:
            low = middle
