"""Studies and their readings over HTTP."""

from __future__ import annotations

from typing import Annotated, Final

from fastapi import APIRouter, Depends, Query, Request
from starlette.responses import JSONResponse, Response

from floorwright.exchange.for_programs import baseline_json, readings_json, study_json
from floorwright.shop import studies as use
from floorwright.shop.baseline import baseline
from floorwright.shop.sent import NewFields, NewReadings, NewStudy
from floorwright.shop.sent import Number as SomeNumber
from floorwright.web.api import shapes
from floorwright.web.api.bodies import After, Limit, Number, body, by_name, page_of, read
from floorwright.web.api.sent import MOST, Sent, seen_version
from floorwright.web.desk import desk
from floorwright.web.guard.visitors import Lead, Recorder, Viewer, program_or_page

router = APIRouter(tags=["studies"], generate_unique_id_function=by_name)
_WRITES: Final = [Depends(program_or_page)]
_PLAN: Final = {"improvement": 1, "measure": "fetch clamps", "moment": "before", "people_asked_on": "2026-11-24"}
_ROW: Final = {"key": "t-0001", "taken_at": "2026-11-25T08:15:00", "cycle": 1, "value": 41.2, "operator": "W3"}


class StudySent(NewStudy):
    """A study of a measure of an improvement; its kind follows from the measure."""

    improvement: SomeNumber


@router.get("/api/studies", response_model=shapes.Studies)
def studies(
    request: Request,
    _: Viewer,
    improvement: Annotated[int | None, Query(ge=1, le=MOST)] = None,
    after: After = 0,
    limit: Limit = 100,
) -> Response:
    """List studies by number, of one improvement or of all."""
    rows = [
        each
        for each in use.study_rows(desk(request).shop)
        if improvement is None or each.filed.record.improvement == improvement
    ]
    shown, more = page_of(rows, after, limit, lambda each: each.filed.id)
    found = [study_json(each.filed, each.readings) for each in shown]
    return JSONResponse({"studies": found, "total": len(rows), "next": more})


@router.post(
    "/api/studies",
    status_code=201,
    response_model=shapes.Numbered,
    dependencies=_WRITES,
    openapi_extra=body(StudySent, example=_PLAN),
)
def plan_study(request: Request, who: Recorder, raw: Sent) -> Response:
    """Plan a study of a measure of an improvement. Nobody is timed before the people were asked."""
    sent = read(StudySent, raw)
    filed = use.plan_study(desk(request).shop, sent.model_dump(mode="json"), who.author)
    return _stored(filed.id, filed.version, 201)


@router.get("/api/studies/{number}", response_model=shapes.StudyAnswer)
def study(request: Request, _: Viewer, number: Number) -> Response:
    """Read a study. Its ETag is its version, for the header If-Match of a change."""
    found = use.study_row(desk(request).shop, number)
    headers = {"ETag": f'"{found.filed.version}"'}
    return JSONResponse(study_json(found.filed, found.readings), headers=headers)


@router.patch(
    "/api/studies/{number}",
    response_model=shapes.Numbered,
    dependencies=_WRITES,
    openapi_extra=body(
        NewFields,
        without=("improvement",),
        optional=("version",),
        example={"fields": {"shown_to_people_on": "2026-11-25"}, "version": 1},
    ),
)
def change_study(request: Request, who: Lead, number: Number, raw: Sent) -> Response:
    """Change fields of a study, in sight of a version of it (header If-Match, or in the body)."""
    sent = read(NewFields, raw | {"version": seen_version(request, raw)}, improvement=number)
    filed = use.change_study(
        desk(request).shop, number, sent.fields, who.author, reason=sent.reason, expected_version=sent.version
    )
    return _stored(filed.id, filed.version)


@router.get("/api/studies/{number}/results", response_model=shapes.StudyResults)
def study_results(request: Request, _: Viewer, number: Number) -> Response:
    """Read what a study says so far: its level with the interval, in SI of its kind."""
    return JSONResponse(baseline_json(baseline(desk(request).shop, number)))


@router.get("/api/studies/{number}/readings", response_model=shapes.Readings)
def readings(request: Request, _: Viewer, number: Number, after: After = 0, limit: Limit = 1000) -> Response:
    """Read the readings of a study in the order of entry, corrected ones and their corrections too.

    Nothing is ever changed or removed: whoever asks again with `after` = `last` gets only what is new.
    """
    rows, last, more = use.readings_page(desk(request).shop, number, after=after, limit=limit)
    return JSONResponse({"readings": readings_json(rows), "last": last, "next": last if more else None})


@router.post(
    "/api/studies/{number}/readings",
    response_model=shapes.ReadingsStored,
    dependencies=_WRITES,
    openapi_extra=body(NewReadings, without=("study",), example={"rows": [_ROW]}),
)
def store_readings(request: Request, who: Recorder, number: Number, raw: Sent) -> Response:
    """Add readings, all of them or none.

    A key that the study holds already is the same reading sent again: it is counted as `already`, and with other
    content it is refused (409). A correction is a new reading that names the one it `replaces`, with its `reason`.
    """
    rows = read(NewReadings, raw, study=number).rows
    new = use.add_observations(desk(request).shop, number, rows)
    return JSONResponse({"new": new, "already": len(rows) - new})


def _stored(number: int, version: int, status: int = 200) -> Response:
    found = {"number": number, "version": version}
    return JSONResponse(found, status_code=status, headers={"ETag": f'"{version}"'})
