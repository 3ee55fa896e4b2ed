"""Answers that are no page of their own: problems in one shape, as JSON for programs and as a page for people."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from typing import Any

from starlette.responses import HTMLResponse, JSONResponse, Response
from starlette.types import Scope

from floorwright.basis.errors import Problem


def is_api(scope: Scope) -> bool:
    """Whether a request came from a program."""
    path = str(scope.get("path", ""))
    return path.startswith("/api/") or path == "/api"


def problems_json(problems: Sequence[Problem]) -> dict[str, Any]:
    """The one shape of every refusal: `{"error": {"fields": [{"field", "value", "message"}]}}`."""
    return {"error": {"fields": [each.to_record() for each in problems]}}


def refused(status: int, problems: Sequence[Problem], headers: Mapping[str, str] | None = None) -> Response:
    """A refusal for a program."""
    return JSONResponse(problems_json(problems), status_code=status, headers=dict(headers or {}))


def refusal(scope: Scope, status: int, said: str, headers: Mapping[str, str] | None = None) -> Response:
    """A refusal before the app was asked: for a program in the one shape, for a person as a bare page."""
    if is_api(scope):
        return refused(status, [Problem("", None, said)], headers)
    page = (
        "<!doctype html><html lang='en'><meta charset='utf-8'><meta name='viewport' content='width=device-width'>"
        f"<title>floorwright</title><h1>This did not go through</h1><p>{escape(said)}</p>"
    )
    return HTMLResponse(page, status_code=status, headers=dict(headers or {}))
