"""Charts: gains by month with the ledger, and no gain without its interval."""

from __future__ import annotations

import datetime as dt
import re

from floorwright.shop.gains import gains
from floorwright.shop.improvements import change_improvement
from floorwright.shop.ports import Author, Shop
from floorwright.web.ledger_view import ledger_page
from floorwright.web.render import settings_of
from webapp import Person

LEAD = Author(who="Ines", role="lead")
TODAY = dt.date(2026, 11, 25)


def lines(text: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", re.sub(r"<svg.*?</svg>", "", text, flags=re.S)).split())


def warm(person: Person) -> None:
    person.app.state.desk.teller.stories()


def test_every_sum_stands_with_its_interval(person: Person) -> None:
    warm(person)
    text = lines(person.get("/charts").text)
    for part in ("$3,980 $3,064 to $5,116 113 h (87 to 145)", "100 h 68 to 138 h", "75 h −15 to 175 h"):
        assert part in text
    assert "Banked so far: $1,153" in text


def test_the_ledger_names_each_step_once_and_says_what_got_worse(person: Person, shop: Shop) -> None:
    page = ledger_page(gains(shop), {}, settings_of(person.app.state.desk), TODAY)
    clamps = next(each for each in page.elements if each.name == "fetch clamps")
    assert [(line.improvement, line.standing) for line in clamps.lines] == [(1, "banked"), (2, "freed")]
    cart = next(each for each in page.elements if each.name == "load slat cart")
    assert cart.lines[0].standing == "lost"
    assert cart.lines[0].gain == "−1.02 s (−1.75 to −0.219)"
    assert all("interval" not in each.gain for each in page.others)
    assert all("(" in each.gain for each in page.others)


def test_months_add_up_to_what_was_banked(shop: Shop, person: Person) -> None:
    page = ledger_page(gains(shop), {}, settings_of(person.app.state.desk), TODAY)
    assert [each.name for each in page.months] == ["November 2026", "October 2026", "September 2026", "August 2026"]
    assert all(each.banked.hours_range for each in page.months)
    assert page.chart is not None
    assert "Aug 26: banked" in page.chart.text


def test_metric_shops_read_in_metres(person: Person, shop: Shop) -> None:
    from floorwright.shop.settings import change_settings

    change_settings(shop, {"units": "si"}, LEAD)
    warm(person)
    assert "30.4 m (12.6 to 46.9)" in lines(person.get("/charts").text) or " m (" in lines(
        person.get("/charts").text
    )


def test_a_dropped_improvement_is_withdrawn(person: Person, shop: Shop) -> None:
    change_improvement(shop, 1, {"dropped": "the bay was moved"}, LEAD)
    page = ledger_page(gains(shop), {1: "Clamps"}, settings_of(person.app.state.desk), TODAY)
    clamps = next(each for each in page.elements if each.name == "fetch clamps")
    assert clamps.lines[0].standing == "withdrawn"


def test_titles_from_people_are_safe(person: Person, shop: Shop) -> None:
    change_improvement(shop, 1, {"title": "<b onclick=alert(1)>clamps</b>"}, LEAD)
    warm(person)
    assert "<b onclick" not in person.get("/charts").text
