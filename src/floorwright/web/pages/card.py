"""A card with the address of an improvement and a picture of it to scan, to print and stick on the thing itself."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.shop.improvements import improvement
from floorwright.web.desk import desk
from floorwright.web.guard.visitors import Viewer
from floorwright.web.qr import qr_svg
from floorwright.web.render import page

router = APIRouter()


@router.get("/improvements/{number:int}/card")
def card(request: Request, number: int, _: Viewer) -> Response:
    """The card of an improvement."""
    at = desk(request)
    found = improvement(at.shop, number)
    address = f"{at.options.base_url}/improvements/{number}"
    context = {"number": number, "record": found.record, "address": address, "code": qr_svg(address)}
    return page(request, "card.html", context)
