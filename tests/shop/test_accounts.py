"""People with passwords: what does as one, signing in, and what happens to those who guess."""

from __future__ import annotations

import datetime as dt
import logging
import sqlite3
import threading
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from typing import Any

import pytest
from argon2 import PasswordHasher

from floorwright.basis.errors import AccessError, ConflictError, InputError, NotFoundError
from floorwright.shop import passwords
from floorwright.shop.access import Visitor, visitor_of_session
from floorwright.shop.accounts import (
    accounts,
    add_account,
    change_password,
    disable_account,
    set_password,
    sign_in,
    waiting_s,
)
from floorwright.shop.admission import Role
from floorwright.shop.ports import Shop
from floorwright.store.shop import open_shop
from shop.conftest import LEAD, FixedClock

GOOD = "blue clamp rack 7"
WRONG = "red clamp rack 8"


@pytest.fixture
def ana(shop: Shop) -> int:
    return add_account(shop, "Ana", Role.LEAD, GOOD, LEAD).id


def refused(act: Callable[[], Any]) -> AccessError:
    with pytest.raises(AccessError) as error:
        act()
    return error.value


def test_name_and_password_begin_a_session(shop: Shop, ana: int) -> None:
    secret, account = sign_in(shop, " ana".strip().upper(), GOOD)
    assert (account.id, account.name) == (ana, "Ana")
    assert visitor_of_session(shop, secret) == Visitor(kind="account", id=ana, name="Ana", role=Role.LEAD)


def test_session_of_a_person_ends_after_a_shift(shop: Shop, ana: int, clock: FixedClock) -> None:
    secret, _ = sign_in(shop, "Ana", GOOD)
    clock.moment += dt.timedelta(hours=11, minutes=59)
    assert visitor_of_session(shop, secret) is not None
    clock.moment += dt.timedelta(minutes=1)
    assert visitor_of_session(shop, secret) is None


@pytest.mark.parametrize(
    ("name", "password", "says"),
    [
        ("Ana", "tiny", "password: is too short; take 10 characters or more"),
        ("Ana", "x" * 501, "password: is too long"),
        ("Ana Martinez", " ana martinez", "password: is the name itself"),
        ("Ana", "ababababababab", "password: repeats the same few characters"),
        ("", GOOD, "name: is missing"),
        ("Ana\x07", GOOD, "name: holds a character that cannot be shown"),
    ],
)
def test_name_and_password_that_do_not_do(shop: Shop, name: str, password: str, says: str) -> None:
    with pytest.raises(InputError, match=says) as error:
        add_account(shop, name, Role.VIEWER, password, LEAD)
    assert password not in f"{error.value} {error.value.to_record()}" or password == GOOD
    assert accounts(shop) == []


def test_both_are_told_at_once(shop: Shop) -> None:
    with pytest.raises(InputError) as error:
        add_account(shop, " ", Role.VIEWER, "short", LEAD)
    assert [problem.field for problem in error.value.problems] == ["name", "password"]


def test_a_name_is_taken_once(shop: Shop, ana: int) -> None:
    with pytest.raises(ConflictError, match="account name already"):
        add_account(shop, "ANA", Role.VIEWER, GOOD, LEAD)


def test_accent_typed_another_way_is_the_same_password(shop: Shop) -> None:
    add_account(shop, "José", Role.VIEWER, "caf\N{LATIN SMALL LETTER E WITH ACUTE} con leche", LEAD)
    sign_in(shop, "José", "cafe\N{COMBINING ACUTE ACCENT} con leche")


def test_wrong_password_and_unknown_name_are_not_told_apart(shop: Shop, ana: int) -> None:
    disable_account(shop, add_account(shop, "Gone", Role.LEAD, GOOD, LEAD).id)
    said = [
        refused(lambda: sign_in(shop, "Ana", WRONG)),
        refused(lambda: sign_in(shop, "Nobody", WRONG)),
        refused(lambda: sign_in(shop, "Gone", GOOD)),
        refused(lambda: sign_in(shop, "\ud800", "\ud800" * 12)),
    ]
    assert {(str(error), error.known, error.wait_s) for error in said} == {("Name or password is wrong.", False, 0)}


