"""Montgomery, Introduction to Statistical Quality Control, and Montgomery and Runger, Applied Statistics.

Piston rings (table 6.3 of the 6th ed.): subgroups 1 to 16 seen, 17 to 25 and the answers from memory; the
capability of the exercise is own arithmetic. Defects on boards (3rd ed. example 16-5): seen in part, answers
seen. Twenty single readings given by their moving ranges (section 15-4, exercise 17): seen.
"""

from __future__ import annotations

from typing import Any

import pytest

from floorwright import catalogue
from floorwright.hold.chart_limits import individuals

RINGS = [
    [74.030, 74.002, 74.019, 73.992, 74.008], [73.995, 73.992, 74.001, 74.011, 74.004],
    [73.988, 74.024, 74.021, 74.005, 74.002], [74.002, 73.996, 73.993, 74.015, 74.009],
    [73.992, 74.007, 74.015, 73.989, 74.014], [74.009, 73.994, 73.997, 73.985, 73.993],
    [73.995, 74.006, 73.994, 74.000, 74.005], [73.985, 74.003, 73.993, 74.015, 73.988],
    [74.008, 73.995, 74.009, 74.005, 74.004], [73.998, 74.000, 73.990, 74.007, 73.995],
    [73.994, 73.998, 73.994, 73.995, 73.990], [74.004, 74.000, 74.007, 74.000, 73.996],
    [73.983, 74.002, 73.998, 73.997, 74.012], [74.006, 73.967, 73.994, 74.000, 73.984],
    [74.012, 74.014, 73.998, 73.999, 74.007], [74.000, 73.984, 74.005, 73.998, 73.996],
    [73.994, 74.012, 73.986, 74.005, 74.007], [74.006, 74.010, 74.018, 74.003, 74.000],
    [73.984, 74.002, 74.003, 74.005, 73.997], [74.000, 74.010, 74.013, 74.020, 74.003],
    [73.982, 74.001, 74.015, 74.005, 73.996], [74.004, 73.999, 73.990, 74.006, 74.009],
    [74.010, 73.989, 73.990, 74.009, 74.014], [74.015, 74.008, 73.993, 74.000, 74.010],
    [73.982, 73.984, 73.995, 74.017, 74.013],
]  # fmt: skip


def run(**given: Any) -> dict[str, Any]:
    return catalogue.calculation("control_chart")(given).to_record("control_chart")["results"]


def test_piston_rings_by_ranges() -> None:
    found = run(kind="xbar_r", data=RINGS)
    assert found["centre"] == pytest.approx(74.001, abs=6e-4)
    assert found["range_centre"] == pytest.approx(0.023, abs=6e-4)
    assert found["upper"] == pytest.approx(74.014, abs=6e-4)
    assert found["lower"] == pytest.approx(73.988, abs=6e-4)
    assert found["range_upper"] == pytest.approx(0.049, abs=6e-4)
    assert found["range_lower"] == 0
    assert found["signals"] == []


def test_piston_rings_by_standard_deviations() -> None:
    found = run(kind="xbar_s", data=RINGS)
    assert found["range_centre"] == pytest.approx(0.0094, abs=5e-5)
    assert found["range_upper"] == pytest.approx(0.0196, abs=5e-5)
    assert found["upper"] == pytest.approx(74.014, abs=6e-4)


def test_piston_rings_in_millimetres_with_their_specification() -> None:
    data = [[f"{ring} mm" for ring in group] for group in RINGS]
    found = run(kind="xbar_r", data=data, specification={"lower": "73.95 mm", "upper": "74.05 mm"})
    assert found["sigma"]["value"] * 1000 == pytest.approx(0.0099914, abs=5e-7)
    assert found["Cp"] == pytest.approx(1.668, abs=5e-4)
    assert found["Cpk"] == pytest.approx(1.629, abs=5e-4)
    assert found["Cpk_interval"]["low"] < found["Cpk"] < found["Cpk_interval"]["high"]


def test_boards_of_five() -> None:
    found = run(kind="u", data=[6, 4, 8, 10, 9, 12, 16, 2, 3, 10, 9, 15, 8, 10, 8, 2, 7, 1, 7, 13], sizes=5)
    assert found["centre"] == pytest.approx(1.6, abs=5e-3)
    assert found["upper"] == pytest.approx(3.3, abs=5e-3)
    assert found["lower"] == 0
    assert found["signals"] == []


def test_twenty_readings_given_by_their_moving_ranges() -> None:
    """Sum 1061. The readings are rebuilt by going up and down so that they meet the printed sum."""
    ranges = [1, 2, 1, 0, 4, 1, 2, 1, 5, 5, 6, 1, 8, 3, 1, 2, 4, 6, 3]
    path = [0.0]
    for i, step in enumerate(ranges):
        path.append(path[-1] + (step if i % 2 else -step))
    shift = (1061 - sum(path)) / 20
    chart = individuals([x + shift for x in path], 20)
    second = chart.second
    assert second is not None
    assert chart.centre[0] == pytest.approx(53.05, abs=0.005)
    assert second.centre == pytest.approx(2.947, abs=5e-4)
    assert chart.upper[0] == pytest.approx(60.888, abs=1e-3)
    assert chart.lower[0] == pytest.approx(45.212, abs=1e-3)
    assert second.upper == pytest.approx(9.628, abs=1.1e-3)
    assert chart.sigma == pytest.approx(2.613, abs=5e-4)
