"""What moves the worth most: one assumption at a time, and the same figures as the simulation gives."""

from __future__ import annotations

from dataclasses import replace

import pytest

from floorwright.prove.gain import CALCULATION
from floorwright.prove.sensitivity import Assumptions, annual_worth, net_worth, swings

GIVEN = Assumptions(
    saved_s=36.0,
    events_per_year=10_000,
    share_used=0.5,
    labour_rate=40.0,
    cost=1000.0,
    upkeep=100.0,
    life_years=3,
    interest=0.10,
)


def test_by_hand() -> None:
    """36 s 10,000 times are 100 h; half of them at 40 an hour are 2,000, less 100. Over 3 years at 10 %:

    1900/1.1 + 1900/1.21 + 1900/1.331 - 1000 = 1727.27 + 1570.25 + 1427.50 - 1000 = 3725.02.
    """
    assert annual_worth(GIVEN) == pytest.approx(1900.0)
    assert net_worth(GIVEN) == pytest.approx(3725.02, abs=0.005)


def test_it_agrees_with_the_calculation_when_nothing_is_uncertain() -> None:
    whole = replace(GIVEN, share_used=1.0)
    raw = {
        "per_event_saving": 36.0,
        "events_per_year": 10_000,
        "labour_rate": 40,
        "cost": 1000,
        "upkeep": 100,
        "life_years": 3,
        "rate": 0.1,
        "draws": 100,
    }
    results = CALCULATION(raw).results
    assert results["annual"]["mean"] == pytest.approx(annual_worth(whole))
    assert results["npv"]["mean"] == pytest.approx(net_worth(whole))


def test_what_moves_it_most_comes_first() -> None:
    found = swings(GIVEN, {"cost": (900, 1100), "saved_s": (30, 42), "interest": (0.10, 0.10)})
    assert [each.name for each in found] == ["saved_s", "cost", "interest"]
    assert (found[1].worth_low - found[1].worth_high, found[2].width) == (pytest.approx(200.0), 0.0)


def test_an_end_of_a_range_is_the_worth_with_that_end_alone() -> None:
    (found,) = swings(GIVEN, {"life_years": (2, 5)})
    assert found.worth_low == net_worth(replace(GIVEN, life_years=2))
    assert found.worth_high == net_worth(replace(GIVEN, life_years=5))


def test_without_interest_a_year_is_a_year() -> None:
    assert net_worth(replace(GIVEN, interest=0.0)) == pytest.approx(1900 * 3 - 1000)