def test_unknown_name_takes_the_work_of_a_known_one(shop: Shop, ana: int, monkeypatch: pytest.MonkeyPatch) -> None:
    verified: list[str] = []
    real = PasswordHasher.verify

    def noted(self: PasswordHasher, hash: str, password: bytes) -> bool:  # noqa: A002
        verified.append(hash.rsplit("$", 2)[0])
        return bool(real(self, hash, password))

    monkeypatch.setattr(PasswordHasher, "verify", noted)
    for name in ("Ana", "Nobody"):
        refused(lambda name=name: sign_in(shop, name, WRONG))
    assert len(verified) == 2
    assert len(set(verified)) == 1  # same algorithm, memory, rounds and lanes


def test_hash_is_argon2id_with_the_settings_of_its_library(shop: Shop, ana: int) -> None:
    with shop.work() as work:
        held = work.access.password(ana)
    assert held.startswith("$argon2id$")
    assert not PasswordHasher().check_needs_rehash(held)


def test_hash_with_weaker_settings_is_made_anew_on_signing_in(shop: Shop, ana: int) -> None:
    with shop.work() as work:
        work.access.set_password(ana, PasswordHasher(time_cost=1, memory_cost=1024).hash(GOOD))
        work.commit()
    sign_in(shop, "Ana", GOOD)
    with shop.work() as work:
        assert not PasswordHasher().check_needs_rehash(work.access.password(ana))
    sign_in(shop, "Ana", GOOD)


def test_no_more_than_two_passwords_are_hashed_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    lock, now, most = threading.Lock(), 0, 0

    class Slow:
        def hash(self, _: bytes) -> str:
            nonlocal now, most
            with lock:
                now += 1
                most = max(most, now)
            time.sleep(0.02)
            with lock:
                now -= 1
            return "hash"

    monkeypatch.setattr(passwords, "_hasher", Slow)
    with ThreadPoolExecutor(8) as pool:
        assert list(pool.map(passwords.hash_password, ["x"] * 8)) == ["hash"] * 8
    assert most == 2


