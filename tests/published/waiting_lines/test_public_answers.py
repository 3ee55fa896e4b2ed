"""Waiting lines: public worked answers.

Bronson, Schaum's Outline of Operations Research (1982), problems 23.3 and 24.6 (seen); a university assignment
on the number of servers (seen); Render, Stair and Hanna, Quantitative Analysis for Management, example 14.3
(seen); exercises 2.6.1 of a simulation text (seen); Krajewski, Ritzman and Malhotra, parcel service (answers
from memory); pooling is own arithmetic from the same model.
"""

from __future__ import annotations

from dataclasses import asdict

import pytest

from floorwright.propose.sharing.queue import many_users


def test_bronson_23_3() -> None:
    found = asdict(many_users(24, 30))
    assert found["L"] == pytest.approx(4)
    assert found["W_s"] == pytest.approx(1 / 6)
    assert found["P0"] == pytest.approx(0.2)


def test_bronson_24_6_three_servers() -> None:
    """300 a year, two days each, 365 days."""
    found = asdict(many_users(300, 182.5, 3))
    assert found["P0"] == pytest.approx(0.17754, abs=5e-6)
    assert found["Lq"] == pytest.approx(0.352, abs=5e-4)
    assert found["L"] == pytest.approx(1.996, abs=5e-4)
    assert found["Wq_s"] * 365 == pytest.approx(0.43, abs=0.005)
    assert found["W_s"] * 365 == pytest.approx(2.429, abs=5e-4)


@pytest.mark.parametrize(
    ("servers", "rho", "P0", "Lq", "L", "Wq", "W", "cost"),
    [
        (5, 0.5564, 0.0593, 0.2328, 3.0147, 0.0629, 0.8148, 5.10709),
        (6, 0.4637, 0.0613, 0.0636, 2.8455, 0.0172, 0.7691, 4.8706),
        (7, 0.3974, 0.0618, 0.0173, 2.7993, 0.0047, 0.7566, 5.35083),
    ],
)
def test_how_many_servers(
    servers: int, rho: float, P0: float, Lq: float, L: float, Wq: float, W: float, cost: float
) -> None:
    found = asdict(many_users(3.7, 1.33, servers))
    assert found["utilisation"] == pytest.approx(rho, abs=5e-5)
    assert found["P0"] == pytest.approx(P0, abs=6e-5)
    assert found["Lq"] == pytest.approx(Lq, abs=6e-5)
    assert found["L"] == pytest.approx(L, abs=6e-5)
    assert found["Wq_s"] == pytest.approx(Wq, abs=6e-5)
    assert found["W_s"] == pytest.approx(W, abs=6e-5)
    assert 0.75 * servers + 5.83 * found["Lq"] == pytest.approx(cost, abs=6e-4)


def test_information_desk() -> None:
    found = asdict(many_users(20, 30, 2))
    assert found["P0"] == pytest.approx(0.5)
    assert found["L"] == pytest.approx(0.75)
    assert found["W_s"] == pytest.approx(0.0375)


def test_one_server_of_a_simulation_text() -> None:
    found = asdict(many_users(0.8, 1))
    assert (found["Wq_s"], found["W_s"], found["Lq"], found["L"]) == pytest.approx((4, 5, 3.2, 4))


def test_parcel_terminal() -> None:
    """Answers from memory."""
    found = asdict(many_users(3, 1, 4))
    assert found["P0"] == pytest.approx(0.0377, abs=5e-5)
    assert found["Lq"] == pytest.approx(1.53, abs=0.005)
    assert found["Wq_s"] == pytest.approx(0.51, abs=0.005)
    assert found["W_s"] == pytest.approx(1.51, abs=0.005)
    assert found["L"] == pytest.approx(4.53, abs=0.005)


def test_two_shared_grinders_against_two_own_ones() -> None:
    """Own arithmetic: waits 1.5 apart and 0.5625 shared; a walk of 0.25 still leaves a gain."""
    assert many_users(0.6, 1).Wq_s == pytest.approx(1.5)
    assert many_users(1.2, 1, 2).Wq_s == pytest.approx(0.5625)
