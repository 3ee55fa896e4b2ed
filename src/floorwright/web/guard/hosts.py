"""Only requests for this host: a page elsewhere must not reach the app by a name of its own."""

from __future__ import annotations

import re
from collections.abc import Collection
from typing import Final

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Receive, Scope, Send

from floorwright.basis.sentence import said
from floorwright.web.answers import refusal
from floorwright.web.desk import LOOPBACK_HOSTS

_HOST: Final = re.compile(r"(?:\[(?P<v6>[0-9a-f:.]+)\]|(?P<name>[a-z0-9._-]+))(?::\d{1,5})?")


def host_name(header: str) -> str:
    """`[::1]:8020` -> `::1`, `Shop.local:8020` -> `shop.local`; "" for what is no host with or without a port."""
    found = _HOST.fullmatch(header.strip().lower())
    return (found["v6"] or found["name"]).removesuffix(".") if found else ""


def is_trusted(header: str, *, secure: bool) -> bool:
    """Whether a browser trusts the way to the app: HTTPS, or on this computer itself."""
    return secure or host_name(header) in LOOPBACK_HOSTS


class Hosts:
    """Answers 421 where the Host header names another host."""

    def __init__(self, app: ASGIApp, *, allowed: Collection[str]) -> None:
        self.app = app
        self._allowed = frozenset(each.lower() for each in allowed)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] == "http":
            given = Headers(scope=scope).getlist("host")
            if len(given) != 1 or host_name(given[0]) not in self._allowed:
                told = said(
                    "This address is not one of the app's own; open it by the address that its start shows."
                )
                await refusal(scope, 421, told)(scope, receive, send)
                return
        await self.app(scope, receive, send)
