"""Gains by month with the ledger behind them."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.shop.records import Phase
from floorwright.web.desk import desk
from floorwright.web.guard.visitors import Viewer
from floorwright.web.ledger_view import ledger_page
from floorwright.web.render import is_part, page, settings_of

router = APIRouter()


@router.get("/charts")
def charts(request: Request, _: Viewer) -> Response:
    """What has come in month by month, the ledger, and the ways to the other charts."""
    at = desk(request)
    told = at.teller.told(patience=1.0)
    titles = {each.filed.id: each.record.title for each in told.stories}
    book = at.teller.ledger(told.stories)
    alive = [each for each in told.stories if each.phase is not Phase.DROPPED]
    watched = [each for each in alive if each.record.watch or each.record.approval]
    context: dict[str, Any] = {
        "told": told,
        "ledger": ledger_page(book, titles, settings_of(at), at.shop.clock.now().date()),
        "watched": watched,
        "open": sum(each.phase is not Phase.ACT for each in alive),
    }
    return page(request, "charts.html", context, block="content" if is_part(request) else "")
