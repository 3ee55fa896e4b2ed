"""Timing, counting, walking, lifting and timing from a video: pages whose scripts do the work on the device."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final, cast, get_args

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.basis.errors import InputError
from floorwright.basis.sentence import said
from floorwright.shop.records import MeasureKind, Moment
from floorwright.shop.timing import MOMENTS, ToTime, choices, study_for, to_time
from floorwright.web import words
from floorwright.web.desk import desk
from floorwright.web.forms import Form
from floorwright.web.guard.visitors import Recorder
from floorwright.web.phone_strings import strings
from floorwright.web.render import go, page
from floorwright.web.words import N_

router = APIRouter()

PAGE_OF: Final[Mapping[MeasureKind, str]] = {
    MeasureKind.TIMES: "watch",
    MeasureKind.COUNTS: "count",
    MeasureKind.SHARES: "count",
    MeasureKind.DISTANCE: "walk",
    MeasureKind.LIFT: "lift",
}
"""The page on which each kind of measure is taken; the others are typed in on the study's page."""
_MOMENT_WORDS: Final[Mapping[Moment, str]] = {
    "before": N_("before the change"),
    "after": N_("after the change"),
    "again": N_("measured again"),
}

_NOT_SEEN: Final = N_("not seen")


def moment_words(moment: Moment) -> str:
    """A moment as the page says it."""
    return words.gettext(_MOMENT_WORDS[moment])


@router.get("/improvements/{number:int}/time")
def choose(request: Request, number: int, _: Recorder) -> Response:
    """What to take now: one tap starts it."""
    filed, found = choices(desk(request).shop, number)
    context = {
        "number": number,
        "record": filed.record,
        "choices": found,
        "moments": MOMENTS,
        "moment_words": moment_words,
        "page_of": PAGE_OF,
    }
    return page(request, "time.html", context)


@router.post("/improvements/{number:int}/time")
def start(request: Request, number: int, form: Form, visitor: Recorder) -> Response:
    """Open the page that takes it, on the study that is there or a new one."""
    moment = form.text("moment")
    if moment not in get_args(Moment):
        raise InputError.of("moment", moment, said("should be before, after or again"))
    at = desk(request)
    filed = study_for(at.shop, number, form.text("measure"), cast("Moment", moment), visitor.author)
    kind = filed.record.kind
    if kind not in PAGE_OF:
        return go(f"/studies/{filed.id}")
    return go(f"/studies/{filed.id}/{PAGE_OF[kind]}" + ("#start" if kind is MeasureKind.TIMES else ""))


@router.get("/studies/{number:int}/watch")
def watch(request: Request, number: int, _: Recorder) -> Response:
    """The stopwatch."""
    return _floor_page(request, number, "watch", _times, {MeasureKind.TIMES})


@router.get("/studies/{number:int}/video")
def video(request: Request, number: int, _: Recorder) -> Response:
    """Times from a video that stays on the device."""
    return _floor_page(request, number, "video", _times, {MeasureKind.TIMES})


@router.get("/studies/{number:int}/count")
def count(request: Request, number: int, _: Recorder) -> Response:
    """Counting with big keys."""
    return _floor_page(request, number, "count", _counts, {MeasureKind.COUNTS, MeasureKind.SHARES})


@router.get("/studies/{number:int}/walk")
def walk(request: Request, number: int, _: Recorder) -> Response:
    """Stations in the order in which a person goes."""
    return _floor_page(request, number, "walk", _walks, {MeasureKind.DISTANCE})


@router.get("/studies/{number:int}/lift")
def lift(request: Request, number: int, _: Recorder) -> Response:
    """The lifting index while it is typed."""
    return _floor_page(request, number, "lift", _lifts, {MeasureKind.LIFT})


def _floor_page(
    request: Request, number: int, name: str, more: Callable[[ToTime], dict[str, Any]], kinds: set[MeasureKind]
) -> Response:
    found = to_time(desk(request).shop, number)
    if found.measure.kind not in kinds:
        elsewhere = PAGE_OF.get(found.measure.kind)
        return go(f"/studies/{number}/{elsewhere}" if elsewhere else f"/studies/{number}")
    with words.speaking(words.language_of(request)):
        data = _common(found) | more(found) | {"strings": strings(name)}
        moment = moment_words(found.study.record.moment)
    return page(request, f"{name}.html", {"name": name, "data": data, "moment": moment})


def _common(found: ToTime) -> dict[str, Any]:
    study, measure = found.study.record, found.measure
    return {
        "study": found.study.id,
        "version": found.study.version,
        "improvement": found.improvement.id,
        "title": found.improvement.record.title,
        "measure": {
            "name": measure.name,
            "element": measure.element,
            "include_setup": measure.include_setup,
            "kind": measure.kind.value,
            "per": measure.per,
            "better": measure.better,
        },
        "moment": study.moment,
        "asked": study.people_asked_on is not None,
        "first_cycle": found.next_cycle,
        "planned": study.planned,
        "settings": {
            "units": found.settings.units,
            "confidence": found.settings.confidence,
            "relative_error": found.relative_error,
        },
        "so_far": [list(each) for each in found.so_far],
    }


def _times(found: ToTime) -> dict[str, Any]:
    study = found.study.record
    return {
        "timing": study.timing,
        "elements": [
            {"name": each.name, "work": each.work, "frequency": each.frequency} for each in study.elements
        ],
        "before": list(found.before),
    }


def _counts(found: ToTime) -> dict[str, Any]:
    own = {"study": found.study.id, "name": found.measure.name}
    if found.measure.kind is MeasureKind.SHARES:
        return {"keys": [own, {"study": found.study.id, "name": words.gettext(_NOT_SEEN)}]}
    return {"keys": [own, *({"study": each.id, "name": each.record.measure} for each in found.counted_with)]}


def _walks(found: ToTime) -> dict[str, Any]:
    named = dict.fromkeys(place for start, end, _ in found.settings.distances_m for place in (start, end))
    return {"stations": list(named), "distances": [list(each) for each in found.settings.distances_m]}


def _lifts(found: ToTime) -> dict[str, Any]:
    return {"form": "us" if found.settings.units == "us" else "metric"}
