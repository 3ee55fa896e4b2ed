"""While somebody writes for long: pages answer, devices are told to come again, and nothing is lost or doubled."""

from __future__ import annotations

import sqlite3
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import httpx2 as httpx
import pytest
import uvicorn

from floorwright.shop import access, inbox
from floorwright.shop import studies as use
from floorwright.shop.admission import Role
from floorwright.shop.ports import Author, Shop
from floorwright.store.engine import DATABASE
from floorwright.web import senders
from floorwright.web.app import create_app
from webapp import Person, StandingClock, free_port

LEAD = Author(who="Ines", role="lead")
PHONES = 50  # more than there are threads


@pytest.fixture
def address(shop: Shop) -> Iterator[str]:
    """The app behind a real server, with its own number of threads."""
    port = free_port()
    server = uvicorn.Server(uvicorn.Config(create_app(shop), port=port, log_level="error", ws="none"))
    thread = threading.Thread(target=server.run)
    thread.start()
    while not server.started:
        assert thread.is_alive()
        time.sleep(0.01)
    yield f"http://127.0.0.1:{port}"
    server.should_exit = True
    thread.join()


@pytest.fixture
def study(shop: Shop) -> int:
    raw: dict[str, Any] = {"improvement": 1, "measure": _times_of(shop), "moment": "after"}
    return use.plan_study(shop, raw | {"people_asked_on": "2026-11-02"}, LEAD).id


def _times_of(shop: Shop) -> str:
    from floorwright.shop.improvements import improvement

    return next(each.name for each in improvement(shop, 1).record.measures if each.kind.value == "times")


def lap(study: int, phone: int) -> dict[str, Any]:
    row = {"key": f"lap-{phone}", "value": 40.0 + phone, "taken_at": "2026-11-25T09:00:00", "cycle": phone + 1}
    body = {"study": study, "rows": [row]}
    item = {"key": f"item-{phone}", "kind": "readings", "made_at": "2026-11-25T09:00:01", "body": body}
    return {"items": [item]}


def test_pages_answer_while_fifty_phones_wait_and_every_lap_is_stored_once(
    shop: Shop, study: int, address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(inbox, "_PATIENCE_S", 0.5)
    monkeypatch.setattr(senders, "PATIENCE_S", 0.5)
    released, all_sent, told = threading.Event(), threading.Barrier(PHONES + 1), threading.Semaphore(0)

    def send(phone: int) -> list[str]:
        """As the app's own queue does: keep it and send it again, until there is an answer for it."""
        states: list[str] = []
        with httpx.Client(base_url=address, headers={"X-Floorwright": "inbox"}, timeout=120) as client:
            all_sent.wait(60)
            while len(states) < 2:
                answer = client.post("/api/inbox", json=lap(study, phone))
                if answer.status_code == 503:
                    assert int(answer.headers["Retry-After"]) >= 1
                    told.release()
                    assert released.wait(120)
                else:
                    assert answer.status_code == 200, answer.text
                    states.append(answer.json()["results"][0]["state"])
        return states

    holder = sqlite3.connect(shop.folder / DATABASE, isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    with ThreadPoolExecutor(PHONES) as phones:
        sending = [phones.submit(send, phone) for phone in range(PHONES)]
        try:
            all_sent.wait(60)
            assert told.acquire(timeout=60)  # the first was told: by now all are at the door
            assert httpx.get(f"{address}/improvements", timeout=60).status_code == 200
            assert use.observations_of(shop, study) == []
            for _ in range(PHONES - 2):  # but one, which may still wait at the database
                assert told.acquire(timeout=60)
        finally:
            holder.execute("ROLLBACK")
            holder.close()
            released.set()
        assert {tuple(each.result(timeout=120)) for each in sending} == {("stored", "again")}
    rows = use.observations_of(shop, study)
    assert sorted(row.key for row in rows) == sorted(f"lap-{phone}" for phone in range(PHONES))


def test_a_page_of_a_phone_does_not_wait_to_note_when_it_was_last_seen(
    shop: Shop, clock: StandingClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    pairing = access.offer_pairing(shop, Role.RECORDER, LEAD)
    secret, _ = access.pair(shop, pairing.code, "Bay 2")
    clock.moment += 5 * access.TOUCH
    holder = sqlite3.connect(shop.folder / DATABASE, isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    waited: list[float] = []
    take = type(shop._turns).take  # type: ignore[attr-defined]

    def noted(turns: Any, *, patience_s: float) -> None:
        waited.append(patience_s)
        take(turns, patience_s=patience_s)

    monkeypatch.setattr(type(shop._turns), "take", noted)  # type: ignore[attr-defined]
    try:
        assert access.visitor_of_session(shop, secret) is not None
    finally:
        holder.execute("ROLLBACK")
        holder.close()
    assert waited == [0]
    assert access.visitor_of_session(shop, secret) is not None  # the next one notes it, and may wait again
    with shop.work() as work:
        work.records.history("settings", 1)
        assert work.access.session(access.digest_of(secret)).seen_at == clock.moment  # type: ignore[union-attr]


def test_a_person_who_saves_is_told_when_to_try_again(person: Person, shop: Shop, monkeypatch: Any) -> None:
    monkeypatch.setattr("floorwright.store.session.PATIENCE_S", 0.01)
    turns = shop._turns  # type: ignore[attr-defined]
    turns.take()
    try:
        fields = {"title": "Clamps", "waste": "walking", "area": "Welding"}
        answer = person.send("/improvements/new", fields, status=503)
    finally:
        turns.give_up()
    assert int(answer.headers["Retry-After"]) >= 1
    assert "Somebody else has been writing to the shop for a while; try again" in answer.text
