"""Potvin, Ciriello, Snook, Maynard, Brogmus: The LM-MMH equations, Ergonomics, 2021; and Snook, Ciriello, 1991.

Each factor is 1 at its reference point (what the paper's fit is built on). The computed forces are another
computation from the same coefficients, not printed in the paper. The forces of 1991 are recalled, not verified, and
serve as a check of plausibility alone. HSE's filters (INDG143) and Kodak's 225 N were seen.
"""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

import pytest

from floorwright import catalogue
from floorwright.basis.people.pushing import KGF, acceptable, equation
from floorwright.basis.people.tables import row

HERE = Path(__file__).parent
SECONDS = {"s": 1 / 60, "min": 1.0, "h": 60.0}


def lines(name: str) -> list[dict[str, str]]:
    with (HERE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("line", lines("reference_points"), ids=lambda r: f"{r['task']}-{r['sex']}-{r['factor']}")
def test_factor_is_one_at_its_reference_point(line: dict[str, Any]) -> None:
    action, phase = line["task"].split("_")
    curve = equation(action, phase, line["sex"]).curves[line["factor"]]  # type: ignore[arg-type,index]
    assert curve.at(float(line["x_at_reference"])) == pytest.approx(1.0, abs=0.002)


@pytest.mark.parametrize("line", lines("computed_values"), ids=lambda r: r["id"])
def test_another_computation_of_the_same_equations(line: dict[str, Any]) -> None:
    action, phase = line["task"].split("_")
    given = {
        "action": action, "phase": phase, "sex": line["sex"], "hand_height": float(line["V_m"]),
        "distance": float(line["DH_m"]), "frequency": max(float(line["F_per_min"]), 1 / 480),
    }  # fmt: skip
    run = catalogue.calculation("push")
    half, three, nine = (run(given | {"percent": p}).results["acceptable_force"].value_si for p in (50, 75, 90))
    assert half / KGF == pytest.approx(float(line["MAL_50pct_kg"]), abs=0.0055)
    assert three / KGF == pytest.approx(float(line["MAL_75pct_kg"]), abs=0.0055)
    assert nine / KGF == pytest.approx(float(line["MAL_90pct_kg"]), abs=0.0055)
    assert three == pytest.approx(float(line["MAL_75pct_N"]), abs=0.055)


def per_minute(rate: str) -> float:
    """`one every 6 s` -> 10."""
    _, _, number, unit = rate.split()
    return 1 / (float(number) * SECONDS[unit])


@pytest.mark.parametrize("line", lines("snook_1991_memory"), ids=lambda r: " ".join(list(r.values())[:6]))
def test_recalled_tables_of_1991_are_of_the_same_size(line: dict[str, Any]) -> None:
    """Within 45 %: the equations smooth the tables, and the tables are recalled."""
    action, phase = line["task"].split("_")
    found = acceptable(
        action,
        phase,
        line["sex"],
        hand_m=float(line["handle_height_cm"]) / 100,
        distance_m=float(line["distance_m"]),
        per_min=per_minute(line["rate"]),
    )
    assert found.force_n(float(line["percent_acceptable"]) / 100) / KGF == pytest.approx(
        float(line["kgf"]), rel=0.45
    )


@pytest.mark.parametrize(
    ("phase", "sex", "kgf"),
    [("initial", "male", 20), ("initial", "female", 15), ("sustained", "male", 10), ("sustained", "female", 7)],
)
def test_filters_of_hse(phase: str, sex: str, kgf: float) -> None:
    given = {"action": "push", "phase": phase, "hand_height": 1, "distance": 7.6, "frequency": 1, "sex": sex}
    found = catalogue.calculation("push")(given).results["screening_force"].value_si
    assert found == pytest.approx(kgf * 9.80665)


def test_kodak_force_in_pounds() -> None:
    assert float(row("push_pull_screening", "SL06")["value"]) / 4.448 == pytest.approx(50, abs=0.6)
