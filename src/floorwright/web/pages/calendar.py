"""What is due as a calendar that a calendar program reads again by itself, and the page with its address."""

from __future__ import annotations

import hashlib
from typing import Final

from fastapi import APIRouter, Request
from starlette.responses import PlainTextResponse, Response

from floorwright.exchange.calendar import MEDIA_TYPE, calendar_text
from floorwright.shop.due import due_in
from floorwright.shop.feed import end_feed_key, feed_made_at, make_feed_key, opens_the_calendar
from floorwright.web.desk import desk
from floorwright.web.forms import Form
from floorwright.web.guard.visitors import Viewer
from floorwright.web.render import go, page, settings_of

router = APIRouter()
AHEAD_DAYS: Final = 365
PATIENCE_S: Final = 20.0
_AGAIN_S: Final = 3600  # how often a calendar program should ask
_NONE: Final = "There is no calendar at this address. Make a new address in the app, under Today, Calendar."
_LATER: Final = "The results are being worked out; ask again in a minute."


@router.get("/calendar")
def calendar(request: Request, who: Viewer) -> Response:
    """Whether there is an address, and how to get one."""
    return page(request, "calendar.html", {"made_at": feed_made_at(desk(request).shop, who), "address": ""})


@router.post("/calendar")
def make(request: Request, who: Viewer, form: Form) -> Response:
    """Make a new address, or end the one that there is."""
    at = desk(request)
    if form.text("what") == "end":
        end_feed_key(at.shop, who)
        return go("/calendar")
    address = f"{at.options.base_url}/calendar.ics?key={make_feed_key(at.shop, who)}"
    return page(request, "calendar.html", {"made_at": feed_made_at(at.shop, who), "address": address})


@router.get("/calendar.ics")
def feed(request: Request, key: str = "") -> Response:
    """What is due in the next year."""
    at = desk(request)
    if not key or not opens_the_calendar(at.shop, key):
        return PlainTextResponse(_NONE, status_code=404)
    told = at.teller.told(patience=PATIENCE_S)
    if not told.complete:
        return PlainTextResponse(_LATER, status_code=503, headers={"Retry-After": "60"})
    now = at.shop.clock.now()
    # Written as of the day, so that the text stays the same until something in it changes.
    text = calendar_text(
        due_in(told.stories, now.date(), within_days=AHEAD_DAYS),
        shop=settings_of(at).name,
        at=now.replace(hour=0, minute=0, second=0),
        link=lambda number: f"{at.options.base_url}/improvements/{number}",
    )
    tag = f'"{hashlib.sha256(text.encode()).hexdigest()[:32]}"'
    headers = {"ETag": tag, "Cache-Control": f"private, max-age={_AGAIN_S}"}
    if tag in request.headers.get("if-none-match", ""):
        return Response(status_code=304, headers=headers)
    return Response(text.encode(), headers=headers, media_type=MEDIA_TYPE)
