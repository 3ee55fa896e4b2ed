"""Queues: large systems, edges, messages, workings."""

from __future__ import annotations

import math
from typing import Any

import pytest

from asking import complaints, outcome, results
from floorwright.propose.sharing.queue import few_users, many_users
from formula import check_working


def test_one_server_by_its_own_formulas() -> None:
    found = results("queue", {"model": "M/M/1", "arrival_rate": "8/h", "service_rate": "10/h"})
    assert found["utilisation"] == pytest.approx(0.8)
    assert found["P0"] == pytest.approx(0.2)
    assert found["Lq"] == pytest.approx(3.2)
    assert found["Wq"]["value"] == pytest.approx(0.4 * 3600)
    assert found["probability_of_waiting"] == pytest.approx(0.8)


def test_several_servers_with_one_equal_one_server() -> None:
    one = results("queue", {"model": "M/M/1", "arrival_rate": "8/h", "service_rate": "10/h"})
    several = results("queue", {"model": "M/M/c", "arrival_rate": "8/h", "service_rate": "10/h"})
    assert one == several


@pytest.mark.parametrize("servers", [100, 170, 171, 1000, 50_000])
def test_many_servers_do_not_overflow(servers: int) -> None:
    """At load c - sqrt(c) the chance of waiting tends to 1 / (1 + sqrt(2 pi) Phi(1) exp(1/2)) = 0.2234.

    Halfin and Whitt, Operations Research 29 (1981) 567-588, with their beta of 1 (from memory).
    """
    found = many_users(servers - math.sqrt(servers), 1.0, servers)
    assert found.probability_of_waiting == pytest.approx(0.2234, abs=0.35 / math.sqrt(servers))
    assert pytest.approx(found.Lq + servers - math.sqrt(servers)) == found.L
    assert 0 <= found.P0 < 1e-30


def test_close_to_saturation_keeps_its_digits() -> None:
    """M/M/1 with 1 - rho = 1e-9: L = rho / (1 - rho)."""
    assert pytest.approx(1e9, rel=1e-6) == many_users(1 - 1e-9, 1.0).L


def test_a_million_users_at_a_thousand_servers() -> None:
    """Saturated: the servers do 100,000 an hour, so 100,000 users run and the rest is there."""
    found = few_users(1.0, 100.0, 1000, 1_000_000)
    assert found.utilisation == pytest.approx(1)
    assert pytest.approx(900_000, rel=1e-9) == found.L
    assert found.probability_of_waiting <= 1


def test_one_user_never_waits() -> None:
    found = few_users(3.0, 5.0, 1, 1)
    assert found.Wq_s == 0
    assert found.probability_of_waiting == 0
    assert pytest.approx(5 / 8) == found.P0


def test_a_server_for_everybody_means_no_waiting() -> None:
    found = few_users(3.0, 5.0, 7, 4)
    assert found.Lq == 0
    assert found.probability_of_waiting == 0
    assert pytest.approx(4 * 3 / 8) == found.L


def test_many_users_with_small_needs_are_an_open_queue() -> None:
    finite, open_ = few_users(8e-6, 10.0, 1, 1_000_000), many_users(8.0, 10.0)
    assert finite.Lq == pytest.approx(open_.Lq, rel=1e-3)
    assert finite.probability_of_waiting == pytest.approx(open_.probability_of_waiting, rel=1e-3)


@pytest.mark.parametrize("servers", [1, 2, 3, 8, 9, 40])
def test_working_of_the_open_model(servers: int) -> None:
    given = {"model": "M/M/c", "arrival_rate": f"{servers * 0.7}/h", "service_rate": "1/h", "servers": servers}
    assert check_working(outcome("queue", given).working) >= 6


def test_busy_servers_are_a_close_check() -> None:
    (check,) = outcome("queue", {"model": "M/M/1", "arrival_rate": "19/h", "service_rate": "20/h"}).checks
    assert check.verdict == "close"
    assert check.sentence == "The servers are busy 95% of the time: small swings make long queues."


@pytest.mark.parametrize(
    ("given", "field", "message"),
    [
        (
            {"model": "M/M/1", "arrival_rate": "40/h", "service_rate": "30/h"},
            "arrival_rate",
            "is 40/h, but 1 server at 30/h cannot keep up and the queue would grow without end; "
            "it should be below 30/h, or give 2 servers or more",
        ),
        (
            {"model": "M/M/c", "arrival_rate": "60/h", "service_rate": "30/h", "servers": 2},
            "arrival_rate",
            "it should be below 60/h, or give 3 servers or more",
        ),
        (
            {"model": "M/M/1", "arrival_rate": "4/h", "service_rate": "30/h", "servers": 2},
            "servers",
            "is 2; M/M/1 has 1, M/M/c has several",
        ),
        (
            {"model": "finite_source", "arrival_rate": "4/h", "service_rate": "30/h"},
            "population",
            "is missing; finite_source needs the number of users",
        ),
        (
            {"model": "M/M/c", "arrival_rate": "4/h", "service_rate": "30/h", "population": 5},
            "population",
            "does not belong to M/M/c; use finite_source with it",
        ),
        ({"model": "M/M/1", "arrival_rate": "4 h", "service_rate": "30/h"}, "arrival_rate", "not a unit of rate"),
        ({"model": "M/M/1", "arrival_rate": 0, "service_rate": "30/h"}, "arrival_rate", "should be more than 0"),
        (
            {"model": "M/M/c", "arrival_rate": 1, "service_rate": 3, "servers": 0},
            "servers",
            "it should be 1 or more",
        ),
        ({"model": "M/G/1", "arrival_rate": 1, "service_rate": 3}, "model", "it should be 'M/M/1', 'M/M/c' or"),
    ],
)
def test_bad_input(given: dict[str, Any], field: str, message: str) -> None:
    assert message in complaints("queue", given)[field]
