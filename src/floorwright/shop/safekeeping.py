"""When the shop was last copied to a safe place, and the reminder that it is time again."""

from __future__ import annotations

import datetime as dt
from typing import Any, Final

from floorwright.basis.sentence import Sentence, said
from floorwright.shop.ports import Shop

REMIND_DAYS: Final = 7
_KIND: Final = "backup"
_LAST: Final = "last"


def note_backup(shop: Shop, made_at: dt.datetime) -> None:
    """Keep in mind that a backup was made."""
    with shop.work() as work:
        work.keepsakes.put("shop", _KIND, _LAST, {"at": made_at.isoformat()}, shop.clock.now())
        work.commit()


def last_backup(shop: Shop) -> dt.datetime | None:
    """When the last backup was made; None when there never was one."""
    with shop.work() as work:
        kept: dict[str, Any] | None = work.keepsakes.get("shop", _KIND, _LAST)
    return dt.datetime.fromisoformat(kept["at"]) if kept else None


def backup_reminder(shop: Shop) -> Sentence | None:
    """What to say when it is time for a backup; None while there is nothing to say.

    A shop with nothing in it needs none; one that was never copied is told from its second week on.
    """
    last = last_backup(shop)
    now = shop.clock.now()
    if last is not None:
        days = (now.date() - last.date()).days
        if days <= REMIND_DAYS:
            return None
        return said("The last backup is {days} days old; make one, and keep it on another disk.", days=days)
    with shop.work() as work:
        began = work.records.history("settings", 1)[0].at
        empty = not work.records.all("improvement")
    if empty or (now - began).days <= REMIND_DAYS:
        return None
    return said("There is no backup of this shop yet; make one, and keep it on another disk.")
