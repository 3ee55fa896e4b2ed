"""The shop as a whole over HTTP: what is due, the ledger, settings, what fields can hold."""

from __future__ import annotations

from typing import Annotated, Final

from fastapi import APIRouter, Depends, Query, Request
from starlette.responses import JSONResponse, Response

from floorwright.basis.errors import StoreError
from floorwright.exchange.for_programs import as_plain, due_json, ledger_json, months_json
from floorwright.prove.ledger import by_month
from floorwright.shop import settings as use
from floorwright.shop.due import due_in
from floorwright.shop.records import MeasureKind, Phase, Use, Waste
from floorwright.shop.sent import NewFields
from floorwright.shop.story import Story
from floorwright.web.api import shapes
from floorwright.web.api.bodies import body, by_name, read
from floorwright.web.api.sent import Sent, seen_version
from floorwright.web.desk import desk
from floorwright.web.guard.visitors import Lead, Viewer, program_or_page

router = APIRouter(tags=["shop"], generate_unique_id_function=by_name)
PATIENCE_S: Final = 20.0


@router.get("/api/due", response_model=shapes.DueList)
def due(
    request: Request,
    _: Viewer,
    within: Annotated[int, Query(ge=0, le=3650, description="days ahead")] = 30,
) -> Response:
    """List what needs someone, earliest first: repeats, readings, decisions, looks at what is watched."""
    today = desk(request).shop.clock.now().date()
    return JSONResponse({"due": due_json(due_in(_all(request), today, within_days=within))})


@router.get("/api/ledger", response_model=shapes.LedgerAnswer)
def ledger(request: Request, _: Viewer) -> Response:
    """Read the gains of the shop: banked, freed and hoped for, never added up; no minute is counted twice."""
    return JSONResponse(ledger_json(desk(request).teller.ledger(_all(request))))


@router.get("/api/ledger/months", response_model=shapes.Months)
def months(request: Request, _: Viewer) -> Response:
    """Read what has come in so far, month by month."""
    at = desk(request)
    found = by_month(at.teller.ledger(_all(request)), at.shop.clock.now().date())
    return JSONResponse({"months": months_json(found)})


def _all(request: Request) -> tuple[Story, ...]:
    """All stories. Raises StoreError while they are being worked out."""
    told = desk(request).teller.told(patience=PATIENCE_S)
    if not told.complete:
        raise StoreError(
            f"The results are being worked out: {len(told.stories)} of {told.total} are ready. "
            "Ask again in a minute."
        )
    return told.stories


@router.get("/api/settings", response_model=shapes.SettingsAnswer)
def settings(request: Request, _: Viewer) -> Response:
    """Read the shop's settings. The ETag is their version, for the header If-Match of a change."""
    filed = use.settings(desk(request).shop)
    found = {"version": filed.version} | as_plain(filed.record)
    return JSONResponse(found, headers={"ETag": f'"{filed.version}"'})


@router.patch(
    "/api/settings",
    response_model=shapes.SettingsVersion,
    dependencies=[Depends(program_or_page)],
    openapi_extra=body(
        NewFields,
        without=("improvement",),
        optional=("version",),
        example={"fields": {"units": "si"}, "version": 2},
    ),
)
def change_settings(request: Request, who: Lead, raw: Sent) -> Response:
    """Change fields of the settings, in sight of a version of them (header If-Match, or in the body)."""
    sent = read(NewFields, raw | {"version": seen_version(request, raw)}, improvement=1)
    filed = use.change_settings(
        desk(request).shop, sent.fields, who.author, reason=sent.reason, expected_version=sent.version
    )
    return JSONResponse({"version": filed.version}, headers={"ETag": f'"{filed.version}"'})


@router.get("/api/choices", response_model=shapes.Choices)
def choices(request: Request, _: Viewer) -> Response:
    """List what fields can hold in this shop: wastes, phases, areas, stations, rates; and what day it is."""
    at = desk(request)
    found = use.settings(at.shop).record
    return JSONResponse(
        {
            "wastes": list(Waste),
            "phases": list(Phase),
            "kinds": list(MeasureKind),
            "uses_of_time": list(Use),
            "areas": list(found.areas),
            "stations": list(found.stations),
            "rates": [each.name for each in found.rates],
            "units": found.units,
            "currency": found.currency,
            "today": at.shop.clock.now().date().isoformat(),
        }
    )
