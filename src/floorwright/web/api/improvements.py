"""Improvements over HTTP: list, add, read, change, look back, take back, notes, photos, results."""

from __future__ import annotations

import base64
import binascii
from typing import Annotated, Any, Final

from fastapi import APIRouter, Depends, Query, Request
from starlette.responses import JSONResponse, Response

from floorwright.basis.errors import AccessError, InputError, NotFoundError
from floorwright.exchange.for_programs import history_json, improvement_json, story_json
from floorwright.shop import improvements as use
from floorwright.shop.admission import Role
from floorwright.shop.photos import add_photo
from floorwright.shop.records import Improvement, Phase, Record, Waste
from floorwright.shop.sent import NewFields, NewImprovement, NewNote, NewPhoto
from floorwright.shop.sent import Number as VersionNumber
from floorwright.web.api import shapes
from floorwright.web.api.bodies import After, Limit, Number, body, by_name, page_of, read
from floorwright.web.api.sent import Sent, seen_version
from floorwright.web.desk import desk
from floorwright.web.guard.visitors import Lead, Recorder, Viewer, program_or_page

router = APIRouter(tags=["improvements"], generate_unique_id_function=by_name)
_WRITES: Final = [Depends(program_or_page)]
_SEEN_ON_THE_FLOOR: Final = frozenset({*NewImprovement.model_fields, "noticed_by", "noticed_on"})
_SEEN: Final = {"title": "Clamps hang 30 m from the brake", "waste": "walking", "area": "Brake"}


class Undone(Record):
    """The version whose changes are taken back; what was changed since then stays."""

    version: VersionNumber


@router.get("/api/improvements", response_model=shapes.Improvements)
def improvements(
    request: Request,
    _: Viewer,
    after: After = 0,
    limit: Limit = 100,
    phase: Phase | None = None,
    waste: Waste | None = None,
    area: Annotated[str, Query(max_length=200)] = "",
    search: Annotated[str, Query(max_length=200, description="only those that hold all of these words")] = "",
) -> Response:
    """List improvements by number, with phase and next step.

    The filters count together. Ask for the next page with `after` = `next`.
    """
    found = [
        each
        for each in desk(request).teller.overviews(phase=phase, search=search)
        if waste in (None, each.filed.record.waste) and area in ("", each.filed.record.area)
    ]
    shown, more = page_of(found, after, limit, lambda each: each.filed.id)
    return JSONResponse(
        {"improvements": [improvement_json(each) for each in shown], "total": len(found), "next": more}
    )


@router.post(
    "/api/improvements",
    status_code=201,
    response_model=shapes.Numbered,
    dependencies=_WRITES,
    openapi_extra=body(Improvement, without=("photos",), optional=("noticed_by", "noticed_on"), example=_SEEN),
)
def add_improvement(request: Request, who: Recorder, raw: Sent) -> Response:
    """Add an improvement.

    A recorder sends what was seen: title, waste, area, place, seen, question, noticed_by, noticed_on. Every other
    field needs a lead. Photos are added afterwards.
    """
    more = sorted(set(raw) & set(Improvement.model_fields) - _SEEN_ON_THE_FLOOR)
    if more and who.role < Role.LEAD:
        raise AccessError(f"Only a lead may send {', '.join(more)}; send what was seen.", known=True)
    if "photos" in raw:
        raise InputError.of("photos", None, "are added to an improvement that is there, at its own /photos")
    at = desk(request)
    noticed = {"noticed_by": who.name, "noticed_on": at.shop.clock.now().date().isoformat()}
    filed = use.add_improvement(at.shop, noticed | raw, who.author)
    return _stored(filed.id, filed.version, 201)


@router.get("/api/improvements/{number}", response_model=shapes.ImprovementAnswer)
def improvement(request: Request, _: Viewer, number: Number) -> Response:
    """Read an improvement. Its ETag is the version of its record, for the header If-Match of a change."""
    story = desk(request).teller.story(number)
    return JSONResponse(improvement_json(story), headers={"ETag": f'"{story.filed.version}"'})


@router.patch(
    "/api/improvements/{number}",
    response_model=shapes.Numbered,
    dependencies=_WRITES,
    openapi_extra=body(
        NewFields,
        without=("improvement",),
        optional=("version",),
        example={"fields": {"events_per_year": 9800, "cost.material": "84.50"}, "version": 3, "reason": "counted"},
    ),
)
def change_improvement(request: Request, who: Lead, number: Number, raw: Sent) -> Response:
    """Change fields of an improvement, in sight of a version of it.

    The version stands in the header If-Match or in the body. What others changed in other fields since then stays;
    where they changed the same fields the answer is 409 with both sides of each.
    """
    sent = read(NewFields, raw | {"version": seen_version(request, raw)}, improvement=number)
    filed = use.change_improvement(
        desk(request).shop, number, sent.fields, who.author, reason=sent.reason, expected_version=sent.version
    )
    return _stored(filed.id, filed.version)


