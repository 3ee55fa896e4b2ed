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


def test_a_sum_of_one_gain_has_the_interval_of_its_own_page(shop: Shop) -> None:
    id_ = improved(shop, 60.0, 40.0, 8, use_of_time="fewer hours paid")
    (proof,) = prove(shop, id_)
    assert proof.interval is not None
    assert proof.interval.low_si is not None
    assert proof.interval.high_si is not None
    found = gains(shop).sum("banked")
    assert found.hours_interval is not None
    # 3600 times a year: what is saved in seconds each time is saved in hours a year.
    assert found.hours_interval.low == pytest.approx(-proof.interval.high_si, abs=1e-5)
    assert found.hours_interval.high == pytest.approx(-proof.interval.low_si, abs=1e-5)


def test_after_a_repeat_the_interval_is_that_of_the_repeat(shop: Shop) -> None:
    id_ = improved(shop, 60.0, 40.0, 8, use_of_time="fewer hours paid")
    timed(shop, id_, "again", [45.0 + 3 * x for x in SPREAD], dt.date(2026, 9, 25))
    found = gains(shop).sum("banked")
    (proof,) = prove(shop, id_)
    assert proof.again_outcome is not None
    span = proof.again_outcome.results["verdict_interval"]
    assert found.hours_interval is not None
    assert float(found.hours) == pytest.approx(15.0)
    assert found.hours_interval.low == pytest.approx(-span.high_si, abs=1e-5)


def test_walking_is_counted_in_seconds_at_the_shops_pace_with_its_interval(shop: Shop) -> None:
    found = filed(
        shop,
        events_per_year=3600,
        measures=[{"name": "walk", "kind": "distance", "saves_time": True}],
    )
    for moment, level, month in (("before", 60.0, 8), ("after", 20.0, 9)):
        of = study(shop, found.id, moment, "walk")
        add_observations(shop, of.id, readings([level + x for x in SPREAD], dt.date(2026, month, 3)))
    (proof,) = prove(shop, found.id)
    total = gains(shop).sum("freed" if proof.verdict == "proven" else "hoped")
    assert total.hours_interval is not None
    assert proof.interval is not None
    assert proof.interval.high_si is not None
    assert total.hours_interval.low == pytest.approx(-proof.interval.high_si / 1.34112, abs=1e-4)


def test_half_of_the_time_is_half_of_the_money_and_all_of_the_hours(shop: Shop) -> None:
    improved(shop, 60.0, 40.0, 8, use_of_time="fewer hours paid")
    improved(shop, 90.0, 70.0, 8, area="Packing", use_of_time="fewer hours paid", share_used=0.5)
    first, second = (gains(shop).lines_of(number)[0] for number in (1, 2))
    assert first.hours_per_year == second.hours_per_year
    assert (first.at_rate_per_year, second.at_rate_per_year) == (first.money_per_year, first.money_per_year)
    assert first.money_per_year is not None
    assert second.money_per_year == first.money_per_year / 2
