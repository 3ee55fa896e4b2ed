"""NIST Statistical Reference Datasets, univariate summary statistics.

J. Rogers, J. Filliben, L. Gill, W. Guthrie, E. Lagergren and M. Vangel, National Institute of Standards and
Technology, 1998-2003: certified mean, standard deviation (n - 1) and lag-1 autocorrelation. The certified values
are read from the header of each file.
"""

from __future__ import annotations

import math

import pytest

from datasets import dataset
from floorwright.basis.stat.series import lag1_autocorrelation
from floorwright.basis.stat.summary import mean, sd

# Digits that must agree (-log10 of the relative error). NumAcc2's readings (1.1, 1.2, 1.3) and Mavro's are not
# binary fractions, so that a float already differs from the certified reading.
CASES = {
    "Lew.dat": (15, 14, 14),
    "Lottery.dat": (15, 14, 13),
    "Mavro.dat": (15, 12, 12),
    "NumAcc1.dat": (15, 15, 15),
    "NumAcc2.dat": (15, 13, 13),
}


def _strd(name: str) -> tuple[list[float], list[float]]:
    text = dataset(f"nist_strd/{name}", "NIST Statistical Reference Datasets").read_text()
    certified = [_after(text, what) for what in ("Sample Mean", "Deviation (denom. = n-1)", "Coefficient")]
    lines = text.splitlines()
    start = max(i for i, line in enumerate(lines) if "---" in line) + 1
    return [float(line) for line in lines[start:] if line.strip()], certified


def _after(text: str, label: str) -> float:
    line = next(line for line in text.splitlines() if label in line and ":" in line)
    return float(line.split(":")[1].split()[0])


def _digits(value: float, certified: float) -> float:
    error = abs(value - certified) / abs(certified)
    return math.inf if error == 0.0 else -math.log10(error)


@pytest.mark.parametrize(("name", "wanted"), CASES.items())
def test_certified_mean_sd_and_autocorrelation(name: str, wanted: tuple[int, int, int]) -> None:
    values, certified = _strd(name)
    ours = mean(values), sd(values), lag1_autocorrelation(values)
    for value, printed, digits in zip(ours, certified, wanted, strict=True):
        assert _digits(value, printed) >= digits - 0.7  # half a unit of the last certified digit
