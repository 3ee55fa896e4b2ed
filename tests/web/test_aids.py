"""Shop aids in the app and over HTTP: filled in, checked, kept with an improvement, taken along as files."""

from __future__ import annotations

import json
import re
import tomllib
from html import unescape
from typing import Any

import pytest
from click.testing import CliRunner

from floorwright.cli.main import floorwright
from floorwright.propose.aid.design import MOST_BARS
from floorwright.propose.aid.registry import PATTERNS
from floorwright.shop.access import make_token, offer_pairing, pair
from floorwright.shop.admission import Role
from floorwright.shop.improvements import change_improvement, history, improvement, undo_change
from floorwright.shop.ports import Author, Shop
from floorwright.shop.settings import change_settings
from floorwright.web.desk import LOOPBACK_HOSTS, Options
from floorwright.web.pages.aids import form
from floorwright.web.spec_values import values_of
from webapp import Person

OWN = {"X-Floorwright": "test"}
INES = Author(who="Ines", role="lead")
HOST = "192.0.2.20"
NEW = "/aids/new/panel_cart"


def example(name: str = "panel_cart") -> dict[str, Any]:
    return tomllib.loads(PATTERNS[name].example)


def typed(name: str = "panel_cart", **more: str) -> dict[str, str]:
    """What stands in a fresh form, some of it written over."""
    return values_of(form(name, "us"), example(name)) | more


def spec_on(text: str) -> str:
    """The spec that the page of a result carries along."""
    found = re.search(r'name="spec" value="([^"]*)"', text)
    assert found is not None
    return unescape(found.group(1))


# The pages


def test_the_patterns_stand_with_what_each_is_for(person: Person) -> None:
    text = unescape(person.get("/aids?for=3").text)
    for each in PATTERNS.values():
        assert f'href="/aids/new/{each.name}?for=3"' in text
        assert each.question in text
    assert 'href="/aids"' in person.get("/").text
    person.get("/aids/new/hovercraft", 404)


@pytest.mark.parametrize("name", PATTERNS)
def test_the_form_as_it_opens_is_the_example_and_holds(person: Person, name: str) -> None:
    path = f"/aids/new/{name}"
    fresh = person.get(path).text
    assert f'value="{example(name)["title"]}"' in unescape(fresh)
    found = unescape(person.send(path, typed(name), page=path, status=200).text)
    assert "Nothing fails and nothing is unknown" in found
    assert "What to change first" not in found
    assert found.count("<figure") >= 4
    assert 'class="wrong"' not in found


def test_what_is_wrong_stands_beside_its_field_and_nothing_typed_is_lost(person: Person) -> None:
    fields = typed(**{"part.length": "long", "wheels.diameter": "", "slots": "400", "route.aisle": "9 ft"})
    text = person.send(NEW, fields, page=NEW, status=422).text
    for name in ("part.length", "wheels.diameter", "slots"):
        assert re.search(rf'id="f-{re.escape(name)}"[^>]*aria-invalid="true"', text), name
        assert f'href="#f-{name}"' in text
    assert 'value="long"' in text
    assert 'value="9 ft"' in text
    assert 'id="found"' not in text


def test_an_aid_that_cannot_be_built_is_told_beside_the_number_in_the_way(person: Person) -> None:
    text = person.send(NEW, typed(pitch="1"), page=NEW, status=422).text
    assert re.search(r'id="f-pitch"[^>]*aria-invalid="true"', text)
    assert "narrower than what has to go in" in unescape(text)


def test_fails_and_what_is_unknown_come_first_with_what_to_change(person: Person) -> None:
    fields = typed(**{"place.forked": "", "wheels.rating": "60 lb"})
    text = unescape(person.send(NEW, fields, page=NEW, status=200).text)
    first = text.index("What to change first")
    fails, unknown, holds = (
        text.index(each) for each in ("<h3>Fails", "<h3>Not known yet", "checks hold</summary>")
    )
    assert first < fails < unknown < holds
    assert "No working load yet" in text
    assert "“Place: forked”" in text
    assert "Rating plate" not in text


def test_a_question_that_is_open_leads_to_its_field(person: Person) -> None:
    text = unescape(person.send(NEW, typed(**{"place.towed": ""}), page=NEW, status=200).text)
    assert '<a class="button" href="#f-place.towed">Answer it</a>' in text


