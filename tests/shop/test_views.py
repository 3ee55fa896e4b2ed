"""The list of improvements: what is shown, in which order, and kept under a name."""

from __future__ import annotations

import datetime as dt

import pytest

from floorwright.basis.errors import InputError
from floorwright.shop.improvements import change_improvement
from floorwright.shop.ports import Shop
from floorwright.shop.records import Phase, Waste
from floorwright.shop.views import (
    MOST_VIEWS,
    SORTS,
    Filter,
    filter_of,
    listed,
    remove_view,
    save_view,
    views,
)
from shop.conftest import LEAD, FixedClock, filed


@pytest.fixture
def four(shop: Shop, clock: FixedClock) -> Shop:
    """Four improvements; the second is changed last."""
    for title, area, waste, noticed in (
        ("Clamps", "Welding", "walking", "2026-08-03"),
        ("boxes", "Packing", "searching", "2026-08-01"),
        ("Äxte", "Welding", "searching", "2026-08-02"),
        ("Boxes", "Packing", "walking", "2026-08-03"),
    ):
        clock.moment += dt.timedelta(minutes=1)
        filed(shop, title=title, area=area, waste=waste, noticed_on=noticed)
    clock.moment += dt.timedelta(minutes=1)
    change_improvement(shop, 2, {"dropped": "moved"}, LEAD)
    return shop


def numbers(shop: Shop, **wanted: object) -> list[int]:
    return [each.filed.id for each in listed(shop, Filter.model_validate(wanted))]


@pytest.mark.parametrize(
    ("wanted", "expected"),
    [
        ({}, [1, 2, 3, 4]),
        ({"search": "BOX"}, [2, 4]),
        ({"search": "box moved nowhere"}, []),
        ({"area": "welding"}, [1, 3]),
        ({"waste": Waste.WALKING}, [1, 4]),
        ({"phase": Phase.DROPPED}, [2]),
        ({"waste": "searching", "area": "Welding"}, [3]),
        ({"area": "Roof"}, []),
    ],
)
def test_only_what_is_wanted_is_shown(four: Shop, wanted: dict[str, object], expected: list[int]) -> None:
    assert numbers(four, **wanted) == expected


@pytest.mark.parametrize(
    ("sort", "up", "down"),
    [
        ("number", [1, 2, 3, 4], [4, 3, 2, 1]),
        ("title", [2, 4, 1, 3], [3, 1, 2, 4]),
        ("area", [2, 4, 1, 3], [1, 3, 2, 4]),
        ("waste", [1, 4, 2, 3], [2, 3, 1, 4]),
        ("phase", [1, 3, 4, 2], [2, 1, 3, 4]),
        ("noticed", [2, 3, 1, 4], [1, 4, 3, 2]),
        ("changed", [1, 3, 4, 2], [2, 4, 3, 1]),
    ],
)
def test_the_order_is_as_wanted_and_what_is_alike_stays_by_number(
    four: Shop, sort: str, up: list[int], down: list[int]
) -> None:
    assert numbers(four, sort=sort) == up
    assert numbers(four, sort=sort, direction="down") == down


def test_every_sort_is_tested_above() -> None:
    assert set(SORTS) == {"number", "title", "area", "waste", "phase", "noticed", "changed"}


def test_a_filter_from_an_address_says_all_that_is_wrong() -> None:
    assert filter_of({"search": " ", "phase": "", "page": "2"}) == Filter()
    assert filter_of({"phase": "check", "sort": "title"}) == Filter(phase=Phase.CHECK, sort="title")
    with pytest.raises(InputError) as caught:
        filter_of({"phase": "heaven", "sort": "beauty", "direction": "sideways"})
    assert {problem.field for problem in caught.value.problems} == {"phase", "sort", "direction"}


def test_a_view_is_kept_under_its_name_for_its_owner(shop: Shop) -> None:
    wanted = Filter(search="clamps", waste=Waste.WALKING, sort="changed", direction="down")
    save_view(shop, "  Mine ", Filter(), owner="device 3")
    save_view(shop, "walking", Filter(search="old"))
    save_view(shop, "walking", wanted)
    save_view(shop, "All", Filter())
    assert [(view.name, view.filter) for view in views(shop)] == [("All", Filter()), ("walking", wanted)]
    assert [view.name for view in views(shop, owner="device 3")] == ["Mine"]
    remove_view(shop, "walking")
    remove_view(shop, "walking")
    assert [view.name for view in views(shop)] == ["All"]


def test_a_view_needs_a_name_and_there_is_an_end_to_them(shop: Shop) -> None:
    for name in ("", "   ", "W" * 61):
        with pytest.raises(InputError, match="name"):
            save_view(shop, name, Filter())
    for number in range(MOST_VIEWS):
        save_view(shop, f"view {number}", Filter())
    with pytest.raises(InputError, match="remove one first"):
        save_view(shop, "one more", Filter())
    save_view(shop, "view 3", Filter(search="again"))
    assert len(views(shop)) == MOST_VIEWS
