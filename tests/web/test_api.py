"""Records over HTTP: read, added, changed in sight of a version, refused in one shape; who may do what."""

from __future__ import annotations

import base64
import io
import re
from typing import Any

import pytest
from PIL import Image
from starlette.testclient import TestClient

from floorwright.basis.errors import StoreError
from floorwright.exchange.for_programs import story_json
from floorwright.shop.access import make_token
from floorwright.shop.admission import Role
from floorwright.shop.ports import Author, Shop
from floorwright.shop.story import story
from floorwright.web.api.described import operations
from floorwright.web.desk import LOOPBACK_HOSTS, Options
from webapp import Person

OWN = {"X-Floorwright": "test"}
LAN = "192.168.7.20"
SEEN = {"title": "Clamps hang far away", "waste": "walking", "area": "Welding"}


def client(shop: Shop, role: Role | None) -> TestClient:
    """A program on the shop's network, with a token of this role or with none."""
    person = Person(shop, Options(hosts=LOOPBACK_HOSTS | {"shop.local"}, lan=True))
    found = person.at(LAN, "shop.local")
    if role is not None:
        secret, _ = make_token(shop, f"a {role}", role, Author(who="Ines"))
        found.headers["Authorization"] = f"Bearer {secret}"
    return found


@pytest.fixture
def lead(shop: Shop) -> TestClient:
    return client(shop, Role.LEAD)


@pytest.fixture
def recorder(shop: Shop) -> TestClient:
    return client(shop, Role.RECORDER)


def problems(answer: Any, status: int) -> dict[str, str]:
    """Field -> message of a refusal, which must have this status and the one shape."""
    assert answer.status_code == status, answer.text
    assert set(answer.json()["error"]) == {"fields"}
    return {each["field"]: each["message"] for each in answer.json()["error"]["fields"]}


def add(on: TestClient, **more: Any) -> int:
    answer = on.post("/api/improvements", json=SEEN | more)
    assert answer.status_code == 201, answer.text
    return int(answer.json()["number"])


def a_study(lead: TestClient) -> tuple[int, int]:
    """A new improvement with a study that may begin: their numbers."""
    number = add(lead, measures=[{"name": "fetch clamps", "kind": "times"}])
    plan = {"improvement": number, "measure": "fetch clamps", "moment": "before", "people_asked_on": "2026-11-24"}
    answer = lead.post("/api/studies", json=plan)
    assert answer.status_code == 201, answer.text
    return number, answer.json()["number"]


def row(key: str, value: float = 41.0, **more: Any) -> dict[str, Any]:
    return {"key": key, "taken_at": "2026-11-25T08:00:00", "cycle": 1, "value": value} | more


def test_an_improvement_added_is_read_back_with_its_version_and_next_step(lead: TestClient) -> None:
    number = add(lead)
    answer = lead.get(f"/api/improvements/{number}")
    found = answer.json()
    assert {name: found[name] for name in SEEN} == SEEN
    assert (found["number"], found["version"], found["phase"]) == (number, 1, "idea")
    assert found["noticed_on"] == "2026-11-25"
    assert found["next_step"].endswith(".")
    assert answer.headers["etag"] == '"1"'


def test_money_is_text_and_days_have_no_zone(lead: TestClient) -> None:
    number = add(lead, cost={"building_hours": 6, "material": "84.50"})
    found = lead.get(f"/api/improvements/{number}").json()
    assert found["cost"]["material"] == "84.50"
    version = lead.get(f"/api/improvements/{number}/history").json()["history"][0]
    assert version["at"] == "2026-11-25T09:30:00"


def test_pages_of_the_list_put_together_are_the_whole_list(lead: TestClient) -> None:
    whole = lead.get("/api/improvements").json()
    assert whole["next"] is None
    found: list[int] = []
    after = 0
    while True:
        page = lead.get("/api/improvements", params={"after": after, "limit": 5}).json()
        assert page["total"] == whole["total"]
        found += [each["number"] for each in page["improvements"]]
        if page["next"] is None:
            break
        after = page["next"]
    assert found == [each["number"] for each in whole["improvements"]]


