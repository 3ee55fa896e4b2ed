"""`compare` and `power` against the examples on R's manual pages.

poisson.test: Welsh nickel workers (data after P. Dalgaard, ISwR), seen in a public copy. power.t.test and
power.prop.test: inputs seen, answers from memory, reproduced.
"""

from __future__ import annotations

import csv
from typing import Any

import pytest

from datasets import dataset
from floorwright.prove.compare import CALCULATION as COMPARE
from floorwright.prove.power import CALCULATION as POWER


def test_two_rates_of_the_manual_page() -> None:
    published = "R manual page of poisson.test"
    with dataset("industrial/poisson_rates.csv", published).open(encoding="utf-8") as file:
        row = next(row for row in csv.DictReader(file) if row["case"] == "two_sample_ratio")
    raw = {
        "kind": "counts",
        "before": {"events": int(row["count2"]), "exposure": float(row["exposure2"])},
        "after": {"events": int(row["count1"]), "exposure": float(row["exposure1"])},
    }
    found = COMPARE(raw).results
    assert found["ratio"] == pytest.approx(1.971488, abs=5e-7)
    assert found["p_value"] == pytest.approx(0.07967, abs=5e-6)
    interval = found["ratio_interval"]
    assert (interval.low_si, interval.high_si) == pytest.approx((0.8584264, 4.277266), abs=5e-7)


def power(**raw: Any) -> dict[str, Any]:
    return dict(POWER(raw).results)


def test_power_t_test() -> None:
    found = power(kind="times", before={"sd": 1}, change=1, power=0.9)
    assert found["exact"] == pytest.approx(22.0211, abs=5e-5)  # printed 22.02110
    assert found["observations_each"] == 23


def test_power_prop_test() -> None:
    found = power(kind="proportions", before={"successes": 50, "trials": 100}, change=0.25, power=0.9)
    assert found["exact"] == pytest.approx(76.7, abs=0.05)
    assert found["observations_each"] == 77


def test_smallest_shift_that_fifteen_can_see() -> None:
    """Own arithmetic with the noncentral t: 1.0601 standard deviations, power 0.8."""
    assert power(kind="times", before={"sd": 1}, change=1.0601)["observations_each"] == 15
    assert power(kind="times", before={"sd": 1}, change=1.0590)["observations_each"] == 16
