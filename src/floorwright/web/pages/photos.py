"""The photos of an improvement: add, say what they show, put in order, draw on, mask, remove; the camera."""

from __future__ import annotations

import json
from typing import Any, Final, Literal, cast

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.basis.errors import AccessError, InputError, NotFoundError, Problem
from floorwright.basis.sentence import said
from floorwright.shop import improvements as use
from floorwright.shop.clash import Clash, plain
from floorwright.shop.filed import Filed, checked
from floorwright.shop.photos import add_photo, mark_photo, mask_photo, remove_photo
from floorwright.shop.ports import Box
from floorwright.shop.records import Improvement, Mark
from floorwright.shop.together import together
from floorwright.web.desk import desk
from floorwright.web.forms import Filled, Form, Posted
from floorwright.web.guard.visitors import Lead, Recorder, Viewer
from floorwright.web.pages.improvement_clash import clash_page
from floorwright.web.pages.photo_shown import photos_of
from floorwright.web.render import go, page
from floorwright.web.words import N_

router = APIRouter()
Moment = Literal["before", "after", "other"]
MOMENTS: Final = (("before", N_("before")), ("after", N_("after")), ("other", N_("neither")))


@router.get("/improvements/{number:int}/photos")
def photos(request: Request, number: int, _: Viewer) -> Response:
    """All photos of an improvement."""
    return _list(request, number)


def _list(request: Request, number: int, filled: Filled | None = None, status: int = 200) -> Response:
    at = desk(request)
    found = use.improvement(at.shop, number)
    context: dict[str, Any] = {
        "number": number,
        "record": found.record,
        "version": found.version,
        "photos": photos_of(at.shop, found.record.photos),
        "moments": MOMENTS,
        "filled": filled or Filled({"moment": likely_moment(found.record)}),
        "saved": request.query_params.get("saved") == str(found.version) and found.version > 1,
    }
    return page(request, "photos.html", context, status=status)


def likely_moment(record: Improvement) -> Moment:
    """Which photo is taken next: before the change until it is in place, then after."""
    return "after" if record.trial_started_on is not None else "before"


def _moment(form: Posted) -> Moment:
    given = form.text("moment") or "other"
    if given not in [value for value, _ in MOMENTS]:
        raise InputError.of("moment", given, said("'{given}' should be before, after or other", given=given))
    return cast("Moment", given)


@router.post("/improvements/{number:int}/photos")
def upload(request: Request, number: int, who: Recorder, form: Form) -> Response:
    """Add photos, all of them or none; what a browser without script sends."""
    at = desk(request)
    files = form.files("photos")
    try:
        if not files:
            raise InputError.of("photos", None, N_("Choose at least one photo."))
        with together(at.shop) as shop:
            for each in files:
                add_photo(
                    shop,
                    number,
                    each.file.read(),
                    who.author,
                    name=each.filename or "",
                    moment=_moment(form),
                    caption=form.text("caption"),
                    taken_on=at.shop.clock.now().date(),
                )
    except InputError as error:
        # A picture that cannot be read is named by its file; on the page it stands beside the one field for files.
        known = ("moment", "caption")
        problems = [
            each if each.field in known else Problem("photos", each.value, each.sentence())
            for each in error.problems
        ]
        return _list(request, number, Filled(form.values(), tuple(problems)), status=422)
    return go(f"/improvements/{number}/photos")


@router.get("/improvements/{number:int}/camera")
def camera(request: Request, number: int, _: Recorder) -> Response:
    """Take the next photo, with the one before over the live picture where the browser shows one."""
    at = desk(request)
    found = use.improvement(at.shop, number)
    before = [each for each in photos_of(at.shop, found.record.photos) if each.photo.moment == "before"]
    context = {
        "number": number,
        "record": found.record,
        "ghost": before[0] if before else None,
        "moments": MOMENTS,
        "moment": likely_moment(found.record) if before else "before",
    }
    return page(request, "camera.html", context)


@router.get("/improvements/{number:int}/photos/{hash_}")
def one(request: Request, number: int, hash_: str, _: Viewer) -> Response:
    """One photo: what it shows, what is drawn over it, what is masked."""
    return _one(request, number, hash_)


def _one(
    request: Request,
    number: int,
    hash_: str,
    *,
    filled: Filled | None = None,
    status: int = 200,
    wrong: tuple[str, ...] = (),
) -> Response:
    at = desk(request)
    found = use.improvement(at.shop, number)
    index = _place(found.record, hash_)
    held = found.record.photos[index]
    shown = photos_of(at.shop, [held])
    if not shown:
        raise NotFoundError(said("This photo was removed for good."))
    values = {"caption": held.caption, "moment": held.moment, "taken_on": str(held.taken_on or "")}
    context: dict[str, Any] = {
        "number": number,
        "record": found.record,
        "version": found.version,
        "each": shown[0],
        "first": index == 0,
        "last": index == len(found.record.photos) - 1,
        "moments": MOMENTS,
        "filled": filled or Filled(values),
        "said": wrong,
        "marks": [mark.model_dump(mode="json") for mark in held.marks],
        "saved": request.query_params.get("saved") == str(found.version) and found.version > 1,
    }
    return page(request, "photo.html", context, status=status)


