"""The headers that every answer carries: what a page may load, and who may frame it."""

from __future__ import annotations

from typing import Final

from starlette.datastructures import Headers as RequestHeaders
from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from floorwright.web.guard.hosts import is_trusted

_RULES: Final = (
    "default-src 'none'",
    "script-src 'self'",
    "style-src 'self'",
    "img-src 'self' blob: data:",
    "media-src 'self' blob:",
    "font-src 'self'",
    "connect-src 'self'",
    "manifest-src 'self'",
    "worker-src 'self'",
    "frame-src 'self'",
    "form-action 'self'",
    "base-uri 'none'",
    "frame-ancestors 'none'",
)
POLICY: Final = "; ".join(_RULES)
# The preview shows the app's own PDF inside its own page.
FRAMED_POLICY: Final = POLICY.replace("frame-ancestors 'none'", "frame-ancestors 'self'")

_ALWAYS: Final = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), screen-wake-lock=(self), microphone=(), geolocation=()",
}


class Headers:
    """Adds the headers to every answer, errors included."""

    def __init__(self, app: ASGIApp, *, secure: bool = False) -> None:
        self.app = app
        self._secure = secure

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        # A browser ignores this one, and complains, where it does not trust the way (plain HTTP on a network).
        trusted = is_trusted(RequestHeaders(scope=scope).get("host", ""), secure=self._secure)

        async def send_with(message: Message) -> None:
            if message["type"] == "http.response.start":
                self._add(MutableHeaders(scope=message), trusted=trusted)
            await send(message)

        await self.app(scope, receive, send_with)

    def _add(self, headers: MutableHeaders, *, trusted: bool) -> None:
        for name, value in _ALWAYS.items():
            headers.setdefault(name, value)
        if trusted:
            headers.setdefault("Cross-Origin-Opener-Policy", "same-origin")
        framed = headers.get("Content-Type", "").startswith("application/pdf")
        headers.setdefault("Content-Security-Policy", FRAMED_POLICY if framed else POLICY)
        headers.setdefault("X-Frame-Options", "SAMEORIGIN" if framed else "DENY")
        # What a person sees may be another's; only assets and photos say that they may be kept.
        headers.setdefault("Cache-Control", "no-store")
        if self._secure:
            headers.setdefault("Strict-Transport-Security", "max-age=31536000")
