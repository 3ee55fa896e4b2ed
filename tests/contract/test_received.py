"""What every store promises about receipts and keepsakes (`ports.Received`, `ports.Keepsakes`)."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from floorwright.basis.errors import ConflictError, InputError
from floorwright.shop.admission import Role
from floorwright.shop.ports import Author, Receipt, Shop
from floorwright.shop.together import together

LEAD = Author(who="lead")
AT = dt.datetime(2025, 3, 3, 8, 0)
LATER = dt.datetime(2025, 3, 3, 9, 0)
BODY: dict[str, Any] = {"columns": ["a", None, 1.5], "é": {"deep": True}}


def receipt(key: str = "k-1", **more: Any) -> Receipt:
    base: dict[str, Any] = {"digest": "d", "at": AT, "who": "Phone 1", "result": {"number": 4}}
    return Receipt(key=key, **(base | more))


def keep(shop: Shop, one: Receipt) -> None:
    with shop.work() as work:
        work.received.keep(one)
        work.commit()


def test_receipt_is_found_by_its_key(shop: Shop) -> None:
    keep(shop, receipt(result=BODY))
    with shop.work() as work:
        assert work.received.find("k-1") == receipt(result=BODY)
        assert work.received.find("k-2") is None


def test_second_receipt_for_a_key_is_a_conflict_and_the_first_stays(shop: Shop) -> None:
    keep(shop, receipt())
    with pytest.raises(ConflictError, match="k-1 was received before"):
        keep(shop, receipt(digest="other"))
    with shop.work() as work:
        assert work.received.find("k-1") == receipt()


def test_two_who_both_found_no_receipt_do_not_both_keep_one(shop: Shop) -> None:
    with shop.work() as slow:
        assert slow.received.find("k-1") is None
        keep(shop, receipt())
        slow.records.add("improvement", {}, author=LEAD, at=AT)
        with pytest.raises(ConflictError, match="received before"):
            slow.received.keep(receipt())
    with shop.work() as work:
        assert work.records.all("improvement") == []


@pytest.mark.parametrize("bad", [{"when": AT}, {"ratio": float("nan")}])
def test_only_json_is_kept(shop: Shop, bad: dict[str, Any]) -> None:
    with pytest.raises(InputError, match="result: cannot be kept as JSON"):
        keep(shop, receipt(result=bad))
    with shop.work() as work, pytest.raises(InputError, match="body: cannot be kept as JSON"):
        work.keepsakes.put("shop", "view", "x", bad, AT)


def test_keepsakes_are_kept_by_owner_kind_and_name(shop: Shop) -> None:
    with shop.work() as work:
        work.keepsakes.put("shop", "view", "open", BODY, AT)
        work.keepsakes.put("shop", "view", "another", {"n": 2}, AT)
        work.keepsakes.put("shop", "columns", "open", {"n": 3}, AT)
        work.keepsakes.put("device 1", "view", "open", {"n": 4}, AT)
        work.keepsakes.put("shop", "view", "another", {"n": 5}, LATER)
        work.commit()
    with shop.work() as work:
        assert work.keepsakes.all("shop", "view") == [("another", {"n": 5}), ("open", BODY)]
        assert work.keepsakes.get("device 1", "view", "open") == {"n": 4}
        assert work.keepsakes.get("device 2", "view", "open") is None
        work.keepsakes.remove("shop", "view", "open")
        work.keepsakes.remove("shop", "view", "never there")
        work.commit()
    with shop.work() as work:
        assert work.keepsakes.all("shop", "view") == [("another", {"n": 5})]
        assert work.keepsakes.get("shop", "columns", "open") == {"n": 3}


def act(shared: Shop) -> None:
    """A use case of each kind."""
    with shared.work() as work:
        work.records.add("improvement", {}, author=LEAD, at=AT)
        work.access.add_device("Phone", Role.VIEWER, by="Ines", at=AT)
        work.keepsakes.put("shop", "view", "open", {}, AT)
        work.commit()
    with shared.work() as work:
        work.received.keep(receipt())
        work.commit()


def found(shop: Shop) -> tuple[int, int, bool, bool]:
    with shop.work() as work:
        return (
            len(work.records.all("improvement")),
            len(work.access.devices()),
            work.keepsakes.get("shop", "view", "open") is not None,
            work.received.find("k-1") is not None,
        )


def test_shared_work_is_stored_with_its_receipt(shop: Shop) -> None:
    with together(shop) as shared:
        act(shared)
        assert found(shop) == (0, 0, False, False)
    assert found(shop) == (1, 1, True, True)


def test_shared_work_that_fails_leaves_no_receipt(shop: Shop) -> None:
    keep(shop, receipt("k-0"))

    def both() -> None:
        with together(shop) as shared:
            act(shared)
            with shared.work() as work:
                work.received.keep(receipt("k-0"))

    with pytest.raises(ConflictError, match="k-0"):
        both()
    assert found(shop) == (0, 0, False, False)