def test_a_bare_number_is_in_the_unit_of_the_shop(person: Person, shop: Shop) -> None:
    assert (
        json.loads(spec_on(person.send(NEW, typed(**{"part.length": "48"}), page=NEW, status=200).text))["part"][
            "length"
        ]
        == "48 in"
    )
    change_settings(shop, {"units": "si"}, INES)
    text = person.get(NEW).text
    assert 'value="1.2192 m"' in text
    fields = values_of(form("panel_cart", "si"), example(), "si") | {"part.length": "1.2192"}
    found = person.send(NEW, fields, page=NEW, status=200).text
    assert json.loads(spec_on(found))["part"]["length"] == "1.2192 m"


def test_every_check_opens_its_case_and_its_source(person: Person) -> None:
    text = person.send(NEW, typed(), page=NEW, status=200).text
    checks = text.split('class="aid-check is-')[1:]
    assert len(checks) > 40
    assert all("Limit from:" in each for each in checks)
    assert all("<h2" not in each.split("</details>")[0] for each in checks)
    assert sum("Step by step" in each for each in checks) > 10


# Kept with an improvement


def test_a_design_is_kept_shown_and_taken_back(person: Person, shop: Shop) -> None:
    before = improvement(shop, 2)
    spec = spec_on(person.send(NEW, typed(), page=NEW, status=200).text)
    kept = person.send("/aids/keep", {"spec": spec, "improvement": "2"}, page=NEW)
    version = improvement(shop, 2).version
    assert kept.headers["location"] == f"/improvements/2?saved={version}&part=change#change"
    proposal = improvement(shop, 2).record.proposal
    assert proposal is not None
    assert proposal.spec == json.loads(spec)
    page = unescape(person.get("/improvements/2").text)
    assert "Cart for painted panels" in page
    assert 'href="/improvements/2/aid"' in page
    # Twenty panels of 22 lb: ten slots with two in each.
    assert "Working load 440 lb." in page
    design = unescape(person.get("/improvements/2/aid").text)
    assert 'value="48 in"' in design
    assert 'href="/improvements/2/aid"' in person.get("/aids").text
    assert "The design" in unescape(person.get("/improvements/2/history").text)
    person.send("/improvements/2/undo", {"version": version})
    assert improvement(shop, 2).record == before.record
    person.get("/improvements/2/aid", 404)


def test_one_that_fails_is_kept_without_a_working_load(person: Person, shop: Shop) -> None:
    spec = spec_on(person.send(NEW, typed(**{"wheels.rating": "60 lb"}), page=NEW, status=200).text)
    person.send("/aids/keep", {"spec": spec, "improvement": "2"}, page=NEW)
    page = unescape(person.get("/improvements/2").text)
    assert "A check fails" in page
    assert "Not rated: nobody loads it." in page
    assert "Not rated" in person.get("/aids").text


def test_a_new_improvement_begins_with_a_design(person: Person, shop: Shop) -> None:
    spec = spec_on(person.send(NEW, typed(), page=NEW, status=200).text)
    refused = person.send(
        "/aids/begin",
        {"spec": spec, "begin-title": "", "begin-area": "", "begin-waste": "sloth"},
        page=NEW,
        status=422,
    )
    assert refused.text.count('class="wrong"') == 3
    area = improvement(shop, 1).record.area
    fields = {"spec": spec, "begin-title": "Panels lie flat", "begin-area": area, "begin-waste": "space"}
    number = int(
        re.match(r"/improvements/(\d+)\?", person.send("/aids/begin", fields).headers["location"]).group(1)
    )  # type: ignore[union-attr]
    found = improvement(shop, number).record
    assert (found.title, found.countermeasure) == ("Panels lie flat", "Cart for painted panels")
    assert found.proposal is not None


def test_nothing_is_kept_without_saying_with_what(person: Person) -> None:
    spec = spec_on(person.send(NEW, typed(), page=NEW, status=200).text)
    for wrong in ("", "x", "-1"):
        text = person.send("/aids/keep", {"spec": spec, "improvement": wrong}, page=NEW, status=422).text
        assert "Choose the improvement that it is for." in text
        assert "What it is rated for" in text
    person.send("/aids/keep", {"spec": spec, "improvement": "9999"}, status=404)
    for spec in ("", "[]", "{", '{"pattern": "hovercraft"}'):
        person.send("/aids/keep", {"spec": spec, "improvement": "2"}, status=422)


