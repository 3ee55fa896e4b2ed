"""The ledger of a shop: no minute counted twice, however the piece of work is written, or where nobody names it."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from floorwright.shop.gains import gains
from floorwright.shop.ports import Shop
from floorwright.shop.proof import prove
from floorwright.shop.studies import add_observations
from shop.conftest import filed, readings, study, timed

SPREAD = [-2.0, -1.0, 0.0, 1.0, 2.0, -1.5, 1.5, -0.5, 0.5, 0.0, 1.0, -1.0]


def improved(shop: Shop, level: float, after: float, month: int, **more: Any) -> int:
    """An improvement timed before and after in one month."""
    id_ = filed(shop, events_per_year=3600, **more).id
    timed(shop, id_, "before", [level + x for x in SPREAD], dt.date(2026, month, 3))
    timed(shop, id_, "after", [after + x for x in SPREAD], dt.date(2026, month, 20))
    return id_


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ({}, {}),
        ({"work_element": "fetch clamps"}, {}),
        ({}, {"work_element": "Fetch  Clamps"}),
        ({"work_element": "Fetch  clamps"}, {"work_element": "fetch clamps"}),
    ],
)
def test_the_same_minutes_are_counted_once_however_they_are_named(
    shop: Shop, first: dict[str, str], second: dict[str, str]
) -> None:
    improved(shop, 60.0, 40.0, 8, **first)
    improved(shop, 60.0, 30.0, 9, **second)
    (element,) = gains(shop).elements
    assert (element.first - element.last, element.gain) == (30_000_000, 30_000_000)
    assert element.improvements == (1, 2)


def test_what_nobody_named_is_said(shop: Shop) -> None:
    improved(shop, 60.0, 40.0, 8)
    improved(shop, 60.0, 30.0, 9)
    assert any(note.startswith("Nos. 1, 2 time 'fetch clamps' in one area") for note in gains(shop).notes)


def test_work_in_two_areas_is_two_pieces_of_work_unless_it_is_named(shop: Shop) -> None:
    improved(shop, 60.0, 40.0, 8)
    improved(shop, 90.0, 80.0, 9, area="Packing")
    book = gains(shop)
    assert {each.element for each in book.elements} == {"fetch clamps (Welding)", "fetch clamps (Packing)"}
    assert not book.notes


def test_an_element_that_the_file_does_not_name_is_the_measures_own(shop: Shop) -> None:
    measure = {"name": "fetching", "kind": "times", "element": "fetch clamps", "saves_time": True}
    id_ = filed(shop, measures=[measure]).id
    for moment, level, day in (("before", 60.0, 3), ("after", 40.0, 20)):
        planned = study(shop, id_, moment, "fetching")
        add_observations(shop, planned.id, readings([level + x for x in SPREAD], dt.date(2026, 8, day)))
    (proof,) = prove(shop, id_)
    assert proof.difference == pytest.approx(-20.0)
