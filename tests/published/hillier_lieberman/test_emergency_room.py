"""Hillier and Lieberman, Introduction to Operations Research, queueing chapter: county hospital (from memory).

Two machines and one repairer: the question of the birth-and-death section, own arithmetic in fractions of 97.
"""

from __future__ import annotations

from dataclasses import asdict

import pytest

from floorwright.propose.sharing.queue import few_users, many_users


@pytest.mark.parametrize(
    ("doctors", "rho", "P0", "Lq", "L", "Wq", "W"),
    [(1, 2 / 3, 1 / 3, 4 / 3, 2, 2 / 3, 1), (2, 1 / 3, 1 / 2, 1 / 12, 3 / 4, 1 / 24, 3 / 8)],
)
def test_one_or_two_doctors(doctors: int, rho: float, P0: float, Lq: float, L: float, Wq: float, W: float) -> None:
    found = asdict(many_users(2, 3, doctors))
    assert found["utilisation"] == pytest.approx(rho)
    assert found["P0"] == pytest.approx(P0)
    assert found["Lq"] == pytest.approx(Lq)
    assert found["L"] == pytest.approx(L)
    assert found["Wq_s"] == pytest.approx(Wq)
    assert found["W_s"] == pytest.approx(W)


def test_two_machines_one_repairer() -> None:
    """10 h up, 8 h of repair: chances 25, 40 and 32 in 97."""
    found = asdict(few_users(1 / 10, 1 / 8, 1, 2))
    assert found["P0"] == pytest.approx(25 / 97)
    assert found["L"] == pytest.approx(104 / 97)
    assert found["Lq"] == pytest.approx(32 / 97)
    assert found["utilisation"] == pytest.approx(72 / 97)
    assert found["Wq_s"] == pytest.approx(3.5555556, abs=5e-8)
    assert found["W_s"] == pytest.approx(11.555556, abs=5e-7)
    assert found["probability_of_waiting"] == pytest.approx(0.44444444, abs=5e-9)
