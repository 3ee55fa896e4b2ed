"""However a queue is cut, repeated and reordered on its way, each item of it is stored exactly once."""

from __future__ import annotations

import datetime as dt
import tempfile
import threading
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Any, Self

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floorwright.shop.admission import Role
from floorwright.shop.improvements import history, overviews
from floorwright.shop.inbox import Answer, take
from floorwright.shop.ports import Author, Shop, UnitOfWork
from floorwright.shop.sent import Item
from floorwright.shop.studies import observations_of
from floorwright.store.shop import create_shop

TOM = Author(who="Tom")
MADE = "2026-11-20T08:30:00"


class Clock:
    """Always the same time."""

    def now(self) -> dt.datetime:
        return dt.datetime(2026, 11, 20, 9, 0)


def item(key: str, kind: str, **body: Any) -> Item:
    return Item.model_validate({"key": key, "kind": kind, "made_at": MADE, "body": body})


def readings(key: str, study: Any, cycles: range) -> Item:
    rows = [{"key": f"r{i}", "taken_at": MADE, "cycle": i, "value": 10.0 + i} for i in cycles]
    return item(key, "readings", study=study, rows=rows)


QUEUE: tuple[Item, ...] = (
    item("i1", "improvement", title="First", waste="walking", area="Welding"),
    item("n1", "note", improvement={"key": "i1"}, text="note 1"),
    item("i2", "improvement", title="Second", waste="waiting", area="Packing"),
    item("s1", "study", improvement=1, measure="fetch", moment="before", people_asked_on="2026-11-20"),
    readings("q1", {"key": "s1"}, range(1, 4)),
    item("n2", "note", improvement={"key": "i2"}, text="note 2"),
    readings("q2", {"key": "s1"}, range(4, 6)),
    item("n3", "note", improvement={"key": "i1"}, text="note 3"),
    readings("q3", {"key": "s1"}, range(5, 8)),  # one reading comes in two items
    item("n4", "note", improvement=1, text="note 4"),
)


@contextmanager
def new_shop() -> Iterator[Shop]:
    """A shop with one improvement that has a measure."""
    with tempfile.TemporaryDirectory() as folder:
        shop = create_shop(Path(folder) / "shop", {"name": "Invented"}, TOM, Clock())
        body = {
            "title": "There before",
            "waste": "walking",
            "area": "Welding",
            "noticed_by": "Ines",
            "noticed_on": "2026-11-01",
            "measures": [{"name": "fetch", "kind": "times"}],
        }
        with shop.work() as work:
            work.records.add("improvement", body, author=TOM, at=Clock().now())
            work.commit()
        yield shop
        shop.close()


class CutError(Exception):
    """The line went dead, or the server fell over."""


class Cutting:
    """A shop whose nth transaction breaks off, before it is stored or when it is stored and nobody was told."""

    def __init__(self, shop: Shop, nth: int, *, stored: bool) -> None:
        self._shop, self.left, self.stored = shop, nth, stored
        self.photos, self.clock, self.folder = shop.photos, shop.clock, shop.folder

    def work(self) -> UnitOfWork:
        return CuttingWork(self._shop.work(), self)  # type: ignore[return-value]

    def close(self) -> None:
        self._shop.close()


class CuttingWork:
    """One transaction of it."""

    def __init__(self, work: UnitOfWork, shop: Cutting) -> None:
        self._work, self._shop = work, shop

    def __getattr__(self, name: str) -> Any:
        return getattr(self._work, name)

    def __enter__(self) -> Self:
        self._work.__enter__()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._work.__exit__(kind, error, trace)

    def commit(self) -> None:
        self._shop.left -= 1
        if self._shop.left != 0:
            self._work.commit()
            return
        if self._shop.stored:
            self._work.commit()
        raise CutError