@pytest.mark.parametrize(
    ("failures", "wait_s"), [(0, 0), (4, 0), (5, 30), (6, 60), (7, 120), (11, 1920), (12, 3600), (10_000, 3600)]
)
def test_wait_grows_with_the_failures(failures: int, wait_s: int) -> None:
    assert waiting_s(failures) == wait_s


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Passwords compared as they are, so that many tries take no time."""
    monkeypatch.setattr("floorwright.shop.accounts.fits", lambda held, given: held is not None and given == GOOD)
    monkeypatch.setattr("floorwright.shop.accounts.is_dated", lambda held: False)


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("name", ["Ana", "Nobody"])
def test_after_wrong_passwords_the_name_waits(shop: Shop, ana: int, clock: FixedClock, name: str) -> None:
    for _ in range(5):
        assert refused(lambda: sign_in(shop, name, WRONG)).wait_s == 0
    turned_away = refused(lambda: sign_in(shop, name, GOOD))
    assert turned_away.wait_s == 30
    assert str(turned_away) == "Too many wrong passwords for this name; wait 30 s, or ask the lead for a new one."
    clock.moment += dt.timedelta(seconds=30)
    assert refused(lambda: sign_in(shop, name, WRONG)).wait_s == 0
    assert refused(lambda: sign_in(shop, name, WRONG)).wait_s == 60


@pytest.mark.usefixtures("quick")
def test_right_password_after_the_wait_forgives(shop: Shop, ana: int, clock: FixedClock) -> None:
    for _ in range(5):
        refused(lambda: sign_in(shop, "Ana", WRONG))
    clock.moment += dt.timedelta(seconds=31)
    sign_in(shop, "Ana", GOOD)
    for _ in range(4):
        refused(lambda: sign_in(shop, "Ana", WRONG))
    sign_in(shop, "Ana", GOOD)


@pytest.mark.usefixtures("quick")
def test_others_do_not_wait_for_it(shop: Shop, ana: int) -> None:
    add_account(shop, "Ben", Role.VIEWER, GOOD, LEAD)
    for _ in range(6):
        refused(lambda: sign_in(shop, "Ana", WRONG))
    sign_in(shop, "Ben", GOOD)


@pytest.mark.usefixtures("quick")
def test_restart_does_not_forgive(shop: Shop, ana: int, clock: FixedClock) -> None:
    for _ in range(5):
        refused(lambda: sign_in(shop, "Ana", WRONG))
    shop.close()
    again = open_shop(shop.folder, clock=clock)
    assert refused(lambda: sign_in(again, "Ana", GOOD)).wait_s == 30
    again.close()


@pytest.mark.usefixtures("quick")
def test_a_day_without_failures_forgives(shop: Shop, ana: int, clock: FixedClock) -> None:
    for _ in range(4):
        refused(lambda: sign_in(shop, "Ana", WRONG))
    clock.moment += dt.timedelta(days=1, seconds=1)
    for _ in range(4):
        assert refused(lambda: sign_in(shop, "Ana", WRONG)).wait_s == 0
    sign_in(shop, "Ana", GOOD)


def test_many_guesses_at_once_gain_nothing(shop: Shop, ana: int, monkeypatch: pytest.MonkeyPatch) -> None:
    looked_at: list[str] = []

    def slow(held: str | None, given: str) -> bool:
        looked_at.append(given)
        time.sleep(0.05)
        return False

    monkeypatch.setattr("floorwright.shop.accounts.fits", slow)
    with ThreadPoolExecutor(20) as pool:
        jobs = [pool.submit(refused, lambda n=n: sign_in(shop, "Ana", f"guess number {n}")) for n in range(20)]
        waits = sorted(job.result().wait_s for job in jobs)
    assert len(looked_at) == 5
    assert waits == [0] * 5 + [30] * 15


def test_new_password_from_the_lead_ends_sessions_and_the_wait(shop: Shop, ana: int) -> None:
    secret, _ = sign_in(shop, "Ana", GOOD)
    for _ in range(5):
        refused(lambda: sign_in(shop, "Ana", WRONG))
    set_password(shop, ana, "green rack by the door")
    assert visitor_of_session(shop, secret) is None
    refused(lambda: sign_in(shop, "Ana", GOOD))
    sign_in(shop, "Ana", "green rack by the door")


def test_own_password_is_changed_with_the_old_one(shop: Shop, ana: int) -> None:
    secret, _ = sign_in(shop, "Ana", GOOD)
    refused(lambda: change_password(shop, ana, WRONG, "green rack by the door"))
    with pytest.raises(InputError, match="password: is too short"):
        change_password(shop, ana, GOOD, "short")
    assert visitor_of_session(shop, secret) is not None
    change_password(shop, ana, GOOD, "green rack by the door")
    assert visitor_of_session(shop, secret) is None
    sign_in(shop, "Ana", "green rack by the door")


def test_disabled_account_is_out_at_once_and_its_name_is_free(shop: Shop, ana: int) -> None:
    secret, _ = sign_in(shop, "Ana", GOOD)
    assert disable_account(shop, ana).disabled_at == shop.clock.now()
    assert visitor_of_session(shop, secret) is None
    refused(lambda: sign_in(shop, "Ana", GOOD))
    with pytest.raises(NotFoundError, match="Account 1 was shut for good"):
        set_password(shop, ana, GOOD)
    assert add_account(shop, "Ana", Role.VIEWER, GOOD, LEAD).id == 2
    assert [(each.id, each.disabled_at is None) for each in accounts(shop)] == [(1, False), (2, True)]


def test_account_shut_while_the_password_is_checked_does_not_get_in(
    shop: Shop, ana: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    def meanwhile(held: str | None, given: str) -> bool:
        disable_account(shop, ana)
        return True

    monkeypatch.setattr("floorwright.shop.accounts.fits", meanwhile)
    refused(lambda: sign_in(shop, "Ana", GOOD))
    with shop.work() as work:
        assert work.access.sessions() == []


def test_password_is_nowhere_but_in_its_hash(shop: Shop, ana: int, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    secret, account = sign_in(shop, "Ana", GOOD)
    error = refused(lambda: sign_in(shop, "Ana", WRONG))
    refused(lambda: sign_in(shop, WRONG, WRONG))  # a password typed where the name belongs
    with shop.work() as work:
        held = work.access.password(ana)
    said = f"{account!r} {accounts(shop)!r} {error!r} {error} {caplog.text}"
    with closing(sqlite3.connect(shop.folder / "shop.sqlite3")) as database:
        stored = "\n".join(database.iterdump())
    for text in (GOOD, WRONG, secret):
        assert text not in said
        assert text not in stored
    assert held not in said
