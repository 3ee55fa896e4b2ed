"""NPV and IRR against the examples in numpy-financial's documentation, and against numpy-financial itself.

The examples follow Gitman, Principles of Managerial Finance, Brief 3rd ed. (2003), p. 346-348; inputs and answers
were seen in the public documentation.
"""

from __future__ import annotations

import random
from typing import Any

import numpy_financial as npf
import pytest

from floorwright.prove.worth import CALCULATION


def worth(flows: list[float], rate: float = 0.08) -> dict[str, Any]:
    return dict(CALCULATION({"cash_flows": flows, "rate": rate}).results)


def test_npv_of_the_documentation() -> None:
    found = worth([-40_000, 5_000, 8_000, 12_000, 30_000])
    assert found["npv"] == pytest.approx(3065.2227, abs=5e-5)


@pytest.mark.parametrize(
    ("flows", "irr", "half_a_digit"),
    [
        ([-100, 39, 59, 55, 20], 0.28095, 5e-6),
        ([-100, 0, 0, 74], -0.0955, 5e-5),
        ([-100, 100, 0, -7], -0.0833, 5e-5),
    ],
)
def test_irr_of_the_documentation(flows: list[float], irr: float, half_a_digit: float) -> None:
    assert worth(flows)["irr"] == pytest.approx(irr, abs=half_a_digit)


@pytest.mark.parametrize("seed", range(40))
def test_ordinary_projects_agree_with_numpy_financial(seed: int) -> None:
    dice = random.Random(seed)
    flows = [-dice.uniform(100, 5_000)] + [dice.uniform(0, 900) for _ in range(dice.randint(1, 40))]
    rate = dice.uniform(0, 0.3)
    found = worth(flows, rate)
    assert found["npv"] == pytest.approx(npf.npv(rate, flows), rel=1e-10, abs=1e-9)
    assert found["irr"] == pytest.approx(npf.irr(flows), rel=1e-6, abs=1e-8)
    assert found["annual_worth"] == pytest.approx(-npf.pmt(rate, len(flows) - 1, found["npv"]), rel=1e-9)
