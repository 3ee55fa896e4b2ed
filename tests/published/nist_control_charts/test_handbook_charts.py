"""NIST/SEMATECH e-Handbook of Statistical Methods (2003-2012), sections 6.1.6 and 6.3: charts and capability.

The flow rates of 6.3.2.2 were seen with their answers. The wafer data of 6.3.3.1 and 6.3.3.2 and the wafer
thickness were seen in data files that NIST distributes, their answers are from memory (thickness: own
arithmetic). The process of 6.1.6 is from memory. The handbook prints limits with 1.128, as we do for single
readings.
"""

from __future__ import annotations

from typing import Any

import pytest

from floorwright import catalogue
from floorwright.hold.capability import capability


def run(**given: Any) -> dict[str, Any]:
    return catalogue.calculation("control_chart")(given).to_record("control_chart")["results"]


def points(found: dict[str, Any]) -> list[int]:
    return [signal["point"] for signal in found["signals"]]


def test_6_3_2_2_flow_rates() -> None:
    found = run(kind="xmr", data=[49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])
    assert found["centre"] == pytest.approx(50.81, abs=5e-5)
    assert found["range_centre"] == pytest.approx(1.8778, abs=5e-5)
    assert found["upper"] == pytest.approx(55.8041, abs=5e-5)
    assert found["lower"] == pytest.approx(45.8159, abs=5e-5)
    assert found["range_upper"] == pytest.approx(6.1347, abs=5e-5)
    assert points(found) == []


WAFER_DEFECTS = [
    16, 14, 28, 16, 12, 20, 10, 12, 10, 17, 19, 17, 14, 16, 15, 13, 14, 16, 11, 20, 11, 19, 16, 31, 13,
]  # fmt: skip


def test_6_3_3_1_a_count_on_the_limit_is_no_signal() -> None:
    found = run(kind="c", data=WAFER_DEFECTS)
    assert found["centre"] == 16
    assert found["upper"] == 28
    assert found["lower"] == 4
    assert WAFER_DEFECTS[2] == 28
    assert points(found) == [24]


SHARES_OF_50 = [
    0.24, 0.30, 0.16, 0.20, 0.08, 0.14, 0.32, 0.18, 0.28, 0.20, 0.10, 0.12, 0.34, 0.24, 0.44, 0.16, 0.20, 0.10,
    0.26, 0.22, 0.40, 0.36, 0.48, 0.30, 0.18, 0.24, 0.14, 0.26, 0.18, 0.12,
]  # fmt: skip


def test_6_3_3_2_faulty_share_of_thirty_wafers() -> None:
    found = run(kind="p", data=[round(50 * share) for share in SHARES_OF_50], sizes=50)
    assert found["centre"] == pytest.approx(0.2313, abs=5e-5)
    assert found["upper"] == pytest.approx(0.4102, abs=5e-5)
    assert found["lower"] == pytest.approx(0.0524, abs=5e-5)
    assert points(found) == [15, 23]


THICKNESS = [
    [24.5, 22.4, 23.7, 23.5, 23.8], [23.6, 23.8, 22.5, 22.5, 23.0], [25.0, 22.6, 23.7, 22.7, 22.9],
    [24.3, 22.6, 23.2, 23.3, 23.2], [23.8, 24.9, 23.6, 22.5, 24.8], [24.4, 22.8, 22.6, 22.9, 23.1],
    [23.7, 22.9, 23.3, 23.2, 23.9], [23.4, 23.7, 23.5, 23.4, 23.3], [24.9, 23.9, 23.1, 24.5, 23.7],
    [23.0, 23.8, 22.5, 23.6, 23.4], [24.8, 24.0, 24.1, 23.9, 23.9], [24.4, 23.7, 23.2, 23.0, 23.8],
    [24.9, 24.0, 22.2, 23.2, 22.3], [24.3, 23.6, 22.4, 23.2, 23.2], [23.4, 23.7, 24.0, 22.5, 24.0],
    [25.3, 24.9, 23.1, 22.6, 23.7], [24.1, 23.6, 23.8, 24.0, 23.3], [25.9, 25.4, 22.4, 24.3, 24.3],
    [26.4, 24.4, 22.1, 26.4, 23.2], [27.8, 22.7, 25.0, 25.9, 25.4],
]  # fmt: skip


def test_wafer_thickness_by_standard_deviations() -> None:
    found = run(kind="xbar_s", data=THICKNESS)
    assert found["centre"] == pytest.approx(23.726, abs=5e-4)
    assert found["range_centre"] == pytest.approx(0.82066, abs=5e-6)
    assert found["upper"] == pytest.approx(24.897, abs=6e-4)
    assert found["lower"] == pytest.approx(22.555, abs=6e-4)
    assert found["range_upper"] == pytest.approx(1.7143, abs=5e-4)
    assert found["range_lower"] == 0
    assert points(found) == [20]


def test_6_1_6_off_centre_process() -> None:
    """From memory: limits 8 and 20, mean 16, standard deviation 2."""
    found = capability(mean=16, sigma=2, n=50, lower=8, upper=20)
    assert found.Cp == pytest.approx(1.0, abs=5e-5)
    assert found.Cpk == pytest.approx(0.6667, abs=5e-5)
    one_sided = capability(mean=16, sigma=2, n=50, lower=8, upper=None)
    assert one_sided.Cp is None
    assert one_sided.Cpk == pytest.approx(1.3333, abs=5e-5)
