"""Heizer and Render, Operations Management, 11th ed. (2014): work measurement, waiting lines, stock, layout.

Instructor solutions and slides, seen in public copies, except where a test says memory.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import pytest

from floorwright import catalogue
from floorwright.propose.sharing.queue import few_users
from floorwright.propose.stockpoint.reorder import levels


def run(name: str, **given: Any) -> dict[str, Any]:
    return catalogue.calculation(name)(given).to_record(name)["results"]


def test_problem_10_26_gift_wrap_readings() -> None:
    """Printed 14.13 from figures rounded to two places; unrounded 14.11. Both round up to 15."""
    found = run(
        "sample_size",
        times=[3.5, 3.2, 4.1, 3.6, 3.9],
        relative_error=0.05,
        confidence=0.95,
        distribution="normal",
    )
    assert found["observations_exact"] == pytest.approx(14.13, rel=0.005)
    assert found["observations"] == 15
    assert found["more_needed"] == 10


def test_problem_10_28_label_and_package() -> None:
    """Four elements, 15 % of the workday; two readings of the source are foreign and left out of its means."""
    means = [("type", 37.8, 1.20), ("label", 12.5, 1.10), ("stuff", 4.0, 0.90), ("sort", 17.75, 0.85)]
    found = run(
        "time_study",
        elements=[{"name": name, "times": [f"{mean} min"], "rating": rating} for name, mean, rating in means],
        allowance=0.15,
        allowance_basis="shift_time",
    )
    for element, printed in zip(found["elements"], (45.36, 13.75, 3.60, 15.09), strict=True):
        assert element["normal_time"]["value"] / 60 == pytest.approx(printed, abs=0.005)
    assert found["normal_time"]["value"] / 60 == pytest.approx(77.80, abs=0.005)
    assert found["standard_time"]["value"] / 60 == pytest.approx(91.53, abs=0.005)


def test_problem_10_28_prints_96_where_rounding_up_gives_97() -> None:
    found = run("sample_size", times=[3, 3, 5, 5, 4], relative_error=0.05, confidence=0.95, distribution="normal")
    assert found["observations_exact"] == pytest.approx(96, abs=0.05)
    assert found["observations"] == 97


def test_problem_10_28_means_with_foreign_readings_marked() -> None:
    """The readings of the third and fourth element, each with a foreign one added in its place."""
    found = run(
        "time_study",
        elements=[
            {"name": "stuff", "times": [3, 3, 5, 5, 25, 4], "rating": 0.9, "foreign": [5]},
            {"name": "sort", "times": [15, 18, 21, 17, 60], "rating": 0.85, "foreign": [5]},
        ],
        allowance=0.15,
        allowance_basis="shift_time",
    )
    assert found["elements"][0]["mean"]["value"] == pytest.approx(4.0)
    assert found["elements"][1]["mean"]["value"] == pytest.approx(17.75)


def test_problem_10_18_blood_test() -> None:
    """Answer from memory."""
    found = run(
        "time_study",
        elements=[{"name": "blood test", "times": ["12 min"], "rating": 1.05}],
        allowance=0.15,
        allowance_basis="shift_time",
    )
    assert found["normal_time"]["value"] / 60 == pytest.approx(12.6, abs=0.005)
    assert found["standard_time"]["value"] / 60 == pytest.approx(14.82, abs=0.005)


@pytest.mark.parametrize(
    ("technicians", "waiting_chance", "running", "cost"), [(1, 0.35, 4.36, 101.8), (2, 0.044, 4.54, 105.2)]
)
def test_module_d_five_printers(technicians: int, waiting_chance: float, running: float, cost: float) -> None:
    """Printed from a finite-queue table read at X = 0.090 instead of 0.0909: up to about 1 % off the exact model.

    Tolerances are those of the table. The next test holds exact values.
    """
    found = asdict(few_users(1 / 20, 1 / 2, technicians, 5))
    assert found["probability_of_waiting"] == pytest.approx(waiting_chance, abs=0.004)
    assert 5 - found["L"] == pytest.approx(running, abs=0.01)
    assert 120 * found["L"] + 25 * technicians == pytest.approx(cost, rel=0.01)


@pytest.mark.parametrize(
    ("technicians", "P0", "L", "Lq", "wait_h", "waiting_chance"),
    [
        (1, 0.56395218, 0.63952177, 0.20347395, 0.93326436 / 2, 0.35333678),
        (2, 0.61859178, 0.4647944, 0.011273835, 0.049716975 / 2, 0.045215849),
    ],
)
def test_module_d_exact_model_recomputed_apart(
    technicians: int, P0: float, L: float, Lq: float, wait_h: float, waiting_chance: float
) -> None:
    """Not printed: the birth-and-death chances worked out apart from this code. Rates in hours here."""
    found = asdict(few_users(1 / 20, 1 / 2, technicians, 5))
    assert found["P0"] == pytest.approx(P0, rel=1e-7)
    assert found["L"] == pytest.approx(L, rel=1e-7)
    assert found["Lq"] == pytest.approx(Lq, rel=1e-7)
    assert found["Wq_s"] / 2 == pytest.approx(wait_h, rel=1e-7)
    assert found["probability_of_waiting"] == pytest.approx(waiting_chance, rel=1e-7)


def test_hospital_kits() -> None:
    """From memory. Lead-time demand 350, standard deviation 10, 5 % risk, z = 1.65 in the text (1.645)."""
    found = levels(demand_mean=350, demand_sd=10, lead_time_mean=1, lead_time_sd=0, service_level=0.95)
    assert found.safety_stock == pytest.approx(16.5, abs=0.06)
    assert found.reorder_point == pytest.approx(366.5, abs=0.06)


PLACES = ["materials", "welding", "drills", "lathes", "grinders", "benders"]
FLOW = [
    [0, 100, 50, 0, 0, 50],
    [25, 0, 0, 50, 0, 0],
    [25, 0, 0, 0, 50, 0],
    [0, 25, 0, 0, 20, 0],
    [50, 0, 100, 0, 0, 0],
    [10, 0, 20, 0, 0, 0],
]
FEET = [
    [0, 20, 40, 20, 40, 60],
    [20, 0, 20, 40, 20, 40],
    [40, 20, 0, 60, 40, 20],
    [20, 40, 60, 0, 20, 40],
    [40, 20, 40, 20, 0, 20],
    [60, 40, 20, 40, 20, 0],
]


def test_machine_shop_from_to_chart() -> None:
    """Data seen; 20,900 load-feet as the departments stand is own arithmetic."""
    trips = [[a, b, n] for a, row in zip(PLACES, FLOW, strict=True) for b, n in zip(PLACES, row, strict=True) if n]
    table = {"names": PLACES, "rows": [[f"{feet} ft" for feet in row] for row in FEET]}
    found = run("from_to", distances=table, trips=trips)
    assert found["distance"]["value"] / 0.3048 == pytest.approx(20_900, abs=1e-6)
    assert (found["chart"][0]["from"], found["chart"][0]["to"]) == ("grinders", "drills")
