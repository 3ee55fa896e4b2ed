"""The page that a phone opens from the lead's QR code: give it a name, and it is in."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.basis.errors import AccessError, InputError, Problem
from floorwright.shop.access import DEVICE_LIFE, pair
from floorwright.web.desk import desk
from floorwright.web.forms import Filled, Form
from floorwright.web.pages.signing import admitted, refused_at_door
from floorwright.web.render import page

router = APIRouter()


@router.get("/pair")
def pair_page(request: Request, code: str = "") -> Response:
    """Type the code, or find it filled in from the QR code."""
    return page(request, "pair.html", {"filled": Filled({"code": code[:40]})})


@router.post("/pair")
def pair_now(request: Request, form: Form) -> Response:
    """Make this phone a device of the shop."""
    code, name = form.text("code"), form.text("name")
    try:
        secret, _ = pair(desk(request).shop, code, name)
    except InputError as error:
        return page(request, "pair.html", {"filled": Filled(form.values(), error.problems)}, status=422)
    except AccessError as error:
        wrong = Filled({"name": name, "code": code}, (Problem("code", None, str(error)),))
        return refused_at_door(page(request, "pair.html", {"filled": wrong}, status=422), error)
    return admitted(request, secret, int(DEVICE_LIFE.total_seconds()), "/")