@pytest.mark.parametrize(
    "filters", [{"waste": "walking"}, {"area": "Welding"}, {"phase": "check"}, {"search": "clamp"}]
)
def test_filters_keep_what_fits_and_only_that(lead: TestClient, filters: dict[str, str]) -> None:
    whole = lead.get("/api/improvements").json()["improvements"]
    found = lead.get("/api/improvements", params=filters).json()["improvements"]
    (name, wanted), *_ = filters.items()
    if name == "search":
        numbers = [each["number"] for each in whole if wanted in str(each).casefold()]
        assert {each["number"] for each in found} <= set(numbers)
    else:
        assert found == [each for each in whole if each[name] == wanted]
    assert 0 < len(found) < len(whole)


def test_a_filter_that_is_none_is_said(lead: TestClient) -> None:
    assert set(problems(lead.get("/api/improvements", params={"phase": "later", "limit": 0}), 422)) == {
        "phase",
        "limit",
    }


def test_every_wrong_field_is_told_at_once(lead: TestClient) -> None:
    found = problems(lead.post("/api/improvements", json={"waste": "wlking", "area": "", "colour": 3}), 422)
    assert set(found) == {"title", "waste", "area", "colour"}


def test_a_change_names_the_version_it_was_made_from(lead: TestClient) -> None:
    number = add(lead)
    path = f"/api/improvements/{number}"
    assert "version" in problems(lead.patch(path, json={"fields": {"place": "bay 3"}}), 422)
    in_body = lead.patch(path, json={"fields": {"place": "bay 3"}, "version": 1})
    assert (in_body.status_code, in_body.json()["version"], in_body.headers["etag"]) == (200, 2, '"2"')
    in_header = lead.patch(path, json={"fields": {"seen": "far"}}, headers={"If-Match": '"2"'})
    assert in_header.json()["version"] == 3
    assert "If-Match" in problems(lead.patch(path, json={"fields": {"seen": "x"}}, headers={"If-Match": "*"}), 422)


def test_two_who_change_different_fields_both_count(lead: TestClient) -> None:
    path = f"/api/improvements/{add(lead)}"
    lead.patch(path, json={"fields": {"place": "bay 3"}, "version": 1})
    answer = lead.patch(path, json={"fields": {"seen": "30 m away"}, "version": 1})
    assert answer.json()["version"] == 3
    found = lead.get(path).json()
    assert (found["place"], found["seen"]) == ("bay 3", "30 m away")


def test_two_who_change_the_same_field_see_both(lead: TestClient) -> None:
    path = f"/api/improvements/{add(lead, place='bay 1')}"
    lead.patch(path, json={"fields": {"place": "bay 2"}, "version": 1})
    answer = lead.patch(path, json={"fields": {"place": "bay 3"}, "version": 1})
    assert answer.status_code == 409
    found = answer.json()
    assert found["version"] == 2
    assert found["clashes"] == [{"field": "place", "base": "bay 1", "yours": "bay 3", "theirs": "bay 2"}]
    assert "place" in found["error"]["fields"][0]["message"]


def test_a_version_is_taken_back(lead: TestClient) -> None:
    path = f"/api/improvements/{add(lead, place='bay 1')}"
    lead.patch(path, json={"fields": {"place": "bay 2"}, "version": 1})
    assert lead.post(f"{path}/undo", json={"version": 2}).json()["version"] == 3
    assert lead.get(path).json()["place"] == "bay 1"
    history = lead.get(f"{path}/history").json()["history"]
    assert [each["version"] for each in history] == [1, 2, 3]
    assert history[1]["changes"] == [{"path": "place", "before": "bay 1", "after": "bay 2"}]
    assert history[2]["replaces"] == 2


