"""The HTTP API: routes for programs and for the app's own scripts, described in `/api/openapi.json`."""

from __future__ import annotations

from typing import Final

from fastapi import FastAPI

from floorwright.web.api import aids, calc, improvements, inbox, studies, whole
from floorwright.web.api.described import describing

_ROUTERS: Final = (calc.router, aids.router, improvements.router, studies.router, whole.router, inbox.router)


def add_api(app: FastAPI) -> None:
    """Put every route of the API into the app, and describe them."""
    app.state.calculations = calc.Counter()
    for router in _ROUTERS:
        app.include_router(router)
    app.openapi = describing(app)  # type: ignore[method-assign]
