"""Interest factors, annuities and payback: standard compound-interest tables and closed forms.

Factors at 8 and 10 % as printed in the tables of engineering-economy texts (seen). Payback of 25,000 against
15,000 a year at 18 %: inputs from a public problem sheet, answers by the closed form -ln(1 - P i/A)/ln(1 + i)
(own arithmetic). Loan payment: numpy-financial documentation (seen).
"""

from __future__ import annotations

from typing import Any

import pytest

from floorwright.prove.worth import CALCULATION


def worth(flows: list[float], rate: float) -> dict[str, Any]:
    return dict(CALCULATION({"cash_flows": flows, "rate": rate}).results)


def test_present_worth_of_an_annuity_and_of_a_single_flow() -> None:
    assert worth([0.0] + [1.0] * 10, 0.10)["npv"] == pytest.approx(6.1446, abs=5e-5)
    assert worth([0.0] + [1.0] * 10, 0.08)["npv"] == pytest.approx(6.7101, abs=5e-5)
    assert worth([0.0] * 10 + [1.0], 0.10)["npv"] == pytest.approx(0.3855, abs=5e-5)
    assert worth([0.0] * 10 + [1.0], 0.08)["npv"] == pytest.approx(0.4632, abs=5e-5)


@pytest.mark.parametrize(("years", "recovery", "sinking"), [(10, 0.14903, 0.06903), (5, 0.25046, 0.17046)])
def test_annual_worth_is_capital_recovery_or_sinking_fund(years: int, recovery: float, sinking: float) -> None:
    assert worth([1.0] + [0.0] * years, 0.08)["annual_worth"] == pytest.approx(recovery, abs=5e-6)
    assert worth([0.0] * years + [1.0], 0.08)["annual_worth"] == pytest.approx(sinking, abs=5e-6)


def test_loan_payment() -> None:
    assert worth([200_000.0] + [0.0] * 180, 0.00625)["annual_worth"] == pytest.approx(1854.0247, abs=5e-5)


def test_payback_of_a_level_saving() -> None:
    found = worth([-25_000.0] + [15_000.0] * 5, 0.18)
    assert found["payback"] == pytest.approx(1.6667, abs=5e-5)
    assert found["discounted_payback"] == pytest.approx(2.1549, abs=5e-5)
    # A straight line within the year comes within a hundredth.
    assert found["discounted_payback_straight"] == pytest.approx(2.1549, abs=0.02)


def test_without_interest_annual_worth_is_the_plain_share() -> None:
    assert worth([-100.0, 60.0, 60.0, 60.0], 0.0)["annual_worth"] == pytest.approx(80 / 3)
