"""The usual list: who may call what, hostile text in every form, paths that lead out, forged files, replay."""

from __future__ import annotations

import base64
import csv
import io
import re
import struct
import zlib
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from urllib.parse import quote, urljoin, urlsplit

import httpx2 as httpx
import pytest
from fastapi.routing import iter_route_contexts
from PIL import Image
from starlette.testclient import TestClient

from floorwright.shop.access import devices, make_token, offer_pairing, pair
from floorwright.shop.accounts import add_account
from floorwright.shop.admission import Role
from floorwright.shop.improvements import add_improvement, improvement
from floorwright.shop.ports import Author, Shop
from floorwright.shop.settings import change_settings, settings
from floorwright.shop.studies import add_observations, plan_study
from floorwright.web.desk import LOOPBACK_HOSTS, Options
from shop.conftest import readings
from web.who_may import ANYBODY, LEAST_ROLE, least_role
from webapp import FORM_KEY, Person, Server, copied

INES = Author(who="Ines", role="lead")
HOST = "192.0.2.20"
LAN = Options(hosts=LOOPBACK_HOSTS | {HOST}, lan=True, lan_address=HOST, here="Ines")
ASKS_FOR_ROLE = re.compile("This needs the role (viewer|recorder|lead)")
STRANGER = "stranger"


@pytest.fixture
def lead(shop: Shop) -> Person:
    return Person(shop, LAN)


# Who may call what


def routes_of(person: Person) -> list[str]:
    """Every method and path of the app, such as "GET /about"."""
    return [
        f"{method} {route.path}"
        for route in iter_route_contexts(person.app.routes)
        for method in sorted((route.methods or {"GET"}) - {"HEAD"})
    ]


def test_every_route_has_its_least_role_and_every_row_its_route(lead: Person) -> None:
    routes = routes_of(lead)
    assert [each for each in routes if least_role(each) is None] == []
    rows = [row for row in LEAST_ROLE if not row.endswith("/*")]
    assert [row for row in rows if row not in routes] == []


def as_role(lead: Person, shop: Shop, role: str) -> TestClient:
    """A browser beyond this computer: a stranger's, or one that was paired with this role."""
    client = lead.at("192.0.2.40", HOST)
    if role != STRANGER:
        secret, _ = pair(shop, offer_pairing(shop, Role(role), INES).code, role)
        client.cookies.set("fw_session", secret)
    return client


def called(client: TestClient, route: str) -> tuple[int, str]:
    """Call a route as a form or a script of the app would, about records that do not exist."""
    method, _, path = route.partition(" ")
    path = re.sub(r"{[^}]*:int}|{number_?}|{study_id}", "999999", path)
    path = re.sub(r"{[^}]*}", "nothing", path)
    if path.startswith("/api/"):
        answer = client.request(
            method,
            path,
            json=None if method == "GET" else {},
            headers={"X-Floorwright": "test"},
            follow_redirects=False,
        )
        return answer.status_code, answer.text
    data = None
    if method != "GET":
        key = FORM_KEY.search(client.get("/pair").text)
        assert key is not None
        data = {"form_key": key.group(1)}
    answer = client.request(method, path, data=data, follow_redirects=False)
    return answer.status_code, answer.text if answer.headers.get("content-type", "").startswith("text") else ""


@pytest.mark.parametrize("role", [STRANGER, "viewer", "recorder", "lead"])
def test_nobody_comes_further_than_their_role(lead: Person, shop: Shop, role: str) -> None:
    wrong = []
    client = as_role(lead, shop, role)
    for route in routes_of(lead):
        least = least_role(route)
        if least is None:
            continue  # the test above says so
        status, text = called(client, route)
        if route in ("POST /sign-out", "POST /sign-in", "POST /pair"):
            client = as_role(lead, shop, role)  # the session may be another one now
        if least == ANYBODY:
            # An empty name and password are wrong, which is no question of roles.
            refused = (status == 401 and route != "POST /sign-in") or ASKS_FOR_ROLE.search(text) is not None
            expected = False
        elif role == STRANGER:
            refused = status == 401 or (status == 303 and route.startswith("GET"))
            expected = True
        else:
            refused = status == 403 and ASKS_FOR_ROLE.search(text) is not None
            expected = Role(role) < Role(least)
        if refused != expected or status >= 500:
            wrong.append((route, least, status, text[:80]))
    assert wrong == []


