"""`compare` on mouse survival: Efron, Tibshirani, An Introduction to the Bootstrap (1993), table 2.1 (memory)."""

from __future__ import annotations

import pytest

from floorwright.prove.compare import CALCULATION

TREATMENT = [94, 197, 16, 38, 99, 141, 23]
CONTROL = [52, 104, 146, 10, 51, 30, 40, 27, 46]


def test_means_difference_and_t() -> None:
    raw = {"kind": "times", "before": CONTROL, "after": TREATMENT, "better": "higher"}
    found = CALCULATION(raw)
    assert found.results["after"]["level"] == pytest.approx(86.86, abs=5e-3)
    assert found.results["before"]["level"] == pytest.approx(56.22, abs=5e-3)
    assert found.results["difference"] == pytest.approx(30.63, abs=6e-3)
    assert found.results["test"]["statistic"] == pytest.approx(1.06, abs=5e-3)
    steps = {step.symbol: step.value for step in found.working.steps}
    assert steps["se"] == pytest.approx(28.93, abs=1e-2)  # printed from rounded parts
