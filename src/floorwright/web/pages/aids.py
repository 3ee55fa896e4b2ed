"""Shop aids: choose a pattern, fill in its numbers, see what its checks say, keep it with an improvement."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Annotated, Any, Final

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from floorwright.basis.errors import (
    FloorwrightError,
    InputError,
    NoFeasibleError,
    NotFoundError,
    Problem,
    UnstableError,
)
from floorwright.basis.json_text import read_json
from floorwright.basis.quantity import UnitSystem
from floorwright.propose.aid.pattern import Pattern
from floorwright.propose.aid.registry import PATTERNS
from floorwright.propose.aid.spec import AidSpec
from floorwright.shop.aids import begin_with_aid, keep_aid, kept_aids
from floorwright.shop.clash import Clash
from floorwright.shop.filed import Filed
from floorwright.shop.improvements import improvement
from floorwright.shop.records import Improvement, Phase
from floorwright.web.aid_files import as_file
from floorwright.web.aid_shown import MARKS, AidShown, designed, rated_words, shown
from floorwright.web.desk import desk
from floorwright.web.forms import Filled, Posted
from floorwright.web.forms import Form as Sent
from floorwright.web.guard.visitors import Lead, Recorder, Viewer
from floorwright.web.in_turn import in_turn
from floorwright.web.pages.improvement import done
from floorwright.web.pages.improvement_add import WASTES
from floorwright.web.render import page, settings_of
from floorwright.web.spec_form import Form, form_of, suggestions
from floorwright.web.spec_values import beside, raw_of, summary_of, values_of

router = APIRouter()
For = Annotated[int | None, Query(alias="for", ge=1, le=2_000_000_000)]
WORDS: Final = {
    "fails": ("Fails", "fail", "fails"),
    "unknown": ("Not known yet", "are not known", "is not known"),
    "close": ("Close to the limit", "are close to the limit", "is close to the limit"),
    "ok": ("Holds", "hold", "holds"),
}
"""Of each verdict: the heading, and the verb for several checks and for one."""
WRONG: Final = (InputError, UnstableError, NoFeasibleError)
"""What a person mends in the form."""
_NEW: Final = ("title", "area", "waste")
_BEGIN: Final = "begin-"
"""Starts the names of these in the form: the spec on the same page has a title too."""


@router.get("/aids")
def aids(request: Request, _: Viewer, improvement: For = None) -> Response:
    """The patterns, each with what it is for, and the designs that are kept."""
    at = desk(request)
    units = settings_of(at).units
    kept = [(each, rated_words(_rated(each), units)) for each in kept_aids(at.shop)]
    context = {
        "patterns": tuple(PATTERNS.values()),
        "kept": kept,
        "words": WORDS,
        "marks": MARKS,
        "goes_to": improvement,
    }
    return page(request, "aids.html", context)


def _rated(filed: Filed[Improvement]) -> float | None:
    return None if filed.record.proposal is None else filed.record.proposal.rated_kg


@router.get("/aids/new/{name}")
def new(request: Request, _: Recorder, name: str, improvement: For = None) -> Response:
    """The form of a pattern, filled in with its example."""
    units = settings_of(desk(request)).units
    values = values_of(form(name, units), tomllib.loads(_pattern(name).example), units)
    return _page(request, _View(pattern=_pattern(name), filled=Filled(values), goes_to=improvement, fresh=True))


@router.post("/aids/new/{name}")
async def check(request: Request, _: Recorder, sent: Sent, name: str) -> Response:
    """What the checks say of the numbers, and the form as it was filled in."""
    return await in_turn(request, _checked, sent, name)


@router.post("/aids/file/{what}.{ending}")
async def file(request: Request, _: Recorder, sent: Sent, what: str, ending: str) -> Response:
    """A design that nobody has kept, as a file."""
    return await in_turn(request, _as_file, _spec(sent), what, ending)


@router.post("/aids/keep")
async def keep(request: Request, who: Lead, sent: Sent) -> Response:
    """Keep a design with an improvement, in place of the one that was there."""
    return await in_turn(request, _kept, who, sent)


@router.post("/aids/begin")
async def begin(request: Request, who: Lead, sent: Sent) -> Response:
    """Begin an improvement with a design."""
    return await in_turn(request, _begun, who, sent)


@router.get("/improvements/{number:int}/aid")
async def kept_design(request: Request, _: Viewer, number: int) -> Response:
    """The design that an improvement keeps, checked again by this version of the program."""
    return await in_turn(request, _again, number)


@router.get("/improvements/{number:int}/aid/{what}.{ending}")
async def kept_file(request: Request, _: Viewer, number: int, what: str, ending: str) -> Response:
    """The design that an improvement keeps, as a file."""
    return await in_turn(request, _kept_as_file, number, what, ending)


@dataclass(frozen=True, slots=True, kw_only=True)
class _View:
    """What the page of a design is made from."""

    pattern: Pattern[Any]
    filled: Filled
    goes_to: int | None = None
    fresh: bool = False
    found: AidShown | None = None
    raw: Mapping[str, Any] = field(default_factory=dict)
    kept: Filed[Improvement] | None = None
    keeping: Filled = field(default_factory=Filled)
    status: int = 200


def form(name: str, system: UnitSystem) -> Form:
    """The form of a pattern. Raises NotFoundError."""
    return _form(_pattern(name).name, system)


@lru_cache
def _form(name: str, system: UnitSystem) -> Form:
    schema = PATTERNS[name].spec.model_json_schema()
    last = ["joints", *(each for each in AidSpec.model_fields if each != "joints")]
    return form_of(schema, system, first="The aid", last=last, rare=("limits",))


def labels_of(fields: Form) -> dict[str, str]:
    """What people call each field: "Place: forked"."""
    return {
        each.name: f"{group.label}: {each.label.lower()}" if group.name else each.label
        for group in fields
        for each in group.all_fields()
    }


def _pattern(name: str) -> Pattern[Any]:
    if name not in PATTERNS:
        raise NotFoundError("There is no such kind of aid; choose one from the list.")
    return PATTERNS[name]


def _checked(request: Request, sent: Posted, name: str) -> Response:
    pattern, typed = _pattern(name), sent.values()
    settings = settings_of(desk(request))
    goes_to = int(sent.text("for")) if sent.text("for").isascii() and sent.text("for").isdigit() else None
    fields = form(name, settings.units)
    try:
        raw: dict[str, Any] = {"pattern": name} | raw_of(fields, typed)
        made = designed(raw, settings.units)
    except WRONG as error:
        view = _View(pattern=pattern, filled=Filled(typed, _beside(fields, error)), goes_to=goes_to, status=422)
        return _page(request, view)
    found = shown(made, settings, labels_of(fields))
    return _page(request, _View(pattern=pattern, filled=Filled(typed), goes_to=goes_to, found=found, raw=raw))


def _beside(fields: Form, error: FloorwrightError) -> tuple[Problem, ...]:
    problems = error.problems if isinstance(error, InputError) else (Problem("", None, str(error)),)
    return beside(fields, problems)


def _again(request: Request, number: int) -> Response:
    at = desk(request)
    settings = settings_of(at)
    filed = improvement(at.shop, number)
    kept = filed.record.proposal
    if kept is None:
        raise NotFoundError(f"Improvement {number} keeps no design; design one and keep it there.")
    pattern = _pattern(kept.pattern)
    fields = form(kept.pattern, settings.units)
    filled = Filled(values_of(fields, kept.spec))
    try:
        made = designed(kept.spec, settings.units)
    except WRONG as error:
        filled = Filled(filled.values, _beside(fields, error))
        return _page(request, _View(pattern=pattern, filled=filled, goes_to=number, kept=filed, raw=kept.spec))
    found = shown(made, settings, labels_of(fields))
    view = _View(pattern=pattern, filled=filled, goes_to=number, found=found, raw=kept.spec, kept=filed)
    return _page(request, view)


def _spec(sent: Posted) -> dict[str, Any]:
    """The spec that the page of a result carries along."""
    raw = read_json(sent.text("spec").encode(), finite=True)
    if not isinstance(raw, dict):
        raise InputError.of("spec", None, "is missing; check the design again")
    return raw


def _as_file(request: Request, raw: Mapping[str, Any], what: str, ending: str) -> Response:
    at = desk(request)
    return as_file(raw, what, ending, settings_of(at), at.shop.clock.now().date())


def _kept_as_file(request: Request, number: int, what: str, ending: str) -> Response:
    kept = improvement(desk(request).shop, number).record.proposal
    if kept is None:
        raise NotFoundError(f"Improvement {number} keeps no design.")
    return _as_file(request, kept.spec, what, ending)


def _kept(request: Request, who: Lead, sent: Posted) -> Response:
    raw, chosen = _spec(sent), sent.text("improvement")
    if not (chosen.isascii() and chosen.isdigit() and len(chosen) < 10):
        return _refused(
            request, sent, raw, (Problem("improvement", chosen, "Choose the improvement that it is for."),)
        )
    number = int(chosen)
    try:
        filed = keep_aid(desk(request).shop, number, raw, who.author)
    except (InputError, Clash) as error:
        problems = error.problems if isinstance(error, InputError) else (Problem("", None, str(error)),)
        return _refused(request, sent, raw, problems)
    return done(number, filed, "change")


def _begun(request: Request, who: Lead, sent: Posted) -> Response:
    raw, at = _spec(sent), desk(request)
    fields = {name: text for name in _NEW if (text := sent.text(f"{_BEGIN}{name}"))}
    fields |= {"noticed_by": who.name, "noticed_on": at.shop.clock.now().date().isoformat()}
    try:
        filed = begin_with_aid(at.shop, raw, fields, who.author)
    except InputError as error:
        told = (
            replace(each, field=f"{_BEGIN}{each.field}" if each.field in _NEW else each.field)
            for each in error.problems
        )
        return _refused(request, sent, raw, tuple(told))
    return done(filed.id, filed, "change")


def _refused(request: Request, sent: Posted, raw: Mapping[str, Any], problems: tuple[Problem, ...]) -> Response:
    """The result again, with what stands in the way of keeping it."""
    settings = settings_of(desk(request))
    found = designed(raw, settings.units)
    pattern = _pattern(found.spec.pattern)
    fields = form(pattern.name, settings.units)
    view = _View(
        pattern=pattern,
        filled=Filled(values_of(fields, raw)),
        found=shown(found, settings, labels_of(fields)),
        raw=raw,
        keeping=Filled(sent.values(), problems),
        status=422,
    )
    return _page(request, view)


def _page(request: Request, view: _View) -> Response:
    at = desk(request)
    settings = settings_of(at)
    fields = form(view.pattern.name, settings.units)
    labels = labels_of(fields)
    names = tuple(labels)
    context = {
        "pattern": view.pattern,
        "form": fields,
        "filled": view.filled,
        "wrong": [(name, labels[name], told) for name in names if (told := view.filled.wrong(name))],
        "elsewhere": view.filled.elsewhere(names),
        "summary_of": lambda group: summary_of(group, view.filled.values),
        "suggestions": suggestions(),
        "found": view.found,
        "fresh": view.fresh,
        "spec": json.dumps(view.raw),
        "kept": view.kept,
        "goes_to": view.goes_to,
        "keeping": view.keeping,
        "words": WORDS,
        "marks": MARKS,
        "improvements": _improvements(request),
        "areas": [(each, each) for each in settings.areas],
        "wastes": [(waste.value, text) for waste, text in WASTES],
        "new_names": ("improvement", *(f"{_BEGIN}{each}" for each in _NEW)),
    }
    return page(request, "aid.html", context, status=view.status)


def _improvements(request: Request) -> list[tuple[str, str]]:
    """Those that a design can be kept with."""
    return [
        (str(each.filed.id), f"{each.filed.id} · {each.filed.record.title}")
        for each in desk(request).teller.overviews()
        if each.phase is not Phase.DROPPED
    ]