def test_an_improvement_in_use_asks_for_a_safety_sign_off_first(person: Person, shop: Shop) -> None:
    approved = next(n for n in range(1, 12) if improvement(shop, n).record.approval)
    change_improvement(shop, approved, {"cautions": [], "safety_approval": None}, INES)
    spec = spec_on(person.send(NEW, typed(), page=NEW, status=200).text)
    text = person.send("/aids/keep", {"spec": spec, "improvement": str(approved)}, status=422).text
    assert "the approval for use needs a safety sign-off beside it" in text
    assert improvement(shop, approved).record.proposal is None


def test_a_viewer_sees_a_recorder_tries_a_lead_keeps(shop: Shop) -> None:
    lead = Person(shop, Options(hosts=LOOPBACK_HOSTS | {HOST}, lan=True, lan_address=HOST, here="Ines"))
    spec = spec_on(lead.send(NEW, typed(), page=NEW, status=200).text)
    lead.send("/aids/keep", {"spec": spec, "improvement": "2"})
    for role, may_try in ((Role.VIEWER, False), (Role.RECORDER, True)):
        other = lead.at(f"192.0.2.{40 + may_try}", HOST)
        secret, _ = pair(shop, offer_pairing(shop, role, INES).code, f"{role.value} phone")
        other.cookies.set("fw_session", secret)
        page = other.get("/improvements/2/aid").text
        assert "What it is rated for" in page
        assert ("Check it" in page, 'action="/aids/keep"' in page) == (may_try, False)
        assert other.get("/aids").status_code == 200
        assert (NEW in other.get("/aids").text) == may_try
        assert other.get(NEW).status_code == (200 if may_try else 403)


# Files


KINDS = (
    ("spec.toml", b"pattern"),
    ("checks.csv", b"\xef\xbb\xbfcheck"),
    ("checks.xlsx", b"PK"),
    ("parts.csv", b"\xef\xbb\xbfcount"),
    ("parts.xlsx", b"PK"),
    ("sheet.pdf", b"%PDF"),
    ("drawing.pdf", b"%PDF"),
    ("views.dxf", b"  0"),
    ("solids.step", b"ISO-10303-21"),
    ("model.glb", b"glTF"),
)


@pytest.mark.parametrize(("name", "start"), KINDS)
def test_a_design_is_taken_along_before_and_after_it_is_kept(person: Person, name: str, start: bytes) -> None:
    spec = json.dumps(example("free_frame"))
    loose = person.send(f"/aids/file/{name}", {"spec": spec}, status=200)
    person.send("/aids/keep", {"spec": spec, "improvement": "2"})
    kept = person.get(f"/improvements/2/aid/{name}")
    for found in (loose, kept):
        assert found.content.startswith(start)
        told = found.headers["content-disposition"]
        assert told.startswith('attachment; filename="base-on-wheels-for-a-bench-grinder')


def test_its_numbers_come_back_from_the_file_as_they_were(person: Person) -> None:
    for name in PATTERNS:
        found = person.send("/aids/file/spec.toml", {"spec": json.dumps(example(name))}, status=200)
        assert tomllib.loads(found.text) == example(name)


def test_a_file_that_there_is_not_is_named(person: Person) -> None:
    for name in ("sheets.doc", "parts.pdf", "spec.json"):
        assert "drawing.pdf" in person.send(f"/aids/file/{name}", {"spec": json.dumps(example())}, status=404).text


# Over HTTP


def test_the_patterns_are_listed_with_their_schema_and_an_example_that_holds(person: Person) -> None:
    found = person.get("/api/aids").json()
    assert [each["name"] for each in found["patterns"]] == list(PATTERNS)
    for each in found["patterns"]:
        intro = person.get(each["href"]).json()
        assert intro["example"] == tomllib.loads(intro["toml"]) == example(each["name"])
        assert set(intro["example"]) <= set(intro["schema"]["properties"])


