"""Means and standard deviations of triangular, PERT and product distributions: closed forms, own numbers.

Evans, Hastings and Peacock, Statistical Distributions (triangle); Malcolm, Roseboom, Clark and Fazar (1959, PERT);
Goodman, JASA 55 (1960) 708-713 (variance of a product). The answers below were worked out from those forms
beforehand; a million draws must come within 0.1 % on means and 0.3 % on standard deviations.
"""

from __future__ import annotations

import numpy as np
import pytest

from floorwright.prove.gain import CALCULATION, annuity_factor
from floorwright.prove.uncertain import Spread

HOURS = {"low": "100 h", "likely": "140 h", "high": "220 h"}
WAGE = {"low": 45, "likely": 55, "high": 70}
COST = {"low": 3000, "likely": 4000, "high": 6000}


def test_hours_times_rate_less_one_off_cost() -> None:
    found = CALCULATION(
        {
            "per_event_saving": HOURS,
            "events_per_year": 1,
            "labour_rate": WAGE,
            "cost": COST,
            "upkeep": 0,
            "life_years": 1,
            "rate": 0,
            "draws": 1_000_000,
            "seed": 1,
        }
    )
    assert found.results["annual"]["mean"] == pytest.approx(8688.889, rel=1e-3)
    assert found.results["annual"]["sd"] == pytest.approx(1623.2303, rel=3e-3)
    assert found.results["npv"]["mean"] == pytest.approx(4355.5556, rel=2e-3)
    assert found.results["npv"]["sd"] == pytest.approx(1738.8978, rel=3e-3)
    exact = {step.symbol: step.value for step in found.working.steps}
    assert exact["A"] == pytest.approx(8688.889, abs=5e-4)
    assert exact["A_sd"] == pytest.approx(1623.2303, abs=5e-5)
    assert exact["NPV"] == pytest.approx(4355.5556, abs=5e-5)


def test_moments_of_the_triangle() -> None:
    hours = Spread(shape="triangular", low=100, centre=140, high=220)
    assert (hours.mean, hours.variance) == (pytest.approx(153.3333, abs=5e-5), pytest.approx(622.2222, abs=5e-5))
    wage = Spread(shape="triangular", low=45, centre=55, high=70)
    assert (wage.mean, wage.variance) == (pytest.approx(56.6667, abs=5e-5), pytest.approx(26.3889, abs=5e-5))


def test_moments_of_pert_in_closed_form_and_in_draws() -> None:
    spread = Spread(shape="pert", low=2, centre=4, high=12)
    assert (spread.mean, spread.variance) == (pytest.approx(5), pytest.approx(3))
    drawn = np.asarray(spread.draw(np.random.Generator(np.random.PCG64(3)), 1_000_000))
    assert float(drawn.mean()) == pytest.approx(5, rel=1e-3)
    assert float(drawn.std()) == pytest.approx(3**0.5, rel=3e-3)
    assert drawn.min() >= 2
    assert drawn.max() <= 12


def test_annuity_factor_of_the_interest_tables() -> None:
    assert float(annuity_factor(0.10, 10)) == pytest.approx(6.1446, abs=5e-5)
    assert float(annuity_factor(0.08, 10)) == pytest.approx(6.7101, abs=5e-5)
    assert float(annuity_factor(0.0, 7.5)) == 7.5
