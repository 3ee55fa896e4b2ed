"""`compare` on the runout of gears laid or hung in heat treatment.

S. B. Vardeman and J. M. Jobe, Basic Engineering Data Collection and Analysis (2001; republished 2023, CC BY),
table 1.1. Published means from memory, reproduced by the data; the other figures were computed with a
general statistics library beforehand.
"""

from __future__ import annotations

import csv

import pytest

from datasets import dataset
from floorwright.prove.compare import CALCULATION


def test_laid_against_hung() -> None:
    published = "Vardeman and Jobe, Basic Engineering Data Collection and Analysis, table 1.1"
    with dataset("industrial/vardeman_gear_runout_laid_hung.csv", published).open(encoding="utf-8") as file:
        rows = list(csv.reader(file))[1:]
    laid = [float(value) for method, value in rows if method == "laid"]
    hung = [float(value) for method, value in rows if method == "hung"]
    found = CALCULATION({"kind": "times", "before": hung, "after": laid, "smallest_that_matters": 2})
    results = found.results
    assert results["after"]["level"] == pytest.approx(12.6, abs=0.05)
    assert results["before"]["level"] == pytest.approx(17.9, abs=0.05)
    assert results["test"]["statistic"] == pytest.approx(-4.179658, abs=5e-7)
    assert results["test"]["df"] == pytest.approx(59.793417, abs=5e-7)
    assert results["p_value"] == pytest.approx(9.66366e-05, abs=5e-10)
    interval = results["interval"]
    assert (interval.low_si, interval.high_si) == pytest.approx((-7.861993, -2.772285), abs=5e-7)
    assert results["rank_test"]["statistic"] == pytest.approx(407.0)
    # The file is sorted, so both series drift from low to high: nothing more than likely can be said of it.
    assert results["verdict"] == "likely"
    assert any("not independent" in warning for warning in found.warnings)