@router.get("/api/improvements/{number}/history", response_model=shapes.History)
def history(request: Request, _: Viewer, number: Number) -> Response:
    """Read who changed what, when and why, oldest first."""
    return JSONResponse({"history": history_json(use.history(desk(request).shop, number))})


@router.post(
    "/api/improvements/{number}/undo",
    response_model=shapes.Numbered,
    dependencies=_WRITES,
    openapi_extra=body(Undone, example={"version": 4}),
)
def undo(request: Request, who: Lead, number: Number, raw: Sent) -> Response:
    """Take back what one version changed, as a new version."""
    filed = use.undo_change(desk(request).shop, number, read(Undone, raw).version, who.author)
    return _stored(filed.id, filed.version)


@router.post(
    "/api/improvements/{number}/notes",
    status_code=201,
    response_model=shapes.Numbered,
    dependencies=_WRITES,
    openapi_extra=body(NewNote, without=("improvement",), example={"text": "Wheels catch on the drain"}),
)
def add_note(request: Request, who: Recorder, number: Number, raw: Sent) -> Response:
    """Add a note of today."""
    sent = read(NewNote, raw, improvement=number)
    filed = use.add_note(desk(request).shop, number, sent.text, who.author)
    return _stored(filed.id, filed.version, 201)


@router.get("/api/improvements/{number}/photos", response_model=shapes.Photos)
def photos(request: Request, _: Viewer, number: Number) -> Response:
    """List the photos of an improvement, with the marks drawn on them."""
    record = use.improvement(desk(request).shop, number).record
    return JSONResponse(
        {"photos": [each.model_dump(mode="json") | {"href": _href(number, each.hash)} for each in record.photos]}
    )


@router.get(
    "/api/improvements/{number}/photos/{hash}",
    response_class=Response,
    responses={200: {"content": {"image/jpeg": {"schema": {"type": "string", "contentMediaType": "image/jpeg"}}}}},
)
def photo(request: Request, _: Viewer, number: Number, hash: str) -> Response:  # noqa: A002  the field's own name
    """Fetch a photo of an improvement."""
    at = desk(request)
    if not any(each.hash == hash for each in use.improvement(at.shop, number).record.photos):
        raise NotFoundError(f"Improvement {number} has no photo {hash[:64]}.")
    return Response(at.shop.photos.read(hash), media_type="image/jpeg")


@router.post(
    "/api/improvements/{number}/photos",
    status_code=201,
    response_model=shapes.PhotoStored,
    dependencies=_WRITES,
    openapi_extra=body(NewPhoto, without=("improvement",)),
)
def store_photo(request: Request, who: Recorder, number: Number, raw: Sent) -> Response:
    """Add a photo; `jpeg` is base64.

    It is turned upright, re-encoded and stripped of where it was taken. The same photo again changes only its
    caption and marks.
    """
    sent = read(NewPhoto, raw, improvement=number)
    try:
        data = base64.b64decode(sent.jpeg, validate=True)
    except (binascii.Error, ValueError):
        raise InputError.of("jpeg", None, "is cut off or no base64; send the whole picture") from None
    hash_ = add_photo(
        desk(request).shop,
        number,
        data,
        who.author,
        name="the photo",
        moment=sent.moment,
        caption=sent.caption,
        taken_on=sent.taken_on,
        marks=sent.marks,
    )
    return JSONResponse({"hash": hash_, "href": _href(number, hash_)}, status_code=201)


@router.get("/api/improvements/{number}/results", response_model=shapes.Results)
def improvement_results(request: Request, _: Viewer, number: Number) -> Response:
    """Read what an improvement shows: every proof with its working, and what the gain is worth."""
    return JSONResponse(story_json(desk(request).teller.story(number)))


def _href(number: int, hash_: str) -> str:
    return f"/api/improvements/{number}/photos/{hash_}"


def _stored(number: int, version: int, status: int = 200) -> Response:
    found: dict[str, Any] = {"number": number, "version": version}
    return JSONResponse(found, status_code=status, headers={"ETag": f'"{version}"'})
