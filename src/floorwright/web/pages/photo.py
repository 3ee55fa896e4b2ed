"""The pictures themselves: only those that a record shows, and never kept where another person could find them."""

from __future__ import annotations

from threading import Lock
from typing import Annotated, Final

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from floorwright.basis.errors import NotFoundError
from floorwright.basis.sentence import said
from floorwright.shop.filed import load, load_all
from floorwright.shop.ports import Shop, UnitOfWork
from floorwright.shop.records import Improvement
from floorwright.web.desk import desk
from floorwright.web.guard.visitors import Viewer

router = APIRouter()
# Asked for anew each time, so that a photo that was masked or removed is seen by nobody after that; the address is
# the content, so the answer is short while it is the same.
_KEPT: Final = "private, no-cache"
_owners: dict[str, int] = {}
_lock = Lock()


@router.get("/photos/{hash_}")
def photo(
    request: Request, hash_: str, _: Viewer, width: Annotated[int | None, Query(ge=16, le=4096)] = None
) -> Response:
    """A photo, or a smaller copy at least so many pixels wide."""
    shop = desk(request).shop
    if not _is_shown(shop, hash_):
        raise NotFoundError(said("No record shows this photo."))
    headers = {"Cache-Control": _KEPT, "ETag": f'"{hash_[:32]}-{width or 0}"'}
    if request.headers.get("if-none-match") == headers["ETag"]:
        return Response(status_code=304, headers=headers)
    return Response(shop.photos.read(hash_, width), media_type="image/jpeg", headers=headers)


def _is_shown(shop: Shop, hash_: str) -> bool:
    """Whether a record shows it now. Where it was found last time is only a guess at where to look first."""
    with shop.work() as work:
        guess = _owners.get(hash_)
        if guess is not None and _shows(work, guess, hash_):
            return True
        found = {photo.hash: each.id for each in load_all(work, Improvement) for photo in each.record.photos}
    with _lock:
        _owners.clear()
        _owners.update(found)
    return hash_ in found


def _shows(work: UnitOfWork, number: int, hash_: str) -> bool:
    try:
        record = load(work, Improvement, number).record
    except NotFoundError:
        return False
    return any(each.hash == hash_ for each in record.photos)
