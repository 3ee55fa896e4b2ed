"""Who may come in: pairing codes, devices, sessions, tokens, and what shuts them out."""

from __future__ import annotations

import datetime as dt
import logging
import sqlite3
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing

import pytest

from floorwright.basis.errors import AccessError, InputError, NotFoundError, StoreError
from floorwright.shop import access
from floorwright.shop.access import (
    Visitor,
    devices,
    make_token,
    offer_pairing,
    pair,
    rename_device,
    revoke_device,
    revoke_token,
    sign_out,
    tokens,
    visitor_of_session,
    visitor_of_token,
)
from floorwright.shop.admission import Role
from floorwright.shop.keys import ALPHABET, digest_of, new_code, new_secret, read_code
from floorwright.shop.ports import Author, Shop
from shop.conftest import LEAD, FixedClock

MINUTE = dt.timedelta(minutes=1)
DAY = dt.timedelta(days=1)


def paired(shop: Shop, name: str = "Weld cell", role: Role = Role.RECORDER) -> tuple[str, access.Device]:
    return pair(shop, offer_pairing(shop, role, LEAD).code, name)


def test_roles_reach_further_in_the_order_viewer_recorder_lead() -> None:
    assert Role.VIEWER < Role.RECORDER < Role.LEAD
    assert Role.LEAD > "recorder"
    assert Role.RECORDER >= Role.RECORDER
    assert not Role.LEAD <= Role.RECORDER
    assert max(Role, key=lambda role: role.reach) is Role.LEAD
    with pytest.raises(ValueError, match="'owner' is not a valid Role"):
        assert Role.LEAD > "owner"


@pytest.mark.parametrize(
    ("role", "may"),
    [(Role.VIEWER, [True, False, False]), (Role.RECORDER, [True, True, False]), (Role.LEAD, [True] * 3)],
)
def test_visitor_may_what_the_role_may(role: Role, may: list[bool]) -> None:
    visitor = Visitor(kind="device", id=3, name="Weld cell", role=role)
    assert [visitor.may(each) for each in Role] == may
    assert visitor.author == Author(who="Weld cell", role=role.value)
    assert visitor.key == "device 3"


def test_code_is_eight_characters_that_cannot_be_taken_for_one_another() -> None:
    codes = {new_code() for _ in range(200)}
    assert len(codes) == 200
    assert {len(code) for code in codes} == {8}
    assert set("".join(codes)) <= set(ALPHABET)
    for alike in ("0OQ", "1IL", "2Z", "5S", "6G", "8B", "UV"):
        assert len(set(alike) & set(ALPHABET)) <= 1


def test_secrets_are_32_bytes_and_never_the_same() -> None:
    assert len({new_secret() for _ in range(100)}) == 100
    assert len(new_secret()) == 43  # 32 bytes in base 64 without padding


@pytest.mark.parametrize("typed", ["acde-fhjk", " ACDE FHJK ", "acdefhjk", "AC DE–FH JK"])
def test_code_is_read_however_it_is_typed(typed: str) -> None:
    assert read_code(typed) == "ACDEFHJK"


def test_phone_with_the_code_becomes_a_device_with_a_session(shop: Shop, clock: FixedClock) -> None:
    pairing = offer_pairing(shop, Role.RECORDER, LEAD)
    assert pairing.expires_at == clock.moment + 10 * MINUTE
    assert pairing.shown.replace("-", "") == pairing.code
    secret, device = pair(shop, pairing.shown.lower(), "  Weld cell ")
    assert (device.id, device.name, device.role, device.made_by) == (1, "Weld cell", Role.RECORDER, "Ines")
    assert devices(shop) == [device]
    assert visitor_of_session(shop, secret) == Visitor(kind="device", id=1, name="Weld cell", role=Role.RECORDER)


def test_code_is_used_once(shop: Shop) -> None:
    code = offer_pairing(shop, Role.RECORDER, LEAD).code
    pair(shop, code, "first")
    with pytest.raises(AccessError, match="mistyped, used, or too old"):
        pair(shop, code, "second")
    assert [device.name for device in devices(shop)] == ["first"]


