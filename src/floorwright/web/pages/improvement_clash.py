"""Somebody else changed the same fields meanwhile: both versions side by side, pick each, send again."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.basis.errors import AccessError, InputError
from floorwright.basis.sentence import said
from floorwright.shop import improvements as use
from floorwright.shop.admission import Role
from floorwright.shop.clash import Clash, body_at, plain
from floorwright.shop.filed import load, with_fields
from floorwright.shop.merge import FieldClash, merge
from floorwright.shop.records import Improvement
from floorwright.web.desk import desk
from floorwright.web.forms import Form, Posted
from floorwright.web.guard.visitors import Recorder
from floorwright.web.record_words import field_words, value_words
from floorwright.web.render import go, page, settings_of

router = APIRouter()
YOURS, THEIRS, BOTH = "yours", "theirs", "both"


def clash_page(
    request: Request, number: int, clash: Clash, fields: Mapping[str, Any], seen: int, part: str
) -> Response:
    """Both versions of every field that two people changed, and the rest of the change beside them."""
    at = desk(request)
    settings = settings_of(at)
    with at.shop.work() as work:
        now = load(work, Improvement, number)
        base = body_at(work, now, seen)
        later = [each for each in work.records.history("improvement", number) if each.version > seen]
    together = merge(base, with_fields(base, fields), plain(now.record)).body
    rest = {name: together[name] for name in dict.fromkeys(path.split(".")[0] for path in fields)}
    context = {
        "address": f"/improvements/{number}",
        "title": f"{number} · {now.record.title}",
        "version": clash.version,
        "part": part,
        "later": later,
        "rest": json.dumps(rest, ensure_ascii=False),
        "clashes": [shown(each, settings) for each in clash.clashes],
    }
    return page(request, "clash.html", context, status=409)


def shown(each: FieldClash, settings: Any) -> dict[str, Any]:
    """A field that two people changed, in words."""
    text = all(isinstance(value, str) for value in (each.yours, each.theirs))
    return {
        "field": each.field,
        "label": field_words(each.field),
        "base": value_words(each.field, each.base, settings),
        "yours": value_words(each.field, each.yours, settings),
        "theirs": value_words(each.field, each.theirs, settings),
        "sent": json.dumps(each.yours, ensure_ascii=False),
        "both": f"{each.theirs}\n{each.yours}" if text and len(each.theirs + each.yours) > 60 else "",
    }


@router.post("/improvements/{number:int}/clash")
def settle(request: Request, number: int, who: Recorder, form: Form) -> Response:
    """Store what was picked, in sight of both versions; who changed it again meanwhile is shown once more."""
    seen, part = form.number("version"), form.text("part")
    fields = _json(form.text("rest"), "rest")
    if not isinstance(fields, dict):
        raise InputError.of(
            "rest", None, said("is no list of fields; go back to the improvement and change it there")
        )
    fields |= picked(form)
    if who.role < Role.LEAD and set(fields) - {"photos", "trial_notes"}:
        raise AccessError(said("This needs the role lead; photos and notes a recorder settles."), known=True)
    try:
        filed = use.change_improvement(
            desk(request).shop, number, fields, who.author, reason="chosen between two versions",
            expected_version=seen,
        )  # fmt: skip
    except Clash as clash:
        return clash_page(request, number, clash, fields, seen, part)
    anchor = part if part.isidentifier() else "top"
    return go(f"/improvements/{number}?saved={filed.version}&part={anchor}#{anchor}")


def picked(form: Posted) -> dict[str, Any]:
    """What somebody chose between two versions. Raises InputError for what came back damaged."""
    found = {}
    for name in form.texts("field"):
        pick = form.text(f"pick-{name}")
        if pick == YOURS:
            found[name] = _json(form.text(f"yours-{name}"), name)
        elif pick == BOTH:
            found[name] = form.text(f"both-{name}").replace("\r\n", "\n")
    return found


def _json(text: str, name: str) -> Any:
    try:
        return json.loads(text)
    except ValueError:
        said = "came back damaged; go back to the improvement and change it there"
        raise InputError.of(name, None, said) from None
