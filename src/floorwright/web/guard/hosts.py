"""Only requests for this host: a page elsewhere must not reach the app by a name of its own."""

from __future__ import annotations

from collections.abc import Collection

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Receive, Scope, Send

from floorwright.web.answers import refusal


def host_name(header: str) -> str:
    """`[::1]:8020` -> `::1`, `Shop.local:8020` -> `shop.local`."""
    text = header.strip().lower()
    if text.startswith("["):
        return text[1:].partition("]")[0]
    return text.rpartition(":")[0] if text.count(":") == 1 else text


class Hosts:
    """Answers 421 where the Host header names another host."""

    def __init__(self, app: ASGIApp, *, allowed: Collection[str]) -> None:
        self.app = app
        self._allowed = frozenset(each.lower() for each in allowed)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] == "http":
            header = Headers(scope=scope).get("host", "")
            if host_name(header) not in self._allowed:
                said = "This address is not one of the app's own; open it by the address that its start shows."
                await refusal(scope, 421, said)(scope, receive, send)
                return
        await self.app(scope, receive, send)
