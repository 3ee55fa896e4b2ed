"""What every store promises about versioned documents (`ports.Records`)."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from floorwright.basis.errors import ConflictError, InputError, NotFoundError
from floorwright.shop.ports import Author, Change, HistoryEntry, Shop, Stored

LEAD = Author(who="lead", role="improvement lead")
WELDER = Author(who="W3")
MONDAY = dt.datetime(2025, 3, 3, 8, 15, 30)
TUESDAY = dt.datetime(2025, 3, 4, 9, 0)


def add(shop: Shop, body: dict[str, Any], kind: Any = "improvement") -> Stored:
    with shop.work() as work:
        stored = work.records.add(kind, body, author=LEAD, at=MONDAY)
        work.commit()
    return stored


def change(shop: Shop, id_: int, body: dict[str, Any], expected: int, **more: Any) -> Stored:
    with shop.work() as work:
        stored = work.records.change(
            "improvement", id_, body, expected_version=expected, author=WELDER, at=TUESDAY, **more
        )
        work.commit()
    return stored


def test_new_record_is_version_1_and_read_back_as_given(shop: Shop) -> None:
    body = {"title": "Fetch clamps — Вася, 太郎", "cost": "12.50", "share": 0.1, "tags": ["a", None, True], "x": {}}
    stored = add(shop, body)
    assert stored == Stored(kind="improvement", id=1, version=1, body=body)
    with shop.work() as work:
        assert work.records.get("improvement", 1) == stored


def test_numbers_count_up_for_each_kind_by_itself(shop: Shop) -> None:
    assert [add(shop, {"n": n}).id for n in range(3)] == [1, 2, 3]
    assert add(shop, {"n": 9}, kind="study").id == 1
    with shop.work() as work:
        assert [stored.body["n"] for stored in work.records.all("improvement")] == [0, 1, 2]
        assert [stored.body["n"] for stored in work.records.all("study")] == [9]


def test_all_of_a_kind_gives_the_current_versions_by_number(shop: Shop) -> None:
    add(shop, {"n": "first"})
    add(shop, {"n": "second"})
    change(shop, 1, {"n": "first again"}, expected=1)
    with shop.work() as work:
        found = [(stored.id, stored.version, stored.body["n"]) for stored in work.records.all("improvement")]
    assert found == [(1, 2, "first again"), (2, 1, "second")]


def test_change_stores_the_next_version_and_keeps_the_former(shop: Shop) -> None:
    add(shop, {"title": "walking", "hours": 4})
    assert change(shop, 1, {"title": "walking", "hours": 6}, expected=1).version == 2
    with shop.work() as work:
        assert work.records.get("improvement", 1).body == {"title": "walking", "hours": 6}
        assert work.records.version("improvement", 1, 1) == {"title": "walking", "hours": 4}
        assert work.records.version("improvement", 1, 2) == {"title": "walking", "hours": 6}


def test_change_of_a_version_that_is_not_current_is_a_conflict_and_stores_nothing(shop: Shop) -> None:
    add(shop, {"n": 0})
    change(shop, 1, {"n": 1}, expected=1)
    with pytest.raises(ConflictError, match="improvement 1 was changed by somebody else meanwhile; read it again"):
        change(shop, 1, {"n": 2}, expected=1)
    with shop.work() as work:
        assert work.records.get("improvement", 1).body == {"n": 1}
        assert len(work.records.history("improvement", 1)) == 2


def test_history_tells_who_when_why_and_what(shop: Shop) -> None:
    add(shop, {"title": "walking", "cost": {"material": "10.00"}})
    change(shop, 1, {"title": "walking", "cost": {"material": "12.00"}}, expected=1, reason="bill came", replaces=1)
    with shop.work() as work:
        first, second = work.records.history("improvement", 1)
    assert (first.version, first.who, first.role, first.at) == (1, "lead", "improvement lead", MONDAY)
    assert first.changes == ()
    assert second == HistoryEntry(
        kind="improvement",
        id=1,
        version=2,
        at=TUESDAY,
        who="W3",
        role="",
        reason="bill came",
        replaces=1,
        changes=(Change(path="cost.material", before="10.00", after="12.00"),),
    )


def test_when_each_was_changed_last(shop: Shop) -> None:
    add(shop, {"n": 0})
    add(shop, {"n": 0})
    add(shop, {"n": 0}, kind="study")
    change(shop, 2, {"n": 1}, expected=1)
    with shop.work() as work:
        assert work.records.changed_at("improvement") == {1: MONDAY, 2: TUESDAY}


def test_correction_of_a_version_that_never_was_is_not_found(shop: Shop) -> None:
    add(shop, {"n": 0})
    with pytest.raises(NotFoundError, match="improvement 1 has no version 2"):
        change(shop, 1, {"n": 1}, expected=1, replaces=2)


@pytest.mark.parametrize(
    "ask",
    [
        lambda records: records.get("improvement", 7),
        lambda records: records.history("improvement", 7),
        lambda records: records.version("improvement", 7, 1),
        lambda records: records.change("improvement", 7, {}, expected_version=1, author=LEAD, at=MONDAY),
    ],
    ids=["get", "history", "version", "change"],
)
def test_record_that_is_not_there_is_not_found(shop: Shop, ask: Any) -> None:
    add(shop, {"n": 0})
    with shop.work() as work, pytest.raises(NotFoundError, match="improvement 7"):
        ask(work.records)


def test_version_that_is_not_there_is_not_found(shop: Shop) -> None:
    add(shop, {"n": 0})
    with shop.work() as work, pytest.raises(NotFoundError, match="no version 2 of improvement 1"):
        work.records.version("improvement", 1, 2)


def test_body_that_is_no_json_is_refused(shop: Shop) -> None:
    with pytest.raises(InputError, match="body: cannot be kept as JSON"):
        add(shop, {"when": MONDAY})
    with pytest.raises(InputError, match="body: cannot be kept as JSON"):
        add(shop, {"ratio": float("nan")})


def test_what_is_read_is_the_readers_own(shop: Shop) -> None:
    body = {"tags": ["a"]}
    stored = add(shop, body)
    body["tags"].append("b")
    stored.body["tags"].append("c")
    with shop.work() as work:
        work.records.get("improvement", 1).body["tags"].append("d")
        assert work.records.get("improvement", 1).body == {"tags": ["a"]}
