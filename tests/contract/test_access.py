"""What every store promises about who may come in (`ports.Access`)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest

from floorwright.basis.errors import ConflictError, NotFoundError
from floorwright.shop.admission import Account, Attempts, Device, Offer, Role, Session, Token
from floorwright.shop.ports import Access, Shop

AT = dt.datetime(2025, 3, 3, 8, 0)
LATER = AT + dt.timedelta(minutes=5)
MUCH_LATER = AT + dt.timedelta(hours=1)


def stored(shop: Shop, act: Callable[[Access], Any]) -> Any:
    """Do something in a transaction of its own."""
    with shop.work() as work:
        found = act(work.access)
        work.commit()
    return found


def offer(digest: str = "d1", **more: Any) -> Offer:
    return Offer(
        **({"digest": digest, "role": Role.RECORDER, "made_at": AT, "made_by": "Ines"} | more), expires_at=LATER
    )


def session(digest: str, owner: int = 1, **more: Any) -> Session:
    base = {"kind": "device", "made_at": AT, "seen_at": AT, "expires_at": MUCH_LATER}
    return Session(digest=digest, owner=owner, **(base | more))


def test_pairing_code_is_found_as_it_was_kept(shop: Shop) -> None:
    stored(shop, lambda access: access.add_offer(offer()))
    assert stored(shop, lambda access: access.offer("d1")) == offer()
    assert stored(shop, lambda access: access.offer("d2")) is None


def test_pairing_code_is_used_once(shop: Shop) -> None:
    stored(shop, lambda access: access.add_offer(offer()))
    assert stored(shop, lambda access: access.use_offer("d1", LATER)) is True
    assert stored(shop, lambda access: access.use_offer("d1", MUCH_LATER)) is False
    assert stored(shop, lambda access: access.use_offer("d2", LATER)) is False
    assert stored(shop, lambda access: access.offer("d1")).used_at == LATER


def test_of_many_who_use_a_code_at_once_one_gets_in(shop: Shop) -> None:
    stored(shop, lambda access: access.add_offer(offer()))
    with ThreadPoolExecutor(8) as pool:
        jobs = [pool.submit(stored, shop, lambda access: access.use_offer("d1", LATER)) for _ in range(8)]
        assert sorted(job.result() for job in jobs) == [False] * 7 + [True]


def test_same_code_twice_is_a_conflict(shop: Shop) -> None:
    stored(shop, lambda access: access.add_offer(offer()))
    with pytest.raises(ConflictError, match="pairing code"):
        stored(shop, lambda access: access.add_offer(offer()))


def test_wrong_code_counts_against_the_open_ones_only(shop: Shop) -> None:
    for digest in ("open", "used"):
        stored(shop, lambda access, digest=digest: access.add_offer(offer(digest)))
    stored(shop, lambda access: access.use_offer("used", AT))
    stored(shop, lambda access: access.count_wrong_code(AT))
    stored(shop, lambda access: access.count_wrong_code(LATER))  # both have expired by then
    found = [stored(shop, lambda access, digest=digest: access.offer(digest)) for digest in ("open", "used")]
    assert [each.wrong_tries for each in found] == [1, 0]


def test_devices_are_numbered_renamed_and_revoked_for_good(shop: Shop) -> None:
    first = stored(shop, lambda access: access.add_device("Phone 1", Role.RECORDER, by="Ines", at=AT))
    assert first == Device(id=1, name="Phone 1", role=Role.RECORDER, made_at=AT, made_by="Ines")
    stored(shop, lambda access: access.add_device("Phone 2", Role.VIEWER, by="Ines", at=AT))
    assert stored(shop, lambda access: access.rename_device(1, "Weld cell")).name == "Weld cell"
    assert stored(shop, lambda access: access.revoke_device(1, AT)).revoked_at == AT
    assert stored(shop, lambda access: access.revoke_device(1, LATER)).revoked_at == AT
    found = stored(shop, lambda access: access.devices())
    assert [(each.id, each.name, each.role, each.revoked_at) for each in found] == [
        (1, "Weld cell", Role.RECORDER, AT),
        (2, "Phone 2", Role.VIEWER, None),
    ]


def test_accounts_keep_their_password_apart(shop: Shop) -> None:
    made = stored(shop, lambda access: access.add_account("Ana", Role.LEAD, "hash 1", by="Ines", at=AT))
    assert made == Account(id=1, name="Ana", role=Role.LEAD, made_at=AT, made_by="Ines")
    assert stored(shop, lambda access: access.password(1)) == "hash 1"
    stored(shop, lambda access: access.set_password(1, "hash 2"))
    assert stored(shop, lambda access: access.password(1)) == "hash 2"
    assert stored(shop, lambda access: access.disable_account(1, AT)).disabled_at == AT
    assert stored(shop, lambda access: access.disable_account(1, LATER)).disabled_at == AT
    assert [each.name for each in stored(shop, lambda access: access.accounts())] == ["Ana"]


@pytest.mark.parametrize("name", ["José", "JOSÉ", "Jose\N{COMBINING ACUTE ACCENT}", "Ｊosé"])
def test_a_name_is_the_same_however_it_is_written(shop: Shop, name: str) -> None:
    stored(shop, lambda access: access.add_account("José", Role.LEAD, "hash", by="Ines", at=AT))
    assert stored(shop, lambda access: access.account_named(name)).name == "José"
    with pytest.raises(ConflictError, match="account"):
        stored(shop, lambda access: access.add_account(name, Role.LEAD, "other", by="Ines", at=AT))
    stored(shop, lambda access: access.keep_attempts(name, Attempts(failures=2), AT))
    assert stored(shop, lambda access: access.attempts("josé")) == Attempts(failures=2)


def test_name_of_a_disabled_account_is_free_again(shop: Shop) -> None:
    stored(shop, lambda access: access.add_account("Ana", Role.LEAD, "hash 1", by="Ines", at=AT))
    stored(shop, lambda access: access.disable_account(1, AT))
    assert stored(shop, lambda access: access.account_named("Ana")) is None
    stored(shop, lambda access: access.add_account("Ana", Role.VIEWER, "hash 2", by="Ines", at=LATER))
    assert stored(shop, lambda access: access.account_named("ana")).id == 2
    assert [each.disabled_at for each in stored(shop, lambda access: access.accounts())] == [AT, None]


def test_nobody_has_a_name_that_was_not_given(shop: Shop) -> None:
    assert stored(shop, lambda access: access.account_named("Ana")) is None


def test_attempts_are_kept_in_place_and_forgotten_by_age(shop: Shop) -> None:
    assert stored(shop, lambda access: access.attempts("nobody")) == Attempts()
    stored(shop, lambda access: access.keep_attempts("old", Attempts(failures=9), AT))
    stored(shop, lambda access: access.keep_attempts("new", Attempts(failures=1), LATER))
    stored(shop, lambda access: access.keep_attempts("new", Attempts(failures=5, locked_until=MUCH_LATER), LATER))
    stored(shop, lambda access: access.forget_attempts(LATER))
    assert stored(shop, lambda access: access.attempts("old")) == Attempts()
    assert stored(shop, lambda access: access.attempts("new")) == Attempts(failures=5, locked_until=MUCH_LATER)


def test_tokens_are_found_by_digest_touched_and_revoked(shop: Shop) -> None:
    def make(access: Access) -> Token:
        return access.add_token("Planner", Role.VIEWER, "t1", by="Ines", at=AT, expires_at=MUCH_LATER)

    made = stored(shop, make)
    assert made == Token(id=1, name="Planner", role=Role.VIEWER, made_at=AT, made_by="Ines", expires_at=MUCH_LATER)
    stored(shop, lambda access: access.touch_token(1, LATER))
    assert stored(shop, lambda access: access.token_of("t1")).seen_at == LATER
    assert stored(shop, lambda access: access.token_of("t2")) is None
    assert stored(shop, lambda access: access.revoke_token(1, LATER)).revoked_at == LATER
    assert [each.revoked_at for each in stored(shop, lambda access: access.tokens())] == [LATER]
    with pytest.raises(ConflictError, match="token"):
        stored(shop, make)


def test_sessions_are_touched_and_ended_by_digest_or_by_owner(shop: Shop) -> None:
    for each in (session("s1"), session("s2"), session("s3", owner=2), session("s4", kind="account")):
        stored(shop, lambda access, each=each: access.add_session(each))
    stored(shop, lambda access: access.touch_session("s1", LATER))
    assert stored(shop, lambda access: access.session("s1")) == session("s1", seen_at=LATER)
    stored(shop, lambda access: access.end_session("s3"))
    assert stored(shop, lambda access: access.session("s3")) is None
    assert stored(shop, lambda access: access.end_sessions("device", 1)) == 2
    assert [each.digest for each in stored(shop, lambda access: access.sessions())] == ["s4"]
    stored(shop, lambda access: access.touch_session("s1", LATER))
    assert stored(shop, lambda access: access.session("s1")) is None
    with pytest.raises(ConflictError, match="session"):
        stored(shop, lambda access: access.add_session(session("s4")))


def test_tidying_removes_what_has_expired(shop: Shop) -> None:
    stored(shop, lambda access: access.add_offer(offer()))
    stored(shop, lambda access: access.add_session(session("short", expires_at=LATER)))
    stored(shop, lambda access: access.add_session(session("long")))
    stored(shop, lambda access: access.tidy(LATER))
    assert stored(shop, lambda access: access.offer("d1")) is None
    assert [each.digest for each in stored(shop, lambda access: access.sessions())] == ["long"]


@pytest.mark.parametrize(
    ("what", "ask"),
    [
        ("device 7", lambda access: access.device(7)),
        ("device 7", lambda access: access.rename_device(7, "x")),
        ("device 7", lambda access: access.revoke_device(7, AT)),
        ("account 7", lambda access: access.account(7)),
        ("account 7", lambda access: access.password(7)),
        ("account 7", lambda access: access.set_password(7, "x")),
        ("account 7", lambda access: access.disable_account(7, AT)),
        ("token 7", lambda access: access.token(7)),
        ("token 7", lambda access: access.touch_token(7, AT)),
        ("token 7", lambda access: access.revoke_token(7, AT)),
    ],
)
def test_what_is_not_there_is_not_found(shop: Shop, what: str, ask: Callable[[Access], Any]) -> None:
    with pytest.raises(NotFoundError, match=what):
        stored(shop, ask)


def test_without_commit_nobody_came_in(shop: Shop) -> None:
    with shop.work() as work:
        work.access.add_device("Phone", Role.VIEWER, by="Ines", at=AT)
    assert stored(shop, lambda access: access.devices()) == []


def test_no_digest_shows_when_an_entry_is_printed() -> None:
    shown = repr([offer("secret digest"), session("secret digest")])
    assert "secret digest" not in shown
