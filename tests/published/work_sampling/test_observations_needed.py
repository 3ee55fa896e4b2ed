"""Work sampling: public worked examples through the calculation itself.

A worked example on typists, an NCEES-style practice item and a public table after Barnes (seen); ILO, Introduction
to Work Study, 4th ed. (1992), idle machine (from memory). `z = 2` of the texts is the confidence 0.954499736.
Niebel and Freivalds, work-sampling problem (data seen, limits own arithmetic).
"""

from __future__ import annotations

from typing import Any

import pytest

from floorwright import catalogue

TWO_SIGMA = 0.95449973610364158


def run(name: str, **given: Any) -> dict[str, Any]:
    return catalogue.calculation(name)(given).to_record(name)["results"]


@pytest.mark.parametrize(
    ("proportion", "error", "confidence", "printed"),
    [
        (0.30, 0.04, TWO_SIGMA, 525),
        (0.25, 0.02, 0.95, 1801),
        (0.25, 0.10, TWO_SIGMA, 75),  # memory
        (0.01, 0.05, TWO_SIGMA, 16),
        (0.20, 0.05, TWO_SIGMA, 256),
        (0.30, 0.05, TWO_SIGMA, 336),  # the page prints 337 where the arithmetic gives exactly 336
        (0.50, 0.01, TWO_SIGMA, 10_000),
    ],
)
def test_observations_needed(proportion: float, error: float, confidence: float, printed: int) -> None:
    found = run("work_sampling", proportion=proportion, absolute_error=error, confidence=confidence)
    assert found["observations_needed"] == printed
    assert found["interval"] is None


def test_ilo_idle_machine_from_its_pilot() -> None:
    """From memory: 25 in 100."""
    found = run("work_sampling", observations=100, occurrences=25, absolute_error=0.10, confidence=TWO_SIGMA)
    assert found["proportion"] == 0.25
    assert found["observations_needed"] == 75
    assert found["more_needed"] == 0


def test_niebel_share_of_six_workers() -> None:
    counts, looks = [50, 55, 48, 29, 40, 45], [152, 170, 181, 114, 143, 158]
    found = run("control_chart", kind="p", data=counts, sizes=looks)
    assert found["centre"] == pytest.approx(0.29085, abs=5e-6)
    upper = [0.40136001, 0.39534581, 0.39212075, 0.41845602, 0.40478455, 0.3992414]
    lower = [0.18033934, 0.18635354, 0.1895786, 0.16324333, 0.1769148, 0.18245794]
    assert found["upper"] == pytest.approx(upper, abs=1e-8)
    assert found["lower"] == pytest.approx(lower, abs=1e-8)
    assert found["signals"] == []
