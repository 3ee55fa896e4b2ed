"""After a restore: who was shut out since the backup was made stays out."""

from __future__ import annotations

import datetime as dt

from floorwright.shop.feed import CALENDARS
from floorwright.shop.ports import Shop, UnitOfWork


def keep_shut_out(old: Shop, new: Shop) -> None:
    """Carry over to a restored shop who was shut out, signed out or given another password in the one it came from.

    Nothing happens between two different shops.
    """
    now = new.clock.now()
    with old.work() as before, new.work() as after:
        if _began(before) != _began(after):
            return
        _devices(before, after, now)
        _accounts(before, after, now)
        revoked = {each.id: each for each in before.access.tokens() if each.revoked_at is not None}
        for token in after.access.tokens():
            twin = revoked.get(token.id)
            if twin is not None and twin.made_at == token.made_at:
                after.access.revoke_token(token.id, now)
        alive = {each.digest for each in before.access.sessions()}
        for session in after.access.sessions():
            if session.digest not in alive:
                after.access.end_session(session.digest)
        open_calendars = {name for name, _ in before.keepsakes.all(*CALENDARS)}
        for name, _ in after.keepsakes.all(*CALENDARS):
            if name not in open_calendars:
                after.keepsakes.remove(*CALENDARS, name)
        after.commit()


def _devices(before: UnitOfWork, after: UnitOfWork, now: dt.datetime) -> None:
    revoked = {each.id: each for each in before.access.devices() if each.revoked_at is not None}
    for device in after.access.devices():
        twin = revoked.get(device.id)
        if twin is not None and twin.made_at == device.made_at:
            after.access.revoke_device(device.id, now)


def _accounts(before: UnitOfWork, after: UnitOfWork, now: dt.datetime) -> None:
    held = {each.id: each for each in before.access.accounts()}
    for account in after.access.accounts():
        twin = held.get(account.id)
        if twin is None or twin.made_at != account.made_at or account.disabled_at is not None:
            continue
        if twin.disabled_at is not None:
            after.access.disable_account(account.id, now)
        else:
            after.access.set_password(account.id, before.access.password(account.id))


def _began(work: UnitOfWork) -> tuple[dt.datetime, str]:
    """What tells two shops apart: when its settings were first stored, and by whom."""
    first = work.records.history("settings", 1)[0]
    return first.at, first.who