def filled(path: str) -> str:
    """A path about records that are there, as far as a number goes."""
    path = re.sub(r"{[^}]*:int}|{number_?}|{study_id}", "1", path)
    return re.sub(r"{[^}]*}", "x", path)


def test_nothing_is_written_without_the_key_of_a_form_or_the_header_of_a_script(person: Person, shop: Shop) -> None:
    before = (settings(shop), improvement(shop, 1), devices(shop))
    wrong = []
    for route in routes_of(person):
        method, _, path = route.partition(" ")
        if method == "GET":
            continue
        for headers in ({}, {"Origin": "https://evil.example"}, {"Sec-Fetch-Site": "cross-site"}):
            more = {"X-Floorwright": "test"} if headers else {}
            if path.startswith("/api/"):
                if not headers and path.startswith("/api/calc/"):
                    continue  # it stores nothing, so it asks only where the request comes from
                answer = person.client.request(method, filled(path), json={}, headers=headers | more)
            else:
                data = {"form_key": person.key("/pair")} if headers else {}
                answer = person.client.request(method, filled(path), data=data, headers=headers)
            if answer.status_code not in (403, 429):
                wrong.append((route, headers, answer.status_code))
    assert wrong == []
    assert (settings(shop), improvement(shop, 1), devices(shop)) == before


def test_reading_a_page_changes_nothing(person: Person, shop: Shop) -> None:
    before = (settings(shop), [improvement(shop, i) for i in range(1, 6)], devices(shop))
    for route in routes_of(person):
        method, _, path = route.partition(" ")
        if method == "GET" and not path.startswith("/api/calc"):
            assert person.client.get(filled(path)).status_code < 500, route
    assert (settings(shop), [improvement(shop, i) for i in range(1, 6)], devices(shop)) == before


def test_a_token_reads_and_writes_by_its_role_alone(lead: Person, shop: Shop) -> None:
    secret, _ = make_token(shop, "office", Role.VIEWER, INES)
    far = lead.at("192.0.2.40", HOST)
    bearer = {"Authorization": f"Bearer {secret}"}
    assert far.get("/api/improvements", headers=bearer).status_code == 200
    assert far.post("/api/improvements", json={}, headers=bearer).status_code == 403
    assert far.post("/api/inbox", json={"items": []}, headers=bearer).status_code == 403
    for wrong in ("", "fw_", "x", secret[:-1], secret.upper(), f"{secret} {secret}", "ü"):
        headers = {"Authorization": f"Bearer {wrong}".encode()}
        assert far.get("/api/improvements", headers=headers).status_code == 401
    # A wrong token is not made good by where it comes from.
    assert lead.at("127.0.0.1").get("/api/improvements", headers={"Authorization": "Bearer x"}).status_code == 401


def test_photos_and_records_are_not_found_by_guessing(lead: Person, shop: Shop) -> None:
    far = lead.at("192.0.2.40", HOST)
    hash_ = next(photo.hash for i in range(1, 9) for photo in improvement(shop, i).record.photos)
    for path in (f"/photos/{hash_}", "/improvements/1", "/studies/1", "/settings/backup/file/x"):
        assert far.get(path, follow_redirects=False).status_code == 303
    for path in (f"/photos/{'0' * 64}", f"/photos/{hash_[:-1]}", f"/photos/{hash_.upper()}", "/improvements/0"):
        assert lead.client.get(path).status_code in (404, 422)


# Hostile text


TEMPLATE = "{{91373*13731}}${91373*13731}#{91373*13731}<%= 91373*13731 %>"
HOSTILE = (
    "\"'></textarea></script></title><fw-x onload=alert(1)>",
    "=cmd|' /C calc'!A0\"); DROP TABLE record;-- ",
    f"@{TEMPLATE}",
    "x\" fw-attr='1' onmouseover=\"alert(1)",
    "a\r\nSet-Cookie: fw-evil=1\r\n\r\n<fw-x>",
    "\x00\x08\u202e\u2028\ufffe \U0001f600",
    "9" * 400,
    "../../../../etc/passwd",
)


