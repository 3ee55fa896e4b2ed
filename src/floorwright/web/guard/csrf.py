"""Forged forms: a form counts only when this app wrote it for this browser, on a page of its own."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from typing import Final

from starlette.datastructures import Headers
from starlette.requests import Request

from floorwright.basis.errors import AccessError
from floorwright.basis.sentence import said

BROWSER_COOKIE: Final = "fw_browser"
SESSION_COOKIE: Final = "fw_session"
FIELD: Final = "form_key"
_STALE: Final = said(
    "This form is from another sign-in or was open for too long. Go back, reload the page, and send it again."
)
_ELSEWHERE: Final = said("This was sent from another site's page; send it from the app's own page.")


def form_key(key: bytes, browser: str, session: str) -> str:
    """A key for one form: different each time, so that compressed pages give nothing away, and never stored."""
    nonce = secrets.token_hex(8)
    return f"{nonce}.{_seal(key, nonce, browser, session)}"


def is_own_form(key: bytes, given: str, browser: str, session: str) -> bool:
    """Whether a form's key was made for this browser and session."""
    nonce, _, seal = given.partition(".")
    return bool(browser) and hmac.compare_digest(seal.encode(), _seal(key, nonce, browser, session).encode())


def _seal(key: bytes, nonce: str, browser: str, session: str) -> str:
    return hmac.new(key, f"form|{nonce}|{browser}|{session}".encode(), hashlib.sha256).hexdigest()


def check_own_page(headers: Headers) -> None:
    """What the browser itself says about where a request comes from.

    Raises:
        AccessError: from another site.
    """
    site = headers.get("sec-fetch-site")
    if site is not None and site not in ("same-origin", "none"):
        raise AccessError(_ELSEWHERE, known=True)
    origin = headers.get("origin")
    if origin is not None and origin.partition("://")[2].lower() != headers.get("host", "").lower():
        raise AccessError(_ELSEWHERE, known=True)


def check_form(request: Request, key: bytes, given: str) -> None:
    """Both guards for a form that a person sent.

    Raises:
        AccessError: a form that is not the app's own.
    """
    check_own_page(request.headers)
    cookies = request.cookies
    if not is_own_form(key, given, cookies.get(BROWSER_COOKIE, ""), cookies.get(SESSION_COOKIE, "")):
        raise AccessError(_STALE, known=True)
