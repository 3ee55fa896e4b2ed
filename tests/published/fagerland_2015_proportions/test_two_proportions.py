"""Intervals for the difference of two proportions, 7/34 against 1/34.

Fagerland, Lydersen and Laake, Recommended confidence intervals for two independent binomial proportions,
Statistical Methods in Medical Research 24 (2015) 224-254; the table is repeated in the tests of statsmodels.
"""

from __future__ import annotations

import pytest

from floorwright.basis.stat.rates import newcombe_difference


def test_newcombe_hybrid_score() -> None:
    interval = newcombe_difference((1, 34), (7, 34))
    assert (interval.low, interval.high) == pytest.approx((0.019, 0.34), abs=5e-3)


def test_the_other_way_round_the_signs_turn() -> None:
    interval = newcombe_difference((7, 34), (1, 34))
    assert (interval.low, interval.high) == pytest.approx((-0.34, -0.019), abs=5e-3)
