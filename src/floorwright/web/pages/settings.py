"""Settings: what the shop is and how it counts, in short groups that are saved each by itself."""

from __future__ import annotations

from typing import Any, Final

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.basis.errors import AccessError, ConflictError, InputError, NotFoundError, Problem
from floorwright.shop.clash import Clash
from floorwright.shop.here import keep_name_here
from floorwright.shop.ports import HistoryEntry
from floorwright.shop.records import Settings
from floorwright.shop.safekeeping import backup_reminder
from floorwright.shop.settings import change_settings, settings, settings_history, undo_settings
from floorwright.web.desk import desk, rename_here
from floorwright.web.forms import Filled, Form, Posted
from floorwright.web.guard.visitors import Lead, Viewer
from floorwright.web.pages import settings_fields as fields
from floorwright.web.render import go, page

router = APIRouter()
_NOTHING: Final = Filled()
_RECENT: Final = 8
_SPARE_ROWS: Final = 1  # the script adds more as they are filled
_TOLD: Final = {"password": "Your password is changed.", "here": "Your name is changed.", "undone": "Taken back."}


@router.get("/settings")
def settings_page(request: Request, _: Viewer) -> Response:
    """The settings; only a lead can change them."""
    return shown(request)


@router.post("/settings/undo")
def undo(request: Request, visitor: Lead, form: Form) -> Response:
    """Take one change back."""
    try:
        found = undo_settings(desk(request).shop, form.number("version"), visitor.author)
    except (InputError, ConflictError) as error:
        problems = error.problems if isinstance(error, InputError) else (Problem("", None, str(error)),)
        sentences = [each.message if each.field == "version" else each.sentence() for each in problems]
        return shown(request, sentences=sentences, status=422)
    return go(f"/settings?told=undone&version={found.version}")


@router.post("/settings/here")
def here(request: Request, visitor: Lead, form: Form) -> Response:
    """Change the name under which changes from this computer are filed."""
    if visitor.kind != "here":
        raise AccessError("The name at this computer can be changed only at this computer.", known=True)
    try:
        rename_here(request, keep_name_here(desk(request).shop, form.text("here")))
    except InputError as error:
        return shown(request, "here", Filled(form.values(), error.problems), status=422)
    return go("/settings?told=here#g-here")


@router.post("/settings/change/{group}")
def change(request: Request, group: str, visitor: Lead, form: Form) -> Response:
    """Save one group, from the version that the person saw."""
    found = fields.GROUPS.get(group)
    if found is None:
        raise NotFoundError(f"there is no group '{group}' of settings")
    shop = desk(request).shop
    now = settings(shop)
    try:
        new = change_settings(
            shop, found.read(form, now.record), visitor.author, expected_version=form.number("version")
        )
    except InputError as error:
        return shown(request, group, Filled(form.values(), error.problems), form=form, status=422)
    except Clash as clash:
        return shown(request, group, Filled(form.values()), form=form, clash=clash, status=409)
    # A version that was there before says that nothing was changed, so there is nothing to undo.
    return go(f"/settings?version={new.version if new.version != now.version else 0}&group={group}#g-{group}")


def shown(
    request: Request,
    group: str = "",
    filled: Filled = _NOTHING,
    *,
    form: Posted | None = None,
    clash: Clash | None = None,
    sentences: list[str] | None = None,
    status: int = 200,
) -> Response:
    """The page, with one group as it was sent and what is wrong with it."""
    at = desk(request)
    now = settings(at.shop)
    asked = request.query_params
    context: dict[str, Any] = {
        "now": now.record,
        "version": now.version,
        "sent_group": group,
        "seen": (_number(form.text("version")) if form else 0) or now.version,
        "held": fields.shown(now.record),
        "filled": dict.fromkeys((*fields.GROUPS, "here"), _NOTHING) | {group: filled},
        "rates": _rate_rows(now.record, form if group == "rates" else None),
        "shifts": _shift_rows(now.record, form if group == "shifts" else None),
        "bases": fields.BASES,
        "rest": _rest(group, filled),
        "clash": _clash_rows(clash, now.record) if clash else [],
        "clash_group": group if clash else "",
        "clash_version": clash.version if clash else 0,
        "clash_fields": _sent_fields(form) if form and clash else [],
        "sentences": sentences or [],
        "saved_group": asked.get("group", ""),
        "saved_version": _number(asked.get("version", "")),
        "told": _TOLD.get(asked.get("told", ""), ""),
        "recent": _recent(settings_history(at.shop), now.record),
        "reminder": backup_reminder(at.shop),
        "speed": fields.shown(now.record)["walking_speed_m_s"],
    }
    return page(request, "settings.html", context, status=status)


def _number(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else 0


def _rest(group: str, filled: Filled) -> dict[str, list[str]]:
    """What is wrong with a group and stands beside none of its boxes."""
    in_boxes = [] if group in ("rates", "shifts") else fields.GROUPS[group].fields if group in fields.GROUPS else []
    return (
        {group: [_told(each) for each in filled.problems if each.field not in in_boxes]} if group != "here" else {}
    )


def _told(problem: Problem) -> str:
    """A problem of a row, counted as people count: rates[0].per_hour -> row 1, per hour."""
    table, bracket, rest = problem.field.partition("[")
    if not bracket:
        return f"{problem.message}." if problem.field in fields.GROUP_OF else problem.sentence()
    number, _, name = rest.partition("]")
    place = f"Row {int(number) + 1}" if number.isdigit() else table
    return f"{place}{', ' + name.strip('.').replace('_', ' ') if name else ''}: {problem.message}."


def _rate_rows(now: Settings, form: Posted | None) -> list[tuple[str, ...]]:
    if form is not None:
        found = fields.rate_rows(form)
    else:
        found = [(each.name, each.basis.value, f"{each.per_hour:.2f}", each.note) for each in now.rates]
    return [*found, *([("", "burdened", "", "")] * _SPARE_ROWS)]


def _shift_rows(now: Settings, form: Posted | None) -> list[tuple[str, ...]]:
    if form is not None:
        found = fields.rows(form, "shift_name", "shift_starts", "shift_ends")
    else:
        found = [(each.name, fields.shift_times(each.starts), fields.shift_times(each.ends)) for each in now.shifts]
    return [*found, *([("", "", "")] * _SPARE_ROWS)]


def _clash_rows(clash: Clash, now: Settings) -> list[dict[str, str]]:
    return [
        {
            "field": fields_name(each.field),
            "yours": fields.in_words(each.field, each.yours, now.units),
            "theirs": fields.in_words(each.field, each.theirs, now.units),
        }
        for each in clash.clashes
    ]


def _sent_fields(form: Posted) -> list[tuple[str, str]]:
    """Everything that was sent but its version, to be sent again in sight of the newer one."""
    return [
        (name, value)
        for name, value in form.data.multi_items()
        if isinstance(value, str) and name not in ("form_key", "version")
    ]


def _recent(entries: list[HistoryEntry], now: Settings) -> list[dict[str, Any]]:
    found = []
    for each in reversed(entries[-_RECENT:]):
        changed = sorted({change.path.split(".")[0].split("[")[0] for change in each.changes})
        names = [fields_name(name) for name in changed]
        found.append({"entry": each, "what": ", ".join(names) if each.version > 1 else "the shop began"})
    return found


def fields_name(name: str) -> str:
    """A field of the settings in words."""
    return name.replace("_m_s", "").replace("_m", "").replace("_", " ")
