"""Signing in and out, one's own password, people, tokens."""

from __future__ import annotations

import datetime as dt
import re

import pytest
from starlette.testclient import TestClient

from floorwright.shop.access import tokens, visitor_of_token
from floorwright.shop.accounts import accounts, add_account
from floorwright.shop.admission import Role
from floorwright.shop.ports import Author, Shop
from floorwright.web.desk import LOOPBACK_HOSTS, Options
from webapp import FORM_KEY, Person, StandingClock

LAN = Options(hosts=LOOPBACK_HOSTS | {"192.0.2.20"}, lan=True, lan_address="192.0.2.20", here="Ines")
PASSWORD, NEW = "three short words", "brand new words"


@pytest.fixture
def lead(shop: Shop) -> Person:
    return Person(shop, LAN)


@pytest.fixture
def browser(lead: Person) -> TestClient:
    """Somebody's browser elsewhere on the network; Tom has an account."""
    add_account(lead.app.state.desk.shop, "Tom", Role.RECORDER, PASSWORD, Author(who="Ines", role="lead"))
    return lead.at("192.0.2.40", "192.0.2.20")


def sent(client: TestClient, path: str, page: str, **fields: str) -> tuple[int, str]:
    key = FORM_KEY.search(client.get(page).text)
    assert key is not None
    found = client.post(path, data=fields | {"form_key": key.group(1)}, follow_redirects=False)
    return found.status_code, found.headers.get("location", "") or found.text


def is_in(client: TestClient, session: str) -> bool:
    """Whether a browser with this session alone is let in."""
    client.cookies.clear()
    client.cookies.set("fw_session", session)
    return client.get("/", follow_redirects=False).status_code == 200


def test_somebody_signs_in_goes_on_where_they_wanted_and_signs_out(browser: TestClient) -> None:
    assert (
        browser.get("/improvements?a=1", follow_redirects=False).headers["location"]
        == "/sign-in?next=/improvements%3Fa%3D1"
    )
    assert sent(browser, "/sign-in", "/sign-in", name="tom", password=PASSWORD, next="/improvements") == (
        303,
        "/improvements",
    )
    assert "You are here as Tom." in browser.get("/").text
    held = browser.cookies["fw_session"]
    key = FORM_KEY.search(browser.get("/").text)
    assert key is not None
    out = browser.post("/sign-out", data={"form_key": key.group(1)}, follow_redirects=False)
    # On plain HTTP beyond this computer browsers know no such header.
    assert "clear-site-data" not in out.headers
    assert "fw_session" not in browser.cookies
    # The session has ended, not only its cookie.
    assert not is_in(browser, held)


def test_signing_out_clears_the_cache_but_never_what_waits_to_be_sent(person: Person) -> None:
    out = person.send("/sign-out")
    assert out.headers["clear-site-data"] == '"cache"'
    assert out.headers["location"] == "/sign-in?out=1"


def test_wrong_names_and_passwords_are_not_told_apart(browser: TestClient) -> None:
    said = []
    for name, password in (("Tom", "wrong words here"), ("Nobody", PASSWORD)):
        status, text = sent(browser, "/sign-in", "/sign-in", name=name, password=password)
        assert status == 401
        found = re.search(r'role="alert"><p>([^<]*)<', text)
        assert found is not None
        said.append(found.group(1))
        assert password not in text
    assert said == ["Name or password is wrong."] * 2


def test_many_wrong_passwords_make_the_name_wait_even_for_the_right_one(browser: TestClient, lead: Person) -> None:
    for i in range(5):
        assert sent(browser, "/sign-in", "/sign-in", name="Tom", password=f"wrong words {i}")[0] == 401
    other = lead.at("192.0.2.41", "192.0.2.20")
    status, text = sent(other, "/sign-in", "/sign-in", name="Tom", password=PASSWORD)
    assert status == 429
    assert "Too many wrong passwords for this name; wait 30 s" in text


def test_an_address_that_hammers_the_door_is_made_to_wait(browser: TestClient) -> None:
    statuses = [sent(browser, "/sign-in", "/sign-in", name=f"N{i}", password=PASSWORD)[0] for i in range(20)]
    assert statuses[:10] == [401] * 10
    assert 429 in statuses[10:]  # one more is let in every five seconds


@pytest.mark.parametrize(
    "wanted",
    [
        "//evil.example/",
        "https://evil.example/",
        "/\\evil.example",
        "\\\\evil.example",
        "/\t/evil.example",
        "javascript:alert(1)",
        "",
        "evil",
    ],
)
def test_the_way_on_never_leads_off_the_site(browser: TestClient, wanted: str) -> None:
    assert sent(browser, "/sign-in", "/sign-in", name="Tom", password=PASSWORD, next=wanted) == (303, "/")


def test_the_way_on_that_is_asked_for_in_the_address_stays_inside_too(browser: TestClient) -> None:
    assert 'name="next" value="/"' in browser.get("/sign-in?next=//evil.example").text
    assert 'name="next" value="/charts?month=3"' in browser.get("/sign-in?next=/charts%3Fmonth=3").text


