"""The pages of timing, counting, walking and lifting as the server gives them to a device."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest

from floorwright.shop.ports import Shop
from floorwright.shop.studies import observations_of
from floorwright.web import phone_strings, words
from floorwright.web.desk import static_folder
from webapp import Person

DATA = re.compile(r'<script type="application/json" id="page-data">(.*?)</script>', re.S)


def data(person: Person, path: str, **more: Any) -> dict[str, Any]:
    found = DATA.search(person.get(path, **more).text)
    assert found is not None
    read: dict[str, Any] = json.loads(found.group(1))
    return read


def test_a_watch_takes_along_what_it_needs_without_a_network(person: Person) -> None:
    found = data(person, "/studies/12/watch")
    assert found["measure"]["name"] == "fetching clamps"
    assert found["moment"] == "after"
    assert found["asked"] is True
    assert [each["name"] for each in found["elements"]][:1] == ["fetch clamps"]
    assert len(found["so_far"]) >= 20
    assert len(found["before"]) >= 20
    assert found["settings"] == {"units": "us", "confidence": 0.95, "relative_error": 0.05}
    assert found["strings"]["pad_running"] == "Lap"


def test_no_operator_goes_along(person: Person, shop: Shop) -> None:
    codes = {row.operator for row in observations_of(shop, 1)} - {""}
    text = json.dumps(data(person, "/studies/1/watch"))
    assert codes
    assert not [code for code in codes if f'"{code}"' in text]


@pytest.mark.parametrize("page", ["watch", "video", "count", "walk", "lift"])
def test_a_study_of_another_kind_leads_to_its_own_page(person: Person, page: str) -> None:
    kinds = {1: {"watch", "video"}, 2: {"walk"}}
    for study, own in kinds.items():
        found = person.client.get(f"/studies/{study}/{page}", follow_redirects=False)
        if page in own:
            assert found.status_code == 200
        else:
            assert found.headers["location"].startswith(f"/studies/{study}/")


def test_one_tap_plans_the_study_and_starts_the_watch(person: Person) -> None:
    fields = {"measure": "fetching clamps", "moment": "after"}
    found = person.send("/improvements/1/time", fields, page="/improvements/1/time")
    assert found.headers["location"] == "/studies/12/watch#start"
    found = person.send(
        "/improvements/3/time", {"measure": "find a job's parts", "moment": "again"}, page="/improvements/3/time"
    )
    address = found.headers["location"].removesuffix("#start")
    found = data(person, address)
    # The version goes along when the people were asked, so that nobody's day is written over.
    assert (found["asked"], found["version"]) == (False, 1)
    again = person.send(
        "/improvements/3/time", {"measure": "find a job's parts", "moment": "again"}, page="/improvements/3/time"
    )
    assert again.headers["location"].removesuffix("#start") == address


@pytest.mark.parametrize(
    "fields", [{"measure": "nothing", "moment": "after"}, {"measure": "fetching clamps", "moment": "yesterday"}]
)
def test_what_makes_no_sense_is_refused(person: Person, fields: dict[str, str]) -> None:
    person.send("/improvements/1/time", fields, page="/improvements/1/time", status=422)


def test_what_is_not_there_is_said(person: Person) -> None:
    person.get("/studies/999/watch", status=404)
    person.get("/improvements/999/time", status=404)


def test_a_stranger_is_asked_to_sign_in(person: Person) -> None:
    answer = person.at("192.0.2.7").get("/studies/1/watch", follow_redirects=False)
    assert answer.status_code == 303
    assert answer.headers["location"] == "/sign-in?next=/studies/1/watch"


def test_every_text_of_the_scripts_has_its_names(person: Person) -> None:
    """A script fills {names} in: each text of every page must still have them in every language."""
    pages = ("watch", "count", "walk", "lift", "video")
    english = {page: phone_strings.strings(page) for page in pages}
    for language in words.LANGUAGES:
        with words.speaking(language):
            for page in pages:
                for name, text in phone_strings.strings(page).items():
                    wanted = set(re.findall(r"\{\w+\}", english[page][name]))
                    assert set(re.findall(r"\{\w+\}", text)) == wanted, (language, name)


def test_the_scripts_ask_for_no_text_that_is_not_there() -> None:
    for page in ("watch", "count", "walk", "lift", "video"):
        known = set(phone_strings.strings(page))
        names = {f"{page}_page.js"} | ({"live_line.js"} if page in ("watch", "video") else set())
        for name in names:
            text = (static_folder() / "js" / name).read_text(encoding="utf-8")
            asked = set(re.findall(r'\bt\("(\w+)"', text))
            assert asked <= known, (name, asked - known)