def send(shop: Shop, items: Sequence[Item], told: dict[str, dict[str, Any]]) -> list[Answer]:
    """Send items; every answer about a key has to be the one that was given before."""
    answers = take(shop, items, TOM, Role.RECORDER)
    for answer in answers:
        if answer.state in ("stored", "again"):
            assert told.setdefault(answer.key, dict(answer.result)) == answer.result
        else:
            assert answer.key not in told
    return answers


def check(shop: Shop) -> None:
    """Everything of the queue is there, and nothing twice."""
    found = {each.filed.id: each.filed.record for each in overviews(shop)}
    assert sorted(record.title for record in found.values()) == ["First", "Second", "There before"]
    notes = Counter(note.text for record in found.values() for note in record.trial_notes)
    assert notes == {"note 1": 1, "note 2": 1, "note 3": 1, "note 4": 1}
    assert sum(len(history(shop, number)) for number in found) == 3 + 4
    with shop.work() as work:
        (study,) = work.records.all("study")
        receipts = [work.received.find(each.key) for each in QUEUE]
    assert all(receipt is not None for receipt in receipts)
    assert [row.key for row in observations_of(shop, study.id)] == [f"r{i}" for i in range(1, 8)]


SLICES = st.tuples(st.integers(0, len(QUEUE) - 1), st.integers(1, len(QUEUE))).map(
    lambda ends: QUEUE[min(ends) : max(ends) + 1]
)
BATCHES = st.one_of(SLICES, st.permutations(QUEUE), SLICES.flatmap(st.permutations))
SENDINGS = st.lists(st.tuples(BATCHES, st.integers(0, 6), st.booleans()), max_size=5)


@settings(max_examples=60)
@given(SENDINGS)
def test_each_item_is_stored_exactly_once(sendings: list[tuple[Sequence[Item], int, bool]]) -> None:
    told: dict[str, dict[str, Any]] = {}
    with new_shop() as shop:
        for batch, cut_at, stored in sendings:
            if not cut_at:
                send(shop, batch, told)
                continue
            try:
                send(Cutting(shop, cut_at, stored=stored), batch, told)
            except CutError:
                continue
        answers = send(shop, QUEUE, told)
        assert {answer.state for answer in answers} <= {"stored", "again"}
        check(shop)
        assert {answer.state for answer in send(shop, QUEUE, told)} == {"again"}
        check(shop)


@pytest.mark.parametrize("senders", [2, 6])
def test_a_queue_that_comes_several_times_at_once_is_stored_once(senders: int) -> None:
    with new_shop() as shop:
        gate = threading.Barrier(senders)

        def sender(_: int) -> list[Answer]:
            gate.wait()
            return take(shop, QUEUE, TOM, Role.RECORDER)

        with ThreadPoolExecutor(senders) as pool:
            told = list(pool.map(sender, range(senders)))
        states = Counter((answer.key, answer.state) for answers in told for answer in answers)
        assert {state for _, state in states} <= {"stored", "again"}
        assert all(states[item.key, "stored"] == 1 for item in QUEUE)
        check(shop)


def test_ten_devices_at_once_lose_nothing_and_store_nothing_twice() -> None:
    devices = 10
    with new_shop() as shop:
        take(shop, QUEUE, TOM, Role.RECORDER)
        gate = threading.Barrier(devices)

        def device(number: int) -> list[Answer]:
            gate.wait()
            items = [item(f"d{number}-{i}", "note", improvement=1, text=f"{number}/{i}") for i in range(5)]
            return take(shop, items, Author(who=f"device {number}"), Role.RECORDER)

        with ThreadPoolExecutor(devices) as pool:
            told = [answer for answers in pool.map(device, range(devices)) for answer in answers]
        assert {answer.state for answer in told} == {"stored"}
        (first,) = [each for each in overviews(shop) if each.filed.id == 1]
        texts = Counter(note.text for note in first.filed.record.trial_notes)
        assert all(texts[f"{number}/{i}"] == 1 for number in range(devices) for i in range(5))