def test_a_note_is_of_today_and_of_whoever_sent_it(recorder: TestClient) -> None:
    path = f"/api/improvements/{add(recorder)}"
    assert recorder.post(f"{path}/notes", json={"text": "Wheels catch"}).status_code == 201
    assert recorder.get(path).json()["trial_notes"] == [
        {"on": "2026-11-25", "who": "a recorder", "text": "Wheels catch"}
    ]
    assert "text" in problems(recorder.post(f"{path}/notes", json={"text": "  "}), 422)
    assert "improvement" in problems(recorder.post(f"{path}/notes", json={"text": "x", "improvement": 1}), 422)


def picture() -> str:
    out = io.BytesIO()
    Image.new("RGB", (80, 60), (200, 120, 40)).save(out, "JPEG")
    return base64.b64encode(out.getvalue()).decode()


def test_a_photo_is_stored_and_fetched_where_it_belongs(recorder: TestClient) -> None:
    path = f"/api/improvements/{add(recorder)}"
    marks = [{"kind": "ring", "points": [[0.1, 0.1], [0.5, 0.5]], "label": "here"}]
    sent = {"jpeg": picture(), "moment": "before", "caption": "the rack", "marks": marks}
    stored = recorder.post(f"{path}/photos", json=sent).json()
    (held,) = recorder.get(f"{path}/photos").json()["photos"]
    assert (held["hash"], held["caption"], held["marks"]) == (stored["hash"], "the rack", marks)
    fetched = recorder.get(held["href"])
    assert fetched.headers["content-type"] == "image/jpeg"
    assert Image.open(io.BytesIO(fetched.content)).size == (80, 60)
    other = add(recorder)
    problems(recorder.get(f"/api/improvements/{other}/photos/{stored['hash']}"), 404)


@pytest.mark.parametrize("jpeg", ["%%%%", "YWJj", "", 7])
def test_what_is_no_photo_is_refused(recorder: TestClient, jpeg: Any) -> None:
    path = f"/api/improvements/{add(recorder)}/photos"
    assert recorder.post(path, json={"jpeg": jpeg}).status_code == 422


def test_results_are_those_of_the_command(shop: Shop, lead: TestClient) -> None:
    assert lead.get("/api/improvements/1/results").json() == story_json(story(shop, 1))


def test_readings_sent_twice_are_stored_once(lead: TestClient) -> None:
    _, study = a_study(lead)
    path = f"/api/studies/{study}/readings"
    rows = [row(f"k{i}", 40 + i, cycle=i) for i in range(1, 4)]
    assert lead.post(path, json={"rows": rows}).json() == {"new": 3, "already": 0}
    assert lead.post(path, json={"rows": [*rows, row("k4")]}).json() == {"new": 1, "already": 3}
    problems(lead.post(path, json={"rows": [row("k4", 99.0)]}), 409)
    assert lead.get(f"/api/studies/{study}").json()["readings"] == 4


def test_readings_are_all_stored_or_none(lead: TestClient) -> None:
    _, study = a_study(lead)
    path = f"/api/studies/{study}/readings"
    found = problems(lead.post(path, json={"rows": [row("a"), row("b", -1), row("c", 1, operator="Anna")]}), 422)
    assert set(found) == {"rows[1].value", "rows[2].operator"}
    assert lead.get(path).json()["readings"] == []


def test_whoever_asks_for_what_is_new_gets_just_that(lead: TestClient) -> None:
    _, study = a_study(lead)
    path = f"/api/studies/{study}/readings"
    lead.post(path, json={"rows": [row(f"k{i}") for i in range(5)]})
    first = lead.get(path, params={"limit": 3}).json()
    assert first["next"] == first["last"]
    second = lead.get(path, params={"after": first["next"], "limit": 3}).json()
    assert second["next"] is None
    assert [each["key"] for each in first["readings"] + second["readings"]] == [f"k{i}" for i in range(5)]
    lead.post(path, json={"rows": [row("k9", 39.0, replaces="k0", reason="misread")]})
    third = lead.get(path, params={"after": second["last"]}).json()
    assert [each["key"] for each in third["readings"]] == ["k9"]
    assert lead.get(path, params={"after": third["last"]}).json()["last"] == third["last"]


