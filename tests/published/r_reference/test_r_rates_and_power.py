"""Values that R and its packages print.

poisson.test: R manual page (data after P. Dalgaard, Introductory Statistics with R: Welsh nickel workers; eba1977),
seen in a public copy. poisson.exact of package exactci: quoted in the tests of statsmodels. power.t.test and
power.prop.test: examples of the R stats package; inputs seen, printed values from memory.
"""

from __future__ import annotations

import pytest

from floorwright.basis.stat.rates import garwood, rate_ratio
from floorwright.basis.stat.sample import (
    means_each,
    power_two_means,
    power_two_proportions,
    proportions_each,
    smallest_difference_of_means,
)
from floorwright.basis.stat.tests import two_rates


def test_poisson_test_one_rate() -> None:
    interval = garwood(137, 24.19893)
    assert (interval.low, interval.high) == pytest.approx((4.753125, 6.692709), abs=5e-7)


def test_poisson_test_two_rates() -> None:
    before, after = (21, 3011.0), (11, 800.0)
    interval = rate_ratio(before, after)
    assert (after[0] / after[1]) / (before[0] / before[1]) == pytest.approx(1.971488, abs=5e-7)
    assert (interval.low, interval.high) == pytest.approx((0.8584264, 4.277266), abs=5e-7)
    assert two_rates(before, after).p_value == pytest.approx(0.07967, abs=5e-6)


def test_exact_interval_for_15_events_in_400() -> None:
    """Packages exactci and DescTools."""
    interval = garwood(15, 400)
    assert interval.low == pytest.approx(0.0209884653319583, rel=1e-12)
    assert interval.high == pytest.approx(0.0618505471787146, rel=1e-12)


def test_poisson_exact_against_a_ratio_of_1_2() -> None:
    result = two_rates((30, 54308.7), (60, 51477.5), ratio=1.2)
    assert result.p_higher == pytest.approx(0.006651774552714537, rel=1e-10)
    assert result.p_lower == pytest.approx(0.9964625674930079, rel=1e-10)


def test_power_t_test() -> None:
    assert power_two_means(1.0, 1.0, 20, 20) == pytest.approx(0.8689528, abs=5e-7)
    needed = means_each(1.0, 1.0, power=0.9)
    assert needed.exact == pytest.approx(22.0211, abs=2e-4)
    assert needed.observations == 23


def test_power_prop_test() -> None:
    assert power_two_proportions(0.5, 0.75, 50) == pytest.approx(0.74, abs=5e-3)
    needed = proportions_each(0.5, 0.75, power=0.9)
    assert needed.exact == pytest.approx(76.7, abs=0.05)
    assert needed.observations == 77


def test_smallest_shift_that_15_and_15_timings_see() -> None:
    """Solved from the noncentral t elsewhere: 1.0597996; quoted 1.0601 in a table to about 0.1 %."""
    assert smallest_difference_of_means(1.0, 15, 15, power=0.8) == pytest.approx(1.0597996, abs=5e-6)
