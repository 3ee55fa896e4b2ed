"""Today: what needs someone, and what has been gained so far."""

from __future__ import annotations

from typing import Any, Final

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.prove.ledger import Ledger
from floorwright.shop.admission import Role
from floorwright.shop.due import due_in
from floorwright.shop.safekeeping import backup_reminder
from floorwright.shop.words import hours_number, money_text
from floorwright.web.desk import desk
from floorwright.web.guard.visitors import Viewer
from floorwright.web.pages.today_groups import groups_of, said_once
from floorwright.web.render import is_part, page, settings_of

router = APIRouter()
SOON_DAYS: Final = 14
MOST_ITEMS: Final = 20  # of a group; the list holds them all


@router.get("/")
def today(request: Request, who: Viewer) -> Response:
    """What needs someone today, what comes soon, gains so far."""
    at = desk(request)
    told = at.teller.told(patience=1.0)
    now = at.shop.clock.now().date()
    things = due_in(told.stories, now, within_days=SOON_DAYS)
    context: dict[str, Any] = {
        "told": told,
        "today": now,
        "groups": groups_of(things, told.stories, now),
        "said_once": said_once,
        "gains": gains_of(at.teller.ledger(told.stories), settings_of(at).currency),
        "proofs": _verdicts(told.stories),
        "most_items": MOST_ITEMS,
        "reminder": backup_reminder(at.shop) if who.may(Role.LEAD) and not at.options.demo else None,
    }
    return page(request, "today.html", context, block="content" if is_part(request) else "")


def gains_of(book: Ledger, currency: str) -> dict[str, dict[str, str]]:
    """Hours and money a year by standing, each with the ends of its interval; they are never added up."""
    found = {}
    for standing in ("banked", "freed", "hoped"):
        each = book.sum(standing)
        paid = standing == "banked"
        inside = each.money_interval if paid else each.hours_interval
        ends = ("", "") if inside is None else (inside.low, inside.high)
        low, high = ("" if end == "" else _end(float(end), currency if paid else "") for end in ends)
        found[standing] = {
            "hours": hours_number(float(each.hours)),
            "money": money_text(float(each.money), currency) if standing != "freed" else "",
            "low": low,
            "high": high,
        }
    return found


def _end(end: float, currency: str) -> str:
    return money_text(end, currency) if currency else hours_number(end)


def _verdicts(stories: Any) -> dict[str, int]:
    """How many improvements stand at each verdict of their main measure."""
    found = {"proven": 0, "likely": 0, "not shown": 0, "worse": 0}
    for story in stories:
        if story.proofs and story.proofs[0].verdict and not story.record.dropped:
            found[story.proofs[0].verdict] += 1
    return found
