"""What must always hold for queues and stock, whatever the numbers."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floorwright.propose.sharing.queue import Queue, few_users, many_users
from floorwright.propose.stockpoint.reorder import levels

LOAD, SERVICE, SERVERS = st.floats(0.01, 0.99), st.floats(1e-4, 50), st.integers(1, 60)


def direct(a: float, servers: int) -> tuple[float, float]:
    """P0 and the chance of waiting with whole factorials, exact integers kept apart."""
    rho = a / servers
    tail = a**servers / math.factorial(servers) / (1 - rho)
    whole = math.fsum([a**k / math.factorial(k) for k in range(servers)] + [tail])
    return 1 / whole, tail / whole


@given(LOAD, SERVICE, SERVERS)
def test_open_queue_against_the_textbook_sums(load: float, service: float, servers: int) -> None:
    found = many_users(load * servers * service, service, servers)
    P0, waits = direct(load * servers, servers)
    assert pytest.approx(P0, rel=1e-9) == found.P0
    assert found.probability_of_waiting == pytest.approx(waits, rel=1e-9)


def holds_little(found: Queue, arrivals: float, service: float, servers: int) -> None:
    assert pytest.approx(arrivals * found.W_s, rel=1e-9) == found.L
    assert pytest.approx(arrivals * found.Wq_s, rel=1e-9, abs=1e-12) == found.Lq
    assert found.W_s - found.Wq_s == pytest.approx(1 / service, rel=1e-6)
    assert found.L - found.Lq == pytest.approx(servers * found.utilisation, rel=1e-6, abs=1e-9)
    for chance in (found.utilisation, found.P0, found.probability_of_waiting):
        assert 0 <= chance <= 1


@given(LOAD, SERVICE, SERVERS)
def test_littles_law_open(load: float, service: float, servers: int) -> None:
    arrivals = load * servers * service
    holds_little(many_users(arrivals, service, servers), arrivals, service, servers)


@given(st.floats(1e-3, 10), SERVICE, st.integers(1, 12), st.integers(1, 200))
def test_littles_law_finite(need: float, service: float, servers: int, users: int) -> None:
    found = few_users(need * service, service, servers, users)
    arrivals = servers * found.utilisation * service
    holds_little(found, arrivals, service, servers)


@given(LOAD, SERVICE, st.integers(1, 40))
def test_more_servers_or_fewer_arrivals_never_lengthen_the_wait(load: float, service: float, servers: int) -> None:
    arrivals = load * servers * service
    here = many_users(arrivals, service, servers).Wq_s
    assert many_users(arrivals, service, servers + 1).Wq_s <= here
    assert many_users(arrivals * 0.9, service, servers).Wq_s <= here


@given(st.floats(1e-3, 5), st.integers(1, 6), st.integers(1, 60))
def test_users_in_the_queue_cannot_ask_again(need: float, servers: int, users: int) -> None:
    """A finite source waits less than an open queue with the arrivals that it would have if nobody waited."""
    found = few_users(need, 1.0, servers, users)
    arrivals = users * need / (1 + need)
    if arrivals < servers * 0.999:
        assert found.Lq <= many_users(arrivals, 1.0, servers).Lq + 1e-9


@given(
    st.floats(0.1, 1000),
    st.floats(0, 300),
    st.floats(0.1, 50),
    st.floats(0, 10),
    st.floats(0.5, 0.999),
    st.floats(0.1, 99),
)
def test_stock_levels(
    demand: float, demand_sd: float, lead: float, lead_sd: float, service: float, container: float
) -> None:
    def at(level: float, spread: float = 1.0) -> tuple[float, float, int]:
        found = levels(
            demand_mean=demand,
            demand_sd=demand_sd * spread,
            lead_time_mean=lead,
            lead_time_sd=lead_sd * spread,
            service_level=level,
            container=container,
        )
        assert found.containers is not None
        return found.safety_stock, found.reorder_point, found.containers

    safety, point, containers = at(service)
    assert point - safety == pytest.approx(demand * lead)
    assert containers * container >= point * (1 - 1e-8)
    assert (containers - 1) * container <= point
    assert at(min(0.9999, service + 5e-4))[0] >= safety
    assert at(service, spread=2.0)[0] == pytest.approx(2 * safety, abs=1e-9)
