"""Every request sees one shop from beginning to end, also when the app goes over to another one meanwhile."""

from __future__ import annotations

from starlette.types import ASGIApp, Receive, Scope, Send

from floorwright.web.desk import DESK


class Leases:
    """Gives each request the desk that the app has when it begins."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        at = scope["app"].state.desk
        scope[DESK] = at
        at.enter()
        try:
            await self.app(scope, receive, send)
        finally:
            at.leave()
