"""The list of improvements."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.shop.improvements import overviews
from floorwright.web.desk import desk
from floorwright.web.guard.visitors import Viewer
from floorwright.web.render import is_part, page

router = APIRouter()


@router.get("/improvements")
def improvements(request: Request, _: Viewer) -> Response:
    """All improvements with phase and next step."""
    found = overviews(desk(request).shop)
    return page(request, "improvements.html", {"found": found}, block="list" if is_part(request) else "")
