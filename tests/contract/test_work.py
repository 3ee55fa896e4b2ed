"""What every store promises about transactions (`ports.UnitOfWork`, `ports.Shop`)."""

from __future__ import annotations

import datetime as dt

import pytest

from floorwright.basis.errors import ConflictError
from floorwright.shop.ports import Author, Clock, Shop

LEAD = Author(who="lead")
AT = dt.datetime(2025, 3, 3, 8, 0)


def test_new_shop_holds_its_settings_and_knows_its_clock(shop: Shop) -> None:
    clock: Clock = shop.clock
    with shop.work() as work:
        stored = work.records.get("settings", 1)
        entry = work.records.history("settings", 1)[0]
    assert (stored.version, stored.body) == (1, {"name": "Invented"})
    assert (entry.who, entry.at) == ("lead", clock.now())


def test_block_without_commit_rolls_back(shop: Shop) -> None:
    with shop.work() as work:
        work.records.add("improvement", {}, author=LEAD, at=AT)
    with shop.work() as work:
        assert work.records.all("improvement") == []


def test_block_left_by_an_error_rolls_back(shop: Shop) -> None:
    def break_off() -> None:
        with shop.work() as work:
            work.records.add("improvement", {}, author=LEAD, at=AT)
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        break_off()
    with shop.work() as work:
        assert work.records.all("improvement") == []


def test_what_follows_a_commit_needs_one_of_its_own(shop: Shop) -> None:
    with shop.work() as work:
        work.records.add("improvement", {"n": 1}, author=LEAD, at=AT)
        work.commit()
        work.records.add("improvement", {"n": 2}, author=LEAD, at=AT)
    with shop.work() as work:
        assert [stored.body["n"] for stored in work.records.all("improvement")] == [1]


def test_block_sees_its_own_changes_and_nobody_elses_before_commit(shop: Shop) -> None:
    with shop.work() as mine, shop.work() as other:
        mine.records.add("improvement", {}, author=LEAD, at=AT)
        assert len(mine.records.all("improvement")) == 1
        assert other.records.all("improvement") == []
        mine.commit()


def test_reader_keeps_its_view_while_others_write(shop: Shop) -> None:
    with shop.work() as reader:
        assert reader.records.all("improvement") == []
        with shop.work() as writer:
            writer.records.add("improvement", {}, author=LEAD, at=AT)
            writer.commit()
        assert reader.records.all("improvement") == []


def test_record_changed_between_reading_and_writing_is_a_conflict(shop: Shop) -> None:
    with shop.work() as slow:
        slow.records.get("settings", 1)
        with shop.work() as quick:
            quick.records.change("settings", 1, {"name": "New"}, expected_version=1, author=LEAD, at=AT)
            quick.commit()
        with pytest.raises(ConflictError, match="settings 1 was changed by somebody else meanwhile"):
            slow.records.add("improvement", {}, author=LEAD, at=AT)


def test_unrelated_change_by_somebody_else_is_no_conflict(shop: Shop) -> None:
    with shop.work() as slow:
        slow.records.get("settings", 1)
        with shop.work() as quick:
            quick.records.add("improvement", {"n": 1}, author=LEAD, at=AT)
            quick.commit()
        assert slow.records.add("improvement", {"n": 2}, author=LEAD, at=AT).id == 2
        slow.commit()


def test_unit_of_work_outside_its_block_is_a_mistake(shop: Shop) -> None:
    work = shop.work()
    with pytest.raises(RuntimeError, match="inside its with block"):
        work.records.all("improvement")
