"""The name of the person at the computer that the shop lies on, as they gave it in the app."""

from __future__ import annotations

from typing import Any, Final

from floorwright.shop.names import name_of
from floorwright.shop.ports import Shop

_PLACE: Final = ("here 0", "person", "name")


def name_here(shop: Shop) -> str | None:
    """The name under which changes from this computer are filed; None until somebody gave one."""
    with shop.work() as work:
        kept: dict[str, Any] | None = work.keepsakes.get(*_PLACE)
    return str(kept["name"]) if kept else None


def keep_name_here(shop: Shop, typed: str) -> str:
    """Keep the name of the person at this computer. Returns it. Raises InputError."""
    name = name_of(typed, "here")
    with shop.work() as work:
        work.keepsakes.put(*_PLACE, {"name": name}, shop.clock.now())
        work.commit()
    return name
