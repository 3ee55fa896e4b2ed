"""People who sign in with a name and a password: what a lead does for them, and what they do at the door.

A failed sign-in is counted before the password is looked at, so that many at once gain nothing, and it is stored,
so that a restart forgives nothing. A name that nobody has is counted alike and takes as long.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable
from typing import Final

from floorwright.basis.errors import AccessError, InputError, NotFoundError
from floorwright.basis.sentence import said
from floorwright.shop.access import begin_session
from floorwright.shop.admission import Account, Attempts, Role
from floorwright.shop.keys import new_secret
from floorwright.shop.names import name_of, problems_with_name
from floorwright.shop.passwords import fits, hash_password, is_dated, problems_with
from floorwright.shop.ports import Author, Shop

ACCOUNT_LIFE: Final = dt.timedelta(hours=12)
FREE_FAILURES: Final = 4  # wrong passwords in a row that cost nothing; then each doubles the wait
FIRST_WAIT_S: Final = 30
LONGEST_WAIT_S: Final = 3600
FORGET: Final = dt.timedelta(days=1)  # after the last failure


def add_account(shop: Shop, name: str, role: Role, password: str, author: Author) -> Account:
    """Give somebody a name and a password to sign in with.

    Raises:
        InputError: a name or a password that does not do.
        ConflictError: somebody has this name already.
    """
    _check(name, password)
    held = hash_password(password)
    with shop.work() as work:
        account = work.access.add_account(name_of(name), role, held, by=author.who, at=shop.clock.now())
        work.commit()
    return account


def accounts(shop: Shop) -> list[Account]:
    """All accounts that ever were, by number."""
    with shop.work() as work:
        return work.access.accounts()


def set_password(shop: Shop, id_: int, password: str) -> Account:
    """Give an account a new password without asking for the old one, as a lead does; its sessions end.

    Raises:
        InputError: a password that does not do.
        NotFoundError: no such account, or one that was shut.
    """
    with shop.work() as work:
        account = work.access.account(id_)
    if account.disabled_at is not None:
        raise NotFoundError(
            said(
                "Account {id} was shut for good; add a new one, the name {account} is free again.",
                id=id_,
                account=account.name,
            )
        )
    _check(account.name, password)
    held = hash_password(password)
    with shop.work() as work:
        work.access.set_password(id_, held)
        work.access.end_sessions("account", id_)
        work.access.keep_attempts(account.name, Attempts(), shop.clock.now())
        work.commit()
    return account


def change_password(shop: Shop, id_: int, old: str, new: str) -> Account:
    """Change one's own password; all sessions of the account end, also the one that asks.

    Raises:
        InputError: a new password that does not do.
        AccessError: the old password is wrong, or there were too many wrong ones.
        NotFoundError: no such account.
    """
    with shop.work() as work:
        account = work.access.account(id_)
    _check(account.name, new)
    _known(shop, account.name, old)
    return set_password(shop, id_, new)


def disable_account(shop: Shop, id_: int) -> Account:
    """Shut an account for good and at once; its name is free again. Raises NotFoundError."""
    with shop.work() as work:
        account = work.access.disable_account(id_, shop.clock.now())
        work.access.end_sessions("account", id_)
        work.commit()
    return account


def sign_in(shop: Shop, name: str, password: str, *, draw: Callable[[], str] = new_secret) -> tuple[str, Account]:
    """Begin a session with a name and a password. Returns its secret.

    Raises:
        AccessError: name or password is wrong, which is not told apart; or too many wrong ones came before.
    """
    account, held = _known(shop, name, password)
    better = hash_password(password) if is_dated(held) else held
    now = shop.clock.now()
    with shop.work() as work:
        work.access.keep_attempts(name, Attempts(), now)
        # Somebody may have shut the account, or changed its password, while the hash was worked out.
        if work.access.account(account.id).disabled_at is not None or work.access.password(account.id) != held:
            raise _wrong()
        if better != held:
            work.access.set_password(account.id, better)
        secret = begin_session(work, "account", account.id, now, ACCOUNT_LIFE, draw)
        work.commit()
    return secret, account


def _check(name: str, password: str) -> None:
    problems = [*problems_with_name(name), *problems_with(password, name)]
    if problems:
        raise InputError(problems)


def _known(shop: Shop, name: str, password: str) -> tuple[Account, str]:
    """The account whose name and password these are, with the hash of it. Raises AccessError."""
    _count_attempt(shop, name)
    with shop.work() as work:
        account = work.access.account_named(name)
        held = None if account is None else work.access.password(account.id)
    if not fits(held, password) or account is None or held is None:
        raise _wrong()
    return account, held


def _count_attempt(shop: Shop, name: str) -> None:
    """Count an attempt as failed until it is known to be right. Raises AccessError for one that has to wait."""
    now = shop.clock.now()
    with shop.work() as work:
        work.access.forget_attempts(now - FORGET)  # a write, so that nobody else counts between here and commit
        so_far = work.access.attempts(name)
        if so_far.locked_until is not None and so_far.locked_until > now:
            left_s = math.ceil((so_far.locked_until - now).total_seconds())
            raise AccessError(
                said(
                    "Too many wrong passwords for this name; wait {time}, or ask the lead for a new one.",
                    time=_told(left_s),
                ),
                wait_s=left_s,
            )
        failures = so_far.failures + 1
        wait_s = waiting_s(failures)
        until = now + dt.timedelta(seconds=wait_s) if wait_s else None
        work.access.keep_attempts(name, Attempts(failures=failures, locked_until=until), now)
        work.commit()


def waiting_s(failures: int) -> int:
    """Seconds that a name is turned away after so many wrong passwords in a row."""
    beyond = failures - FREE_FAILURES
    # The exponent is bounded, for 2 to the power of an attacker's patience is a large number.
    return min(LONGEST_WAIT_S, FIRST_WAIT_S * 2 ** min(beyond - 1, 20)) if beyond > 0 else 0


def _told(seconds: int) -> str:
    return f"{seconds} s" if seconds < 120 else f"{math.ceil(seconds / 60)} min"


def _wrong() -> AccessError:
    return AccessError(said("Name or password is wrong."))