class Page(HTMLParser):
    """The forms and links of a page, and whatever of the hostile text became part of it."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.forms: list[dict[str, Any]] = []
        self.links: list[str] = []
        self.injected: list[str] = []
        self._select = ""
        self._area = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "fw-x" or "fw-attr" in given or any(name.startswith("on") for name in given):
            self.injected.append(self.get_starttag_text() or tag)
        if tag == "a" and "href" in given:
            self.links.append(given["href"])
        if tag == "form":
            self.forms.append({"action": given.get("action", ""), "method": given.get("method", ""), "fields": []})
        name = given.get("name", "")
        if tag in ("input", "select", "textarea", "button") and name and self.forms:
            kind = given.get("type", "text") if tag in ("input", "button") else tag
            value = given.get("value", "")
            self._select = name if tag == "select" else self._select
            if kind not in ("checkbox", "radio") or "checked" in given:
                self.forms[-1]["fields"].append([name, value, kind])
        if tag == "option" and self._select and self.forms:
            field = next(each for each in reversed(self.forms[-1]["fields"]) if each[0] == self._select)
            if "selected" in given or not field[1]:
                field[1] = given.get("value", "")
        self._area = name if tag == "textarea" else ""

    def handle_data(self, data: str) -> None:
        if self._area and self.forms:
            self.forms[-1]["fields"][-1][1] += data

    def handle_endtag(self, tag: str) -> None:
        if tag == "textarea":
            self._area = ""


def is_safe(path: str, answer: Any) -> list[str]:
    """What is wrong with an answer of an app that was sent hostile text."""
    found = []
    if answer.status_code >= 500:
        found.append(f"{path}: {answer.status_code} {answer.text[:200]}")
    if "fw-evil" in " ".join(f"{name}: {value}" for name, value in answer.headers.items() if name != "location"):
        found.append(f"{path}: a header was split")
    kind = answer.headers.get("content-type", "")
    if kind.startswith("text/html"):
        found += [f"{path}: {each}" for each in Page(answer.text).injected]
        if str(91373 * 13731) in answer.text:
            found.append(f"{path}: a template in the text was worked out")
        if "Traceback" in answer.text:
            found.append(f"{path}: a trace")
    if kind.startswith("text/csv"):
        cells = [cell for row in csv.reader(io.StringIO(answer.text)) for cell in row]
        found += [f"{path}: {cell}" for cell in cells if cell.startswith(("=", "@"))]
    return found


def shape(path: str) -> str:
    """A path without its numbers, so that one page of a kind is enough."""
    return re.sub(r"/\d+", "/{n}", re.sub(r"[0-9a-f]{64}", "{hash}", urlsplit(path).path))


def walked(person: Person, most_of_a_kind: int = 2) -> Iterator[tuple[str, Any]]:
    """Every page that links lead to from the places of the app, a few of each kind."""
    ahead = ["/", "/improvements", "/improvements/new", "/charts", "/settings", "/about", "/sign-in", "/pair"]
    seen: set[str] = set()
    kinds: dict[str, int] = {}
    while ahead:
        path = ahead.pop(0)
        kind = shape(path)
        if path in seen or kinds.get(kind, 0) >= most_of_a_kind:
            continue
        seen.add(path)
        kinds[kind] = kinds.get(kind, 0) + 1
        answer = person.client.get(path)
        yield path, answer
        if answer.headers.get("content-type", "").startswith("text/html"):
            links = [urlsplit(urljoin(f"http://127.0.0.1{path}", each)) for each in Page(answer.text).links]
            ahead += [
                each.path + (f"?{each.query}" if each.query else "")
                for each in links
                if each.netloc == "127.0.0.1" and not each.path.startswith("/static")
            ]


@pytest.fixture
def hostile(shop: Shop, person: Person) -> Person:
    """The person at a shop in which everything that has a name has a hostile one."""
    evil = HOSTILE[0]
    names = [HOSTILE[1].strip(), HOSTILE[2], HOSTILE[3]]
    now = settings(shop).record
    rates = [each.model_dump(mode="json") for each in now.rates]
    shift = {"name": HOSTILE[3][:40], "starts": "06:00", "ends": "14:00"}
    more = {
        "name": evil,
        "currency": "<fw-x>"[:8],
        "areas": [*now.areas, evil, *names],
        "stations": [*now.stations, evil, *names],
        "rates": [*rates, {"name": evil, "basis": "wage", "per_hour": "10", "note": evil}],
        "shifts": [shift],
        "distances_m": [[evil, names[0], 10.0], [names[1], names[2], 5.0]],
    }
    change_settings(shop, more, Author(who=evil, role=evil), reason=evil)
    for i, text in enumerate([evil, *names]):
        made = add_improvement(
            shop,
            {
                "title": text,
                "waste": "walking",
                "area": text,
                "place": text,
                "noticed_by": text,
                "noticed_on": "2026-08-03",
                "question": text,
                "seen": text,
                "countermeasure": text,
                "work_element": text,
                "labour_rate": evil,
                "cautions": [{"signal": "WARNING", "text": text}],
                "elsewhere": text,
                "ask": text,
                "measures": [{"name": text, "kind": "times", "smallest_that_matters": 5.0, "saves_time": True}],
            },
            Author(who=text, role=text),
        )
        raw = {"improvement": made.id, "measure": text, "moment": "before", "people_asked_on": "2026-08-03"}
        study = plan_study(shop, raw | {"note": text, "elements": [{"name": text}]}, Author(who=text))
        add_observations(shop, study.id, readings([20.0 + i, 21.0, 22.5], note=text, element=text, part=text))
    pair(shop, offer_pairing(shop, Role.RECORDER, Author(who=evil)).code, evil)
    add_account(shop, evil, Role.LEAD, "three short words", Author(who=evil))
    make_token(shop, evil, Role.LEAD, Author(who=evil))
    return person


def test_hostile_names_are_shown_as_they_are_on_every_page(hostile: Person) -> None:
    wrong: list[str] = []
    kinds = set()
    # The newest first, for those are the hostile ones.
    last = max(int(each) for each in re.findall(r"/improvements/(\d+)", hostile.get("/improvements").text))
    for number in range(last - 3, last + 1):
        path = f"/improvements/{number}"
        for page in (path, f"{path}/history", f"{path}/results", f"{path}/card", f"{path}/time", f"{path}/sheet"):
            wrong += is_safe(page, hostile.client.get(page))
    for path, answer in walked(hostile):
        kinds.add(shape(path))
        wrong += is_safe(path, answer)
    assert wrong == []
    assert len(kinds) > 15
    assert "&lt;fw-x onload=alert(1)&gt;" in hostile.get("/improvements").text


SKIPPED = ("/sign-out", "/settings/own", "/settings/backup", "/settings/restore")


def test_hostile_text_in_any_field_of_any_form_breaks_nothing(person: Person) -> None:
    wrong: list[str] = []
    sent: set[str] = set()
    pages = [(path, answer.text) for path, answer in walked(person, 1) if "html" in answer.headers["content-type"]]
    # Settings last: after each change of them all results have to be worked out anew.
    for path, text in sorted(pages, key=lambda page: page[0].startswith("/settings")):
        for form in Page(text).forms:
            action = urljoin(path, form["action"] or path)
            kind = f"{shape(action)} {sorted({each[0] for each in form['fields']})}"
            if form["method"] != "post" or kind in sent or action.startswith(SKIPPED):
                continue
            sent.add(kind)
            wrong += attacked(person, path, action, form["fields"])
    assert wrong == []
    assert len(sent) > 12
    for path, answer in walked(person, 1):
        wrong += is_safe(path, answer)
    assert wrong == []


def attacked(person: Person, page: str, action: str, fields: list[list[str]]) -> list[str]:
    """Send a form with every field in turn hostile, and with all of them; returns what was wrong."""
    wrong = []
    names = [name for name, _, _ in fields if name != "form_key"]
    for number, target in enumerate([*dict.fromkeys(names), "*"]):
        text = HOSTILE[number % len(HOSTILE)]
        key = FORM_KEY.search(person.client.get("/pair").text)
        assert key is not None
        data: dict[str, list[str]] = {"form_key": [key.group(1)]}
        for name, value, _ in fields:
            if name != "form_key":
                data.setdefault(name, []).append(text if target in (name, "*") else value)
        multipart = any(kind == "file" for _, _, kind in fields)
        files = {"nothing": ("", b"")} if multipart else None
        answer = person.client.post(action, data=data, files=files, follow_redirects=False)
        wrong += is_safe(f"{action} ({target}, from {page})", answer)
    return wrong


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_in_the_address_breaks_nothing(person: Person, text: str) -> None:
    wrong = []
    for path in ("/", "/improvements", "/settings", "/settings/distances", "/sign-in", "/pair", "/charts"):
        names = ("q", "next", "code", "of", "version", "group", "told", "sort", "area", "waste", "verdict", "phase")
        query = "&".join(f"{name}={quote(text)}" for name in names)
        wrong += is_safe(path, person.client.get(f"{path}?{query}"))
    assert wrong == []


# Paths that lead out


OUT = (
    "../../../../etc/passwd",
    "..%2f..%2f..%2fetc%2fpasswd",
    "%2e%2e/%2e%2e/%2e%2e/etc/passwd",
    "....//....//etc/passwd",
    "..\\..\\..\\windows\\win.ini",
    "..%5c..%5cshop.sqlite3",
    "/etc/passwd",
    "%00",
    "web.key",
    "../shop.sqlite3",
    "a" * 5000,
    "-1",
    "1e9",
    "999999999999999999999999",
    "%ff%fe",
)


def test_no_path_leads_out_of_its_place(person: Person) -> None:
    wrong = []
    asked = 0
    for route in routes_of(person):
        method, _, path = route.partition(" ")
        if method != "GET" or "{" not in path:
            continue
        for out in OUT:
            filled = re.sub(r"{[^}]*}", lambda _, out=out: out, path)
            answer = person.client.get(filled, follow_redirects=False)
            asked += 1
            if answer.status_code >= 500 or b"root:" in answer.content or b"SQLite format" in answer.content:
                wrong.append((filled[:80], answer.status_code))
    assert wrong == []
    assert asked > 100


def test_assets_are_those_of_the_package_alone(person: Person) -> None:
    for path in ("../app.py", "..%2fapp.py", "css/../../app.py", "js/../../templates/base.html", "css", ""):
        assert person.client.get(f"/static/x/{path}").status_code == 404
    assert person.client.get("/static/x/css/base.css").status_code == 200


# Forged files


def jpeg(size: tuple[int, int] = (64, 48), **more: Any) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", size, "red").save(out, "JPEG", **more)
    return out.getvalue()


def png_that_claims(width: int, height: int) -> bytes:
    """A PNG of a few bytes that says it is huge."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    body = chunk(b"IDAT", zlib.compress(b"\0" * 1000))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + body + chunk(b"IEND", b"")


