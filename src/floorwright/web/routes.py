"""Every router of the app, in one list."""

from __future__ import annotations

from fastapi import FastAPI

from floorwright.web.pages import about, assets, improvements, today

_PAGES = (about, assets, today, improvements)


def add_routes(app: FastAPI) -> None:
    """Put every page and every API route into the app."""
    for module in _PAGES:
        app.include_router(module.router, include_in_schema=False)
