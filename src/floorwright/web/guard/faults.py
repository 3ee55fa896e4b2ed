"""A fault of the program becomes an answer like any other: with the headers of every answer, without a trace."""

from __future__ import annotations

from collections.abc import Callable

from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send


class Faults:
    """Answers what nobody foresaw. Whoever left before the answer gets none."""

    def __init__(self, app: ASGIApp, *, answer: Callable[[Request, Exception], Response]) -> None:
        self.app = app
        self._answer = answer

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        started = False

        async def send_noted(message: Message) -> None:
            nonlocal started
            started = started or message["type"] == "http.response.start"
            await send(message)

        try:
            await self.app(scope, receive, send_noted)
        except ClientDisconnect:
            return
        except Exception as error:
            if started:
                raise
            await self._answer(Request(scope), error)(scope, receive, send)
