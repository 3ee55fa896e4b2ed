"""What a user does with the shop's settings: look at them and change them; every earlier version stays readable."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from floorwright.shop.filed import SETTINGS_ID, Filed, checked, file_change, load
from floorwright.shop.ports import Author, Shop
from floorwright.shop.records import Settings


def settings(shop: Shop) -> Filed[Settings]:
    """The shop's settings."""
    with shop.work() as work:
        return load(work, Settings, SETTINGS_ID)


def change_settings(shop: Shop, fields: Mapping[str, Any], author: Author, *, reason: str = "") -> Filed[Settings]:
    """Change fields of the shop's settings.

    Raises:
        InputError: listing every field that is wrong.
    """
    with shop.work() as work:
        old = load(work, Settings, SETTINGS_ID)
        record = checked(Settings, old.record.model_dump(mode="json") | dict(fields))
        filed = file_change(work, old, record, author, shop.clock.now(), reason)
        work.commit()
    return filed
