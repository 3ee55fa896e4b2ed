"""Signing in with a name and a password, signing out, and one's own password."""

from __future__ import annotations

from typing import Final

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.basis.errors import AccessError, InputError, Problem
from floorwright.basis.sentence import said
from floorwright.shop.access import sign_out
from floorwright.shop.accounts import ACCOUNT_LIFE, change_password, sign_in
from floorwright.web.desk import desk
from floorwright.web.forms import Filled, Form
from floorwright.web.guard.csrf import SESSION_COOKIE
from floorwright.web.guard.hosts import is_trusted
from floorwright.web.guard.visitors import Viewer
from floorwright.web.pages.about import own_path
from floorwright.web.render import go, keep, page

router = APIRouter()
_EMPTY: Final = Filled()


@router.get("/sign-in")
def sign_in_page(request: Request, next: str = "/", out: str = "") -> Response:  # noqa: A002  the word in the address
    """The door for people with an account."""
    return page(request, "sign_in.html", {"filled": _EMPTY, "next": own_path(next), "out": bool(out), "said": ""})


@router.post("/sign-in")
def sign_in_now(request: Request, form: Form) -> Response:
    """Begin a session."""
    wanted = own_path(form.text("next"))
    try:
        secret, _ = sign_in(desk(request).shop, form.text("name"), str(form.data.get("password") or ""))
    except AccessError as error:
        filled = Filled({"name": form.text("name")})
        context = {"filled": filled, "next": wanted, "out": False, "said": str(error)}
        return refused_at_door(page(request, "sign_in.html", context, status=429 if error.wait_s else 401), error)
    return admitted(request, secret, int(ACCOUNT_LIFE.total_seconds()), wanted)


def refused_at_door(answer: Response, error: AccessError) -> Response:
    """The answer to somebody who may try again later."""
    if error.wait_s:
        answer.headers["Retry-After"] = str(error.wait_s)
    return answer


def admitted(request: Request, secret: str, seconds: int, path: str) -> Response:
    """Let somebody in with a session that is new; one that this browser had before ends."""
    before = request.cookies.get(SESSION_COOKIE, "")
    if before:
        sign_out(desk(request).shop, before)
    answer = go(path)
    keep(request, answer, SESSION_COOKIE, secret, seconds=seconds)
    return answer


@router.post("/sign-out")
def sign_out_now(request: Request, form: Form) -> Response:
    """End the session. What waits on the device to be sent stays there."""
    secret = request.cookies.get(SESSION_COOKIE, "")
    if secret:
        sign_out(desk(request).shop, secret)
    answer = go("/sign-in?out=1")
    answer.delete_cookie(SESSION_COOKIE, path="/", httponly=True, samesite="lax")
    if is_trusted(request.headers.get("host", ""), secure=desk(request).options.secure):
        # Not "storage": what was timed and could not be sent yet lies there.
        answer.headers["Clear-Site-Data"] = '"cache"'
    return answer


@router.get("/settings/password")
def password_page(request: Request, visitor: Viewer) -> Response:
    """Change one's own password."""
    return page(request, "password.html", {"filled": _EMPTY, "own": visitor.kind == "account"})


@router.post("/settings/password")
def password_now(request: Request, visitor: Viewer, form: Form) -> Response:
    """Change one's own password; every sign-in of the account ends, and this browser gets a new one."""
    if visitor.kind != "account":
        raise AccessError(said("Only somebody who signed in with a name has a password to change."), known=True)
    old, new = (str(form.data.get(name) or "") for name in ("old", "password"))
    shop = desk(request).shop
    try:
        if new != form.data.get("again"):
            raise InputError.of("again", None, said("is not the same as the new password; type both again"))
        change_password(shop, visitor.id, old, new)
    except AccessError as error:
        wrong = Filled(problems=(Problem("old", None, str(error)),))
        status = 429 if error.wait_s else 422
        return refused_at_door(page(request, "password.html", {"filled": wrong, "own": True}, status=status), error)
    except InputError as error:
        wrong = Filled(problems=error.problems)
        return page(request, "password.html", {"filled": wrong, "own": True}, status=422)
    secret, _ = sign_in(shop, visitor.name, new)
    return admitted(request, secret, int(ACCOUNT_LIFE.total_seconds()), "/settings?told=password")
