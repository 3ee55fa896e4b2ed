"""NIOSH Publication 94-110 (1994, revised 2021): the printed tables of multipliers.

`printed_multipliers.csv` holds tables 1 to 4 (HM, VM, DM, AM; the column `confirmed` says which cells were seen and
which are from memory), `frequency.csv` table 5 and `coupling.csv` table 7 (seen in several transcriptions).
Three printed cells differ from their own formula: HM at 22 and 23 in, DM at 130 cm.
"""

from __future__ import annotations

import csv
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import pytest

from floorwright.basis.people.lifting import HandPosition, frequency_multiplier, rate

HERE = Path(__file__).parent
ODD = {("HM", "US", "22"), ("HM", "US", "23"), ("DM", "metric", "130")}


def rows(name: str) -> list[dict[str, str]]:
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def ours(row: dict[str, str]) -> float:
    """The multiplier at the printed input; just beyond it where the row says >."""
    text = row["input"]
    value = float(text.lstrip(">")) + (0.01 if text.startswith(">") else 0)
    unit = {"in": 0.0254, "cm": 0.01}.get(row["input_unit"], 0.0)
    asked = {"HM": 0.25, "VM": 0.75, "DM": 0.25, "AM": 0.0} | {
        row["multiplier"]: value * unit if unit else value * 3.141592653589793 / 180
    }
    found = rate(
        HandPosition(horizontal_m=asked["HM"], vertical_m=asked["VM"], asymmetry_rad=asked["AM"]),
        travel_m=asked["DM"],
        frequency=0.2,
        duration="short",
        coupling="good",
        form="us" if row["units"] == "US" else "metric",
    )
    return float(getattr(found, row["multiplier"]))


@pytest.mark.parametrize(
    "row",
    rows("printed_multipliers.csv"),
    ids=lambda row: f"{row['multiplier']} {row['input']} {row['input_unit']} {row['confirmed']}",
)
def test_printed_multiplier(row: dict[str, str]) -> None:
    printed = float(row["printed_value"])
    found = ours(row)
    if (row["multiplier"], row["units"], row["input"]) in ODD:
        assert found == pytest.approx(printed, abs=0.0105)
        assert found != pytest.approx(printed, abs=0.004)
        return
    two_places = float(Decimal(repr(round(found, 9))).quantize(Decimal("0.01"), ROUND_HALF_UP))
    assert two_places == printed


@pytest.mark.parametrize(
    "row", rows("frequency.csv"), ids=lambda row: f"{row['duration_class']} {row['lifts_per_min']}/min"
)
def test_printed_frequency_multiplier(row: dict[str, str]) -> None:
    text = row["lifts_per_min"]
    frequency = 15.01 if text.startswith(">") else float(text)
    duration = row["duration_class"]
    low = frequency_multiplier(frequency, duration, low=True)  # type: ignore[arg-type]
    high = frequency_multiplier(frequency, duration, low=False)  # type: ignore[arg-type]
    assert low == float(row["FM_V_below_30in_75cm"])
    assert high == float(row["FM_V_at_or_above_30in_75cm"])


@pytest.mark.parametrize("row", rows("coupling.csv"), ids=lambda row: row["coupling"])
def test_printed_coupling_multiplier(row: dict[str, str]) -> None:
    below, above = (
        rate(
            HandPosition(horizontal_m=0.25, vertical_m=height, asymmetry_rad=0),
            travel_m=0.25,
            frequency=1,
            duration="short",
            coupling=row["coupling"],  # type: ignore[arg-type]
        ).CM
        for height in (0.7499, 0.75)
    )
    assert below == float(row["CM_V_below_30in_75cm"])
    assert above == float(row["CM_V_at_or_above_30in_75cm"])
