"""Answers that are no page of their own: problems in one shape, as JSON for programs and as a page for people."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from html import escape
from typing import Any

from starlette.responses import HTMLResponse, JSONResponse, Response
from starlette.types import Scope

from floorwright.basis.errors import Problem
from floorwright.web import words


def is_api(scope: Scope) -> bool:
    """Whether a request came from a program."""
    path = str(scope.get("path", ""))
    return path.startswith("/api/") or path == "/api"


def problems_json(problems: Sequence[Problem]) -> dict[str, Any]:
    """The one shape of every refusal: `{"error": {"fields": [{"field", "value", "message"}]}}`."""
    return {"error": {"fields": problem_records(problems)}}


def problem_records(problems: Iterable[Problem]) -> list[dict[str, Any]]:
    """Problems as programs and scripts get them, the message in the language at hand."""
    return [each.to_record() | {"message": words.said(each.message)} for each in problems]


def refused(status: int, problems: Sequence[Problem], headers: Mapping[str, str] | None = None) -> Response:
    """A refusal for a program."""
    return JSONResponse(problems_json(problems), status_code=status, headers=dict(headers or {}))


def refusal(scope: Scope, status: int, said: str, headers: Mapping[str, str] | None = None) -> Response:
    """A refusal before the app was asked: for a program in the one shape, for a person as a bare page."""
    if is_api(scope):
        return refused(status, [Problem("", None, said)], headers)
    head = escape(words.gettext("This did not go through"))
    page = (
        f"<!doctype html><html lang='{words.spoken()}'><meta charset='utf-8'>"
        "<meta name='viewport' content='width=device-width'>"
        f"<title>floorwright</title><h1>{head}</h1><p>{escape(words.said(said))}</p>"
    )
    return HTMLResponse(page, status_code=status, headers=dict(headers or {}))
