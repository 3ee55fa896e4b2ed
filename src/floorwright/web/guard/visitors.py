"""Who asks: the person at this computer, a paired phone, a person who signed in, or a program with a token."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Final

from fastapi import Depends, Request

from floorwright.basis.errors import AccessError
from floorwright.basis.sentence import said
from floorwright.shop.access import Visitor, visitor_of_session, visitor_of_token
from floorwright.shop.admission import Role
from floorwright.web.desk import LOOPBACK_HOSTS, desk
from floorwright.web.guard.csrf import SESSION_COOKIE, check_own_page
from floorwright.web.guard.hosts import host_name

# Whoever passes requests on says so in one of these; then the caller is not who the address says.
_PASSED_ON: Final = ("forwarded", "via", "x-real-ip", "x-client-ip", "true-client-ip", "cf-connecting-ip")
_PASSED_ON_START: Final = "x-forwarded-"
SIGN_IN: Final = said("Sign in, or pair this phone, before you go on.")


def visitor_or_none(request: Request) -> Visitor | None:
    """Who asks; None for a stranger. Worked out once a request."""
    if not hasattr(request.state, "visitor"):
        request.state.visitor = _find(request)
    found: Visitor | None = request.state.visitor
    return found


def visitor(request: Request) -> Visitor:
    """Who asks. Raises AccessError for a stranger."""
    found = visitor_or_none(request)
    if found is None:
        raise AccessError(SIGN_IN)
    return found


def _find(request: Request) -> Visitor | None:
    at = desk(request)
    scheme, _, secret = request.headers.get("authorization", "").partition(" ")
    if scheme.lower() == "bearer":
        return visitor_of_token(at.shop, secret.strip())
    secret = request.cookies.get(SESSION_COOKIE, "")
    found = visitor_of_session(at.shop, secret) if secret else None
    if found is None and not at.options.everyone_signs_in and is_here(request):
        return Visitor(kind="here", id=0, name=at.options.here, role=Role.LEAD)
    return found


def is_here(request: Request) -> bool:
    """Whether a request comes from this computer itself, through nobody's hands."""
    client = request.client.host if request.client is not None else ""
    return (
        client in LOOPBACK_HOSTS
        and host_name(request.headers.get("host", "")) in LOOPBACK_HOSTS
        and not any(name in _PASSED_ON or name.startswith(_PASSED_ON_START) for name in request.headers)
    )


def need(role: Role) -> Callable[[Request], Visitor]:
    """A dependency that lets in visitors of this role and above."""

    def check(request: Request) -> Visitor:
        found = visitor(request)
        if found.role < role:
            told = said(
                "This needs the role {needed}; you are here as {role}.",
                needed=said(role.value),
                role=said(found.role.value),
            )
            raise AccessError(told, known=True)
        return found

    return check


Viewer = Annotated[Visitor, Depends(need(Role.VIEWER))]
Recorder = Annotated[Visitor, Depends(need(Role.RECORDER))]
Lead = Annotated[Visitor, Depends(need(Role.LEAD))]


async def program_or_page(request: Request) -> None:
    """A dependency of every API route that writes: a token, or a request of the app's own script.

    It waits for nothing, and so needs no thread of its own.

    A browser adds the header only to requests of the same origin, unless the app allows more, which it does not.

    Raises:
        AccessError: neither.
    """
    if request.headers.get("authorization", "").lower().startswith("bearer "):
        return
    check_own_page(request.headers)
    if "x-floorwright" not in request.headers:
        raise AccessError(said("Send the header X-Floorwright with this, or a token."), known=True)
