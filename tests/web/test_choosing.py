"""What to do first: the open improvements, their worth, effort and chance, and how sure the order is."""

from __future__ import annotations

import re

import pytest

from floorwright.shop.improvements import change_improvement
from floorwright.shop.ports import Author, Shop
from webapp import Person

LEAD = Author(who="Ines", role="lead")
PAGE = "/charts/choosing"


def lines(text: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", text).split()).replace("&#39;", "'")


def order(person: Person) -> list[int]:
    person.app.state.desk.teller.stories()
    found = re.findall(r'<th scope="row"><a href="/improvements/(\d+)">', person.get(PAGE).text)
    return [int(number) for number in found]


def test_only_what_is_open_can_be_chosen(person: Person) -> None:
    person.app.state.desk.teller.stories()
    text = person.get(PAGE).text
    assert 'name="worth-likely-3"' in text
    assert 'name="worth-likely-1"' not in text  # in use
    assert 'name="worth-likely-12"' not in text  # dropped


def test_the_order_follows_worth_for_an_hour_and_is_kept_for_everybody(person: Person) -> None:
    fields = {"worth-likely-4": "9000", "hours-low-4": "1", "hours-likely-4": "1", "hours-high-4": "1"}
    fields |= {"worth-likely-8": "100", "hours-likely-8": "10", "chance-4": "100", "budget": "5000"}
    fields |= {"worth-low-8": "", "worth-high-8": "", "hours-low-8": "", "hours-high-8": ""}
    person.send(PAGE, fields)
    assert order(person)[0] == 4
    assert order(person)[-1] == 8
    text = lines(person.get(PAGE).text)
    assert "ahead of the next in 100 of 100 cases" in text
    assert "proved to be the best" in text
    person.send(PAGE, {"do": "reset"})
    assert 4 not in order(person)


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"worth-likely-4": "much"}, "'much' is not a number"),
        ({"chance-4": "140"}, "should lie between 0 and 100"),
        (
            {"worth-low-4": "9", "worth-likely-4": "5", "worth-high-4": "10"},
            "should rise from low to likely to high",
        ),
        ({"budget": "-5"}, "should lie between 0"),
    ],
)
def test_what_cannot_be_is_said_and_not_kept(person: Person, shop: Shop, fields: dict[str, str], said: str) -> None:
    person.app.state.desk.teller.stories()
    assert said in lines(person.send(PAGE, fields, status=422).text)
    with shop.work() as work:
        assert work.keepsakes.all("shop", "choosing") == []


def test_without_anything_open_it_says_what_to_do(person: Person, shop: Shop) -> None:
    for number in (2, 3, 4, 5, 8, 10, 11, 13, 14, 15, 16):
        change_improvement(shop, number, {"dropped": "not now"}, LEAD)
    person.app.state.desk.teller.stories()
    assert "Nothing is open" in person.get(PAGE).text
