"""Tokens: keys with which programs read and write the shop's records. A token is shown once."""

from __future__ import annotations

from typing import Any, Final

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.basis.errors import InputError
from floorwright.shop.access import make_token, revoke_token, tokens
from floorwright.web.desk import desk
from floorwright.web.forms import Filled, Form
from floorwright.web.guard.visitors import Lead
from floorwright.web.pages.phones import role_of
from floorwright.web.render import go, page

router = APIRouter()
_NOTHING: Final = Filled()
_ROLES: Final = (
    ("viewer", "Viewer: reads only"),
    ("recorder", "Recorder: reads, and adds wastes and readings"),
    ("lead", "Lead: everything, settings too"),
)


@router.get("/settings/tokens")
def shown_tokens(request: Request, _: Lead) -> Response:
    """Every token that is in use."""
    return _shown(request)


@router.post("/settings/tokens")
def make(request: Request, visitor: Lead, form: Form) -> Response:
    """Make a token and show it, this once."""
    try:
        secret, token = make_token(
            desk(request).shop,
            form.text("name"),
            role_of(form.text("role")),
            visitor.author,
            form.number("days"),
        )
    except InputError as error:
        return _shown(request, Filled(form.values(), error.problems), status=422)
    return _shown(request, made={"secret": secret, "token": token})


@router.post("/settings/tokens/{number}/revoke")
def revoke(request: Request, number: int, _: Lead, form: Form) -> Response:
    """Shut a token out."""
    revoke_token(desk(request).shop, number)
    return go("/settings/tokens")


def _shown(
    request: Request, filled: Filled = _NOTHING, *, made: dict[str, Any] | None = None, status: int = 200
) -> Response:
    at = desk(request)
    now = at.shop.clock.now()
    found = tokens(at.shop)
    in_use = [each for each in found if each.revoked_at is None and each.expires_at > now]
    context: dict[str, Any] = {
        "roles": _ROLES,
        "filled": filled,
        "made": made,
        "in_use": in_use,
        "over": [each for each in found if each not in in_use],
    }
    return page(request, "tokens.html", context, status=status)
