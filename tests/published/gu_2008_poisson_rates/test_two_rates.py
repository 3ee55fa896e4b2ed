"""Two Poisson rates against printed values.

Gu, Ng, Tang and Schucany, Testing the ratio of two Poisson rates, Biometrical Journal 50 (2008) 283-298,
example 1 (60 events in 51,477.5 and 30 in 54,308.7 person-years). The paper swaps its two conditional p-values in
print; the one used here is the exact one, as corrected in the tests of statsmodels.
"""

from __future__ import annotations

import pytest

from floorwright.basis.stat.tests import two_rates


def test_example_1_exact_conditional() -> None:
    result = two_rates((30, 54308.7), (60, 51477.5))
    assert result.p_higher == pytest.approx(0.000428, abs=5e-7)


def test_example_2_against_a_ratio_of_one_and_a_half() -> None:
    """Breast cancer after X-rays: 41 in 28,010 and 15 in 19,017 woman-years; printed p 0.2913 (rounded input)."""
    assert two_rates((15, 19017), (41, 28010), ratio=1.5).p_higher == pytest.approx(0.2913, abs=5e-4)
