"""The reminder of a backup, and the name of the person at the shop's computer."""

from __future__ import annotations

import datetime as dt

import pytest

from floorwright.basis.errors import InputError
from floorwright.shop.here import keep_name_here, name_here
from floorwright.shop.ports import Shop
from floorwright.shop.safekeeping import backup_reminder, last_backup, note_backup
from shop.conftest import FixedClock, filed


def test_a_shop_that_was_never_copied_is_reminded_from_its_second_week(shop: Shop, clock: FixedClock) -> None:
    assert backup_reminder(shop) is None
    filed(shop)
    clock.moment += dt.timedelta(days=7)
    assert backup_reminder(shop) is None
    clock.moment += dt.timedelta(days=1)
    assert backup_reminder(shop) == "There is no backup of this shop yet; make one, and keep it on another disk."


def test_an_empty_shop_needs_none(shop: Shop, clock: FixedClock) -> None:
    clock.moment += dt.timedelta(days=100)
    assert backup_reminder(shop) is None


def test_a_backup_is_good_for_a_week(shop: Shop, clock: FixedClock) -> None:
    filed(shop)
    clock.moment = dt.datetime(2026, 12, 1, 17, 0)
    note_backup(shop, clock.moment)
    assert last_backup(shop) == clock.moment
    clock.moment = dt.datetime(2026, 12, 8, 9, 0)
    assert backup_reminder(shop) is None
    clock.moment = dt.datetime(2026, 12, 9, 7, 0)
    assert backup_reminder(shop) == "The last backup is 8 days old; make one, and keep it on another disk."


def test_the_person_at_the_computer_keeps_the_name_given(shop: Shop) -> None:
    assert name_here(shop) is None
    assert keep_name_here(shop, "  Ines ") == "Ines"
    assert name_here(shop) == "Ines"
    with pytest.raises(InputError, match="here: is missing"):
        keep_name_here(shop, " ")
    assert name_here(shop) == "Ines"
