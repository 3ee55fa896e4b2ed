"""Stevenson, Operations Management, 14th ed. (2021): work measurement (chapter 7) and stock (chapters 12 and 14).

Inputs were seen in public copies; the answers of solved problem 1 and the container example are from memory.
"""

from __future__ import annotations

from typing import Any

import pytest

from floorwright import catalogue
from floorwright.propose.stockpoint.reorder import levels


def study(times: list[float], rating: float, allowance: float, basis: str) -> dict[str, Any]:
    given = {
        "elements": [{"name": "job", "times": times, "rating": rating}],
        "allowance": allowance,
        "allowance_basis": basis,
    }
    return catalogue.calculation("time_study")(given).to_record("time_study")["results"]


def test_chapter_7_solved_problem_1() -> None:
    """From memory. Observed 18.75 min, rated 0.96, 15 % of the workday; the text rounds the factor to 1.176."""
    found = study([18.75], 0.96, 0.15, "shift_time")
    assert found["normal_time"]["value"] == pytest.approx(18.0, abs=0.005)
    assert found["standard_time"]["value"] == pytest.approx(18.0 * 1.176, abs=0.01)
    assert found["standard_time"]["value"] == pytest.approx(21.17, abs=0.01)


def test_chapter_7_test_bank_five_timings() -> None:
    """Seen. Five timings, rating 1.2, 20 % of the job."""
    found = study([27, 19, 20, 21, 13], 1.2, 0.20, "work_time")
    assert found["elements"][0]["mean"]["value"] == pytest.approx(20.0)
    assert found["normal_time"]["value"] == pytest.approx(24.0)
    assert found["standard_time"]["value"] == pytest.approx(28.8)


def test_chapter_12_example_8_sand() -> None:
    """Seen. Lead-time demand 50, standard deviation 5, 3 % risk; the text uses z = 1.88."""
    found = levels(demand_mean=50, demand_sd=5, lead_time_mean=1, lead_time_sd=0, service_level=0.97)
    assert found.z == pytest.approx(1.88, abs=0.005)
    assert found.safety_stock == pytest.approx(9.40, abs=0.01)
    assert found.reorder_point == pytest.approx(59.40, abs=0.01)


@pytest.mark.parametrize(
    ("demand", "lead_time", "container", "margin", "raw", "containers"),
    [
        (300, 0.12, 25, 0.20, 1.728, 2),  # lean chapter, from memory
        (1000, 2, 250, 0.15, 9.2, 10),  # public exercise with answer
        (2000, 0.4, 200, 0.10, 4.4, 5),  # public answer page
    ],
)
def test_number_of_containers(
    demand: float, lead_time: float, container: float, margin: float, raw: float, containers: int
) -> None:
    """N = D T (1 + X) / C, rounded up. The margin X is reached here by the service level that gives that stock.

    With a standard deviation of the margin itself, the service level of one standard deviation is z = 1.
    """
    found = levels(
        demand_mean=demand,
        demand_sd=margin * demand * lead_time**0.5,
        lead_time_mean=lead_time,
        lead_time_sd=0,
        service_level=0.8413447460685429,
        container=container,
    )
    assert found.reorder_point / container == pytest.approx(raw, abs=1e-9)
    assert found.containers == containers