@pytest.mark.parametrize("units", ["si", "us"])
def test_the_answer_is_that_of_the_command(person: Person, units: str, tmp_path: Any) -> None:
    (tmp_path / "aid.toml").write_text(PATTERNS["free_frame"].example, encoding="utf-8")
    command = CliRunner().invoke(
        floorwright, ["aid", "check", str(tmp_path / "aid.toml"), "--json", "--units", units]
    )
    answer = person.client.post("/api/aids/check", params={"units": units}, json=example("free_frame"), headers=OWN)
    assert answer.status_code == 200, answer.text
    assert answer.json() == json.loads(command.stdout)


def test_everything_that_is_wrong_is_told_at_once_in_the_one_shape(person: Person) -> None:
    raw = example()
    raw["part"]["length"] = "long"
    del raw["wheels"]["diameter"]
    answer = person.client.post("/api/aids/check", json=raw, headers=OWN)
    assert answer.status_code == 422
    assert {each["field"] for each in answer.json()["error"]["fields"]} == {"part.length", "wheels.diameter"}
    for wrong in ({}, {"pattern": 7}, {"pattern": "panel_carp"}):
        told = person.client.post("/api/aids/check", json=wrong, headers=OWN)
        assert (told.status_code, told.json()["error"]["fields"][0]["field"]) == (422, "pattern")


def test_a_frame_that_moves_without_resistance_is_refused_in_a_sentence(person: Person) -> None:
    raw = example("free_frame")
    raw["joints"] = {"kind": "pinned"}
    answer = person.client.post("/api/aids/check", json=raw, headers=OWN)
    assert answer.status_code == 422, answer.text
    assert answer.json()["error"]["fields"][0]["message"]


def test_a_spec_with_thousands_of_members_is_refused_in_one_sentence(person: Person) -> None:
    raw = example("free_frame")
    some = next(iter(raw["members"].values()))
    raw["members"] |= {f"m{i}": some for i in range(4000)}
    answer = person.client.post("/api/aids/check", json=raw, headers=OWN)
    assert answer.status_code == 422
    (told,) = answer.json()["error"]["fields"]
    assert told["field"] == "members"
    assert len(told["message"]) < 200


def test_the_engine_takes_no_more_bars_than_it_says(monkeypatch: pytest.MonkeyPatch, person: Person) -> None:
    assert MOST_BARS == 400
    monkeypatch.setattr("floorwright.propose.aid.design.MOST_BARS", 10)
    answer = person.client.post("/api/aids/check", json=example("free_frame"), headers=OWN)
    assert answer.status_code == 422
    assert "at most 10" in answer.json()["error"]["fields"][0]["message"]


def test_a_design_is_kept_over_http_by_a_lead_alone(person: Person, shop: Shop) -> None:
    answer = person.client.post("/api/improvements/2/aid", json=example("free_frame"), headers=OWN)
    assert answer.status_code == 200, answer.text
    version = answer.json()["version"]
    assert answer.headers["etag"] == f'"{version}"'
    assert history(shop, 2)[-1].version == version
    read = person.get("/api/improvements/2").json()["proposal"]
    assert (read["pattern"], read["spec"]) == ("free_frame", example("free_frame"))
    forged = {"fields": {"proposal": read | {"rated_kg": 9000}}, "version": version}
    assert person.client.patch("/api/improvements/2", json=forged, headers=OWN).status_code == 422
    undo_change(shop, 2, version, INES)
    far = person.at("192.0.2.9")
    for role, status in ((Role.RECORDER, 403), (Role.LEAD, 200)):
        secret, _ = make_token(shop, role.value, role, INES)
        bearer = {"Authorization": f"Bearer {secret}"}
        found = far.post("/api/improvements/2/aid", json=example("free_frame"), headers=bearer)
        assert found.status_code == status
        assert far.post("/api/aids/check", json=example("free_frame"), headers=bearer).status_code == 200


def test_the_description_names_every_pattern(person: Person) -> None:
    found = person.get("/api/openapi.json").json()
    body = found["paths"]["/api/aids/check"]["post"]["requestBody"]["content"]["application/json"]
    assert body["schema"]["properties"]["pattern"]["enum"] == list(PATTERNS)
    assert body["example"] == example()
    for name in PATTERNS:
        assert f"/api/aids/{name}" in found["paths"]
    assert "A check" in json.dumps(found["components"]["schemas"]["AidCheck"])
