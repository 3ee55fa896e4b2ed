"""Stories are worked out once, and again only when something in them has changed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

import pytest

from floorwright.basis.errors import NotFoundError
from floorwright.shop.improvements import add_improvement, change_improvement, overviews
from floorwright.shop.ports import Author, Shop
from floorwright.shop.records import Observation
from floorwright.shop.settings import change_settings
from floorwright.shop.story import stories, story
from floorwright.shop.studies import add_observations, study_rows
from floorwright.web import teller as module
from floorwright.web.standing import Standing
from floorwright.web.teller import Teller
from webapp import StandingClock

ME = Author(who="Ines")


@pytest.fixture
def teller(shop: Shop) -> Teller:
    return Teller(shop)


def lap(shop: Shop, study: int, key: str, **more: Any) -> None:
    add_observations(shop, study, [Observation(key=key, taken_at=shop.clock.now(), cycle=900, value=40.0, **more)])


def some_study(shop: Shop) -> tuple[int, int]:
    """An improvement and a study of it that may be timed."""
    found = next(each.filed for each in study_rows(shop) if each.filed.record.kind == "times" and each.readings)
    return found.record.improvement, found.id


def test_they_are_the_stories_of_the_shop(shop: Shop, teller: Teller) -> None:
    assert list(teller.stories()) == stories(shop)
    assert teller.story(1) == story(shop, 1)
    assert [each.filed for each in teller.overviews()] == [each.filed for each in overviews(shop)]
    assert [each.next_step for each in teller.overviews()] == [each.next_step for each in overviews(shop)]


def test_what_has_not_changed_is_not_told_again(teller: Teller) -> None:
    first = teller.stories()
    assert all(a is b for a, b in zip(first, teller.stories(), strict=True))
    assert teller.ledger(first) is teller.ledger(teller.stories())


def add_reading(shop: Shop, number: int, study: int) -> None:
    lap(shop, study, "new")


def change_title(shop: Shop, number: int, study: int) -> None:
    change_improvement(shop, number, {"title": "Another title"}, ME)


def plan_another(shop: Shop, number: int, study: int) -> None:
    with shop.work() as work:
        body = work.records.get("study", study).body
        work.records.add("study", body | {"moment": "again"}, author=ME, at=shop.clock.now())
        work.commit()


@pytest.mark.parametrize("change", [add_reading, change_title, plan_another])
def test_what_has_changed_is_told_anew_and_nothing_else(
    shop: Shop, teller: Teller, change: Callable[[Shop, int, int], None]
) -> None:
    number, study = some_study(shop)
    before = {each.filed.id: each for each in teller.stories()}
    change(shop, number, study)
    after = {each.filed.id: each for each in teller.stories()}
    assert {id_ for id_ in after if after[id_] is not before[id_]} == {number}
    assert after[number] == story(shop, number)


def test_settings_and_a_new_day_change_every_story(shop: Shop, teller: Teller, clock: StandingClock) -> None:
    before = teller.stories()
    change_settings(shop, {"confidence": 0.9}, ME)
    middle = teller.stories()
    clock.moment += dt.timedelta(days=1)
    after = teller.stories()
    assert not any(a is b for a, b in zip(before, middle, strict=True))
    assert not any(a is b for a, b in zip(middle, after, strict=True))


def test_a_correction_counts_as_a_change(shop: Shop, teller: Teller) -> None:
    number, study = some_study(shop)
    lap(shop, study, "first")
    before = teller.story(number)
    lap(shop, study, "second", replaces="first", reason="misread")
    assert teller.story(number) is not before
    assert teller.story(number) == story(shop, number)


def test_a_new_improvement_is_there_at_once(shop: Shop, teller: Teller) -> None:
    teller.stories()
    raw = {"title": "New", "waste": "walking", "area": "Welding", "noticed_by": "I", "noticed_on": "2026-11-25"}
    number = add_improvement(shop, raw, ME).id
    assert teller.story(number).record.title == "New"
    assert [each.filed.id for each in teller.overviews(search="new")][-1] == number


def test_one_that_is_not_there_is_not_found(teller: Teller) -> None:
    with pytest.raises(NotFoundError, match="999"):
        teller.story(999)


def test_many_are_worked_out_in_the_background(teller: Teller) -> None:
    first = teller.told(patience=0.0)
    assert not first.complete
    assert first.total > len(first.stories)
    assert teller.told(patience=60.0).complete
    teller.stop()


def test_a_few_are_worked_out_while_one_waits(shop: Shop, teller: Teller) -> None:
    teller.stories()
    lap(shop, some_study(shop)[1], "new")
    assert module.FEW >= 1
    assert teller.told(patience=0.0).complete


def test_whoever_sees_an_older_state_is_told_of_that_state(shop: Shop) -> None:
    """A request that began before a lap came in, while another that began after it has been answered already."""
    standing = Standing()
    number, study = some_study(shop)
    with shop.work() as older:
        before = standing.one(older, number)
        lap(shop, study, "new")
        change_improvement(shop, number, {"title": "Another title"}, ME)
        with shop.work() as newer:
            after = standing.one(newer, number)
        assert standing.one(older, number) == before
        assert after != before
    with shop.work() as newest:
        assert standing.one(newest, number) == after