def sent_photo(person: Person, data: bytes) -> tuple[int, Any]:
    answer = person.client.post(
        "/api/improvements/1/photos",
        json={"jpeg": base64.b64encode(data).decode(), "moment": "other"},
        headers={"X-Floorwright": "test"},
    )
    return answer.status_code, answer.json()


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'><script>alert(1)</script></svg>",
        b"<?xml version='1.0'?><!DOCTYPE x [<!ENTITY e SYSTEM 'file:///etc/passwd'>]><svg>&e;</svg>",
        b"GIF89a<script>alert(1)</script>",
        b"%PDF-1.7 <script>",
        b"\xff\xd8\xff\xe0 no picture at all",
        b"MZ\x90\x00",
        b"PK\x03\x04",
        jpeg()[:-300],
        jpeg()[:20],
        png_that_claims(60_000, 60_000),
        png_that_claims(1, 2**31 - 1),
        png_that_claims(0, 0),
    ],
    ids=["empty", "svg", "xxe", "gif", "pdf", "no jpeg", "exe", "zip", "cut", "stub", "bomb", "tower", "nothing"],
)
def test_a_file_that_is_no_usable_picture_is_refused_in_a_sentence(person: Person, shop: Shop, data: bytes) -> None:
    before = shop.photos.hashes()
    status, said = sent_photo(person, data)
    assert status == 422
    assert len(said["error"]["fields"][0]["message"]) > 10
    assert shop.photos.hashes() == before


