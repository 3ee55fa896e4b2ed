"""What a user does with the shop's settings: look at them and change them; every earlier version stays readable."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from floorwright.shop.clash import with_changes
from floorwright.shop.filed import SETTINGS_ID, Filed, checked, file_change, load
from floorwright.shop.ports import Author, Shop
from floorwright.shop.records import Settings


def settings(shop: Shop) -> Filed[Settings]:
    """The shop's settings."""
    with shop.work() as work:
        return load(work, Settings, SETTINGS_ID)


def change_settings(
    shop: Shop,
    fields: Mapping[str, Any],
    author: Author,
    *,
    reason: str = "",
    expected_version: int | None = None,
) -> Filed[Settings]:
    """Change fields of the shop's settings; what others changed in other fields since `expected_version` stays.

    Raises:
        InputError: listing every field that is wrong.
        NotFoundError: no such version of the settings.
        Clash: somebody else changed the same fields since that version.
    """
    with shop.work() as work:
        old = load(work, Settings, SETTINGS_ID)
        record = checked(Settings, with_changes(work, old, fields, expected_version))
        filed = file_change(work, old, record, author, shop.clock.now(), reason)
        work.commit()
    return filed
