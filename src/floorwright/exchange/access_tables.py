"""Who may come in, as tables: people, phones, programs. None of them holds a secret, nor anything made from one."""

from __future__ import annotations

from floorwright.exchange.tables import Rows, Table
from floorwright.shop.access import devices, tokens
from floorwright.shop.accounts import accounts
from floorwright.shop.ports import Shop
from floorwright.shop.presence import last_seen


def people_table(shop: Shop) -> Table:
    """Everybody who signs in with a name and a password, those who were shut out too."""
    seen = last_seen(shop, "account")
    rows: Rows = [
        [each.id, each.name, each.role.value, each.made_at, each.made_by, seen.get(each.id), each.disabled_at]
        for each in accounts(shop)
    ]
    return ["number", "name", "role", "added at", "added by", "last seen at", "shut out at"], rows


def phones_table(shop: Shop) -> Table:
    """Every phone that was paired, those that were shut out too."""
    seen = last_seen(shop, "device")
    rows: Rows = [
        [each.id, each.name, each.role.value, each.made_at, each.made_by, seen.get(each.id), each.revoked_at]
        for each in devices(shop)
    ]
    return ["number", "name", "role", "paired at", "paired by", "last seen at", "shut out at"], rows


def programs_table(shop: Shop) -> Table:
    """Every program that has or had a token; the token itself nobody can read again."""
    rows: Rows = [
        [
            each.id, each.name, each.role.value, each.made_at, each.made_by, each.expires_at, each.seen_at,
            each.revoked_at,
        ]
        for each in tokens(shop)
    ]  # fmt: skip
    return [
        "number", "name", "role", "made at", "made by", "good until", "last used at", "shut out at",
    ], rows  # fmt: skip
