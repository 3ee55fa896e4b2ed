"""One improvement, read from top to bottom as the job; each part with the form that fills it in."""

from __future__ import annotations

from collections.abc import Mapping
from threading import Lock
from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.basis.errors import InputError, NotFoundError, Problem
from floorwright.basis.sentence import said
from floorwright.shop import improvements as use
from floorwright.shop.clash import Clash, body_at, plain
from floorwright.shop.filed import Filed, load
from floorwright.shop.ports import Shop
from floorwright.shop.records import Improvement, Phase, Settings
from floorwright.shop.story import Story
from floorwright.web.aid_shown import MARKS, pictures_of, rated_words
from floorwright.web.desk import Desk, desk
from floorwright.web.forms import Filled, Form
from floorwright.web.guard.visitors import Lead, Recorder, Viewer
from floorwright.web.pages import improvement_measures as measures
from floorwright.web.pages.improvement_clash import clash_page
from floorwright.web.pages.improvement_fields import GROUPS, beside
from floorwright.web.pages.improvement_parts import View, view_of
from floorwright.web.pages.photo_shown import photos_of
from floorwright.web.render import go, page, settings_of
from floorwright.web.words import N_, spoken
from floorwright.web.words import said as told

router = APIRouter()
_PART_OF = {
    "cautions": "change",
    "cost": "change",
    "notes": "trial",
    "safety_approval": "approval",
    "watch": "standard",
}
_MOST_KEPT = 200
_JUDGED = {
    "fails": N_("A check fails"),
    "unknown": N_("A check is not answered"),
    "close": N_("Every check holds, some closely"),
    "ok": N_("Every check holds"),
}


class _Views:
    """What the last pages showed in each language, until their story changes: charts take a second to draw."""

    def __init__(self) -> None:
        self._kept: dict[tuple[int, str], View] = {}
        self._lock = Lock()

    def of(self, shop: Shop, story: Story) -> View:
        key = (story.filed.id, spoken())
        with self._lock:
            kept = self._kept.get(key)
        if kept is not None and kept.story is story:
            return kept
        made = view_of(shop, story)
        with self._lock:
            if len(self._kept) >= _MOST_KEPT:
                self._kept.clear()
            self._kept[key] = made
        return made


_views = _Views()


@router.get("/improvements/{number:int}")
def improvement(request: Request, number: int, _: Viewer) -> Response:
    """The page of an improvement."""
    return show(request, number)


def show(
    request: Request,
    number: int,
    *,
    opened: str = "",
    filled: Filled | None = None,
    seen: int = 0,
    status: int = 200,
) -> Response:
    """The page; with a form that was refused it stands open, as it was typed, for the version it was seen at."""
    at = desk(request)
    story = at.teller.story(number)
    view = _views.of(at.shop, story)
    body = plain(story.record)
    forms = forms_of(body, story.settings)
    if filled is not None:
        forms[opened] = filled
    context: dict[str, Any] = {
        "view": view,
        "story": story,
        "record": story.record,
        "number": number,
        "sheet": view.sheet,
        "groups": GROUPS,
        "measure_kinds": measures.KINDS,
        "forms": forms,
        "opened": opened,
        "opened_part": _PART_OF.get(opened, "measures" if opened.startswith("measure") else opened),
        "version_of": lambda name: seen if name == opened and seen else story.filed.version,
        "saved": _saved(request, story),
        "saved_part": request.query_params.get("part", ""),
        "photos": photos_of(at.shop, story.record.photos),
        "next_form": next_form(view),
        "design": _design(story),
        "translated": lambda options: [(value, told(text)) for value, text in options],
    }
    return page(request, "improvement.html", context, status=status)


def _design(story: Story) -> dict[str, Any] | None:
    """The design that is kept, as the page shows it."""
    kept = story.record.proposal
    if kept is None:
        return None
    return {
        "kept": kept,
        "mark": MARKS[kept.verdict],
        "word": _JUDGED[kept.verdict],
        "rated": rated_words(kept.rated_kg, story.settings.units),
        "views": pictures_of(kept.spec, story.settings.units)[:2],
    }


def next_form(view: View) -> str:
    """The form that stands open because what it asks for is the next step; "" where that is no form."""
    record, phase = view.story.record, view.story.phase
    if not record.measures:
        return "measure-new"
    if phase is Phase.PLAN and not record.countermeasure:
        before = [each for each in view.measures[0].studies if each.moment == "before"]
        return "change" if before and not before[-1].missing else ""
    if phase is Phase.DO:
        return "trial"
    if phase is Phase.ACT and not record.standard_work:
        return "standard"
    return "watch" if phase is Phase.ACT and record.watch is None else ""


def _saved(request: Request, story: Story) -> int:
    """The version that was just made, so that it can be undone; 0 where nothing was."""
    given = request.query_params.get("saved", "")
    return story.filed.version if given == str(story.filed.version) and story.filed.version > 1 else 0


