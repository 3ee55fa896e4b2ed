"""Writers of one process take turns: first come, first served, and nobody keeps a turn that is over."""

from __future__ import annotations

import datetime as dt
import threading
from pathlib import Path

import pytest

from floorwright.basis.errors import ConflictError, InputError, StoreError
from floorwright.shop.ports import Author
from floorwright.store.shop import SqlShop, create_shop
from floorwright.store.turn import Turns

ME = Author(who="lead")
AT = dt.datetime(2026, 11, 25, 9, 0)


@pytest.fixture
def shop(tmp_path: Path) -> SqlShop:
    found = create_shop(tmp_path / "shop", {"name": "Invented"}, ME)
    yield found
    found.close()


def test_who_comes_first_writes_first() -> None:
    turns, order = Turns(), list[int]()
    turns.take()
    threads = []

    def write(number: int) -> None:
        turns.take()
        order.append(number)
        turns.give_up()

    for number in range(20):
        thread = threading.Thread(target=write, args=(number,))
        thread.start()
        while len(turns._waiting) <= number:
            pass
        threads.append(thread)
    turns.give_up()
    for thread in threads:
        thread.join()
    assert order == list(range(20))


def test_who_has_waited_too_long_is_told_and_leaves_the_queue() -> None:
    turns = Turns()
    turns.take()
    with pytest.raises(StoreError, match="try again"):
        turns.take(patience_s=0.01)
    turns.give_up()
    turns.take(patience_s=0.01)


def add(shop: SqlShop) -> int:
    with shop.work() as work:
        number = work.records.add("improvement", {}, author=ME, at=AT).id
        work.commit()
    return number


def test_a_turn_ends_however_the_block_ends(shop: SqlShop) -> None:
    with shop.work() as work:
        work.records.add("improvement", {}, author=ME, at=AT)  # not committed
    with pytest.raises(InputError), shop.work() as work:
        work.records.add("improvement", {"a": {1}}, author=ME, at=AT)
    with shop.work() as work:
        work.records.add("improvement", {}, author=ME, at=AT)
        work.commit()
        work.records.get("improvement", 1)
        assert add(shop) == 2  # somebody else, while this block goes on reading
        work.records.add("improvement", {}, author=ME, at=AT)
        work.commit()
    assert add(shop) == 4


def test_a_conflict_gives_the_turn_back(shop: SqlShop) -> None:
    add(shop)
    with shop.work() as work:
        work.records.get("improvement", 1)
        with shop.work() as other:
            other.records.change("improvement", 1, {"n": 1}, expected_version=1, author=ME, at=AT)
            other.commit()
        with pytest.raises(ConflictError):
            work.records.change("improvement", 1, {"n": 2}, expected_version=1, author=ME, at=AT)
        assert add(shop) == 2
