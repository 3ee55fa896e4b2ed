"""Pages that have something worked out: in their turn, so many at once, and no more waiting than is borne."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

import anyio.to_thread
from fastapi import Request
from starlette.responses import Response

from floorwright.web.api.calc import Counter
from floorwright.web.render import page

BUSY: Final = "Many calculations are waiting for their turn; send this one again in a few seconds."


async def in_turn(request: Request, do: Callable[..., Response], *given: Any) -> Response:
    """Answer with `do(request, *given)`, in a thread of its own kind."""
    counter: Counter = request.app.state.calculations
    if not counter.enter():
        return page(request, "problem.html", {"status": 503, "sentences": [BUSY]}, status=503)
    try:
        return await anyio.to_thread.run_sync(do, request, *given, limiter=counter.limiter)
    finally:
        counter.leave()