def forms_of(body: Mapping[str, Any], settings: Settings) -> dict[str, Filled]:
    """Every form of the page as it stands for a record."""
    found = {name: Filled(group.values(body)) for name, group in GROUPS.items()}
    found["drop"] = Filled({"dropped": ""})
    found["note"] = Filled({"note": ""})
    for index, measure in enumerate(body["measures"]):
        found[f"measure-{index}"] = Filled(measures.shown(str(index), measure, settings.units))
    found[f"measure-{measures.NEW}"] = Filled(measures.shown(measures.NEW, None, settings.units))
    return found


def seen_body(at: Desk, number: int, version: int) -> dict[str, Any]:
    """An improvement as its author saw it when the form was made. Raises NotFoundError."""
    with at.shop.work() as work:
        return body_at(work, load(work, Improvement, number), version)


@router.post("/improvements/{number:int}/change/{name}")
def change(request: Request, number: int, name: str, who: Lead, form: Form) -> Response:
    """Fill in or change one part; what others changed in other fields meanwhile stays."""
    group = GROUPS.get(name)
    if group is None:
        raise NotFoundError(said("an improvement has no part '{name}'", name=name))
    at, seen = desk(request), form.number("version")
    fields = group.changes(form, seen_body(at, number, seen))
    if not fields:
        return go(f"/improvements/{number}#{_PART_OF.get(name, name)}")
    try:
        reason = form.text(f"{name}-reason")
        filed = use.change_improvement(at.shop, number, fields, who.author, reason=reason, expected_version=seen)
    except Clash as clash:
        return clash_page(request, number, clash, fields, seen, _PART_OF.get(name, name))
    except InputError as error:
        filled = Filled(form.values(), beside(error, group))
        return show(request, number, opened=name, filled=filled, seen=seen, status=422)
    return done(number, filed, name)


@router.post("/improvements/{number:int}/measures")
def change_measure(request: Request, number: int, who: Lead, form: Form) -> Response:
    """Say what is measured: change a measure, add one, take one away."""
    at, seen, place = desk(request), form.number("version"), form.text("place")
    held = seen_body(at, number, seen)["measures"]
    if place != measures.NEW and not (place.isascii() and place.isdigit() and int(place) < len(held)):
        raise InputError.of("place", place, said("names no measure of this improvement; reload the page"))
    opened = f"measure-{place}"
    index = len(held) if place == measures.NEW else int(place)
    try:
        wanted = {"measures": measures.with_measure(form, place, held, settings_of(at).units)}
        reason = form.text(f"{opened}-reason")
        filed = use.change_improvement(at.shop, number, wanted, who.author, reason=reason, expected_version=seen)
    except Clash as clash:
        return clash_page(request, number, clash, wanted, seen, "measures")
    except InputError as error:
        filled = Filled(form.values(), measures.beside(error, place, index))
        return show(request, number, opened=opened, filled=filled, seen=seen, status=422)
    return done(number, filed, "measures")


@router.post("/improvements/{number:int}/drop")
def drop(request: Request, number: int, who: Lead, form: Form) -> Response:
    """Drop an improvement and say why, or bring it back."""
    at, why = desk(request), form.text("dropped")
    if form.text("back"):
        fields, reason = {"dropped": ""}, "brought back"
    elif why:
        fields, reason = {"dropped": why}, why
    else:
        wrong = Problem("dropped", "", N_("Say why it is dropped, so that nobody tries it again blindly."))
        return show(request, number, opened="drop", filled=Filled(form.values(), (wrong,)), status=422)
    seen = form.number("version")
    try:
        filed = use.change_improvement(at.shop, number, fields, who.author, reason=reason, expected_version=seen)
    except Clash as clash:
        return clash_page(request, number, clash, fields, seen, "drop")
    except InputError as error:
        return show(request, number, opened="drop", filled=Filled(form.values(), error.problems), status=422)
    return done(number, filed, "drop")


@router.post("/improvements/{number:int}/notes")
def note(request: Request, number: int, who: Recorder, form: Form) -> Response:
    """Add a note of today."""
    text = form.text("note")
    try:
        if not text:
            raise InputError.of("note", text, N_("Write what was seen on trial."))
        filed = use.add_note(desk(request).shop, number, text, who.author)
    except InputError as error:
        problems = tuple(Problem("note", each.value, each.message) for each in error.problems)
        return show(request, number, opened="note", filled=Filled(form.values(), problems), status=422)
    return done(number, filed, "notes")


@router.post("/improvements/{number:int}/undo")
def undo(request: Request, number: int, who: Lead, form: Form) -> Response:
    """Take back what one version changed."""
    use.undo_change(desk(request).shop, number, form.number("version"), who.author)
    return go(f"/improvements/{number}/history" if form.text("from") == "history" else f"/improvements/{number}")


def done(number: int, filed: Filed[Improvement], name: str) -> Response:
    """Back to the part that was changed, with the way to undo it."""
    part = _PART_OF.get(name, name)
    return go(f"/improvements/{number}?saved={filed.version}&part={part}#{part}")
