"""The printed sheets, seen before they are printed: of one improvement, and of the shop."""

from __future__ import annotations

import re
import unicodedata
from functools import partial
from typing import Final

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.basis.errors import NotFoundError
from floorwright.report import preview_improvement, preview_summary, render_improvement, render_summary
from floorwright.report.assemble import improvement_page
from floorwright.report.assemble_shop import shop_summary
from floorwright.shop.gains import ledger_of
from floorwright.web.desk import desk
from floorwright.web.guard.visitors import Viewer
from floorwright.web.render import page
from floorwright.web.sheets import DPI, Sheet, sheets

router = APIRouter()
_KEEP: Final = {"Cache-Control": "private, max-age=86400, immutable"}


def _of_improvement(request: Request, number: int) -> Sheet:
    at = desk(request)
    printed = improvement_page(at.teller.story(number), at.shop.photos.read)
    pages = partial(preview_improvement, printed, dpi=DPI)
    return sheets().sheet(printed, partial(render_improvement, printed), pages)


def _of_shop(request: Request) -> Sheet | None:
    """The sheet of the shop; None while it has no improvement."""
    at = desk(request)
    told = at.teller.stories()
    if not told:
        return None
    printed = shop_summary(told, ledger_of(at.shop, told))
    return sheets().sheet(printed, partial(render_summary, printed), partial(preview_summary, printed, dpi=DPI))


@router.get("/improvements/{number:int}/sheet")
def sheet(request: Request, number: int, _: Viewer) -> Response:
    """The sheet of an improvement, page by page."""
    told = desk(request).teller.story(number)
    found = _of_improvement(request, number)
    context = {
        "title": told.record.title,
        "back": f"/improvements/{number}",
        "back_words": f"No. {number} · {told.record.title}",
        "sheet": found,
        "path_to": f"/improvements/{number}/sheet",
        "file_name": f"{number:03d}-{plain_name(told.record.title)}.pdf",
    }
    return page(request, "sheet.html", context)


@router.get("/improvements/{number:int}/sheet.pdf")
def sheet_pdf(request: Request, number: int, _: Viewer, download: str = "") -> Response:
    """The PDF itself."""
    title = desk(request).teller.story(number).record.title
    return _pdf(_of_improvement(request, number), f"{number:03d}-{plain_name(title)}.pdf", download)


@router.get("/improvements/{number:int}/sheet/{place:int}.png")
def sheet_page(request: Request, number: int, place: int, _: Viewer, v: str = "") -> Response:
    """One page as a picture."""
    return _png(_of_improvement(request, number), place, v)


@router.get("/charts/sheet")
def shop_sheet(request: Request, _: Viewer) -> Response:
    """The sheet of the shop."""
    context = {
        "title": "The shop on one sheet",
        "back": "/charts",
        "back_words": "Charts",
        "sheet": _of_shop(request),
        "path_to": "/charts/sheet",
        "file_name": "shop.pdf",
    }
    return page(request, "sheet.html", context)


@router.get("/charts/sheet.pdf")
def shop_sheet_pdf(request: Request, _: Viewer, download: str = "") -> Response:
    """The PDF itself."""
    return _pdf(_there(_of_shop(request)), "shop.pdf", download)


@router.get("/charts/sheet/{place:int}.png")
def shop_sheet_page(request: Request, place: int, _: Viewer, v: str = "") -> Response:
    """One page as a picture."""
    return _png(_there(_of_shop(request)), place, v)


def _there(found: Sheet | None) -> Sheet:
    if found is None:
        raise NotFoundError("The shop has no improvement yet, so there is no sheet of it. Note the first waste.")
    return found


def _pdf(found: Sheet, name: str, download: str) -> Response:
    way = "attachment" if download else "inline"
    return Response(
        found.pdf, media_type="application/pdf", headers={"Content-Disposition": f'{way}; filename="{name}"'}
    )


def _png(found: Sheet, place: int, mark: str) -> Response:
    if not 1 <= place <= len(found.pages):
        raise NotFoundError(f"The sheet has {len(found.pages)} pages; there is no page {place}.")
    return Response(found.pages[place - 1], media_type="image/png", headers=_KEEP if mark == found.mark else None)


def plain_name(title: str) -> str:
    """A title as a file name that every system takes."""
    flat = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", flat.lower()).strip("-")[:60] or "improvement"
