"""Several threads at once: nothing is lost, nobody is turned away for another's short work."""

from __future__ import annotations

import datetime as dt
import itertools
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from floorwright.basis.errors import ConflictError
from floorwright.shop.ports import Author, Shop
from floorwright.shop.records import Observation

LEAD = Author(who="lead")
AT = dt.datetime(2025, 3, 3, 8, 0)


def count_up(shop: Shop, rounds: int) -> int:
    """Add 1 to the settings' count so often, reading again after each conflict; returns the conflicts."""
    conflicts = 0
    for _ in range(rounds):
        while True:
            try:
                with shop.work() as work:
                    now = work.records.get("settings", 1)
                    body = now.body | {"count": now.body.get("count", 0) + 1}
                    work.records.change("settings", 1, body, expected_version=now.version, author=LEAD, at=AT)
                    work.commit()
            except ConflictError:
                conflicts += 1
            else:
                break
    return conflicts


def at_once(jobs: list[Callable[[], Any]]) -> list[Any]:
    with ThreadPoolExecutor(len(jobs)) as pool:
        return [job.result() for job in [pool.submit(job) for job in jobs]]


def test_no_update_is_lost_between_threads(shop: Shop) -> None:
    at_once([lambda: count_up(shop, 25)] * 4)
    with shop.work() as work:
        stored = work.records.get("settings", 1)
        assert (stored.body["count"], stored.version) == (100, 101)
        assert [entry.version for entry in work.records.history("settings", 1)] == list(range(1, 102))


def test_numbers_are_given_once_between_threads(shop: Shop) -> None:
    def add() -> list[int]:
        numbers = []
        for _ in range(20):
            with shop.work() as work:
                numbers.append(work.records.add("improvement", {}, author=LEAD, at=AT).id)
                work.commit()
        return numbers

    given_out = itertools.chain.from_iterable(at_once([add] * 4))
    assert sorted(given_out) == list(range(1, 81))


def test_same_readings_from_two_threads_are_stored_once(shop: Shop) -> None:
    with shop.work() as work:
        work.records.add("study", {}, author=LEAD, at=AT)
        work.commit()
    rows = [Observation(key=f"k{n}", taken_at=AT, cycle=n + 1, value=n) for n in range(300)]

    def send() -> int:
        new = 0
        for n in range(0, 300, 10):
            with shop.work() as work:
                new += work.observations.append(1, rows[n : n + 10])
                work.commit()
        return new

    assert sum(at_once([send, send, send])) == 300
    with shop.work() as work:
        assert work.observations.of(1) == rows


line = st.text(st.characters(codec="utf-8"), max_size=30)
number = st.floats(min_value=0, allow_nan=False, allow_infinity=False)
positive = st.floats(min_value=0, exclude_min=True, allow_nan=False, allow_infinity=False)
plain = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | line,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(line, inner, max_size=3),
    max_leaves=6,
)


@st.composite
def observations(draw: st.DrawFn, key: str) -> Observation:
    return Observation(
        key=key + draw(line),
        taken_at=draw(st.datetimes()),
        cycle=draw(st.integers(1, 10_000_000)),
        element=draw(line),
        value=draw(number),
        exposure=draw(st.none() | positive),
        work=draw(st.sampled_from(["setup", "run"])),
        part=draw(line),
        lot_size=draw(st.none() | st.integers(1, 10_000_000)),
        shift=draw(line),
        operator=draw(st.sampled_from(["", "W3", "OP-07", "7"])),
        driver=draw(st.text(st.characters(codec="utf-8"), max_size=20)),
        driver_amount=draw(st.none() | positive),
        rating=draw(st.none() | st.floats(min_value=0, max_value=2, exclude_min=True)),
        foreign=draw(st.booleans()),
        note=draw(line),
        detail=draw(st.dictionaries(line, plain, max_size=3)),
        reason=draw(line),
    )


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_any_valid_reading_comes_back_as_it_was(shop: Shop, data: st.DataObject) -> None:
    rows = [data.draw(observations(f"{n} ")) for n in range(data.draw(st.integers(1, 4)))]
    with shop.work() as work:
        study = work.records.add("study", {}, author=LEAD, at=AT).id
        assert work.observations.append(study, rows) == len(rows)
        work.commit()
    with shop.work() as work:
        back = list(work.observations.stream(study))
        assert back == rows
        assert [row.model_dump_json() for row in back] == [row.model_dump_json() for row in rows]
        assert work.observations.append(study, rows) == 0