def test_nobody_is_timed_before_they_were_asked(lead: TestClient) -> None:
    number = add(lead, measures=[{"name": "fetch clamps", "kind": "times"}])
    plan = {"improvement": number, "measure": "fetch clamps", "moment": "before"}
    study = lead.post("/api/studies", json=plan).json()["number"]
    path = f"/api/studies/{study}"
    assert "people_asked_on" in problems(lead.post(f"{path}/readings", json={"rows": [row("a")]}), 422)
    asked = lead.patch(path, json={"fields": {"people_asked_on": "2026-11-24"}}, headers={"If-Match": '"1"'})
    assert asked.json()["version"] == 2
    assert lead.post(f"{path}/readings", json={"rows": [row("a")]}).json()["new"] == 1
    assert lead.get(f"{path}/results").json()["values"] == [41.0]


def test_studies_of_one_improvement(lead: TestClient) -> None:
    number, study = a_study(lead)
    found = lead.get("/api/studies", params={"improvement": number}).json()
    assert [each["number"] for each in found["studies"]] == [study]
    assert lead.get("/api/studies").json()["total"] > 1


def test_the_shop_as_a_whole(lead: TestClient) -> None:
    book = lead.get("/api/ledger").json()
    assert {"banked", "freed", "hoped"} <= set(book["sums"])
    assert re.fullmatch(r"-?\d+\.\d\d", book["sums"]["banked"]["money_per_year"])
    months = lead.get("/api/ledger/months").json()["months"]
    assert [each["month"] for each in months] == sorted(each["month"] for each in months)
    due = lead.get("/api/due", params={"within": 60}).json()["due"]
    assert [each["on"] for each in due] == sorted(each["on"] for each in due)
    assert lead.get("/api/choices").json()["today"] == "2026-11-25"


def test_settings_are_changed_in_sight_of_their_version(lead: TestClient) -> None:
    before = lead.get("/api/settings")
    tag, version = before.headers["etag"], before.json()["version"]
    assert tag == f'"{version}"'
    other = "si" if before.json()["units"] == "us" else "us"
    changed = lead.patch("/api/settings", json={"fields": {"units": other}}, headers={"If-Match": tag})
    assert changed.json() == {"version": version + 1}
    assert lead.get("/api/choices").json()["units"] == other
    assert lead.patch("/api/settings", json={"fields": {"units": "us"}, "version": version}).status_code in (
        200,
        409,
    )
    problems(lead.patch("/api/settings", json={"fields": {"units": "mm"}, "version": version + 1}), 422)


def test_what_a_device_recorded_is_stored_once(recorder: TestClient) -> None:
    items = [
        {"key": "k-1", "kind": "improvement", "made_at": "2026-11-25T09:29:00", "body": SEEN},
        {"key": "bad key!", "kind": "note", "made_at": "2026-11-25T09:29:10", "body": {}},
        {
            "key": "k-2",
            "kind": "note",
            "made_at": "2026-11-25T09:29:20",
            "body": {"improvement": {"key": "k-1"}, "text": "so"},
        },
        "no item",
    ]
    sent = {"device_time": "2026-11-25T09:30:00.123", "items": items}
    first = recorder.post("/api/inbox", json=sent).json()["results"]
    assert [(each["key"], each["state"]) for each in first] == [
        ("k-1", "stored"),
        ("bad key!", "refused"),
        ("k-2", "stored"),
        ("", "refused"),
    ]
    again = recorder.post("/api/inbox", json=sent).json()["results"]
    assert [each["state"] for each in again] == ["again", "refused", "again", "refused"]
    assert again[0]["result"] == first[0]["result"]
    number = first[0]["result"]["number"]
    assert recorder.get(f"/api/improvements/{number}").json()["trial_notes"][0]["text"] == "so"


def test_too_many_items_are_sent_in_several_goes(recorder: TestClient) -> None:
    assert "items" in problems(recorder.post("/api/inbox", json={"items": [{}] * 201}), 422)


