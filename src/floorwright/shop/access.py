"""Who asks, and what a lead does about it: pair phones, give people accounts and programs tokens, shut them out.

A secret (pairing code, session, token) is handed out once; the shop keeps its SHA-256. Times are the shop's own.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final, Literal

from floorwright.basis.errors import AccessError, InputError, StoreError
from floorwright.basis.sentence import said
from floorwright.shop.admission import Account, Admitted, Device, Offer, Role, Session, Token
from floorwright.shop.keys import TOKEN_START, digest_of, new_code, new_secret, read_code
from floorwright.shop.names import name_of
from floorwright.shop.ports import Author, Shop, UnitOfWork

WRONG_CODES: Final = 5  # wrong tries after which every code that was open is dead
DEVICE_LIFE: Final = dt.timedelta(days=90)
DEVICE_IDLE: Final = dt.timedelta(days=30)
TOUCH: Final = dt.timedelta(minutes=1)  # how exactly it is known when somebody was last seen


@dataclass(frozen=True, slots=True, kw_only=True)
class Visitor:
    """Who asks for something: somebody at this computer, a paired device, an account, or a program with a token."""

    kind: Literal["here", "device", "account", "token"]
    id: int
    name: str
    role: Role

    @property
    def author(self) -> Author:
        """The visitor as the author of a change."""
        return Author(who=self.name, role=self.role.value)

    @property
    def key(self) -> str:
        """What the visitor's own keepsakes are kept under."""
        return f"{self.kind} {self.id}"

    def may(self, role: Role) -> bool:
        """Whether the visitor may do what this role may."""
        return self.role >= role


@dataclass(frozen=True, slots=True, kw_only=True)
class Pairing:
    """A pairing code as the lead shows it, once."""

    code: str = field(repr=False)
    role: Role
    expires_at: dt.datetime

    @property
    def shown(self) -> str:
        """The code in two halves, as people read it out."""
        return f"{self.code[:4]}-{self.code[4:]}"


def offer_pairing(
    shop: Shop, role: Role, author: Author, minutes: int = 10, *, draw: Callable[[], str] = new_code
) -> Pairing:
    """A code with which one device can be paired.

    Raises:
        InputError: a life that is not between 1 minute and 1 hour.
    """
    if not 1 <= minutes <= 60:
        raise InputError.of("minutes", minutes, f"is {minutes}; should be between 1 and 60")
    now = shop.clock.now()
    pairing = Pairing(code=draw(), role=role, expires_at=now + dt.timedelta(minutes=minutes))
    with shop.work() as work:
        work.access.tidy(now)
        work.access.add_offer(
            Offer(
                digest=digest_of(pairing.code),
                role=role,
                made_at=now,
                made_by=author.who,
                expires_at=pairing.expires_at,
            )
        )
        work.commit()
    return pairing


def pair(shop: Shop, code: str, device_name: str, *, draw: Callable[[], str] = new_secret) -> tuple[str, Device]:
    """Make a device of whoever knows a pairing code. Returns the secret of its session.

    Raises:
        InputError: a name that does not do.
        AccessError: the code is wrong, was used, is too old, or too many wrong ones were tried meanwhile.
    """
    name = name_of(device_name)
    digest, now = digest_of(read_code(code)), shop.clock.now()
    with shop.work() as work:
        unused = work.access.use_offer(digest, now)  # first, for it takes the lock: what follows cannot change
        offer = work.access.offer(digest)
        if offer is None:
            work.access.count_wrong_code(now)
            work.commit()
        if offer is None or not unused or offer.expires_at <= now or offer.wrong_tries >= WRONG_CODES:
            raise AccessError(
                said("This code does not work: it is mistyped, used, or too old. Ask the lead to show a new one.")
            )
        device = work.access.add_device(name, offer.role, by=offer.made_by, at=now)
        secret = begin_session(work, "device", device.id, now, DEVICE_LIFE, draw)
        work.commit()
    return secret, device


def devices(shop: Shop) -> list[Device]:
    """All devices that were ever paired, by number."""
    with shop.work() as work:
        return work.access.devices()


