"""The API as a page: every route of the description, for people who write programs."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.web.api.described import operations
from floorwright.web.desk import desk
from floorwright.web.guard.visitors import Viewer
from floorwright.web.render import page

router = APIRouter()


@dataclass(frozen=True, slots=True, kw_only=True)
class Route:
    """One route as the page shows it."""

    id: str
    method: str
    path: str
    summary: str
    description: list[tuple[str, str]]
    parameters: tuple[tuple[str, str, str], ...]
    fields: tuple[tuple[str, str, str], ...]
    example: str
    answers: tuple[tuple[str, str], ...]


@router.get("/api")
def api(request: Request, _: Viewer) -> Response:
    """Every route, by what it is about."""
    found = request.app.openapi()
    groups = [
        (each["name"], each["description"], routes)
        for each in found["tags"]
        if (routes := routes_of(found, each["name"]))
    ]
    about = [parts_of(each) for each in found["info"]["description"].split("\n\n")]
    return page(request, "api.html", {"groups": groups, "about": about, "base": desk(request).options.base_url})


def parts_of(paragraph: str) -> list[tuple[str, str]]:
    """A paragraph in parts: plain text, what is code, and what is said loudest, by the marks of the description."""
    marks = {"`": "code", "**": "strong", "": ""}
    found = re.split(r"(`[^`]+`|\*\*[^*]+\*\*)", paragraph)
    return [(marks[mark], each.strip(mark) if mark else each) for each in found for mark in [_mark(each)] if each]


def _mark(part: str) -> str:
    return "`" if part.startswith("`") else "**" if part.startswith("**") else ""


def routes_of(description: dict[str, Any], tag: str) -> list[Route]:
    """The routes of one group, in the order of the description."""
    return [
        _route(description, path, method, operation)
        for path, method, operation in operations(description)
        if tag in operation["tags"]
    ]


def _route(whole: dict[str, Any], path: str, method: str, operation: dict[str, Any]) -> Route:
    content = operation.get("requestBody", {}).get("content", {}).get("application/json", {})
    schema = content.get("schema", {})
    required = schema.get("required", ())
    return Route(
        id=operation["operationId"],
        method=method,
        path=path,
        summary=operation["summary"],
        description=parts_of(operation["description"]),
        parameters=tuple(
            (
                each["name"],
                each["in"],
                _said(each, each["schema"]),
            )
            for each in operation.get("parameters", ())
        ),
        fields=tuple(
            (
                name,
                "needed" if name in required else "",
                _said(about),
            )
            for name, about in schema.get("properties", {}).items()
        ),
        example=json.dumps(content["example"], indent=1, ensure_ascii=False) if "example" in content else "",
        answers=tuple(
            (status, str(_resolved(whole, answer)["description"]))
            for status, answer in sorted(operation["responses"].items())
        ),
    )


def _said(about: dict[str, Any], schema: dict[str, Any] | None = None) -> str:
    """What is said of a field, else what kind of thing it is."""
    return str(about.get("description") or kind_of(schema or about)).replace("`", "")


def _resolved(whole: dict[str, Any], value: dict[str, Any]) -> dict[str, Any]:
    reference = value.get("$ref")
    if reference is None:
        return value
    found: Any = whole
    for part in str(reference).removeprefix("#/").split("/"):
        found = found[part]
    return dict(found)


def kind_of(schema: dict[str, Any]) -> str:
    """What a field holds, in a few words: "text", "number", "list", "one of ..."."""
    branches = [each for each in schema.get("anyOf", ()) if each.get("type") != "null"]
    if branches:
        return " or ".join(dict.fromkeys(kind_of(each) for each in branches))
    if "enum" in schema:
        return "one of " + ", ".join(map(str, schema["enum"]))
    if "$ref" in schema:
        return str(schema["$ref"]).rpartition("/")[2].removeprefix("Sent_")
    words = {"string": "text", "integer": "whole number", "array": "list", "boolean": "true or false"}
    kind = str(schema.get("type", "anything"))
    return "a day, such as 2026-11-25" if schema.get("format") == "date" else words.get(kind, kind)