def test_ten_phones_with_one_code_are_one_device(shop: Shop) -> None:
    code = offer_pairing(shop, Role.RECORDER, LEAD).code

    def attempt(n: int) -> bool:
        try:
            pair(shop, code, f"phone {n}")
        except AccessError:
            return False
        return True

    with ThreadPoolExecutor(10) as pool:
        assert sum(pool.map(attempt, range(10))) == 1
    assert len(devices(shop)) == 1


def test_code_expires(shop: Shop, clock: FixedClock) -> None:
    code = offer_pairing(shop, Role.RECORDER, LEAD, minutes=5).code
    clock.moment += 5 * MINUTE
    with pytest.raises(AccessError, match="too old"):
        pair(shop, code, "late")
    assert devices(shop) == []


def test_code_dies_after_five_wrong_tries_and_lives_after_four(shop: Shop) -> None:
    lucky = offer_pairing(shop, Role.RECORDER, LEAD).code
    for _ in range(4):
        with pytest.raises(AccessError):
            pair(shop, "AAAA-AAAA", "guesser")
    dead = offer_pairing(shop, Role.RECORDER, LEAD).code
    pair(shop, lucky, "in time")
    for _ in range(5):
        with pytest.raises(AccessError):
            pair(shop, "AAAA-AAAA", "guesser")
    with pytest.raises(AccessError):
        pair(shop, dead, "too late")
    pair(shop, offer_pairing(shop, Role.VIEWER, LEAD).code, "with a fresh code")


def test_phone_without_a_name_does_not_use_the_code_up(shop: Shop) -> None:
    code = offer_pairing(shop, Role.RECORDER, LEAD).code
    for bad in ("   ", "x" * 81, "a\nb", "\ud800"):
        with pytest.raises(InputError, match="name: "):
            pair(shop, code, bad)
    assert pair(shop, code, "x" * 80)[1].id == 1


@pytest.mark.parametrize("minutes", [0, 61, -5])
def test_life_of_a_code_is_bounded(shop: Shop, minutes: int) -> None:
    with pytest.raises(InputError, match=f"minutes: is {minutes}; should be between 1 and 60"):
        offer_pairing(shop, Role.VIEWER, LEAD, minutes)


def test_revoked_device_is_out_at_once(shop: Shop) -> None:
    secret, device = paired(shop)
    other, _ = paired(shop, "Packing")
    revoked = revoke_device(shop, device.id)
    assert revoked.revoked_at == shop.clock.now()
    assert visitor_of_session(shop, secret) is None
    assert visitor_of_session(shop, other) is not None
    with shop.work() as work:
        assert len(work.access.sessions()) == 1


def test_renamed_device_is_known_by_its_new_name(shop: Shop) -> None:
    secret, device = paired(shop)
    rename_device(shop, device.id, " Press brake ")
    found = visitor_of_session(shop, secret)
    assert found is not None
    assert found.name == "Press brake"
    with pytest.raises(InputError, match="name: is missing"):
        rename_device(shop, device.id, "")
    with pytest.raises(NotFoundError, match="device 9"):
        rename_device(shop, 9, "x")


def test_device_session_ends_after_thirty_days_without_use(shop: Shop, clock: FixedClock) -> None:
    secret, _ = paired(shop)
    clock.moment += 30 * DAY - MINUTE
    assert visitor_of_session(shop, secret) is not None
    clock.moment += 30 * DAY
    assert visitor_of_session(shop, secret) is None


def test_device_session_ends_after_ninety_days_in_use(shop: Shop, clock: FixedClock) -> None:
    secret, _ = paired(shop)
    for _ in range(89):
        clock.moment += DAY
        assert visitor_of_session(shop, secret) is not None
    clock.moment += DAY
    assert visitor_of_session(shop, secret) is None


def test_session_is_touched_at_most_once_a_minute(shop: Shop, clock: FixedClock) -> None:
    secret, _ = paired(shop)
    made = clock.moment

    def seen() -> dt.datetime:
        with shop.work() as work:
            return work.access.sessions()[0].seen_at

    clock.moment = made + dt.timedelta(seconds=59)
    visitor_of_session(shop, secret)
    assert seen() == made
    clock.moment = made + dt.timedelta(seconds=60)
    visitor_of_session(shop, secret)
    assert seen() == clock.moment