def rename_device(shop: Shop, id_: int, name: str) -> Device:
    """Give a device another name. Raises InputError, NotFoundError."""
    with shop.work() as work:
        device = work.access.rename_device(id_, name_of(name))
        work.commit()
    return device


def revoke_device(shop: Shop, id_: int) -> Device:
    """Shut a device out for good and at once; to come back it is paired anew. Raises NotFoundError."""
    with shop.work() as work:
        device = work.access.revoke_device(id_, shop.clock.now())
        work.access.end_sessions("device", id_)
        work.commit()
    return device


def sign_out(shop: Shop, secret: str) -> None:
    """End a session; nothing happens when there is none."""
    with shop.work() as work:
        work.access.end_session(digest_of(secret))
        work.commit()


def visitor_of_session(shop: Shop, secret: str) -> Visitor | None:
    """Who holds a session; None when it has ended or never was."""
    now = shop.clock.now()
    with shop.work() as work:
        session = work.access.session(digest_of(secret))
        if session is None or session.expires_at <= now:
            return None
        if session.kind == "device":
            device = work.access.device(session.owner)
            gone = device.revoked_at is not None or now - session.seen_at >= DEVICE_IDLE
            owner: Device | Account = device
        else:
            owner = account = work.access.account(session.owner)
            gone = account.disabled_at is not None
    if gone:
        return None
    if now - session.seen_at >= TOUCH:
        _note(shop, lambda work: work.access.touch_session(session.digest, now))
    return Visitor(kind=session.kind, id=owner.id, name=owner.name, role=owner.role)


def make_token(
    shop: Shop, name: str, role: Role, author: Author, days: int = 365, *, draw: Callable[[], str] = new_secret
) -> tuple[str, Token]:
    """A key for a program, for so many days. Returns the secret, which nobody can read again.

    Raises:
        InputError: a name or a number of days that does not do.
    """
    if not 1 <= days <= 3650:
        raise InputError.of("days", days, f"is {days}; should be between 1 and 3650")
    secret, now = TOKEN_START + draw(), shop.clock.now()
    with shop.work() as work:
        token = work.access.add_token(
            name_of(name),
            role,
            digest_of(secret),
            by=author.who,
            at=now,
            expires_at=now + dt.timedelta(days=days),
        )
        work.commit()
    return secret, token


def tokens(shop: Shop) -> list[Token]:
    """All tokens that ever were, by number."""
    with shop.work() as work:
        return work.access.tokens()


def revoke_token(shop: Shop, id_: int) -> Token:
    """Shut a token out for good and at once. Raises NotFoundError."""
    with shop.work() as work:
        token = work.access.revoke_token(id_, shop.clock.now())
        work.commit()
    return token


def visitor_of_token(shop: Shop, secret: str) -> Visitor | None:
    """Who holds a token; None when it was revoked, has expired or never was."""
    now = shop.clock.now()
    with shop.work() as work:
        token = work.access.token_of(digest_of(secret))
    if token is None or token.revoked_at is not None or token.expires_at <= now:
        return None
    if token.seen_at is None or now - token.seen_at >= TOUCH:
        _note(shop, lambda work: work.access.touch_token(token.id, now))
    return Visitor(kind="token", id=token.id, name=token.name, role=token.role)


def begin_session(
    work: UnitOfWork,
    kind: Admitted,
    owner: int,
    now: dt.datetime,
    life: dt.timedelta,
    draw: Callable[[], str],
) -> str:
    """Keep a new session in a transaction. Returns its secret."""
    secret = draw()
    work.access.tidy(now)
    work.access.add_session(
        Session(digest=digest_of(secret), kind=kind, owner=owner, made_at=now, seen_at=now, expires_at=now + life)
    )
    return secret


def _note(shop: Shop, touch: Callable[[UnitOfWork], None]) -> None:
    try:
        with shop.work(patient=False) as work:
            touch(work)
            work.commit()
    except StoreError:
        # A long import holds the lock, or the disk is full. Whoever only reads goes on; the next minute is noted.
        return
