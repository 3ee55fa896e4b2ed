"""Russell and Taylor, Operations Management, 5th ed. (2006), supplement to chapter 8: a time-study sheet.

Four elements, ten cycles, a watch that is never reset. Element times, the first three rows of readings, means,
ratings and normal times were seen; the fourth row, the 15 % allowance and the two totals are from memory.
"""

from __future__ import annotations

import pytest

from floorwright import catalogue
from floorwright.observe.watch import Reading, by_element, from_running_watch

ELEMENTS = ("grasp bread", "spread", "fold", "wrap")
WATCH_MIN = (
    (0.04, 0.38, 0.72, 1.05, 1.40, 1.76, 2.13, 2.50, 2.89, 3.29),
    (0.11, 0.44, 0.79, 1.13, 1.47, 1.83, 2.21, 2.60, 2.98, 3.37),
    (0.23, 0.55, 0.93, 1.25, 1.60, 1.96, 2.34, 2.72, 3.12, 3.51),
    (0.33, 0.67, 1.01, 1.34, 1.71, 2.07, 2.44, 2.82, 3.24, 3.61),
)
PRINTED_TIMES_MIN = (
    (0.04, 0.05, 0.05, 0.04, 0.06, 0.05, 0.06, 0.06, 0.07, 0.05),
    (0.07, 0.06, 0.07, 0.08, 0.07, 0.07, 0.08, 0.10, 0.09, 0.08),
    (0.12, 0.11, 0.14, 0.12, 0.13, 0.13, 0.13, 0.12, 0.14, 0.14),
    (0.10, 0.12, 0.08, 0.09, 0.11, 0.11, 0.10, 0.10, 0.12, 0.10),
)


def element_times_s() -> dict[str, list[float]]:
    readings = [
        Reading(cycle=cycle + 1, element=name, watch_s=row[cycle] * 60)
        for cycle in range(10)
        for name, row in zip(ELEMENTS, WATCH_MIN, strict=True)
    ]
    found = by_element(from_running_watch(readings))
    return {name: [time.time_s for time in times] for name, times in found.items()}


def test_running_watch_gives_the_printed_element_times() -> None:
    found = element_times_s()
    assert tuple(found) == ELEMENTS
    for name, printed in zip(ELEMENTS, PRINTED_TIMES_MIN, strict=True):
        assert [time / 60 for time in found[name]] == pytest.approx(printed, abs=1e-9)


def test_means_normal_times_and_totals() -> None:
    times = element_times_s()
    given = {
        "elements": [
            {"name": name, "times": times[name], "rating": rating}
            for name, rating in zip(ELEMENTS, (1.05, 1.00, 1.10, 1.10), strict=True)
        ],
        "allowance": "15 %",
        "allowance_basis": "work_time",
    }
    found = catalogue.calculation("time_study")(given).to_record("time_study")["results"]
    for element, mean, normal in zip(
        found["elements"], (0.053, 0.077, 0.128, 0.103), (0.056, 0.077, 0.141, 0.113), strict=True
    ):
        assert element["mean"]["value"] / 60 == pytest.approx(mean, abs=5e-4)
        assert element["normal_time"]["value"] / 60 == pytest.approx(normal, abs=5e-4)
    assert found["normal_time"]["value"] / 60 == pytest.approx(0.387, abs=5e-4)
    assert found["standard_time"]["value"] / 60 == pytest.approx(0.445, abs=5e-4)
