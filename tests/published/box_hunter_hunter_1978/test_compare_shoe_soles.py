"""`compare` on the wear of shoe soles, two materials on the feet of ten boys.

Box, Hunter and Hunter, Statistics for Experimenters (1978), p. 97-101. Data seen in a public copy distributed by
NIST; printed results from memory, reproduced.
"""

from __future__ import annotations

import pytest

from floorwright.prove.compare import CALCULATION

A = [13.2, 8.2, 10.9, 14.3, 10.7, 6.6, 9.5, 10.8, 8.8, 13.3]
B = [14, 8.8, 11.2, 14.2, 11.8, 6.4, 9.8, 11.3, 9.3, 13.6]


def test_paired_by_boy() -> None:
    found = CALCULATION({"kind": "paired", "before": A, "after": B, "smallest_that_matters": 0}).results
    assert found["difference"] == pytest.approx(0.41, abs=5e-3)
    assert found["test"]["statistic"] == pytest.approx(3.35, abs=5e-3)
    assert found["test"]["df"] == 9
    assert found["p_value"] == pytest.approx(0.0085, abs=5e-5)
    assert found["verdict"] == "worse"


def test_without_the_pairing_nothing_shows() -> None:
    found = CALCULATION({"kind": "times", "before": A, "after": B}).results
    assert found["p_value"] == pytest.approx(0.716, abs=2e-3)
    assert found["verdict"] == "not shown"
