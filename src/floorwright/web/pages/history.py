"""Every change of an improvement: who, when, why, what stood before and after, and the way to take it back."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Final

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.shop.clash import body_at
from floorwright.shop.filed import load
from floorwright.shop.ports import Change
from floorwright.shop.records import Improvement, MeasureKind, Settings
from floorwright.web.desk import desk
from floorwright.web.guard.visitors import Viewer
from floorwright.web.pages.improvement_measures import smallest_text
from floorwright.web.record_words import field_words, value_words
from floorwright.web.render import page, settings_of

router = APIRouter()
_SMALLEST: Final = re.compile(r"measures\[(\d+)\]\.smallest_that_matters\Z")


@router.get("/improvements/{number:int}/history")
def history(request: Request, number: int, _: Viewer) -> Response:
    """The versions of an improvement, the latest first."""
    at = desk(request)
    settings = settings_of(at)
    with at.shop.work() as work:
        now = load(work, Improvement, number)
        entries = work.records.history("improvement", number)
        bodies = {each.version: body_at(work, now, each.version) for each in entries if _needs_kind(each.changes)}
    told = [
        {
            "entry": each,
            "changes": [_words(change, bodies.get(each.version, {}), settings) for change in each.changes]
            if each.version > 1
            else [],
        }
        for each in reversed(entries)
    ]
    context = {"number": number, "title": now.record.title, "told": told, "version": now.version}
    return page(request, "history.html", context)


def _needs_kind(changes: tuple[Change, ...]) -> bool:
    return any(_SMALLEST.match(each.path) for each in changes)


def _words(change: Change, body: Mapping[str, Any], settings: Settings) -> dict[str, str]:
    found = _SMALLEST.match(change.path)
    if found is not None:
        kind = MeasureKind(body["measures"][int(found[1])]["kind"])

        def words(value: Any) -> str:
            return smallest_text(kind, float(value or 0), settings.units) or value_words(
                change.path, None, settings
            )

    else:

        def words(value: Any) -> str:
            return value_words(change.path, value, settings)

    return {"field": field_words(change.path), "before": words(change.before), "after": words(change.after)}
