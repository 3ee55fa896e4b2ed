"""The list: search, filters, order, views, export, a thousand of them."""

from __future__ import annotations

import html
import re
import time

import pytest

from floorwright.shop.improvements import add_improvement
from floorwright.shop.ports import Author, Shop
from floorwright.shop.views import SHOP, views
from webapp import Person

MAREN = Author(who="Maren", role="lead")


@pytest.fixture
def told(person: Person) -> Person:
    """Somebody who comes when every result is worked out."""
    person.app.state.desk.teller.stories()
    return person


def numbers(person: Person, query: str = "", **more: object) -> list[int]:
    page = person.get(f"/improvements{query}", **more).text  # type: ignore[arg-type]
    return [int(each) for each in re.findall(r'class="row-title" href="/improvements/(\d+)"', page)]


def test_every_improvement_stands_with_phase_verdict_and_next_step(told: Person) -> None:
    page = told.get("/improvements").text
    assert numbers(told) == list(range(1, 17))
    assert "Look at the result together, then get the safety sign-off" in page
    assert page.count("is-proven") == 6
    assert "16 improvements" in page


@pytest.mark.parametrize(
    ("query", "expected"),
    [
        ("?search=CLAMP", [1, 2]),
        ("?search=second+GRINDER", [4]),
        ("?phase=act", [1, 6, 7, 9]),
        ("?waste=lifting", [6, 10, 15]),
        ("?area=Stores", [7, 8, 14]),
        ("?verdict=likely", [3]),
        ("?verdict=none", [8, 10, 11, 13, 14, 15, 16]),
        ("?verdict=worse", [12]),
        ("?verdict=not+shown&phase=check", [4]),
        ("?search=nothing+like+this", []),
        ("?order=title-up&area=Welding", [2, 1, 15, 16]),
        ("?order=number-up&search=", list(range(1, 17))),
        ("?order=noticed-down&search=clamp", [2, 1]),
        ("?show=abc&phase=idea", [10, 15]),
    ],
)
def test_filters_and_orders(told: Person, query: str, expected: list[int]) -> None:
    assert numbers(told, query) == expected


@pytest.mark.parametrize(
    "query", ["?phase=<script>", "?order=title-sideways", "?verdict=x", f"?search={'x' * 300}"]
)
def test_an_address_that_makes_no_sense_is_told_so(person: Person, query: str) -> None:
    assert "<script>" not in person.get(f"/improvements{query}", status=422).text.replace("<script ", "")


def test_one_who_types_gets_the_list_alone(person: Person) -> None:
    part = person.get("/improvements?search=clamp", headers={"hx-request": "true"}).text
    assert "<html" not in part
    assert "2 of 16 improvements" in part
    assert 'data-query="search=clamp"' in part


def test_a_view_is_kept_for_everybody_found_again_and_forgotten(person: Person, shop: Shop) -> None:
    fields = {
        "name": "Welding <b>é",
        "area": "Welding",
        "order": "title-up",
        "everybody": "yes",
        "verdict": "proven",
    }
    answer = person.send("/improvements/views", fields)
    assert answer.headers["location"] == "/improvements?area=Welding&verdict=proven&order=title-up"
    assert [each.name for each in views(shop, owner=SHOP)] == ["Welding <b>é"]
    page = person.get("/improvements").text
    assert "Welding &lt;b&gt;é" in page
    assert "/improvements?area=Welding&amp;verdict=proven&amp;order=title-up" in page
    person.send("/improvements/views", {"forget": "Welding <b>é", "everybody": "yes"})
    assert views(shop, owner=SHOP) == []


def test_a_view_needs_a_name(person: Person) -> None:
    assert "give the view a name" in person.send("/improvements/views", {"name": " "}, status=422).text


def test_a_view_of_ones_own_is_seen_by_nobody_else(person: Person, shop: Shop) -> None:
    person.send("/improvements/views", {"name": "mine", "search": "clamp"})
    assert [each.name for each in views(shop, owner="here 0")] == ["mine"]
    assert views(shop, owner=SHOP) == []


def test_what_is_shown_goes_out_as_csv_and_xlsx(person: Person) -> None:
    text = person.get("/improvements/list.csv?verdict=likely").content.decode("utf-8-sig")
    lines = text.splitlines()
    assert len(lines) == 2
    assert lines[1].startswith("3,Parts list on the laser rack")
    answer = person.get("/improvements/list.xlsx?order=title-up&area=Welding")
    assert answer.headers["content-disposition"] == 'attachment; filename="improvements.xlsx"'
    assert answer.content.startswith(b"PK")


def test_a_thousand_come_in_hundreds(person: Person, shop: Shop) -> None:
    for index in range(984):
        raw = {"title": f"Waste {index % 7}", "waste": "waiting", "area": "Stores"}
        add_improvement(shop, raw | {"noticed_by": "Maren", "noticed_on": "2026-11-01"}, MAREN)
    person.get("/improvements")
    begin = time.monotonic()
    page = person.get("/improvements").text
    took = time.monotonic() - begin
    assert len(re.findall('class="row-title"', page)) == 100
    assert "1000 improvements" in page
    assert "Show 100 more" in page
    assert took < 10
    link = re.search(r'href="(/improvements\?show=200)"', page)
    assert link is not None
    assert len(re.findall('class="row-title"', person.get(html.unescape(link[1])).text)) == 200
    assert numbers(person, "?search=waste+3&order=number-up")[0] == 20
