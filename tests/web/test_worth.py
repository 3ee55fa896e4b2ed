"""The worth page: other assumptions are tried without storing anything, and kept only when somebody says so."""

from __future__ import annotations

import re

import pytest

from floorwright.shop.improvements import change_improvement, improvement
from floorwright.shop.ports import Author, Shop
from floorwright.shop.story import story
from floorwright.shop.trying import tried
from webapp import Person

LEAD = Author(who="Ines", role="lead")


def lines(text: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", re.sub(r"<svg.*?</svg>", "", text, flags=re.S)).split())


def test_it_opens_with_what_is_kept_and_agrees_with_the_improvement(person: Person, shop: Shop) -> None:
    text = lines(person.get("/improvements/1/worth").text)
    annual = story(shop, 1).money.outcome
    assert annual is not None
    assert f"${annual.results['annual']['mean']:,.0f} a year" in text
    assert "Banked: the gain is proven" in text
    assert "Keep these" not in text
    assert "What moves it most" in text


def test_trying_stores_nothing(person: Person, shop: Shop) -> None:
    before = improvement(shop, 1).version
    text = lines(person.get("/improvements/1/worth?events=100&share=50").text)
    assert "Keep these" in text
    assert improvement(shop, 1).version == before


def test_half_of_the_time_is_half_of_the_worth_before_upkeep(shop: Shop) -> None:
    told = story(shop, 1)
    whole, half = (
        tried(told, {"share_used": share, "cost.upkeep_per_year": "0"}).money.outcome for share in (1.0, 0.5)
    )
    assert whole is not None
    assert half is not None
    assert half.results["annual"]["mean"] == pytest.approx(whole.results["annual"]["mean"] / 2, rel=0.01)


def test_what_moves_it_most_is_tried_over_the_measured_interval(shop: Shop) -> None:
    found = tried(story(shop, 1), {}, give_or_take=0.1)
    saved = next(each for each in found.swings if each.name == "saved_s")
    money = found.money.saved_s
    assert money is not None
    assert (saved.low, saved.high) == (money.low_si, money.high_si)
    events = next(each for each in found.swings if each.name == "events_per_year")
    assert events.low == pytest.approx((found.record.events_per_year or 0) * 0.9)
    assert [each.width for each in found.swings] == sorted((each.width for each in found.swings), reverse=True)


def test_time_that_nothing_is_done_with_is_freed_and_no_money(person: Person) -> None:
    text = lines(person.get("/improvements/1/worth?use=nothing+yet").text)
    assert "Freed: the gain is proven, but nothing is done with the time yet" in text
    assert "No money claimed" in text
    assert "What moves it most" not in text


def test_what_is_likely_is_only_hoped_for(person: Person) -> None:
    assert "Hoped for: the gain is not proven yet" in lines(person.get("/improvements/3/worth").text)


def test_without_a_gain_of_time_it_says_why(person: Person) -> None:
    assert "No measure of it saves time." in lines(person.get("/improvements/6/worth").text)
    person.get("/improvements/999/worth", 404)


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("events=often", "'often' is not a number"),
        ("events=-5", "should lie between 0 and"),
        ("share=120", "should lie between 0 and 100"),
        ("life=0", "should be more than 0"),
        ("life=90", "should be 50 or less"),
        ("interest=500", "should lie between 0 and 100"),
        ("use=holidays", "should be"),
        ("material=1e400", "is not a number"),
        ("either_way=95", "should lie between 0 and 90"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field(person: Person, query: str, said: str) -> None:
    answer = person.get(f"/improvements/1/worth?{query}", 422)
    assert said in lines(answer.text).replace("&#39;", "'")
    part = person.client.get(f"/improvements/1/worth?{query}", headers={"hx-request": "true"})
    assert part.status_code == 422
    assert said in lines(part.text).replace("&#39;", "'")


def test_a_part_is_what_moves(person: Person) -> None:
    answer = person.client.get("/improvements/1/worth?events=9000", headers={"hx-request": "true"})
    assert answer.text.strip().startswith('<div id="worth-shown"')
    assert "Keep these" in answer.text


def test_keeping_changes_the_improvement_and_not_the_shop(person: Person, shop: Shop) -> None:
    version = improvement(shop, 1).version
    fields = {"events": "9000", "share": "50", "material": "120.50", "interest": "20", "version": str(version)}
    person.send("/improvements/1/worth", fields)
    record = improvement(shop, 1).record
    assert (record.events_per_year, record.share_used) == (9000.0, 0.5)
    assert record.cost is not None
    assert str(record.cost.material) == "120.50"
    assert story(shop, 1).settings.interest == 0.08
    assert "9000" in person.get("/improvements/1/worth").text


def test_two_tabs_do_not_overwrite_each_other(person: Person, shop: Shop) -> None:
    version = improvement(shop, 1).version
    change_improvement(shop, 1, {"events_per_year": 4000}, LEAD)
    answer = person.send("/improvements/1/worth", {"events": "9000", "version": str(version)}, status=409)
    assert improvement(shop, 1).record.events_per_year == 4000
    assert answer.text
