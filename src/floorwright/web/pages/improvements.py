"""The list of improvements: found as one types, filtered, sorted, kept as a view, taken along as a file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, Literal
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.basis.errors import InputError
from floorwright.basis.sentence import Sentence
from floorwright.exchange.tables import improvements_table
from floorwright.exchange.writing import write_table
from floorwright.report.assemble_numbers import mark_of
from floorwright.report.page import Mark
from floorwright.shop import views
from floorwright.shop.admission import Role
from floorwright.shop.improvements import Overview
from floorwright.shop.records import Phase, Waste
from floorwright.shop.story import Story
from floorwright.web.desk import Desk, desk
from floorwright.web.forms import Form
from floorwright.web.guard.visitors import Viewer
from floorwright.web.pages.exporting import as_file
from floorwright.web.render import go, is_part, page, settings_of
from floorwright.web.words import N_

router = APIRouter()
STEP: Final = 100
MOST: Final = 100_000
ORDERS: Final = (
    ("number-up", N_("by number")),
    ("changed-down", N_("changed last")),
    ("noticed-down", N_("seen last")),
    ("title-up", N_("by title")),
    ("area-up", N_("by area")),
    ("waste-up", N_("by kind of waste")),
    ("phase-up", N_("by phase")),
)
VERDICTS: Final = (
    ("proven", N_("proven")),
    ("likely", N_("likely")),
    ("not shown", N_("not shown")),
    ("worse", N_("worse")),
    ("none", N_("no verdict yet")),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """An improvement as one row.

    Attributes:
        seen: where it stands.
        mark, word: the verdict of its main measure; "" while that is still being worked out.
        next_step: the one next step.
    """

    seen: Overview
    mark: Mark | Literal[""]
    word: str
    next_step: Sentence


@router.get("/improvements")
def improvements(request: Request, who: Viewer) -> Response:
    """The list; its part alone for one who types."""
    at = desk(request)
    wanted = wanted_of(request.query_params)
    told = at.teller.told(patience=3.0 if wanted.verdict else 0.5)
    found = _found(at, wanted, told.stories)
    show = shown(request.query_params.get("show", ""))
    stories = {each.filed.id: each for each in told.stories}
    address = query_of(wanted)
    context: dict[str, Any] = {
        "rows": [_row(each, stories.get(each.filed.id), complete=told.complete) for each in found[:show]],
        "found": len(found),
        "show": show,
        "more": min(STEP, len(found) - show),
        "next_show": show + STEP,
        "total": told.total,
        "complete": told.complete,
        "wanted": wanted,
        "order": f"{wanted.sort}-{wanted.direction}",
        "orders": ORDERS,
        "verdicts": VERDICTS,
        "phases": [each.value for each in Phase],
        "wastes": [each.value for each in Waste],
        "areas": settings_of(at).areas,
        "query": address,
        "everybodys": _named(at, views.SHOP),
        "own": _named(at, who.key),
    }
    return page(request, "improvements.html", context, block="list" if is_part(request) else "")


def wanted_of(given: Mapping[str, str]) -> views.Filter:
    """The filter of an address. Raises InputError."""
    fields = dict(given)
    sort, _, direction = fields.pop("order", "").partition("-")
    if sort:
        fields |= {"sort": sort, "direction": direction}
    return views.filter_of(fields)


def shown(given: str) -> int:
    """How many rows an address asks for."""
    number = int(given) if given.isascii() and given.isdigit() and len(given) < 7 else STEP
    return max(STEP, min(number, MOST))


def query_of(wanted: views.Filter) -> str:
    """A filter as the query of an address; "" for the whole list in its usual order."""
    held = wanted.model_dump(mode="json", exclude={"sort", "direction"})
    fields = {name: text for name, text in held.items() if text}
    order = f"{wanted.sort}-{wanted.direction}"
    return urlencode(fields | ({"order": order} if order != ORDERS[0][0] else {}))


def _named(at: Desk, owner: str) -> list[tuple[str, str]]:
    return [(each.name, query_of(each.filter)) for each in views.views(at.shop, owner=owner)]


def _found(at: Desk, wanted: views.Filter, stories: tuple[Story, ...]) -> list[Overview]:
    changed_at = views.last_changes(at.shop) if wanted.sort == "changed" else None
    verdicts = views.main_verdicts(stories) if wanted.verdict else None
    return views.filtered(at.teller.overviews(), wanted, changed_at, verdicts)


def _row(seen: Overview, story: Story | None, *, complete: bool) -> Row:
    if story is None:
        return Row(seen=seen, mark="", word="", next_step=seen.next_step)
    if not story.proofs or story.record.dropped:
        return Row(seen=seen, mark="waiting" if complete else "", word="", next_step=story.next_step)
    main = story.proofs[0]
    word = N_("not held") if main.held is False else main.verdict or N_("no verdict yet")
    return Row(seen=seen, mark=mark_of(main), word=word, next_step=story.next_step)


@router.get("/improvements/list.{ending}")
def export(request: Request, ending: Literal["csv", "xlsx"], _: Viewer) -> Response:
    """The improvements that the list shows, with what each of their measures shows, as a file."""
    at = desk(request)
    stories = at.teller.stories()
    by_number = {each.filed.id: each for each in stories}
    found = _found(at, wanted_of(request.query_params), stories)
    shown_ones = [by_number[each.filed.id] for each in found if each.filed.id in by_number]
    headings, rows = improvements_table(shown_ones, settings_of(at).currency)
    name = f"improvements.{ending}"
    return as_file(name, ending, lambda path: write_table(path, headings, rows, sheet="improvements"))


@router.post("/improvements/views")
def keep_view(request: Request, who: Viewer, form: Form) -> Response:
    """Keep what the list shows under a name, for oneself or (a lead) for everybody; or forget one."""
    at = desk(request)
    owner = views.SHOP if form.text("everybody") == "yes" and who.may(Role.LEAD) else who.key
    if form.text("forget"):
        views.remove_view(at.shop, form.text("forget"), owner=owner)
        return go("/improvements")
    name = form.text("name")
    if not name:
        raise InputError.of("name", name, N_("is missing; give the view a name, such as welding"))
    fields = {each: form.text(each) for each in (*views.Filter.model_fields, "order")}
    kept = views.save_view(at.shop, name, wanted_of(fields), owner=owner)
    return go(f"/improvements?{query_of(kept.filter)}")
