"""Today: what needs someone in groups, each improvement once in a group, how many more, what is late."""

from __future__ import annotations

import datetime as dt
import html
import re

import pytest

from floorwright.shop.due import due_in
from floorwright.shop.improvements import change_improvement
from floorwright.shop.ports import Author, Shop
from floorwright.shop.story import stories
from floorwright.web.pages.today_groups import groups_of
from webapp import Person, StandingClock

TODAY = dt.date(2026, 11, 25)
MAREN = Author(who="Maren", role="lead")


@pytest.fixture
def page(person: Person) -> str:
    """Today when every result is worked out."""
    person.app.state.desk.teller.stories()
    return html.unescape(person.get("/").text)


def grouped(shop: Shop, today: dt.date = TODAY) -> dict[str, list[int]]:
    told = stories(shop)
    found = groups_of(due_in(told, today, within_days=14), told, today)
    return {group.name: [item.number for item in group.items] for group in found}


def test_everything_due_stands_in_its_group_once(shop: Shop) -> None:
    assert grouped(shop) == {
        "decide": [2, 3, 4, 5],
        "time": [8, 14],
        "again": [1, 5, 6, 7],
        "show": [7],
        "step": [10, 11, 13, 15, 16],
        "soon": [2, 1, 9],
    }


def test_what_is_watched_is_to_be_looked_at_on_its_day(shop: Shop, clock: StandingClock) -> None:
    clock.moment = dt.datetime(2026, 12, 1, 8, 0)
    assert 1 in grouped(shop, dt.date(2026, 12, 1))["look"]


def test_a_dropped_improvement_asks_for_nothing(shop: Shop) -> None:
    change_improvement(shop, 10, {"dropped": "the line is going"}, MAREN)
    assert 10 not in grouped(shop)["step"]


def test_a_study_that_is_short_says_how_many_more_with_a_watch_beside_it(page: str) -> None:
    at = page.index('id="time"')
    part = page[at : page.index("</details>", at)]
    assert "6 more" in part
    assert 'href="/improvements/8/time"' in part


def test_several_things_of_one_improvement_stand_together_and_say_since_when(page: str) -> None:
    at = page.index('id="again"')
    part = page[at : page.index("</details>", at)]
    assert part.count('href="/improvements/1"') == 1
    assert "Measure 'walked for clamps' again" in part
    assert "Measure 'fetching clamps' again" in part
    assert "late since 11 Sep 2026" in part
    assert "4 late" in part


def test_gains_stand_apart_and_verdicts_lead_to_their_list(page: str) -> None:
    for each in ("Banked", "Freed", "Hoped for", "The three are never added up."):
        assert each in page
    assert re.search(r'href="/improvements\?verdict=not\+shown"', page)
