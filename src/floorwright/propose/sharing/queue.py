"""How long people wait for a shared machine: one or several servers, open or with a finite number of users."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal

import numpy as np
from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.check import Check, judge
from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Input, Plain, PositiveRate
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import TIME, Quantity, plain_number
from floorwright.basis.working import Given, Step, Working

Model = Literal["M/M/1", "M/M/c", "finite_source"]
MOST_SERVERS = 100_000
MOST_USERS = 1_000_000
_SHOWN_SERVERS = 8  # P0 is written out as algebra up to here
_Servers = Annotated[int, Plain(at_least=1, at_most=MOST_SERVERS, whole=True)]
_Users = Annotated[int, Plain(at_least=1, at_most=MOST_USERS, whole=True)]


class QueueInput(Input):
    """Input of `queue`."""

    model: Model = Field(
        description="M/M/1: one server; M/M/c: several; both with arrivals at random from many users; "
        "finite_source: a fixed number of users, who do not ask again while they wait or are served"
    )
    arrival_rate: PositiveRate = Field(
        description="how often somebody comes, such as '6/h'; finite_source: how often each running user does"
    )
    service_rate: PositiveRate = Field(description="how many one server serves when busy, such as '10/h'")
    servers: _Servers = Field(1, description="number of servers (plain); 1 unless told")
    population: _Users | None = Field(None, description="finite_source: number of users (plain)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Queue:
    """A queue in steady state; rates a second, times in seconds.

    Attributes:
        utilisation: share of the servers' time that is work.
        P0: chance that nobody is there.
        Lq, L: average number waiting; waiting or being served.
        Wq_s, W_s: average wait; wait and service.
        probability_of_waiting: chance that somebody who comes has to wait.
    """

    utilisation: float
    P0: float
    Lq: float
    L: float
    Wq_s: float
    W_s: float
    probability_of_waiting: float


def many_users(arrival_rate: float, service_rate: float, servers: int = 1) -> Queue:
    """M/M/c, M/M/1 for one server (Erlang's delay formula).

    The Erlang B recursion gives the chance of waiting without factorials, so that many servers do no harm.

    Raises:
        InputError: where arrivals come as fast as they can be served, or faster: the queue then only grows.
    """
    capacity = servers * service_rate
    if problems := tuple(_overload(arrival_rate, service_rate, servers)):
        raise InputError(problems)
    a = arrival_rate / service_rate
    blocked = 1.0
    for k in range(1, servers + 1):
        blocked = a * blocked / (k + a * blocked)
    spare = (capacity - arrival_rate) / capacity
    rho = arrival_rate / capacity
    waits = blocked / (spare + rho * blocked)
    Lq = waits * rho / spare
    Wq = Lq / arrival_rate
    weights = _weights(np.log(a) - np.log(np.arange(1, servers, dtype=np.float64)))
    # Everything from c people on: w_(c-1) a / c (1 + rho + rho^2 + ...).
    whole = weights.sum() + weights[-1] * rho / spare
    return Queue(
        utilisation=rho,
        P0=float(weights[0] / whole),
        Lq=Lq,
        L=Lq + a,
        Wq_s=Wq,
        W_s=Wq + 1 / service_rate,
        probability_of_waiting=min(1.0, waits),
    )


def few_users(arrival_rate: float, service_rate: float, servers: int, population: int) -> Queue:
    """M/M/c with a finite source: each user that is running comes at `arrival_rate`.

    Chances from w_(n+1) = w_n (N - n) l / (min(n + 1, c) m), summed in logarithms.
    """
    n = np.arange(population + 1, dtype=np.float64)
    rise = np.log((population - n[:-1]) * arrival_rate) - np.log(np.minimum(n[1:], servers) * service_rate)
    chance = _weights(rise)
    chance /= chance.sum()
    running = float(((population - n) * chance).sum())
    busy = float((np.minimum(n, servers) * chance).sum())
    Lq = float((np.maximum(n - servers, 0.0) * chance).sum())
    arrivals = arrival_rate * running
    came_to_wait = float(((population - n) * chance)[min(servers, population) :].sum())
    Wq = Lq / arrivals
    return Queue(
        utilisation=min(1.0, busy / servers),
        P0=float(chance[0]),
        Lq=Lq,
        L=Lq + busy,
        Wq_s=Wq,
        W_s=Wq + 1 / service_rate,
        probability_of_waiting=min(1.0, came_to_wait / running),
    )


def _weights(rises: np.ndarray[tuple[int], np.dtype[np.float64]]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Weights from the logarithms of their successive ratios, scaled so that the largest is 1."""
    logs = np.concatenate(([0.0], np.cumsum(rises)))
    found: np.ndarray[tuple[int], np.dtype[np.float64]] = np.exp(logs - logs.max())
    return found


def _hourly(rate: float) -> str:
    return f"{rate * 3600:.4g}/h" if rate * 3600 < 1e4 else f"{plain_number(rate * 3600)}/h"


def _overload(arrival_rate: float, service_rate: float, servers: int) -> Iterator[Problem]:
    if arrival_rate < servers * service_rate:
        return
    needed = math.floor(arrival_rate / service_rate * (1 + 1e-12)) + 1
    yield Problem(
        "arrival_rate",
        arrival_rate,
        f"is {_hourly(arrival_rate)}, but {servers} server{'s' if servers > 1 else ''} at {_hourly(service_rate)} "
        f"cannot keep up and the queue would grow without end; it should be below "
        f"{_hourly(servers * service_rate)}, or give {needed} servers or more",
    )


def run(given: QueueInput) -> Outcome:
    """Steady state of the model chosen."""
    if problems := tuple(cross_checks(dict(given))):
        raise InputError(problems)
    if given.model == "finite_source" and given.population is not None:
        found = few_users(given.arrival_rate, given.service_rate, given.servers, given.population)
    else:
        found = many_users(given.arrival_rate, given.service_rate, given.servers)
    results = {
        "utilisation": found.utilisation,
        "P0": found.P0,
        "Lq": found.Lq,
        "L": found.L,
        "Wq": Quantity(found.Wq_s, TIME),
        "W": Quantity(found.W_s, TIME),
        "probability_of_waiting": found.probability_of_waiting,
    }
    return Outcome(
        results=results,
        working=_working(given, found),
        checks=(_check(found),),
        warnings=_warnings(given, found),
        sources=("erlang", "little_1961")
        if given.model != "finite_source"
        else ("hillier_lieberman", "little_1961"),
    )


def cross_checks(fields: Mapping[str, Any]) -> Iterator[Problem]:
    """What belongs to the model, and whether the servers can keep up."""
    model, servers = fields.get("model"), fields.get("servers")
    if model is None:
        return
    if model == "M/M/1" and servers not in (None, 1):
        yield Problem("servers", servers, f"is {servers}; M/M/1 has 1, M/M/c has several")
    if "population" in fields:
        population = fields["population"]
        if model == "finite_source" and population is None:
            yield Problem("population", None, "is missing; finite_source needs the number of users")
        if model != "finite_source" and population is not None:
            yield Problem("population", population, f"does not belong to {model}; use finite_source with it")
    if model != "finite_source" and {"arrival_rate", "service_rate", "servers"} <= fields.keys():
        yield from _overload(fields["arrival_rate"], fields["service_rate"], fields["servers"])


def _check(found: Queue) -> Check:
    ratio, verdict = judge(found.utilisation, 1.0)
    share = f"{found.utilisation:.0%}"
    sentence = f"The servers are busy {share} of the time"
    sentence += ": small swings make long queues." if verdict == "close" else "."
    return Check(
        name="utilisation",
        case="steady state",
        demand=found.utilisation,
        capacity=1.0,
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source="practice",
    )


def _warnings(given: QueueInput, found: Queue) -> tuple[str, ...]:
    texts = ["A shared machine that is fetched costs its fetching and hook-up too: add that to the service time."]
    if given.model != "finite_source" and found.L > 1:
        texts.append(
            "If only a few people use it, take finite_source: those who already wait cannot ask again, "
            "and this model then shows too long a wait."
        )
    return tuple(texts)


def _working(given: QueueInput, found: Queue) -> Working:
    finite = given.model == "finite_source"
    givens = [
        Given(
            "lam",
            given.arrival_rate * 3600,
            "1/h",
            "how often each running user comes" if finite else "how often somebody comes",
        ),
        Given("mu", given.service_rate * 3600, "1/h", "how many one server serves"),
        Given("c", given.servers, "", "servers"),
    ]
    if finite and given.population is not None:
        givens.append(Given("N", given.population, "", "users"))
    return Working(
        title=f"Queue, {given.model}",
        given=tuple(givens),
        assumptions=(
            "people come at random and independently, service times vary exponentially",
            "first come, first served; nobody gives up; the averages of a long time",
        ),
        steps=tuple(_finite_steps(found) if finite else _open_steps(given, found)),
    )


def _open_steps(given: QueueInput, found: Queue) -> list[Step]:
    c, source = given.servers, "erlang"
    steps = [
        Step("a", "lam / mu", given.arrival_rate / given.service_rate, "", "servers kept busy on average", source),
        Step("rho", "a / c", found.utilisation, "", "utilisation", source),
    ]
    if c <= _SHOWN_SERVERS:
        terms = " + ".join(["1", "a", *(f"a ** {k} / {math.factorial(k)}" for k in range(2, c))][:c])
        tail = f"a ** {c} / ({math.factorial(c)} * (1 - rho))"
        steps += [
            Step("P0", f"1 / ({terms} + {tail})", found.P0, "", "chance that nobody is there", source),
            Step("Pw", f"{tail} * P0", found.probability_of_waiting, "", "chance of having to wait", source),
        ]
    else:
        note = "Erlang's delay formula, worked out server by server so that no factorial overflows"
        steps += [
            Step("P0", "", found.P0, "", "chance that nobody is there", source, note),
            Step("Pw", "", found.probability_of_waiting, "", "chance of having to wait", source, note),
        ]
    return [
        *steps,
        Step("Lq", "Pw * rho / (1 - rho)", found.Lq, "", "average number waiting", source),
        Step("Wq", "60 * Lq / lam", found.Wq_s / 60, "min", "average wait", "little_1961"),
        Step("W", "Wq + 60 / mu", found.W_s / 60, "min", "wait and service", "little_1961"),
        Step("L", "lam * W / 60", found.L, "", "average number waiting or being served", "little_1961"),
    ]


def _finite_steps(found: Queue) -> list[Step]:
    source = "hillier_lieberman"
    note = (
        "from the chances p_n of n users waiting or being served: p_(n+1) = p_n (N - n) lam / (min(n + 1, c) mu), "
        "adding up to 1"
    )
    return [
        Step("P0", "", found.P0, "", "chance that nobody is there", source, note),
        Step("Lq", "", found.Lq, "", "average number waiting: sum of (n - c) p_n for n above c", source, note),
        Step("L", "", found.L, "", "average number waiting or being served: sum of n p_n", source, note),
        Step(
            "Pw",
            "",
            found.probability_of_waiting,
            "",
            "chance of having to wait, for a user who comes: (N - n) p_n from n = c on, over all of them",
            source,
            note,
        ),
        Step("rho", "(L - Lq) / c", found.utilisation, "", "utilisation", source),
        Step(
            "lam_all",
            "lam * (N - L)",
            (found.L - found.Lq) / (found.W_s - found.Wq_s) * 3600,
            "1/h",
            "how often anybody comes",
        ),
        Step("Wq", "60 * Lq / lam_all", found.Wq_s / 60, "min", "average wait", "little_1961"),
        Step("W", "Wq + 60 / mu", found.W_s / 60, "min", "wait and service", "little_1961"),
    ]


CALCULATION = Calculation(
    name="queue",
    title="Waiting for a shared machine",
    question="How long do people wait for something they share?",
    input=QueueInput,
    run=run,
    cross_checks=cross_checks,
    example={
        "model": "finite_source",
        "arrival_rate": "1.5/h",
        "service_rate": "6/h",
        "servers": 1,
        "population": 5,
    },
)