def test_a_stranger_gets_nothing(shop: Shop) -> None:
    stranger = client(shop, None)
    for path, method, _ in operations(stranger.app.openapi()):  # type: ignore[attr-defined]
        answer = stranger.request(method, re.sub(r"\{\w+\}", "1", path), json={} if method != "GET" else None)
        assert answer.status_code in (401, 403), f"{method} {path}: {answer.status_code}"
        assert answer.json()["error"]["fields"][0]["message"]


def test_a_wrong_token_is_no_visitor_even_on_this_computer(person: Person) -> None:
    problems(person.client.get("/api/due", headers={"Authorization": "Bearer fw_wrong"}), 401)
    person.get("/api/due")


def test_a_viewer_reads_everything_and_changes_nothing(shop: Shop) -> None:
    viewer = client(shop, Role.VIEWER)
    with shop.work() as work:
        before = work.records.versions("improvement")
    for path, method, _ in operations(viewer.app.openapi()):  # type: ignore[attr-defined]
        if "{hash}" in path or path.startswith("/api/calc"):
            continue
        answer = viewer.request(method, re.sub(r"\{\w+\}", "1", path), json={} if method != "GET" else None)
        assert answer.status_code == (200 if method == "GET" else 403), f"{method} {path}: {answer.text}"
    with shop.work() as work:
        assert work.records.versions("improvement") == before


def test_a_recorder_adds_what_is_seen_and_nothing_that_is_decided(recorder: TestClient) -> None:
    number = add(recorder, seen="far", place="bay 1")
    problems(recorder.post("/api/improvements", json=SEEN | {"standard_work": "so"}), 403)
    problems(recorder.patch(f"/api/improvements/{number}", json={"fields": {"place": "x"}, "version": 1}), 403)
    problems(recorder.post(f"/api/improvements/{number}/undo", json={"version": 1}), 403)
    problems(recorder.patch("/api/settings", json={"fields": {}, "version": 1}), 403)


def test_a_page_of_another_site_changes_nothing(person: Person) -> None:
    post = person.client.post
    problems(post("/api/improvements", json=SEEN), 403)
    elsewhere = {"Origin": "http://evil.example", "Sec-Fetch-Site": "cross-site"}
    problems(post("/api/improvements", json=SEEN, headers=OWN | elsewhere), 403)
    problems(post("/api/calc/takt", json={}, headers=elsewhere), 403)
    assert post("/api/improvements", json=SEEN, headers=OWN).status_code == 201


def test_a_body_that_does_not_say_it_is_json_is_refused(lead: TestClient) -> None:
    for path in ("/api/improvements", "/api/inbox", "/api/calc/takt"):
        problems(lead.post(path, content=b"{}", headers={"Content-Type": "text/plain"}), 415)


def test_refusals_before_the_app_have_the_one_shape(lead: TestClient, person: Person) -> None:
    problems(lead.get("/api/nothing"), 404)
    problems(lead.get("/api/improvements/999"), 404)
    problems(lead.delete("/api/improvements"), 405)
    problems(
        lead.post("/api/notes", content=b"{" + b" " * 1_100_000, headers={"Content-Type": "application/json"}), 413
    )
    problems(person.at("127.0.0.1", "evil.example").get("/api/due"), 421)


def test_what_cannot_be_read_now_is_503(person: Person, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise StoreError("The disk is full; make room and try again.")

    monkeypatch.setattr("floorwright.web.api.improvements.use.history", broken)
    assert "disk is full" in problems(person.client.get("/api/improvements/1/history"), 503)[""]


def test_a_fault_is_told_without_its_trace(person: Person, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("secret detail")

    monkeypatch.setattr("floorwright.web.api.improvements.use.history", broken)
    answer = person.client.get("/api/improvements/1/history")
    assert "secret" not in answer.text
    assert "mark" in problems(answer, 500)[""]


@pytest.mark.parametrize("number", ["0", "-1", "x", "99999999999999999999"])
def test_a_number_that_cannot_be_is_refused(person: Person, number: str) -> None:
    problems(person.client.get(f"/api/improvements/{number}"), 422)
    problems(person.client.get(f"/api/studies/{number}/readings"), 422)
