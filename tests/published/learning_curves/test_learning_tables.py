"""Learning curves: the usual printed tables and worked answers.

`table.csv`: unit and total factors for 75 to 95 % as such tables print them (Stevenson, table 7S.1; Heizer and
Render, table E.3). Worked answers: a solutions manual whose book is not shown, problems 13.1 and 13.5; a public
answer with the 80 % table; a public management-accounting text, chapter 15. All seen. One page prints 8.88 for
unit 21, which is the factor of unit 25; another prints 254.76 where its own average shows 245.76.
"""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

import pytest

from floorwright import catalogue
from floorwright.observe.learning import learned

with (Path(__file__).parent / "table.csv").open(encoding="utf-8", newline="") as file:
    TABLE = list(csv.DictReader(file))


@pytest.mark.parametrize("percent", [75, 80, 85, 90, 95])
def test_printed_table(percent: int) -> None:
    for row in TABLE:
        found = learned(1.0, percent / 100, int(row["n"]), "unit")
        assert found.unit_time == pytest.approx(float(row[f"unit_{percent}"]), abs=6e-5)
        assert found.total == pytest.approx(float(row[f"total_{percent}"]), abs=6e-4)


@pytest.mark.parametrize(
    ("unit", "factor", "total"),
    [(5, 0.596, 3.738), (10, 0.477, 6.315), (20, 0.381, 10.485), (40, 0.305, 17.193)],
)
def test_80_percent_factors_seen_in_worked_answers(unit: int, factor: float, total: float) -> None:
    found = learned(1.0, 0.8, unit, "unit")
    assert found.unit_time == pytest.approx(factor, abs=6e-4)
    assert found.total == pytest.approx(total, abs=6e-4)


def run(**given: Any) -> dict[str, float]:
    record = catalogue.calculation("learning")(given).to_record("learning")["results"]
    return {name: value["value"] / 3600 for name, value in record.items()}


def test_problem_13_1_first_unit_300_hours() -> None:
    assert run(first_unit="300 h", rate="80 %", unit=5, model="unit")["unit_time"] == pytest.approx(178.7, abs=0.05)
    assert run(first_unit="300 h", rate="80 %", unit=5, model="unit")["total"] == pytest.approx(1121.4, rel=5e-4)
    assert run(first_unit="300 h", rate="80 %", unit=18, model="unit")["total"] == pytest.approx(2914.8, rel=5e-4)


@pytest.mark.parametrize(("unit", "printed"), [(2, 57.0), (3, 55.32), (4, 54.15)])
def test_problem_13_5_first_unit_60_minutes(unit: int, printed: float) -> None:
    found = learned(60, 0.95, unit, "unit")
    assert found.unit_time == pytest.approx(printed, abs=0.005)


def test_contract_of_twenty_and_twenty_more() -> None:
    first, both = (run(first_unit="25 h", rate=0.8, unit=n, model="unit") for n in (20, 40))
    assert learned(25, 0.8, 3, "unit").unit_time == pytest.approx(17.55, abs=0.005)
    assert first["unit_time"] == pytest.approx(9.53, abs=0.005)
    assert first["total"] == pytest.approx(262.13, abs=0.01)
    assert first["cumulative_average"] == pytest.approx(13.11, abs=0.005)
    assert both["unit_time"] == pytest.approx(7.63, abs=0.01)
    assert both["total"] - first["total"] == pytest.approx(167.7, abs=0.05)
    assert learned(25, 0.8, 21, "unit").unit_time == pytest.approx(9.38, abs=0.005)  # the page's slip: 8.88
    assert learned(25, 0.8, 50, "unit").total == pytest.approx(503, abs=0.5)


@pytest.mark.parametrize(
    ("unit", "average", "total"),
    [(1, 100, 100), (2, 80, 160), (4, 64, 256), (8, 51.2, 409.6), (16, 40.96, 655.36)],
)
def test_cumulative_average_model(unit: int, average: float, total: float) -> None:
    found = run(first_unit="100 h", rate="80 %", unit=unit, model="cumulative")
    assert found["cumulative_average"] == pytest.approx(average, abs=1e-6)
    assert found["total"] == pytest.approx(total, abs=1e-6)


def test_lots_of_the_cumulative_average_model() -> None:
    totals = [learned(100, 0.8, unit, "cumulative").total for unit in (1, 2, 4, 8, 16)]
    lots = [b - a for a, b in zip([0.0, *totals[:-1]], totals, strict=True)]
    assert lots == pytest.approx([100, 60, 96, 153.6, 245.76])  # the page prints 254.76


def test_second_unit_takes_60_in_one_model_and_80_in_the_other() -> None:
    assert learned(100, 0.8, 2, "cumulative").unit_time == pytest.approx(60)
    assert learned(100, 0.8, 2, "unit").unit_time == pytest.approx(80)
