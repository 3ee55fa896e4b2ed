"""Every request of docs/how-to/http-api.md is sent, and answers as the page says."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from docs.test_examples import ROOT
from webapp import Person, built_demo, opened

PAGE = ROOT / "docs" / "how-to" / "http-api.md"
PAIR = re.compile(
    r"^```http\n(?P<method>\w+) (?P<path>\S+)\n(?P<body>.*?)```\n+^```json (?P<status>\d+)\n(?P<answer>.*?)```",
    re.MULTILINE | re.DOTALL,
)


@pytest.fixture(scope="module")
def person(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Person]:
    shop = opened(built_demo(tmp_path_factory.mktemp("api") / "demo"))
    yield Person(shop)
    shop.close()


def holds(found: Any, wanted: Any) -> bool:
    """Whether everything that the page shows is in the answer; the page may leave out the rest."""
    if isinstance(wanted, dict):
        return isinstance(found, dict) and all(
            name in found and holds(found[name], wanted[name]) for name in wanted
        )
    if isinstance(wanted, list):
        return len(found) == len(wanted) and all(holds(a, b) for a, b in zip(found, wanted, strict=True))
    return bool(found == wanted)


def test_every_request_of_the_page_answers_as_it_says(person: Person) -> None:
    pairs = list(PAIR.finditer(Path(PAGE).read_text(encoding="utf-8")))
    assert len(pairs) == Path(PAGE).read_text(encoding="utf-8").count("```http") >= 8
    number = ""
    for each in pairs:
        path = each["path"].replace("NUMBER", number)
        body = json.loads(each["body"]) if each["body"].strip() else None
        answer = person.client.request(each["method"], path, json=body, headers={"X-Floorwright": "docs"})
        where = f"{each['method']} {path}: {answer.text[:1000]}"
        assert answer.status_code == int(each["status"]), where
        assert holds(answer.json(), json.loads(each["answer"])), where
        number = str(answer.json().get("number", number))