def _place(record: Improvement, hash_: str) -> int:
    for index, each in enumerate(record.photos):
        if each.hash == hash_:
            return index
    raise NotFoundError(said("This improvement does not show such a photo; it may have been masked or removed."))


@router.post("/improvements/{number:int}/photos/{hash_}")
def change(request: Request, number: int, hash_: str, who: Recorder, form: Form) -> Response:
    """Say what a photo shows, which side of the change it is from, and when it was taken."""
    at, seen = desk(request), form.number("version")
    found = use.improvement(at.shop, number)
    index = _place(found.record, hash_)
    held = plain(found.record)["photos"]
    held[index] |= {
        "caption": form.text("caption"),
        "moment": form.text("moment"),
        "taken_on": form.text("taken_on") or None,
    }
    try:
        filed = use.change_improvement(at.shop, number, {"photos": held}, who.author, expected_version=seen)
    except Clash as clash:
        return clash_page(request, number, clash, {"photos": held}, seen, "seen")
    except InputError as error:
        problems = tuple(
            Problem(each.field.rpartition(".")[2], each.value, each.message) for each in error.problems
        )
        return _one(request, number, hash_, filled=Filled(form.values(), problems), status=422)
    return _done(number, filed, hash_)


@router.post("/improvements/{number:int}/photos/{hash_}/move")
def move(request: Request, number: int, hash_: str, who: Recorder, form: Form) -> Response:
    """Put a photo earlier or later in the order."""
    at = desk(request)
    found = use.improvement(at.shop, number)
    index = _place(found.record, hash_)
    held = plain(found.record)["photos"]
    target = index + (-1 if form.text("to") == "earlier" else 1)
    if 0 <= target < len(held):
        held[index], held[target] = held[target], held[index]
        use.change_improvement(
            at.shop, number, {"photos": held}, who.author, expected_version=found.version
        )  # fmt: skip
    return go(f"/improvements/{number}/photos#p-{hash_[:12]}")


@router.post("/improvements/{number:int}/photos/{hash_}/marks")
def marks(request: Request, number: int, hash_: str, who: Recorder, form: Form) -> Response:
    """Draw over a photo; the photo itself stays as it is."""
    try:
        drawn = _list_of(form, "marks")
        held = [checked(Mark, each) for each in _list_of(form, "held")] if form.text("held") else None
        filed = mark_photo(desk(request).shop, number, hash_, drawn, who.author, held=held)
    except InputError as error:
        wrong = tuple(each.sentence() for each in error.problems)
        return _one(request, number, hash_, wrong=wrong, status=422)
    return _done(number, filed, hash_)


@router.post("/improvements/{number:int}/photos/{hash_}/mask")
def mask(request: Request, number: int, hash_: str, who: Recorder, form: Form) -> Response:
    """Black out faces and drawings for good."""
    shop = desk(request).shop
    _place(use.improvement(shop, number).record, hash_)
    try:
        boxes = [Box(*(float(end) for end in each)) for each in _list_of(form, "boxes")]
        masked = mask_photo(shop, hash_, boxes, who.author, role=who.role)
    except AccessError as error:
        return _one(request, number, hash_, wrong=(error.args[0],), status=403)
    except (TypeError, ValueError, InputError):
        wrong = (N_("Drag a box over what is to be blacked out, then send it again."),)
        return _one(request, number, hash_, wrong=wrong, status=422)
    return go(f"/improvements/{number}/photos/{masked}")


@router.post("/improvements/{number:int}/photos/{hash_}/remove")
def remove(request: Request, number: int, hash_: str, who: Lead, form: Form) -> Response:
    """Remove a photo for good, here and wherever it is shown."""
    shop = desk(request).shop
    _place(use.improvement(shop, number).record, hash_)
    if form.text("sure") != "yes":
        wrong = (N_("Tick that it goes for good; nobody can bring it back."),)
        return _one(request, number, hash_, wrong=wrong, status=422)
    remove_photo(shop, hash_, who.author, form.text("why"))
    return go(f"/improvements/{number}/photos")


def _list_of(form: Posted, name: str) -> list[Any]:
    try:
        found = json.loads(form.text(name) or "[]")
    except ValueError:
        found = None
    if not isinstance(found, list) or not all(isinstance(each, (dict, list)) for each in found):
        raise InputError.of(name, None, N_("came back damaged; draw it again"))
    return found


def _done(number: int, filed: Filed[Improvement], hash_: str) -> Response:
    return go(f"/improvements/{number}/photos/{hash_}?saved={filed.version}")
