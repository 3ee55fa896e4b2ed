"""`compare` on the two event rates of Gu, Ng, Tang and Schucany, Biometrical Journal 50 (2008), example 1.

60 events in 51477.5 person-years against 30 in 54308.7; inputs and answers seen, repeated in the statsmodels tests.
"""

from __future__ import annotations

import pytest

from floorwright.basis.stat.tests import two_rates
from floorwright.prove.compare import CALCULATION


def test_rates_and_exact_conditional_test() -> None:
    before, after = (60, 51477.5), (30, 54308.7)
    raw = {
        "kind": "counts",
        "before": {"events": before[0], "exposure": before[1]},
        "after": {"events": after[0], "exposure": after[1]},
        "smallest_that_matters": 0,
    }
    found = CALCULATION(raw).results
    assert 1 / found["ratio"] == pytest.approx(2.11, abs=5e-3)
    assert two_rates(before, after).p_lower == pytest.approx(0.000428, abs=5e-7)
    assert found["p_value"] == pytest.approx(two_rates(before, after).p_value)
    assert found["verdict"] == "proven"