def test_a_picture_that_is_a_page_too_is_only_a_picture_afterwards(person: Person) -> None:
    exif = Image.Exif()
    exif[0x010E] = "<script>alert(1)</script>"
    exif.get_ifd(0x8825)[2] = (50.0, 30.0, 10.0)
    for data in (
        jpeg() + b"<script>alert(1)</script>",
        jpeg(exif=exif),
        jpeg(comment=b"<script>alert(1)</script>"),
    ):
        status, said = sent_photo(person, data)
        assert status == 201
        shown = person.get(f"/photos/{said['hash']}")
        assert shown.headers["content-type"] == "image/jpeg"
        assert shown.headers["x-content-type-options"] == "nosniff"
        assert b"script" not in shown.content
        assert len(Image.open(io.BytesIO(shown.content)).getexif()) == 0


# Replay


def test_a_code_an_undo_and_a_batch_that_are_sent_again_change_nothing_more(person: Person, shop: Shop) -> None:
    code = offer_pairing(shop, Role.RECORDER, INES).code
    person.send("/pair", {"code": code, "name": "Once"}, page="/pair")
    person.client.cookies.delete("fw_session")
    person.send("/pair", {"code": code, "name": "Twice"}, page="/pair", status=422)
    assert [each.name for each in devices(shop)] == ["Once"]

    change_settings(shop, {"people": 41}, INES)
    version = str(settings(shop).version)
    person.send("/settings/undo", {"version": version})
    person.send("/settings/undo", {"version": version}, status=422)
    assert settings(shop).record.people == 28

    item = {
        "key": "k-replay-1",
        "kind": "improvement",
        "made_at": "2026-11-25T09:00:00",
        "body": {"title": "Once", "waste": "walking", "area": settings(shop).record.areas[0]},
    }
    batch = {"device_time": "2026-11-25T09:30:00.000", "items": [item]}
    results = [
        person.client.post("/api/inbox", json=batch, headers={"X-Floorwright": "inbox"}).json()["results"][0]
        for _ in range(3)
    ]
    assert [each["state"] for each in results] == ["stored", "again", "again"]
    assert len({each["result"]["number"] for each in results}) == 1
    forged = {"items": [item | {"body": item["body"] | {"title": "Other"}}]}
    answer = person.client.post("/api/inbox", json=batch | forged, headers={"X-Floorwright": "inbox"})
    assert answer.json()["results"][0]["state"] == "refused"


