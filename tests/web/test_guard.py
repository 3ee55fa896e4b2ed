"""The guards at the door: whose request it is, which hosts, which headers, forged forms, how much and how often."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from dataclasses import replace

import pytest
from fastapi import FastAPI, Request
from fastapi.routing import iter_route_contexts
from starlette.testclient import TestClient

from floorwright.shop.access import offer_pairing, pair, revoke_device
from floorwright.shop.accounts import add_account
from floorwright.shop.admission import Role
from floorwright.shop.ports import Author, Shop
from floorwright.web.desk import LOOPBACK_HOSTS, Options
from floorwright.web.guard.csrf import form_key, is_own_form
from floorwright.web.guard.hosts import host_name
from floorwright.web.guard.limits import DEFAULT_BYTES, Bodies, Buckets, limit_of
from webapp import FORM_KEY, Person, StandingClock

INES = Author(who="Ines", role="lead")
LAN = Options(hosts=LOOPBACK_HOSTS | {"192.0.2.20"}, lan=True, lan_address="192.0.2.20", here="Ines")


@pytest.fixture
def lead(shop: Shop) -> Person:
    return Person(shop, LAN)


# Who is at this computer


def where(client: TestClient, **headers: str) -> int:
    """200 for whoever is let in as the person at this computer, 303 for a stranger."""
    return client.get("/settings", headers=headers, follow_redirects=False).status_code


@pytest.mark.parametrize(("address", "host"), [("127.0.0.1", "127.0.0.1:8020"), ("::1", "[::1]:8020")])
def test_the_person_at_this_computer_needs_no_sign_in(lead: Person, address: str, host: str) -> None:
    assert where(lead.at(address), Host=host) == 200


@pytest.mark.parametrize(
    "header",
    [
        "X-Forwarded-For",
        "X-Forwarded-Host",
        "X-Forwarded-Proto",
        "X-Forwarded-Anything",
        "X-Real-IP",
        "Forwarded",
        "Via",
        "X-Client-IP",
        "True-Client-IP",
    ],
)
def test_what_somebody_passed_on_is_not_from_this_computer(lead: Person, header: str) -> None:
    assert where(lead.at("127.0.0.1"), **{header: "127.0.0.1"}) == 303


def test_where_everyone_signs_in_nobody_is_let_in_for_sitting_at_this_computer(shop: Shop) -> None:
    # A program here that passes requests on and says nothing of it: they come from 127.0.0.1, for 127.0.0.1.
    person = Person(shop, replace(LAN, everyone_signs_in=True))
    assert where(person.client) == 303
    answer = person.client.get("/settings", follow_redirects=False)
    assert answer.headers["location"] == "/sign-in?next=/settings"
    assert "Password" in person.client.get("/settings").text
    assert person.client.get("/api/improvements").status_code == 401
    add_account(shop, "Ana", Role.LEAD, "three clamps and a blue rack", INES)
    person.send("/sign-in", {"name": "Ana", "password": "three clamps and a blue rack"}, page="/sign-in")
    assert where(person.client) == 200
    # Whoever signed in may be anywhere, so what is done at this computer alone is done by command.
    refused = person.send("/settings/restore/open", {"file": "x"}, status=403).text
    assert "floorwright restore" in refused


@pytest.mark.parametrize("header", ["X-Forwarded-For", "X-Real-IP", "Forwarded", "X-Client-IP"])
def test_a_stranger_cannot_claim_to_be_at_this_computer(lead: Person, header: str) -> None:
    far = lead.at("192.0.2.40", "192.0.2.20")
    assert where(far, **{header: "127.0.0.1"}) == 303
    assert where(far, Host="127.0.0.1", **{header: "for=127.0.0.1"}) == 303
    assert where(far, Host="localhost") == 303


def test_another_address_of_this_computer_is_not_the_person_at_it(lead: Person) -> None:
    # A page elsewhere whose name was pointed at this computer comes from 127.0.0.1 under a name of its own.
    assert where(lead.at("127.0.0.1"), Host="192.0.2.20") == 303


# Which hosts


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "127.0.0.1.evil.example",
        "localhost.evil.example",
        "[::1].evil.example",
        "[::1]evil.example:80",
        "127.0.0.1:8020:80",
        "127.0.0.1@evil.example",
        "evil.example:127.0.0.1",
        "127.0.0.1/evil",
        "127.0.0.1 evil.example",
        "",
        "0.0.0.0",  # noqa: S104
        "2130706433",
        "0x7f.1",
    ],
)
def test_requests_under_any_other_name_are_refused(lead: Person, host: str) -> None:
    found = lead.at("127.0.0.1").get("/about", headers={"Host": host})
    assert found.status_code == 421
    assert "not one of the app's own" in found.text.replace("&#x27;", "'")
    assert "evil" not in found.text


@pytest.mark.parametrize(
    ("header", "name"),
    [
        ("127.0.0.1:8020", "127.0.0.1"),
        ("LOCALHOST", "localhost"),
        ("localhost.", "localhost"),
        ("[::1]", "::1"),
        ("[::1]:8020", "::1"),
        ("Shop.local:443", "shop.local"),
        ("[::1", ""),
        ("::1", ""),
        ("a:b", ""),
        ("", ""),
    ],
)
def test_the_name_in_a_host_header(header: str, name: str) -> None:
    assert host_name(header) == name


# Headers on every answer


def test_no_page_may_be_framed_and_none_is_kept_and_every_answer_says_so(lead: Person, shop: Shop) -> None:
    client = lead.at("127.0.0.1")
    checked = 0
    for route in iter_route_contexts(lead.app.routes):
        path = re.sub(r"{[^}]*}", "1", route.path or "")
        for method in sorted((route.methods or {"GET"}) - {"HEAD"}):
            answer = client.request(method, path, follow_redirects=False)
            policy = answer.headers["content-security-policy"]
            pdf = answer.headers.get("content-type", "").startswith("application/pdf")
            assert f"frame-ancestors {chr(39)}{'self' if pdf else 'none'}{chr(39)}" in policy, path
            assert answer.headers["x-frame-options"] == ("SAMEORIGIN" if pdf else "DENY"), path
            assert "script-src 'self'" in policy
            assert "unsafe" not in policy
            assert answer.headers["x-content-type-options"] == "nosniff"
            assert answer.headers["referrer-policy"] == "same-origin"
            assert answer.headers["cross-origin-resource-policy"] == "same-origin"
            assert "cache-control" in answer.headers
            assert "server" not in answer.headers
            checked += 1
    assert checked > 30


def test_refusals_of_the_guards_carry_the_headers_too(lead: Person) -> None:
    client = lead.at("127.0.0.1")
    for answer in (
        client.get("/", headers={"Host": "evil.example"}),
        client.post("/language", content=b"x" * (DEFAULT_BYTES + 1)),
        client.get("/no/such/page"),
    ):
        assert answer.status_code in (404, 413, 421)
        assert answer.headers["x-frame-options"] == "DENY"


def test_pages_hold_no_inline_script_and_no_inline_style(lead: Person) -> None:
    for path in ("/", "/improvements", "/settings", "/settings/phones", "/about", "/sign-in", "/pair"):
        text = lead.get(path).text
        assert not re.search(r"<script(?![^>]*(src=|type=\"application/json\"))", text), path
        assert not re.search(r"<[^>]*\sstyle=", text), path
        assert not re.search(r"<[^>]*\son[a-z]+=", text), path
        assert "javascript:" not in text


# Cookies


def cookies_of(lead: Person, options: Options, shop: Shop) -> list[str]:
    browser = Person(shop, options).at("192.0.2.40", "192.0.2.20")
    code = offer_pairing(shop, Role.RECORDER, INES).code
    key = FORM_KEY.search(browser.get("/pair").text)
    assert key is not None
    answer = browser.post(
        "/pair", data={"code": code, "name": "P", "form_key": key.group(1)}, follow_redirects=False
    )
    return [*answer.headers.get_list("set-cookie"), *browser.get("/about").headers.get_list("set-cookie")]


def test_cookies_are_out_of_reach_of_scripts_and_other_sites(lead: Person, shop: Shop) -> None:
    found = cookies_of(lead, LAN, shop)
    assert any(each.startswith("fw_session=") for each in found)
    for each in found:
        assert "HttpOnly" in each
        assert "SameSite=lax" in each
        assert "Path=/" in each
        assert "Domain" not in each
        assert "Secure" not in each  # a browser would not keep it on plain HTTP


def test_with_a_certificate_cookies_go_by_https_alone(lead: Person, shop: Shop) -> None:
    secure = Options(hosts=LAN.hosts, lan=True, lan_address=LAN.lan_address, secure=True)
    browser = Person(shop, secure).at("192.0.2.40", "192.0.2.20")
    found = browser.get("/pair").headers
    assert all("Secure" in each for each in found.get_list("set-cookie"))
    assert found["strict-transport-security"] == "max-age=31536000"
    assert found["cross-origin-opener-policy"] == "same-origin"


# Forged forms


def test_a_form_counts_only_for_the_browser_and_session_it_was_written_for() -> None:
    key = b"k" * 32
    mine = form_key(key, "browser", "session")
    assert is_own_form(key, mine, "browser", "session")
    assert form_key(key, "browser", "session") != mine
    for browser, session in (("other", "session"), ("browser", "other"), ("browser", ""), ("", "session")):
        assert not is_own_form(key, mine, browser, session)
    assert not is_own_form(b"o" * 32, mine, "browser", "session")
    for forged in ("", ".", "nonce.", mine[:-1], mine + "0", f"{'0' * 16}{mine[16:]}", "\u2028.ü"):
        assert not is_own_form(key, forged, "browser", "session")


def test_an_empty_browser_cookie_makes_no_forms_right() -> None:
    key = b"k" * 32
    assert not is_own_form(key, form_key(key, "", ""), "", "")


def forged(client: TestClient, data: dict[str, str], **headers: str) -> int:
    return client.post("/settings/here", data={"here": "Forged"} | data, headers=headers).status_code


def test_a_form_without_its_key_or_with_another_ones_is_refused(person: Person) -> None:
    assert forged(person.client, {}) == 403
    assert forged(person.client, {"form_key": "x.y"}) == 403
    other = person.at("127.0.0.1")
    key = FORM_KEY.search(other.get("/about").text)
    assert key is not None
    assert forged(person.client, {"form_key": key.group(1)}) == 403
    assert "You are here as lead" in person.get("/about").text
    assert person.client.post("/settings/here", data={"form_key": person.key(), "here": "Mine"}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "https://evil.example"},
        {"Origin": "null"},
        {"Origin": "http://127.0.0.1:9999"},
        {"Origin": "http://127.0.0.1.evil.example"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
)
def test_a_form_from_another_sites_page_is_refused_even_with_the_right_key(
    person: Person, headers: dict[str, str]
) -> None:
    answer = person.client.post(
        "/settings/here", data={"here": "Forged", "form_key": person.key()}, headers=headers
    )
    assert answer.status_code == 403
    assert "another site" in answer.text


def test_the_inbox_takes_nothing_from_a_page_of_another_site(person: Person) -> None:
    def sent(**headers: str) -> int:
        return person.client.post("/api/inbox", json={"items": []}, headers=headers).status_code

    assert sent() == 403  # no other site's form can set a header
    assert sent(**{"X-Floorwright": "inbox", "Origin": "https://evil.example"}) == 403
    assert sent(**{"X-Floorwright": "inbox", "Sec-Fetch-Site": "cross-site"}) == 403
    assert sent(**{"X-Floorwright": "inbox", "Sec-Fetch-Site": "same-origin"}) < 300


def test_no_answer_allows_another_site_to_read_it(person: Person) -> None:
    asked = {"Origin": "https://evil.example", "Access-Control-Request-Method": "POST"}
    for method in ("GET", "OPTIONS"):
        answer = person.client.request(method, "/api/improvements", headers=asked)
        assert not [name for name in answer.headers if name.startswith("access-control-")]


# A device that is shut out, and one that is idle


def test_a_device_that_is_shut_out_stops_in_the_middle_of_its_work(lead: Person, shop: Shop) -> None:
    secret, device = pair(shop, offer_pairing(shop, Role.RECORDER, INES).code, "Phone")
    phone = lead.at("192.0.2.40", "192.0.2.20")
    phone.cookies.set("fw_session", secret)
    headers = {"X-Floorwright": "inbox", "Origin": "http://192.0.2.20"}
    assert phone.post("/api/inbox", json={"items": []}, headers=headers).status_code == 200
    revoke_device(shop, device.id)
    assert phone.post("/api/inbox", json={"items": []}, headers=headers).status_code == 401
    assert phone.get("/improvements", follow_redirects=False).status_code == 303


def test_a_session_is_over_after_its_time_and_a_wrong_one_is_nobody(
    lead: Person, shop: Shop, clock: StandingClock
) -> None:
    secret, _ = pair(shop, offer_pairing(shop, Role.RECORDER, INES).code, "Phone")
    phone = lead.at("192.0.2.40", "192.0.2.20")
    for session in ("", "x", secret[:-1], secret + "A", "ü", "'; DROP TABLE session; --"):
        answer = phone.get("/", headers={"Cookie": f"fw_session={session}".encode()}, follow_redirects=False)
        assert answer.status_code == 303
    phone.cookies.set("fw_session", secret)
    for _ in range(3):
        assert phone.get("/", follow_redirects=False).status_code == 200
        clock.moment += dt.timedelta(days=29)
    assert phone.get("/", follow_redirects=False).status_code == 200  # day 87, never idle for a month
    clock.moment += dt.timedelta(days=3)
    assert phone.get("/", follow_redirects=False).status_code == 303


# How much and how often


@pytest.fixture
def counting() -> TestClient:
    """An app of one route, which counts what it is sent, behind the limit on bodies."""
    app = FastAPI()

    @app.post("/{path:path}")
    async def take(request: Request) -> dict[str, int]:
        return {"bytes": len(await request.body())}

    app.add_middleware(Bodies)
    return TestClient(app)


def in_pieces(total: int) -> Iterator[bytes]:
    while total > 0:
        yield b"x" * min(total, 65536)
        total -= 65536


def test_a_body_without_a_length_is_counted_as_it_comes(counting: TestClient) -> None:
    assert counting.post("/any", content=in_pieces(DEFAULT_BYTES)).json() == {"bytes": DEFAULT_BYTES}
    assert counting.post("/any", content=in_pieces(DEFAULT_BYTES + 1)).status_code == 413


@pytest.mark.parametrize(
    ("path", "most"), [("/api/inbox", 16), ("/api/improvements", 1), ("/settings/here", 1), ("/api/calc/lift", 8)]
)
def test_no_route_takes_more_than_its_room_also_without_a_length(person: Person, path: str, most: int) -> None:
    headers = {"X-Floorwright": "test", "Content-Type": "application/json"}
    if path.startswith("/settings"):
        headers["Content-Type"] = "application/x-www-form-urlencoded"
    answer = person.client.post(path, content=in_pieces(most * 1024 * 1024 + 1), headers=headers)
    assert answer.status_code == 413
    assert f"larger than the {most} MB that fit here" in answer.text


@pytest.mark.parametrize("length", ["-1", "1e3", "99999999999999999999", "9" * 5000, "0x10", "+1", "１"])
def test_a_length_that_is_none_is_refused(counting: TestClient, length: str) -> None:
    answer = counting.post("/any", content=b"x", headers={"Content-Length": length.encode()})
    assert answer.status_code == 413


def test_every_route_has_the_room_that_it_needs_and_no_more() -> None:
    assert limit_of("/settings") == DEFAULT_BYTES
    assert limit_of("/settings/restore/open") == DEFAULT_BYTES
    assert limit_of("/settings/restore") > 1000 * DEFAULT_BYTES
    assert limit_of("/api/inbox") == 16 * DEFAULT_BYTES
    assert limit_of("/x/api/inbox") == DEFAULT_BYTES


def test_a_form_with_too_many_fields_is_refused_in_one_sentence(person: Person) -> None:
    many = {f"f{i}": "x" for i in range(2500)} | {"form_key": person.key()}
    assert 400 <= person.client.post("/settings/here", data=many).status_code < 500


def test_so_many_at_once_then_so_many_a_second() -> None:
    now = [100.0]
    buckets = Buckets(burst=3, a_second=0.5, clock=lambda: now[0])
    assert [buckets.take("a") for _ in range(3)] == [0, 0, 0]
    assert buckets.take("a") == pytest.approx(2.0)
    assert buckets.take("b") == 0
    now[0] += 2.0
    assert buckets.take("a") == 0
    assert buckets.take("a") > 0
    now[0] += 1000.0
    assert [buckets.take("a") > 0 for _ in range(4)] == [False, False, False, True]


def test_an_address_beyond_this_computer_cannot_ask_without_end(lead: Person) -> None:
    far = lead.at("192.0.2.40", "192.0.2.20")
    statuses = [far.get("/favicon.ico").status_code for _ in range(700)]
    assert 429 in statuses
    assert lead.at("127.0.0.1").get("/favicon.ico").status_code == 200


def test_a_stranger_and_somebody_with_too_small_a_role_are_told_apart(lead: Person, shop: Shop) -> None:
    far = lead.at("192.0.2.40", "192.0.2.20")
    assert far.get("/api/improvements").status_code == 401
    secret, _ = pair(shop, offer_pairing(shop, Role.VIEWER, INES).code, "Screen")
    far.cookies.set("fw_session", secret)
    refused = far.get("/settings/phones")
    assert refused.status_code == 403
    assert "This needs the role lead; you are here as viewer." in refused.text
