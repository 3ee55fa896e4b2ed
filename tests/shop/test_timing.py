"""What a device takes along to time: its own readings told apart, the study before, and which study comes next."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Any

import pytest

from floorwright.basis.errors import InputError, NotFoundError
from floorwright.shop.improvements import add_improvement, change_improvement
from floorwright.shop.ports import Author, Shop
from floorwright.shop.records import Observation
from floorwright.shop.studies import add_observations, plan_study
from floorwright.shop.timing import choices, study_for, to_time

LEAD = Author(who="Ines", role="lead")
DAY = dt.datetime(2026, 11, 20, 8, 0)


@pytest.fixture
def improvement(shop: Shop) -> int:
    return add_improvement(
        shop,
        {
            "title": "Clamps at the bay",
            "waste": "walking",
            "area": "Welding",
            "noticed_by": "Ines",
            "noticed_on": "2026-11-01",
            "measures": [
                {"name": "fetch", "kind": "times", "planned_after": 12},
                {"name": "scratches", "kind": "counts", "per": "panel"},
                {"name": "dents", "kind": "counts", "per": "panel"},
                {"name": "searches", "kind": "counts", "per": "shift"},
            ],
        },
        LEAD,
    ).id


def planned(shop: Shop, improvement: int, measure: str = "fetch", **more: Any) -> int:
    raw = {"improvement": improvement, "measure": measure, "moment": "before", "people_asked_on": "2026-11-19"}
    return plan_study(shop, raw | more, LEAD).id


def rows(values: Iterable[float], session: str, **more: Any) -> list[Observation]:
    return [
        Observation(
            key=f"{session}-{i}",
            taken_at=DAY + dt.timedelta(minutes=i),
            cycle=i + 1,
            value=value,
            detail={"session": session} if session else {},
            **more,
        )
        for i, value in enumerate(values)
    ]


def test_values_are_told_apart_by_the_session_that_took_them(shop: Shop, improvement: int) -> None:
    study = planned(shop, improvement)
    add_observations(shop, study, [*rows([10, 11], "a"), *rows([20, 21, 22], "b"), *rows([30], "")])
    found = to_time(shop, study)
    assert sorted(found.so_far) == [(10, "a"), (11, "a"), (20, "b"), (21, "b"), (22, "b"), (30, "")]
    assert found.next_cycle == 4


def test_cycles_of_two_devices_never_mix(shop: Shop, improvement: int) -> None:
    """Both number their cycles from 1, at the same time, and neither names an operator."""
    study = planned(shop, improvement, elements=[{"name": "walk"}, {"name": "pick"}])
    both = []
    for session, walk, pick in (("a", 10.0, 1.0), ("b", 20.0, 2.0)):
        for i, (name, value) in enumerate((("walk", walk), ("pick", pick))):
            both.append(
                Observation(
                    key=f"{session}-{i}",
                    taken_at=DAY + dt.timedelta(seconds=i),
                    cycle=1,
                    element=name,
                    value=value,
                    detail={"session": session},
                )
            )
    add_observations(shop, study, both)
    assert sorted(to_time(shop, study).so_far) == [(11.0, "a"), (22.0, "b")]


def test_the_study_before_comes_along_unless_its_times_cannot_be_compared(shop: Shop, improvement: int) -> None:
    before = planned(shop, improvement)
    add_observations(shop, before, rows([50, 52, 51], "x"))
    after = planned(shop, improvement, moment="after")
    assert to_time(shop, before).before == ()
    assert to_time(shop, after).before == (50, 52, 51)
    change_improvement(shop, improvement, {"measures": [{"name": "fetch", "kind": "times", "paired": True}]}, LEAD)
    assert to_time(shop, after).before == ()


def test_counts_over_the_same_unit_are_taken_on_one_page(shop: Shop, improvement: int) -> None:
    first = planned(shop, improvement, "scratches")
    second = planned(shop, improvement, "dents")
    planned(shop, improvement, "searches")
    planned(shop, improvement, "dents", moment="after")
    assert [each.id for each in to_time(shop, first).counted_with] == [second]


def test_counts_whose_people_were_not_asked_stay_apart(shop: Shop, improvement: int) -> None:
    first = planned(shop, improvement, "scratches")
    planned(shop, improvement, "dents", people_asked_on=None)
    assert to_time(shop, first).counted_with == ()


def test_before_the_trial_the_old_way_is_timed_and_then_the_new_one(shop: Shop, improvement: int) -> None:
    assert {each.moment for each in choices(shop, improvement)[1]} == {"before"}
    change_improvement(shop, improvement, {"trial_started_on": "2026-11-18"}, LEAD)
    assert {each.moment for each in choices(shop, improvement)[1]} == {"after"}
    planned(shop, improvement, moment="again")
    assert [each.moment for each in choices(shop, improvement)[1]] == ["again", "after", "after", "after"]


def test_a_new_study_goes_by_the_plan_of_the_one_before(shop: Shop, improvement: int) -> None:
    planned(shop, improvement, timing="continuous", elements=[{"name": "walk"}, {"name": "pick"}])
    made = study_for(shop, improvement, "fetch", "after", LEAD)
    assert made.record.timing == "continuous"
    assert [each.name for each in made.record.elements] == ["walk", "pick"]
    assert made.record.planned == 12
    assert made.record.people_asked_on is None  # they are asked anew
    assert study_for(shop, improvement, "fetch", "after", LEAD).id == made.id


def test_a_measure_that_is_not_there_is_refused(shop: Shop, improvement: int) -> None:
    with pytest.raises(InputError, match="'fetch', 'scratches'"):
        study_for(shop, improvement, "weld", "after", LEAD)
    with pytest.raises(NotFoundError):
        to_time(shop, 99)
