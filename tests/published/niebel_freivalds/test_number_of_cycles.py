"""Niebel and Freivalds, Methods, Standards, and Work Design, 13th ed. (2014): cycles from a pilot of ten (seen).

Kanawaty (ed.), Introduction to Work Study, 4th ed. (ILO, 1992): the form with 40 and the root (answer from memory).
"""

from __future__ import annotations

from typing import Any

import pytest

from floorwright import catalogue


def run(**given: Any) -> dict[str, Any]:
    return catalogue.calculation("sample_size")(given).to_record("sample_size")["results"]


def test_t_with_nine_degrees_of_freedom() -> None:
    found = run(mean=0.30, sd=0.03, pilot=10, relative_error=0.05, confidence=0.95, distribution="t")
    assert found["observations_exact"] == pytest.approx(20.47, abs=0.005)
    assert found["observations"] == 21
    assert found["more_needed"] == 11


def test_ilo_form_divides_by_n() -> None:
    """From memory: 8.81. The form is z = 2, 5 % and the deviation divided by n, so n - 1 gives more readings."""
    readings = [7, 6, 7, 7, 6]
    by_n = run(
        mean=6.6,
        sd=(sum((x - 6.6) ** 2 for x in readings) / 5) ** 0.5,
        relative_error=0.05,
        confidence=0.95449973610364158,
        distribution="normal",
    )
    assert by_n["observations_exact"] == pytest.approx(8.81, abs=0.006)
    assert by_n["observations"] == 9
    ours = run(times=readings, relative_error=0.05, confidence=0.95449973610364158, distribution="normal")
    assert ours["observations_exact"] == pytest.approx(8.815427 * 5 / 4, abs=1e-6)
