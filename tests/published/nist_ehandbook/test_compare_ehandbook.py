"""`compare` on worked comparisons of the NIST/SEMATECH e-Handbook of Statistical Methods (2003, updated 2012).

Section 7.3.1 (minutes to assemble a device; the pages were seen, the numbers are from memory and reproduce every
printed summary), section 1.3.5.3 (car mileage, printed values from memory, reproduced), section 7.3.3 (counts
from a NIST documentation example, own arithmetic).
"""

from __future__ import annotations

import csv
from typing import Any

import pytest

from datasets import dataset
from floorwright.prove.compare import CALCULATION

OLD = [32, 37, 35, 28, 41, 44, 35, 31, 34, 38, 42]
NEW = [36, 31, 30, 31, 34, 36, 29, 32, 31]


def compare(**raw: Any) -> dict[str, Any]:
    return dict(CALCULATION(raw).results)


def columns(name: str, published: str) -> dict[str, list[float]]:
    with dataset(name, published).open(encoding="utf-8") as file:
        rows = list(csv.reader(file))[1:]
    found: dict[str, list[float]] = {}
    for label, value in rows:
        found.setdefault(label, []).append(float(value))
    return found


def test_assembly_times_old_and_new() -> None:
    found = compare(kind="times", before=OLD, after=NEW, smallest_that_matters=0)
    assert found["before"]["level"] == pytest.approx(36.0909, abs=5e-5)
    assert found["after"]["level"] == pytest.approx(32.2222, abs=5e-5)
    assert found["before"]["sd"] == pytest.approx(4.9082, abs=5e-5)
    assert found["after"]["sd"] == pytest.approx(2.5386, abs=5e-5)
    assert found["test"]["statistic"] == pytest.approx(-2.269, abs=5e-4)
    assert found["test"]["df"] == pytest.approx(15.533, abs=5e-4)
    assert (found["interval"].low_si, found["interval"].high_si) == pytest.approx((-7.49143, -0.245943), abs=5e-6)
    assert found["p_value"] == pytest.approx(0.0378795, abs=5e-8)
    assert found["verdict"] is None  # 9 readings after: below ten there is no verdict


def test_assembly_times_from_the_file() -> None:
    found = columns("industrial/ehandbook_assembly_times_before_after.csv", "NIST/SEMATECH e-Handbook, 7.3.1")
    assert found["old"] == OLD
    assert found["new"] == NEW


def test_car_mileage() -> None:
    cars = columns("industrial/auto83b_two_sample.csv", "NIST/SEMATECH e-Handbook, section 1.3.5.3")
    found = compare(kind="times", before=cars["US"], after=cars["Japan"], better="higher", smallest_that_matters=5)
    assert (found["before"]["level"], found["after"]["level"]) == pytest.approx((20.14458, 30.48101), abs=5e-6)
    assert found["test"]["statistic"] == pytest.approx(12.94627, abs=5e-6)
    assert found["test"]["df"] == pytest.approx(136.875, abs=5e-4)
    assert (found["interval"].low_si, found["interval"].high_si) == pytest.approx((8.757621, 11.915248), abs=5e-7)
    assert found["verdict"] in ("proven", "likely")  # likely where the order of the file looks like a drift


def test_two_proportions() -> None:
    sides = {"before": {"successes": 32, "trials": 38}, "after": {"successes": 39, "trials": 44}}
    found = compare(kind="proportions", **sides)
    assert found["p_value"] == pytest.approx(0.74695811, abs=5e-9)
