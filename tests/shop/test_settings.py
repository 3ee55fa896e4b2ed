"""The shop's settings: what improvements use stays, and a change can be taken back."""

from __future__ import annotations

import pytest

from floorwright.basis.errors import ConflictError, InputError, NotFoundError
from floorwright.shop.improvements import add_improvement, change_improvement
from floorwright.shop.ports import Author, Shop
from floorwright.shop.settings import change_settings, settings, settings_history, undo_settings
from shop.conftest import LEAD, basic, filed

TOM = Author(who="Tom", role="lead")


def test_an_area_that_improvements_use_stays_and_it_says_which(shop: Shop) -> None:
    first, second = filed(shop).id, filed(shop, area="Welding").id
    with pytest.raises(InputError) as caught:
        change_settings(shop, {"areas": ["Packing"]}, LEAD)
    assert str(caught.value) == (
        f"areas: improvements {first} and {second} use 'Welding'; give them another area first, or keep it."
    )
    change_settings(shop, {"areas": ["Welding", "Stores"]}, LEAD)
    assert settings(shop).record.areas == ("Welding", "Stores")


def test_a_shop_may_do_without_areas_at_all(shop: Shop) -> None:
    id_ = filed(shop).id
    assert change_settings(shop, {"areas": []}, LEAD).record.areas == ()
    assert change_improvement(shop, id_, {"place": "by the door"}, LEAD).record.area == "Welding"


def test_a_rate_that_an_improvement_names_stays(shop: Shop) -> None:
    id_ = add_improvement(shop, basic(labour_rate="billing"), LEAD).id
    with pytest.raises(InputError, match=rf"rates: improvement {id_} uses 'billing'; give it another rate first"):
        change_settings(shop, {"rates": [{"name": "burdened", "basis": "burdened", "per_hour": "36"}]}, LEAD)


def test_many_users_are_not_all_listed(shop: Shop) -> None:
    ids = [filed(shop).id for _ in range(8)]
    with pytest.raises(InputError, match=f"improvements {', '.join(map(str, ids[:5]))} and 3 others use 'Welding'"):
        change_settings(shop, {"areas": ["Packing"]}, LEAD)


def test_only_what_that_change_did_is_taken_back(shop: Shop) -> None:
    change_settings(shop, {"people": 28, "units": "si"}, LEAD)
    change_settings(shop, {"currency": "€"}, TOM)
    found = undo_settings(shop, 2, TOM)
    assert (found.record.people, found.record.units, found.record.currency) == (None, "us", "€")
    last = settings_history(shop)[-1]
    assert (last.version, last.who, last.replaces, last.reason) == (4, "Tom", 2, "version 2 taken back")
    assert undo_settings(shop, 4, LEAD).record.units == "si"


def test_what_was_changed_again_or_is_used_by_now_is_not_taken_back(shop: Shop) -> None:
    change_settings(shop, {"areas": ["Welding", "Packing", "Stores"]}, LEAD)
    filed(shop, area="Stores")
    with pytest.raises(InputError, match="uses 'Stores'"):
        undo_settings(shop, 2, LEAD)
    change_settings(shop, {"name": "One"}, LEAD)
    change_settings(shop, {"name": "Two"}, TOM)
    with pytest.raises(ConflictError, match="Somebody changed name again after this; change it by hand"):
        undo_settings(shop, 3, LEAD)


def test_there_is_nothing_to_take_back_at_the_beginning_or_twice(shop: Shop) -> None:
    with pytest.raises(InputError, match="1 is how the shop began"):
        undo_settings(shop, 1, LEAD)
    change_settings(shop, {"people": 3}, LEAD)
    undo_settings(shop, 2, LEAD)
    with pytest.raises(InputError, match="2 has nothing left to take back"):
        undo_settings(shop, 2, LEAD)
    with pytest.raises(NotFoundError):
        undo_settings(shop, 9, LEAD)
