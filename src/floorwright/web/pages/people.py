"""People who sign in with a name and a password: add one, give a new password, shut one out."""

from __future__ import annotations

from typing import Any, Final

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.basis.errors import ConflictError, InputError, Problem
from floorwright.shop.accounts import accounts, add_account, disable_account, set_password
from floorwright.shop.presence import last_seen
from floorwright.web.desk import desk
from floorwright.web.forms import Filled, Form
from floorwright.web.guard.visitors import Lead
from floorwright.web.pages.phones import ROLES, role_of
from floorwright.web.render import go, page

router = APIRouter()
_NOTHING: Final = Filled()


@router.get("/settings/people")
def people(request: Request, _: Lead) -> Response:
    """Everybody who may sign in."""
    return _shown(request)


@router.post("/settings/people")
def add(request: Request, visitor: Lead, form: Form) -> Response:
    """Give somebody a name and a first password."""
    name, password = form.text("name"), str(form.data.get("password") or "")
    try:
        made = add_account(desk(request).shop, name, role_of(form.text("role")), password, visitor.author)
    except InputError as error:
        return _shown(request, Filled(_without_secrets(form.values()), error.problems), status=422)
    except ConflictError as error:
        problems = (Problem("name", name, str(error)),)
        return _shown(request, Filled(_without_secrets(form.values()), problems), status=422)
    return go(f"/settings/people#person-{made.id}")


@router.post("/settings/people/{number}/password")
def new_password(request: Request, number: int, _: Lead, form: Form) -> Response:
    """Give somebody a new password; their sign-ins end."""
    try:
        set_password(desk(request).shop, number, str(form.data.get("password") or ""))
    except InputError as error:
        return _shown(request, wrong={number: Filled(problems=error.problems)}, status=422)
    return go(f"/settings/people?told={number}#person-{number}")


@router.post("/settings/people/{number}/disable")
def disable(request: Request, number: int, _: Lead, form: Form) -> Response:
    """Shut an account."""
    disable_account(desk(request).shop, number)
    return go("/settings/people")


def _without_secrets(values: dict[str, str]) -> dict[str, str]:
    return {name: value for name, value in values.items() if name != "password"}


def _shown(
    request: Request, filled: Filled = _NOTHING, *, wrong: dict[int, Filled] | None = None, status: int = 200
) -> Response:
    shop = desk(request).shop
    seen = last_seen(shop, "account")
    found = accounts(shop)
    context: dict[str, Any] = {
        "roles": ROLES,
        "filled": filled,
        "wrong": wrong or {},
        "nothing": _NOTHING,
        "told": request.query_params.get("told", ""),
        "rows": [{"account": each, "seen": seen.get(each.id)} for each in found if each.disabled_at is None],
        "shut": [each for each in found if each.disabled_at is not None],
    }
    return page(request, "people.html", context, status=status)