def test_a_session_that_was_there_before_ends_when_somebody_signs_in(browser: TestClient) -> None:
    sent(browser, "/sign-in", "/sign-in", name="Tom", password=PASSWORD)
    first = browser.cookies["fw_session"]
    sent(browser, "/sign-in", "/sign-in", name="Tom", password=PASSWORD)
    assert browser.cookies["fw_session"] != first
    assert not is_in(browser, first)


def test_a_session_that_somebody_planted_is_not_taken_over(browser: TestClient) -> None:
    browser.cookies.set("fw_session", "planted-by-somebody-else")
    sent(browser, "/sign-in", "/sign-in", name="Tom", password=PASSWORD)
    assert not is_in(browser, "planted-by-somebody-else")


def test_a_session_ends_after_its_hours(browser: TestClient, clock: StandingClock) -> None:
    sent(browser, "/sign-in", "/sign-in", name="Tom", password=PASSWORD)
    clock.moment += dt.timedelta(hours=12)
    assert browser.get("/", follow_redirects=False).status_code == 303


def test_people_are_added_given_a_new_password_and_shut_out(lead: Person, browser: TestClient) -> None:
    lead.send("/settings/people", {"name": "Rosa", "role": "lead", "password": "other short words"})
    assert [each.name for each in accounts(lead.app.state.desk.shop)] == ["Tom", "Rosa"]
    sent(browser, "/sign-in", "/sign-in", name="Tom", password=PASSWORD)
    lead.send("/settings/people/1/password", {"password": NEW})
    assert browser.get("/", follow_redirects=False).status_code == 303
    assert sent(browser, "/sign-in", "/sign-in", name="Tom", password=NEW)[0] == 303
    lead.send("/settings/people/1/disable")
    assert browser.get("/", follow_redirects=False).status_code == 303
    assert "Shut out: 1" in lead.get("/settings/people").text


def test_what_is_wrong_with_a_new_person_is_told_beside_the_field(lead: Person, browser: TestClient) -> None:
    text = lead.send("/settings/people", {"name": "", "role": "lead", "password": "short"}, status=422).text
    assert 'id="w-name">is missing' in text
    assert 'id="w-password">is too short' in text
    assert "short" not in re.findall(r'name="password"[^>]*value="([^"]*)"', text)
    again = lead.send("/settings/people", {"name": "TOM", "role": "lead", "password": PASSWORD}, status=422).text
    assert 'id="w-name">' in again
    assert 'id="bad-1">is too short' in lead.send("/settings/people/1/password", {"password": "x"}, status=422).text


def test_somebody_changes_their_own_password_and_stays_signed_in(browser: TestClient) -> None:
    sent(browser, "/sign-in", "/sign-in", name="Tom", password=PASSWORD)
    page = "/settings/password"
    wrong = sent(browser, page, page, old="not that one", password=NEW, again=NEW)
    assert wrong[0] == 422
    assert 'id="w-old">Name or password is wrong.' in wrong[1]
    unlike = sent(browser, page, page, old=PASSWORD, password=NEW, again="some other words")
    assert 'id="w-again">is not the same' in unlike[1]
    done = sent(browser, page, page, old=PASSWORD, password=NEW, again=NEW)
    assert done == (303, "/settings?told=password")
    assert "You are here as Tom." in browser.get("/").text
    assert sent(browser, "/sign-in", "/sign-in", name="Tom", password=PASSWORD)[0] == 401


def test_whoever_has_no_password_has_none_to_change(person: Person) -> None:
    assert "Only somebody who signed in" in person.get("/settings/password").text
    person.send("/settings/password", {"old": "", "password": "", "again": ""}, status=403)


def test_a_token_is_shown_once_works_and_is_shut_out(lead: Person, shop: Shop) -> None:
    shown = lead.send("/settings/tokens", {"name": "office", "role": "viewer", "days": "30"}, status=200).text
    found = re.search(r'value="(fw_[^"]+)"', shown)
    assert found is not None
    secret = found.group(1)
    visitor = visitor_of_token(shop, secret)
    assert visitor is not None
    assert (visitor.name, visitor.role) == ("office", Role.VIEWER)
    listed = lead.get("/settings/tokens").text
    assert "office" in listed
    assert "good until 25 Dec 2026" in listed
    assert secret not in listed
    lead.send("/settings/tokens/1/revoke")
    assert visitor_of_token(shop, secret) is None
    assert "Over: 1" in lead.get("/settings/tokens").text


@pytest.mark.parametrize(
    ("days", "said"), [("x", "should be a whole number"), ("0", "should be between 1 and 3650")]
)
def test_a_token_without_a_sensible_life_is_refused(lead: Person, shop: Shop, days: str, said: str) -> None:
    shown = lead.send("/settings/tokens", {"name": "office", "role": "viewer", "days": days}, status=422).text
    assert said in shown
    assert tokens(shop) == []
