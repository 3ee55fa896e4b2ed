"""NIST/SEMATECH e-Handbook of Statistical Methods: means, variances apart, and readings that are not independent.

Sections 7.3.1 (assembly times), 1.3.5.3 (mileage of 249 US and 79 Japanese cars), 1.3.5.2 (heat flow meter),
7.2.2 (particle counts) and 1.4.2.5 with 1.3.5.13 (beam deflections). The printed values are from memory unless a
test says otherwise; the data were seen in public copies, and the values follow from them. The handbook prints
old - new; floorwright's differences are after - before, so signs turn.
"""

from __future__ import annotations

import csv

import pytest

from datasets import dataset
from floorwright.basis.stat.intervals import mean_t, welch_difference
from floorwright.basis.stat.quantiles import t
from floorwright.basis.stat.series import effective_size, lag1_autocorrelation, runs_test
from floorwright.basis.stat.summary import moments
from floorwright.basis.stat.tests import mann_whitney, welch

OLD = [32, 37, 35, 28, 41, 44, 35, 31, 34, 38, 42]
NEW = [36, 31, 30, 31, 34, 36, 29, 32, 31]


def _column(file: str, key: str, where: tuple[str, str] | None = None) -> list[float]:
    with dataset(f"industrial/{file}", "NIST/SEMATECH e-Handbook of Statistical Methods").open(newline="") as lines:
        return [float(row[key]) for row in csv.DictReader(lines) if where is None or row[where[0]] == where[1]]


def test_section_7_3_1_assembly_times() -> None:
    old, new = moments(OLD), moments(NEW)
    assert old.mean == pytest.approx(36.0909, abs=5e-5)
    assert new.mean == pytest.approx(32.2222, abs=5e-5)
    assert old.sd == pytest.approx(4.9082, abs=1e-4)
    assert new.sd == pytest.approx(2.5386, abs=5e-5)
    result = welch(OLD, NEW)
    assert result.t == pytest.approx(-2.269, abs=5e-4)  # seen in a second copy
    assert result.df == pytest.approx(15.533, abs=5e-4)
    assert t(0.95, 15) == pytest.approx(1.753, abs=5e-4)


def test_section_7_3_1_interval_against_a_general_library() -> None:
    interval = welch_difference(NEW, OLD)
    assert (interval.low, interval.high) == pytest.approx((0.245943, 7.49143), abs=1e-5)
    assert mann_whitney(NEW, OLD).u == 74.5


def test_section_1_3_5_3_car_mileage() -> None:
    us = _column("auto83b_two_sample.csv", "miles_per_gallon", ("origin", "US"))
    japan = _column("auto83b_two_sample.csv", "miles_per_gallon", ("origin", "Japan"))
    assert (len(us), len(japan)) == (249, 79)
    assert moments(us).mean == pytest.approx(20.14458, abs=5e-6)
    assert moments(japan).mean == pytest.approx(30.48101, abs=5e-6)
    assert moments(us).sd == pytest.approx(6.41470, abs=5e-6)
    assert moments(japan).sd == pytest.approx(6.10771, abs=5e-6)
    result = welch(japan, us)
    assert result.t == pytest.approx(-12.94627, abs=5e-6)
    assert result.df == pytest.approx(136.875, abs=5e-4)
    interval = welch_difference(japan, us)
    assert (interval.low, interval.high) == pytest.approx((-11.915248, -8.757621), abs=1e-6)


def test_section_1_3_5_2_interval_of_a_mean() -> None:
    interval = mean_t(_column("zarr13_calibration.csv", "calibration_factor"))
    assert (interval.low, interval.high) == pytest.approx((9.258242, 9.264679), abs=1e-6)


def test_section_7_2_2_particle_counts() -> None:
    result = moments(_column("ehandbook_particle_counts.csv", "particles"))
    assert (result.mean, result.sd) == pytest.approx((53.7, 6.567), abs=5e-4)
    assert (result.mean - 50.0) / result.standard_error == pytest.approx(1.782, abs=5e-4)
    assert t(0.975, 9) == pytest.approx(2.262, abs=5e-4)


def _beam_deflections() -> list[float]:
    lines = dataset("nist_strd/Lew.dat", "NIST Statistical Reference Datasets").read_text().splitlines()
    start = next(i for i, line in enumerate(lines) if "---" in line) + 1
    return [float(line) for line in lines[start:] if line.strip()]


def test_section_1_4_2_5_beam_deflections_are_not_independent() -> None:
    values = _beam_deflections()
    runs = runs_test(values)
    assert runs.z == pytest.approx(2.6938, abs=5e-5)
    assert runs.p_value < 0.05
    assert lag1_autocorrelation(values) == pytest.approx(-0.31, abs=5e-3)
    assert effective_size(len(values), lag1_autocorrelation(values)) > len(values)


def test_effective_size_of_a_first_order_series() -> None:
    """Standard result for an autoregressive series, n = 50, rho = 0.5: own arithmetic."""
    assert effective_size(50, 0.5) == pytest.approx(16.6667, abs=5e-5)
