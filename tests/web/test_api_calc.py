"""Calculations over HTTP: the same answer as on the command line, one described route each, bounded."""

from __future__ import annotations

import json
import threading
import time
from typing import Any

import pytest
from click.testing import CliRunner

from floorwright import catalogue
from floorwright.cli.calc import calc
from floorwright.web.api.calc import AT_ONCE, WAITING, Counter
from floorwright.web.api.described import operations
from webapp import Person

NAMES = catalogue.names()


def command(name: str, text: str, *options: str) -> Any:
    found = CliRunner().invoke(calc, [name, "-", *options], input=text)
    return json.loads(found.stdout)


@pytest.fixture
def description(person: Person) -> dict[str, Any]:
    return dict(person.get("/api/openapi.json").json())


@pytest.mark.parametrize("name", NAMES)
def test_the_answer_is_that_of_the_command(person: Person, name: str) -> None:
    intro = person.get(f"/api/calc/{name}").json()
    text = json.dumps(intro["example"])
    for units in ("si", "us"):
        answer = person.client.post(f"/api/calc/{name}", params={"units": units}, json=intro["example"])
        assert answer.status_code == 200, answer.text
        assert answer.json() == command(name, text, "--units", units)


@pytest.mark.parametrize("text", ['{"demand": NaN, "x": 1}', "[]", "{", '{"demand": 1, "demand": 2}', "7"])
def test_a_refusal_is_that_of_the_command(person: Person, text: str) -> None:
    answer = person.client.post("/api/calc/takt", content=text, headers={"Content-Type": "application/json"})
    assert answer.status_code == 422
    assert answer.json() == command("takt", text)


def test_the_list_names_every_calculation(person: Person) -> None:
    found = person.get("/api/calc").json()["calculations"]
    assert [each["name"] for each in found] == list(NAMES)
    assert all(each["question"].endswith("?") for each in found)


def test_a_calculation_that_is_not_there_is_not_found(person: Person) -> None:
    assert person.client.post("/api/calc/perpetuum", json={}).status_code == 404
    assert person.client.get("/api/calc/../calc/takt%00").status_code == 404


def test_explained_it_brings_the_working_as_text_with_its_sources(person: Person) -> None:
    example = dict(catalogue.calculation("lift").example)
    answer = person.client.post("/api/calc/lift", params={"explain": "true"}, json=example).json()
    assert answer["working"][0]["kind"] == "given"
    assert "Given" in answer["explained"]["text"]
    assert {each["id"] for each in answer["explained"]["sources"]} == set(answer["sources"])
    assert all(each["citation"] in answer["explained"]["text"] for each in answer["explained"]["sources"])


def test_every_calculation_has_a_described_route_of_its_own(description: dict[str, Any]) -> None:
    for name in NAMES:
        route = description["paths"][f"/api/calc/{name}"]
        content = route["post"]["requestBody"]["content"]["application/json"]
        schema = content["schema"]
        assert set(schema["properties"]) == set(catalogue.calculation(name).input.model_fields)
        assert content["example"] == dict(catalogue.calculation(name).example)
        assert route["get"]["operationId"] == f"about_{name}"


def test_every_reference_of_the_description_leads_somewhere(description: dict[str, Any]) -> None:
    text = json.dumps(description)
    assert "#/$defs" not in text
    waiting: list[Any] = [description]
    while waiting:
        each = waiting.pop()
        if isinstance(each, dict):
            waiting += each.values()
            reference = each.get("$ref")
            if isinstance(reference, str):
                found: Any = description
                for part in reference.removeprefix("#/").split("/"):
                    found = found[part]
        elif isinstance(each, list):
            waiting += each


def test_every_operation_says_what_it_does_and_how_it_refuses(description: dict[str, Any]) -> None:
    names = []
    for path, method, operation in operations(description):
        where = f"{method} {path}"
        names.append(operation["operationId"])
        assert operation["summary"], where
        assert operation["tags"], where
        assert {"401", "403", "422", "429", "500", "503"} <= set(operation["responses"]), where
        assert any(status.startswith("2") for status in operation["responses"]), where
        assert ("requestBody" in operation) == (method != "GET"), where
    assert len(set(names)) == len(names)
    assert set(description["components"]["securitySchemes"]) == {"token", "session"}


def test_pages_are_no_part_of_the_description(description: dict[str, Any]) -> None:
    assert all(path.startswith("/api/") for path in description["paths"])


def test_too_many_at_once_are_sent_away_and_come_in_again_later() -> None:
    counter = Counter()
    assert all(counter.enter() for _ in range(AT_ONCE + WAITING))
    assert not counter.enter()
    counter.leave()
    assert counter.enter()


def test_heavy_calculations_leave_the_pages_alone(person: Person, monkeypatch: pytest.MonkeyPatch) -> None:
    """As many as may run and wait hang; pages answer all the same, and the next calculation is told to wait."""
    hanging, release = threading.Semaphore(0), threading.Event()
    real = catalogue.calculation

    def slow(name: str) -> Any:
        if name == "takt":  # the stories that are told meanwhile have calculations of their own
            hanging.release()
            release.wait(30)
        return real(name)

    monkeypatch.setattr("floorwright.web.api.calc.catalogue.calculation", slow)
    example = dict(real("takt").example)
    statuses: list[int] = []

    def send() -> None:
        statuses.append(person.client.post("/api/calc/takt", json=example).status_code)

    threads = [threading.Thread(target=send) for _ in range(AT_ONCE + WAITING)]
    for each in threads:
        each.start()
    try:
        for _ in range(AT_ONCE):
            assert hanging.acquire(timeout=30)
        end = time.monotonic() + 30
        while not person.app.state.calculations.full and time.monotonic() < end:
            time.sleep(0.01)
        full = person.client.post("/api/calc/takt", json=example)
        assert (full.status_code, full.headers["retry-after"]) == (503, "5")
        assert not hanging.acquire(blocking=False)
        person.get("/about")
    finally:
        release.set()
        for each in threads:
            each.join()
    assert statuses == [200] * len(threads)
