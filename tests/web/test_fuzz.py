"""The API against its own description: whatever is sent, no fault, and every answer as described.

Cases are made from the OpenAPI document (valid and broken ones) and, beside it, from JSON that no description
would make: numbers that are none, huge, nested, doubled names, bytes that are no text. The examples are the same
each time.
"""

from __future__ import annotations

import itertools
import json
import os
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from fastapi import FastAPI
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from schemathesis import GenerationMode
from schemathesis.specs.openapi.checks import negative_data_rejection, positive_data_acceptance
from starlette.testclient import TestClient
from starlette.types import ASGIApp, Receive, Scope, Send

from floorwright.shop.access import make_token
from floorwright.shop.admission import Role
from floorwright.shop.ports import Author
from floorwright.web.api import add_api
from floorwright.web.api.described import operations
from floorwright.web.app import create_app
from floorwright.web.desk import LOOPBACK_HOSTS, Options
from webapp import copied, opened

EXAMPLES = int(os.environ.get("FLOORWRIGHT_FUZZ", "15"))  # for each route and kind of case; 300 is a long look
BASE = "http://testserver"
EACH_FROM_ELSEWHERE = itertools.count()
# What a schema cannot say is told in a sentence: mean goes with sd, an area is one of the shop's, a reading may not
# lie ahead. So what fits the schema need not be accepted.
EXCLUDED = [positive_data_acceptance]
# An item that cannot be read is refused by itself, inside an answer that goes well: it must not stop the others.
BY_ITSELF = "/api/inbox"


class FromTheNetwork:
    """The app as other machines reach it; each request from another address, for limits of rate have own tests."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "http":
            number = next(EACH_FROM_ELSEWHERE)
            scope["client"] = (f"10.{number >> 16 & 255}.{number >> 8 & 255}.{number & 255}", 40000)
        await self.app(scope, receive, send)


@pytest.fixture(scope="module")
def served(demo_master: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Any, str]]:
    """The app on a copy of the demo shop, and a lead's token."""
    shop = opened(copied(demo_master, tmp_path_factory.mktemp("fuzz") / "shop"))
    secret, _ = make_token(shop, "fuzz", Role.LEAD, Author(who="Ines"))
    app = create_app(shop, Options(hosts=LOOPBACK_HOSTS | {"testserver"}, lan=True))
    yield FromTheNetwork(app), secret
    shop.close()


def description() -> dict[str, Any]:
    """What the API says of itself; no shop is needed for that."""
    bare = FastAPI(title="floorwright", version="0")
    add_api(bare)
    return bare.openapi()


SCHEMA = schemathesis.openapi.from_dict(description())
OPERATIONS = [(path, method) for path, method, _ in operations(description())]
STEADY = settings(
    max_examples=EXAMPLES,
    database=None,
    derandomize=True,
    deadline=None,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=list(HealthCheck),
)


@pytest.mark.parametrize("mode", [GenerationMode.POSITIVE, GenerationMode.NEGATIVE], ids=["valid", "broken"])
@pytest.mark.parametrize(("path", "method"), OPERATIONS, ids=lambda each: each)
def test_every_answer_is_as_described(
    served: tuple[Any, str], path: str, method: str, mode: GenerationMode
) -> None:
    app, secret = served
    SCHEMA.app = app
    operation = SCHEMA[path][method]
    excluded = [*EXCLUDED, negative_data_rejection] if path == BY_ITSELF else EXCLUDED

    @STEADY
    @given(case=operation.as_strategy(generation_mode=mode))
    def check(case: Any) -> None:
        case.call_and_validate(base_url=BASE, headers=bearer(secret), excluded_checks=excluded)

    check()


def bearer(secret: str) -> dict[str, str]:
    return {"Authorization": f"Bearer {secret}"}


def at(path: str) -> str:
    return re.sub(r"\{hash\}", "0" * 64, re.sub(r"\{number\}", "1", path))


HUGE = 10**400
NUMBERS = st.integers() | st.floats() | st.sampled_from([HUGE, -HUGE, 2**63, -(2**63) - 1, 1e308, 5e-324, -0.0])
TEXT = st.text(max_size=20) | st.sampled_from(["\x00", "\u202e", "a" * 300, "1e999", "NaN", "=1+1", "<script>"])
JSON = st.recursive(
    st.none() | st.booleans() | NUMBERS | TEXT,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXT, inner, max_size=4),
    max_leaves=12,
)
RAW = st.sampled_from(
    [
        b"",
        b"null",
        b"\xff\xfe",
        b"\xef\xbb\xbf{}",
        b"{" * 2000,
        b"[" * 100_000,
        b'{"a":' * 3000 + b"1" + b"}" * 3000,
        b'{"version": 1, "version": 2}',
        b'{"fields": {"title": "\\ud800"}, "version": 1}',
        b'{"rows": NaN, "text": Infinity}',
        b'{"a": 1' + b"0" * 5000 + b"}",
        b'{"a": "' + "\u00e9".encode("latin-1") + b'"}',
    ]
)


def names(operation: dict[str, Any]) -> list[str]:
    """The fields that a body has, also one level down: a stray value does most harm where a value is looked for."""
    schema = operation["requestBody"]["content"]["application/json"]["schema"]
    return [*schema.get("properties", {}), "fields", "rows", "items", "body"]


WRITES = {f"{method} {path}": operation for path, method, operation in operations(description()) if method != "GET"}


@pytest.mark.parametrize("where", WRITES)
def test_no_json_however_strange_makes_a_fault(served: tuple[Any, str], where: str) -> None:
    app, secret = served
    (method, path), operation = where.split(" "), WRITES[where]
    client = TestClient(app, base_url=BASE, headers=bearer(secret), raise_server_exceptions=False)
    example = operation["requestBody"]["content"]["application/json"].get("example", {})
    stray = st.dictionaries(st.sampled_from(names(operation)), JSON, max_size=5).map(lambda more: example | more)
    written = (stray | JSON).map(lambda value: json.dumps(value).encode())

    @settings(STEADY, max_examples=4 * EXAMPLES)
    @given(body=written | RAW)
    def check(body: bytes) -> None:
        answer = client.request(method, at(path), content=body, headers={"Content-Type": "application/json"})
        assert answer.status_code < 500, f"{body[:500]!r}: {answer.text}"
        assert answer.headers["content-type"] == "application/json"
        if answer.status_code >= 400:
            fields = answer.json()["error"]["fields"]
            assert fields, answer.text
            assert all(set(each) == {"field", "value", "message"} for each in fields), answer.text

    check()


@pytest.mark.parametrize("path", sorted({path for path, _ in OPERATIONS}))
def test_a_method_that_is_not_there_is_told_which_are(served: tuple[Any, str], path: str) -> None:
    app, secret = served
    client = TestClient(app, base_url=BASE, headers=bearer(secret), raise_server_exceptions=False)
    there = {method for each, method in OPERATIONS if each == path}
    for method in {"GET", "POST", "PUT", "PATCH", "DELETE", "TRACE", "QUERY"} - there:
        answer = client.request(method, at(path))
        assert answer.status_code == 405, f"{method} {path}"
        assert {each.strip() for each in answer.headers["allow"].split(",")} == there
