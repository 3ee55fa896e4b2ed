"""Every router of the app, in one list."""

from __future__ import annotations

from typing import Final

from fastapi import FastAPI

from floorwright.web.api import add_api
from floorwright.web.pages import (
    about,
    aids,
    api_page,
    assets,
    backup,
    calculations,
    calendar,
    card,
    charts,
    choosing,
    distances,
    exporting,
    history,
    importing,
    improvement,
    improvement_add,
    improvement_clash,
    improvements,
    pair,
    people,
    phones,
    photo,
    photos,
    results,
    settings,
    sheet,
    signing,
    studies,
    study_clash,
    timing,
    today,
    tokens,
    waiting,
    watch_chart,
    worth,
)

_PAGES: Final = (
    about.router,
    aids.router,
    api_page.router,
    assets.router,
    backup.router,
    calculations.router,
    calendar.router,
    card.router,
    distances.router,
    history.router,
    improvement.router,
    improvement_add.router,
    improvement_clash.router,
    improvements.router,
    pair.router,
    people.router,
    phones.router,
    photo.router,
    photos.router,
    results.router,
    settings.router,
    signing.router,
    studies.router,
    study_clash.router,
    timing.router,
    today.router,
    tokens.router,
    waiting.router,
    sheet.router,
    charts.router,
    importing.router,
    exporting.router,
    worth.router,
    watch_chart.router,
    choosing.router,
)


def add_routes(app: FastAPI) -> None:
    """Put every page and every API route into the app."""
    for router in _PAGES:
        app.include_router(router, include_in_schema=False)
    add_api(app)