# Faults


def test_a_fault_shows_no_trace_and_logs_no_secret(
    person: Person, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def broken(*_: Any) -> None:
        raise RuntimeError("inner workings of the shop")

    monkeypatch.setattr("floorwright.web.pages.settings.settings_history", broken)
    answer = person.client.get("/settings?code=SECRET-IN-QUERY")
    assert answer.status_code == 500
    mark = re.search(r"Its mark in the log is ([0-9a-f]{8})", answer.text)
    assert mark is not None
    for hidden in ("inner workings", "Traceback", "RuntimeError", ".py"):
        assert hidden not in answer.text
    assert answer.headers["x-frame-options"] == "DENY"
    assert f"fault {mark.group(1)} at GET /settings" in caplog.text
    assert "SECRET-IN-QUERY" not in caplog.text


def test_the_server_says_no_code_no_password_no_cookie_and_no_token(demo_master: Path, tmp_path: Path) -> None:
    server = Server(copied(demo_master, tmp_path / "shop"), "--lan").start()
    secrets = ["three short words", "wrong words here", "WRONG-CODE"]

    def form(client: httpx.Client, path: str, page: str, **fields: str) -> httpx.Response:
        key = FORM_KEY.search(client.get(page).text)
        assert key is not None
        secrets.append(key.group(1))
        return client.post(path, data=fields | {"form_key": key.group(1)})

    try:
        with httpx.Client(base_url=server.url, timeout=60) as client:
            shown = form(client, "/settings/phones/offer", "/settings/phones", role="recorder").text
            code = re.search(r'id="code">([^<]+)<', shown)
            shown = form(client, "/settings/tokens", "/settings/tokens", name="P", role="lead", days="3").text
            token = re.search(r"fw_[\w-]{30,}", shown)
            assert code is not None
            assert token is not None
            secrets += [code.group(1), code.group(1).replace("-", ""), token.group(0)]
            form(client, "/settings/people", "/settings/people", name="Tom", role="lead", password=secrets[0])
            client.get(f"/pair?code={code.group(1)}")
            form(client, "/pair", "/pair", code="WRONG-CODE", name="x")
            assert form(client, "/pair", "/pair", code=code.group(1), name="Phone").status_code == 303
            secrets.append(client.cookies["fw_session"])
            form(client, "/sign-in", "/sign-in", name="Tom", password=secrets[1])
            assert form(client, "/sign-in", "/sign-in", name="Tom", password=secrets[0]).status_code == 303
            secrets += [client.cookies["fw_session"], client.cookies["fw_browser"]]
            for path in ("/no/such/page?code=WRONG-CODE", "/improvements/999999", "/api/improvements/x"):
                client.get(path, headers={"Authorization": f"Bearer {token.group(0)}"})
            client.post("/api/inbox", content=b"{", headers={"X-Floorwright": "inbox"})
            client.get("/", headers={"Host": "evil.example"})
            form(client, "/sign-out", "/about")
    finally:
        server.stop()
    said = "".join(server.lines)
    assert "floorwright is at" in said
    assert [each for each in secrets if each in said] == []
    assert "Traceback" not in said
