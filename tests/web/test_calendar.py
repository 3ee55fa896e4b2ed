"""What is due as a calendar: an address of its own that opens nothing else, and the text behind it."""

from __future__ import annotations

import datetime as dt
import re

import pytest

from floorwright.shop.access import Visitor, make_token, offer_pairing, pair, revoke_device, revoke_token
from floorwright.shop.admission import Role
from floorwright.shop.due import due
from floorwright.shop.feed import end_feed_key, feed_made_at, make_feed_key, opens_the_calendar
from floorwright.shop.ports import Author, Shop
from floorwright.web.desk import LOOPBACK_HOSTS, Options
from webapp import Person, StandingClock

ME = Author(who="Ines")
HERE = Visitor(kind="here", id=0, name="Ines", role=Role.LEAD)


def address(person: Person) -> str:
    text = person.send("/calendar", {"what": "new"}, page="/calendar", status=200).text
    found = re.search(r'value="(http://[^"]+/calendar\.ics\?key=[^"]+)"', text)
    assert found is not None
    return found.group(1)


def test_the_address_gives_what_is_due_in_a_year(person: Person, shop: Shop) -> None:
    answer = person.get(address(person))
    assert answer.headers["content-type"] == "text/calendar; charset=utf-8"
    lines = answer.text.replace("\r\n ", "").split("\r\n")
    assert lines[0] == "BEGIN:VCALENDAR"
    days = [line.rpartition(":")[2] for line in lines if line.startswith("DTSTART")]
    assert days == [f"{each.on:%Y%m%d}" for each in due(shop, within_days=365)]
    assert any(line.startswith("URL:http://127.0.0.1") and "/improvements/" in line for line in lines)


def test_it_is_read_anew_only_when_it_has_changed(person: Person, clock: StandingClock) -> None:
    where = address(person)
    first = person.get(where)
    clock.moment += dt.timedelta(hours=3)
    again = person.get(where, status=304, headers={"If-None-Match": first.headers["etag"]})
    assert again.content == b""
    clock.moment += dt.timedelta(days=40)
    later = person.get(where, headers={"If-None-Match": first.headers["etag"]})
    assert later.headers["etag"] != first.headers["etag"]


def test_the_address_works_from_the_network_and_opens_nothing_else(shop: Shop) -> None:
    person = Person(shop, Options(hosts=LOOPBACK_HOSTS | {"shop.local"}, lan=True, lan_address="shop.local"))
    where = address(person)
    key = where.partition("key=")[2]
    outside = person.at("192.168.7.20", "shop.local")
    assert outside.get("/calendar.ics", params={"key": key}).status_code == 200
    assert outside.get("/api/due", headers={"Authorization": f"Bearer {key}"}).status_code == 401
    assert outside.get("/api/due", params={"key": key}).status_code == 401


@pytest.mark.parametrize("query", ["", "?key=", "?key=wrong", "?key=%00", "?key=" + "a" * 5000])
def test_without_its_key_there_is_no_calendar(person: Person, query: str) -> None:
    address(person)
    text = person.get(f"/calendar.ics{query}", status=404).text
    assert "BEGIN" not in text


def test_a_new_address_ends_the_one_before_and_so_does_ending_it(person: Person) -> None:
    first = address(person)
    second = address(person)
    person.get(first, status=404)
    person.get(second)
    assert "cannot be shown again" in person.get("/calendar").text
    person.send("/calendar", {"what": "end"}, page="/calendar")
    person.get(second, status=404)
    assert "Make an address" in person.get("/calendar").text


def test_the_shop_keeps_no_key(shop: Shop) -> None:
    secret = make_feed_key(shop, HERE)
    with shop.work() as work:
        assert secret not in str(work.keepsakes.all("shop", "calendar"))


def test_each_visitor_has_an_address_of_their_own(shop: Shop) -> None:
    other = Visitor(kind="account", id=7, name="Tom", role=Role.VIEWER)
    mine = make_feed_key(shop, HERE)
    make_feed_key(shop, other)
    assert opens_the_calendar(shop, mine)
    assert feed_made_at(shop, other) is not None
    end_feed_key(shop, other)
    assert opens_the_calendar(shop, mine)
    assert feed_made_at(shop, other) is None


def test_it_ends_with_the_phone_or_token_of_whoever_made_it(shop: Shop) -> None:
    _, device = pair(shop, offer_pairing(shop, Role.VIEWER, ME).code, "Tom's phone")
    of_device = make_feed_key(shop, Visitor(kind="device", id=device.id, name="Tom", role=Role.VIEWER))
    _, token = make_token(shop, "board", Role.VIEWER, ME)
    of_token = make_feed_key(shop, Visitor(kind="token", id=token.id, name="board", role=Role.VIEWER))
    of_nobody = make_feed_key(shop, Visitor(kind="account", id=99, name="gone", role=Role.VIEWER))
    assert opens_the_calendar(shop, of_device)
    assert opens_the_calendar(shop, of_token)
    assert not opens_the_calendar(shop, of_nobody)
    revoke_device(shop, device.id)
    revoke_token(shop, token.id)
    assert not opens_the_calendar(shop, of_device)
    assert not opens_the_calendar(shop, of_token)
