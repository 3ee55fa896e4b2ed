"""The address of a calendar: a key of its own for each visitor, which opens nothing but what is due.

A calendar program can neither sign in nor send a token, so that the key stands in the address, where others may
come to see it. It is therefore no token: it lets nobody read anything else, and it ends with the device, account or
token of whoever made it. The shop keeps its SHA-256.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Final

from floorwright.basis.errors import NotFoundError
from floorwright.shop.access import Visitor
from floorwright.shop.keys import digest_of, new_secret
from floorwright.shop.ports import Shop, UnitOfWork

CALENDARS: Final = ("shop", "calendar")
"""Owner and kind of the keepsakes that hold the keys of calendars."""


def make_feed_key(shop: Shop, visitor: Visitor, *, draw: Callable[[], str] = new_secret) -> str:
    """A new key for the calendar of a visitor; the one before it is dead. It is handed out once."""
    secret, now = draw(), shop.clock.now()
    with shop.work() as work:
        _forget(work, visitor.key)
        body = {"visitor": visitor.key, "name": visitor.name, "made_at": now.isoformat()}
        work.keepsakes.put(*CALENDARS, digest_of(secret), body, now)
        work.commit()
    return secret


def end_feed_key(shop: Shop, visitor: Visitor) -> None:
    """The visitor's calendar address works no longer; nothing happens when there is none."""
    with shop.work() as work:
        _forget(work, visitor.key)
        work.commit()


def feed_made_at(shop: Shop, visitor: Visitor) -> dt.datetime | None:
    """When the visitor's calendar address was made; None while there is none."""
    with shop.work() as work:
        for _, body in work.keepsakes.all(*CALENDARS):
            if body["visitor"] == visitor.key:
                return dt.datetime.fromisoformat(body["made_at"])
    return None


def opens_the_calendar(shop: Shop, secret: str) -> bool:
    """Whether a key opens the calendar now."""
    with shop.work() as work:
        body = work.keepsakes.get(*CALENDARS, digest_of(secret))
        return body is not None and _still_comes_in(work, str(body["visitor"]), shop.clock.now())


def _forget(work: UnitOfWork, visitor: str) -> None:
    for name, body in work.keepsakes.all(*CALENDARS):
        if body["visitor"] == visitor:
            work.keepsakes.remove(*CALENDARS, name)


def _still_comes_in(work: UnitOfWork, visitor: str, now: dt.datetime) -> bool:
    """Whether the visitor of this key would still be let in."""
    kind, _, number = visitor.partition(" ")
    try:
        if kind == "device":
            return work.access.device(int(number)).revoked_at is None
        if kind == "account":
            return work.access.account(int(number)).disabled_at is None
        if kind == "token":
            token = work.access.token(int(number))
            return token.revoked_at is None and token.expires_at > now
    except NotFoundError:
        return False
    return kind == "here"