def test_visitor_is_let_in_while_the_shop_is_busy_writing(
    shop: Shop, clock: FixedClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    secret, _ = paired(shop)
    clock.moment += 2 * MINUTE
    real = shop.work

    class Busy:
        def __init__(self, *, patient: bool = True) -> None:
            self.real = real(patient=patient)

        def __enter__(self) -> object:
            work = self.real.__enter__()

            def busy(*_: object) -> None:
                raise StoreError("another program has been writing to the shop for a while")

            monkeypatch.setattr(work.access, "touch_session", busy)
            return work

        def __exit__(self, *error: object) -> None:
            self.real.__exit__(*error)  # type: ignore[arg-type]

    monkeypatch.setattr(shop, "work", Busy)
    assert visitor_of_session(shop, secret) is not None


def test_signed_out_session_is_gone_and_signing_out_twice_is_no_harm(shop: Shop) -> None:
    secret, _ = paired(shop)
    sign_out(shop, secret)
    sign_out(shop, secret)
    assert visitor_of_session(shop, secret) is None


@pytest.mark.parametrize("secret", ["", "nonsense", "\ud800", "x" * 5000])
def test_strangers_are_nobody(shop: Shop, secret: str) -> None:
    paired(shop)
    assert visitor_of_session(shop, secret) is None
    assert visitor_of_token(shop, secret) is None


def test_session_is_no_token_and_a_token_no_session(shop: Shop) -> None:
    session, _ = paired(shop)
    token, _ = make_token(shop, "Planner", Role.VIEWER, LEAD)
    assert visitor_of_token(shop, session) is None
    assert visitor_of_session(shop, token) is None


def test_token_lets_a_program_in_until_it_expires_or_is_revoked(shop: Shop, clock: FixedClock) -> None:
    secret, token = make_token(shop, "Planner", Role.RECORDER, LEAD, days=30)
    assert secret.startswith("fw_")
    assert len(secret) == 46
    assert visitor_of_token(shop, secret) == Visitor(kind="token", id=1, name="Planner", role=Role.RECORDER)
    clock.moment += 30 * DAY - MINUTE
    assert visitor_of_token(shop, secret) is not None
    assert tokens(shop)[0].seen_at == clock.moment
    clock.moment += MINUTE
    assert visitor_of_token(shop, secret) is None
    fresh, other = make_token(shop, "Planner", Role.VIEWER, LEAD)
    revoke_token(shop, other.id)
    assert visitor_of_token(shop, fresh) is None
    assert [each.revoked_at is not None for each in tokens(shop)] == [False, True]
    assert token.expires_at == tokens(shop)[0].expires_at


@pytest.mark.parametrize(("name", "days", "says"), [("", 30, "name"), ("x", 0, "days"), ("x", 3651, "days")])
def test_token_needs_a_name_and_an_end(shop: Shop, name: str, days: int, says: str) -> None:
    with pytest.raises(InputError, match=says):
        make_token(shop, name, Role.VIEWER, LEAD, days)
    assert tokens(shop) == []


def test_secrets_are_drawn_by_whoever_is_asked(shop: Shop) -> None:
    code = offer_pairing(shop, Role.VIEWER, LEAD, draw=lambda: "ACDEFHJK").code
    assert code == "ACDEFHJK"
    assert pair(shop, code, "phone", draw=lambda: "s3cret")[0] == "s3cret"
    assert make_token(shop, "x", Role.VIEWER, LEAD, draw=lambda: "t0ken")[0] == "fw_t0ken"


def test_no_secret_is_stored_printed_or_logged(shop: Shop, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    pairing = offer_pairing(shop, Role.RECORDER, LEAD)
    session, device = pair(shop, pairing.code, "phone")
    token, held = make_token(shop, "Planner", Role.VIEWER, LEAD)
    visitor = visitor_of_session(shop, session)
    with pytest.raises(AccessError) as refused:
        pair(shop, pairing.code, "again")
    with shop.work() as work:
        entries = [work.access.sessions(), work.access.offer(digest_of(pairing.code)), work.access.token(1)]
    said = repr([pairing, device, held, visitor, entries, refused.value, str(refused.value)]) + caplog.text
    with closing(sqlite3.connect(shop.folder / "shop.sqlite3")) as database:
        stored = "\n".join(database.iterdump())
    for secret in (pairing.code, pairing.shown, session, token, token.removeprefix("fw_")):
        assert secret not in said
        assert secret not in stored
        assert digest_of(secret) not in said
