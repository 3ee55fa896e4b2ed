"""One study: what it says so far, its readings with corrections, the days on which people were asked and shown."""

from __future__ import annotations

import datetime as dt
import secrets
from collections.abc import Callable
from typing import Annotated, Any, Final

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from floorwright.basis.errors import InputError, NotFoundError, Problem
from floorwright.basis.sentence import said
from floorwright.shop import studies as use
from floorwright.shop.baseline import Baseline, baseline
from floorwright.shop.clash import Clash
from floorwright.shop.filed import Filed, checked, load
from floorwright.shop.once import once
from floorwright.shop.records import Improvement, MeasureKind, Observation, Study
from floorwright.shop.typed import next_cycle, number, typed_rating, typed_value, value_text
from floorwright.web import words
from floorwright.web.desk import Desk, desk
from floorwright.web.forms import Filled, Form, Posted
from floorwright.web.guard.visitors import Lead, Recorder, Viewer
from floorwright.web.pages.study_clash import study_clash_page
from floorwright.web.pages.timing import moment_words
from floorwright.web.render import go, page, settings_of
from floorwright.web.studies_view import DOORS, PAGE_ROWS, reading_rows, said_of
from floorwright.web.words import N_

router = APIRouter()
_TEXTS: Final = ("element", "part", "note")


@router.get("/studies/{study_id:int}")
def study(
    request: Request,
    study_id: int,
    _: Viewer,
    start: Annotated[int, Query(ge=0)] = 0,
    read: Annotated[int | None, Query(ge=0)] = None,
) -> Response:
    """What a study says, and its readings, the latest first; `read` are those that a file has just brought."""
    return _study_page(request, study_id, start=start, read=read)


def _study_page(
    request: Request,
    study_id: int,
    *,
    start: int = 0,
    read: int | None = None,
    filled: Filled | None = None,
    asked: Filled | None = None,
    status: int = 200,
) -> Response:
    at = desk(request)
    settings, found = settings_of(at), baseline(at.shop, study_id)
    rows = use.observations_of(at.shop, study_id, with_replaced=True)
    now = at.shop.clock.now()
    context: dict[str, Any] = {
        "study": found.study,
        "record": found.study.record,
        "owner": _owner(at, found.study),
        "moment": moment_words(found.study.record.moment),
        "said": said_of(found, settings),
        "rows": reading_rows(rows, found.study.record, settings.units, start),
        "total": len(rows),
        "start": start,
        "read": read,
        "page_rows": PAGE_ROWS,
        "doors": DOORS.get(found.study.record.kind, ()),
        "today": now.date(),
        "filled": filled or Filled({"key": secrets.token_hex(8), "taken_at": now.isoformat(timespec="seconds")}),
        "asked": asked or Filled(),
        "counts": found.study.record.kind in (MeasureKind.COUNTS, MeasureKind.SHARES),
        "element_options": [(each.name, each.name) for each in found.study.record.elements],
        "shows_unit": _unit_hint(found, settings.units),
    }
    return page(request, "study.html", context, status=status)


def _owner(at: Desk, study: Filed[Study]) -> Filed[Improvement]:
    with at.shop.work() as work:
        return load(work, Improvement, study.record.improvement)


def _unit_hint(found: Baseline, units: str) -> str:
    hint = words.gettext(_HINTS[found.study.record.kind])
    if found.study.record.kind not in _TWO_UNITS:
        return hint
    own = (
        N_("{hint}; a bare number is in the first")
        if units == "us"
        else N_("{hint}; a bare number is in the second")
    )
    return words.gettext(own).format(hint=hint)


_HINTS: Final = {
    MeasureKind.TIMES: N_("48, 48 s or 1:15; a bare number is in seconds"),
    MeasureKind.DISTANCE: N_("150 ft or 46 m"),
    MeasureKind.LIFT: N_("the lifting index, such as 1.4"),
    MeasureKind.SPACE: N_("98 ft2 or 9.1 m2"),
    MeasureKind.DENSITY: N_("0.5 1/ft2 or 5.4 1/m2"),
    MeasureKind.FORCE: N_("38 lbf or 170 N"),
    MeasureKind.WEIGHT: N_("416 lb or 189 kg"),
    MeasureKind.COUNTS: N_("how many were counted"),
    MeasureKind.SHARES: N_("in how many it was seen"),
}
_TWO_UNITS: Final = (
    MeasureKind.DISTANCE,
    MeasureKind.SPACE,
    MeasureKind.DENSITY,
    MeasureKind.FORCE,
    MeasureKind.WEIGHT,
)


@router.post("/studies/{study_id:int}/asked")
def asked(request: Request, study_id: int, form: Form, who: Recorder) -> Response:
    """Note the day on which the people were asked, or saw the result."""
    at = desk(request)
    field = form.text("field")
    if field not in ("people_asked_on", "shown_to_people_on"):
        raise InputError.of("field", field, said("'{field}' is no day of a study", field=field))
    try:
        day, seen = _day(form.text(field), field, at.shop.clock.now().date()), form.number("version")
        use.change_study(at.shop, study_id, {field: day}, who.author, expected_version=seen)
    except Clash as clash:
        return study_clash_page(request, study_id, clash, seen)
    except InputError as error:
        return _study_page(request, study_id, asked=Filled(form.values(), error.problems), status=422)
    return go(f"/studies/{study_id}")


def _day(text: str, field: str, today: dt.date) -> str:
    """A day up to today. Raises InputError."""
    try:
        day = dt.date.fromisoformat(text)
    except ValueError:
        raise InputError.of(
            field, text, said("'{text}' should be a date such as {today}", text=text, today=today.isoformat())
        ) from None
    if day > today:
        raise InputError.of(field, text, said("{text} lies ahead; give the day on which it happened", text=text))
    return day.isoformat()


@router.post("/studies/{study_id:int}/readings")
def add(request: Request, study_id: int, form: Form, who: Recorder) -> Response:
    """Store a reading that somebody typed; the same form sent twice stores it once."""
    at = desk(request)
    record = use.study(at.shop, study_id).record
    try:
        row = _typed(at, study_id, record, form)
        use.add_observations(at.shop, study_id, [row])
    except InputError as error:
        return _study_page(request, study_id, filled=Filled(form.values(), error.problems), status=422)
    return go(f"/studies/{study_id}#readings")


def _typed(at: Desk, study_id: int, record: Study, form: Posted) -> Observation:
    fields = _fields(at, record, form)
    held = use.observations_of(at.shop, study_id)
    setup = {each.name for each in record.elements if each.work == "setup"}
    element = str(fields["element"])
    key = form.text("key")
    again = next((row for row in held if row.key == f"typed-{key}"), None)
    return checked(
        Observation,
        fields
        | {
            "key": f"typed-{key}",
            "taken_at": form.text("taken_at"),
            "cycle": again.cycle if again is not None else next_cycle(held, element),
            "work": "setup" if element in setup else "run",
        },
    )


def _fields(at: Desk, record: Study, form: Posted) -> dict[str, Any]:
    """What a form says of a reading. Raises InputError with every field that is wrong."""
    units = settings_of(at).units
    found: dict[str, Any] = {name: form.text(name) for name in _TEXTS} | {"foreign": form.text("foreign") == "yes"}
    problems: list[Problem] = []
    readers: dict[str, Callable[[str], float | None]] = {
        "value": lambda text: typed_value(text, record.kind, units),
        "exposure": lambda text: number(text, "exposure") if text else None,
        "rating": lambda text: typed_rating(text) if text else None,
    }
    for name, read in readers.items():
        text = form.text(name)
        try:
            if name == "value" and not text:
                raise InputError.of("value", None, said("is missing; write what was read"))
            found[name] = read(text)
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    return found


@router.get("/studies/{study_id:int}/correct")
def correct_form(request: Request, study_id: int, key: str, _: Recorder) -> Response:
    """The form that corrects one reading."""
    at = desk(request)
    record, row, replaced = _held(at, study_id, key)
    system = settings_of(at).units
    values = {
        "value": f"{row.value:g}" if record.kind in BARE else value_text(row, record, system),
        "exposure": "" if row.exposure is None else f"{row.exposure:g}",
        "rating": "" if row.rating is None else f"{100 * row.rating:g} %",
        "element": row.element,
        "part": row.part,
        "note": row.note,
        "foreign": "yes" if row.foreign else "",
    }
    return _correct_page(request, study_id, record, row, Filled(values), replaced=replaced)


BARE: Final = (MeasureKind.COUNTS, MeasureKind.SHARES, MeasureKind.LIFT)


def _held(at: Desk, study_id: int, key: str) -> tuple[Study, Observation, bool]:
    record = use.study(at.shop, study_id).record
    rows = use.observations_of(at.shop, study_id, with_replaced=True)
    row = next((each for each in rows if each.key == key), None)
    if row is None:
        raise NotFoundError(
            said("Study {study_id} holds no such reading; look for it on the study's page.", study_id=study_id)
        )
    return record, row, any(each.replaces == key for each in rows)


def _correct_page(
    request: Request,
    study_id: int,
    record: Study,
    row: Observation,
    filled: Filled,
    *,
    replaced: bool,
    status: int = 200,
) -> Response:
    context = {
        "study_id": study_id,
        "record": record,
        "row": row,
        "shown": words.said(value_text(row, record, settings_of(desk(request)).units)),
        "moment": moment_words(record.moment),
        "filled": filled,
        "element_options": [(each.name, each.name) for each in record.elements],
        "replaced": replaced,
        "counts": record.kind in (MeasureKind.COUNTS, MeasureKind.SHARES),
    }
    return page(request, "correct.html", context, status=status)


@router.post("/studies/{study_id:int}/correct")
def correct(request: Request, study_id: int, form: Form, _: Recorder) -> Response:
    """Store a correction: a new reading with its reason; the first one stays readable."""
    at = desk(request)
    key = form.text("key")
    record, row, replaced = _held(at, study_id, key)
    try:
        fields = _fields(at, record, form)
        use.correct_observation(at.shop, study_id, key, _changed(row, fields), form.text("reason"))
    except InputError as error:
        filled = Filled(form.values() | {"foreign": form.text("foreign")}, error.problems)
        return _correct_page(request, study_id, record, row, filled, replaced=replaced, status=422)
    return go(f"/studies/{study_id}#readings")


def _changed(row: Observation, fields: dict[str, Any]) -> dict[str, Any]:
    """Only what is different; a value shown in rounded figures and left alone stays as it was."""
    held = row.model_dump()

    def differs(name: str, value: Any) -> bool:
        before = held[name]
        if isinstance(value, float) and isinstance(before, float):
            return abs(value - before) > 1e-5 * max(abs(before), 1e-12)
        return bool(value != before)

    found = {name: value for name, value in fields.items() if differs(name, value)}
    if not found:
        raise InputError.of("value", None, said("nothing is different from what is stored; change what was wrong"))
    return found


@router.get("/improvements/{number:int}/studies/new")
def plan_form(request: Request, number: int, _: Lead, measure: str = "", moment: str = "") -> Response:
    """The form that plans a study."""
    at = desk(request)
    with at.shop.work() as work:
        owner = load(work, Improvement, number)
    started = owner.record.trial_started_on is not None
    values = {"measure": measure, "moment": moment or ("after" if started else "before"), "allowance": "15 %"}
    values["key"] = secrets.token_hex(8)
    earlier = _elements_before(at, owner, measure)
    return _plan_page(request, owner, Filled(values), earlier or [{"name": "", "work": "run", "frequency": "1"}])


Rows = list[dict[str, str]]


def _elements_before(at: Desk, owner: Filed[Improvement], measure: str) -> Rows:
    """The elements of the latest study of the measure, so that before and after have the same ones."""
    wanted = measure or (owner.record.measures[0].name if owner.record.measures else "")
    with at.shop.work() as work:
        found = use.studies_by_improvement(work).get(owner.id, [])
    for each in reversed(found):
        if each.record.measure == wanted and each.record.elements:
            return [
                {"name": part.name, "work": part.work, "frequency": f"{part.frequency:g}"}
                for part in each.record.elements
            ]
    return []


def _plan_page(
    request: Request, owner: Filed[Improvement], filled: Filled, elements: Rows, status: int = 200
) -> Response:
    context = {
        "owner": owner,
        "filled": filled,
        "elements": elements,
        "today": desk(request).shop.clock.now().date(),
        "rows": list(enumerate(elements)),
        "measure_options": [(each.name, each.name) for each in owner.record.measures],
    }
    return page(request, "study_new.html", context, status=status)


@router.post("/improvements/{number:int}/studies/new")
def plan(request: Request, number: int, form: Form, who: Lead) -> Response:
    """Plan a study, one for a form however often it is sent; or, by the elements' buttons, show another order."""
    at = desk(request)
    with at.shop.work() as work:
        owner = load(work, Improvement, number)
    elements = _rows(form)
    if do := form.text("do"):
        return _plan_page(request, owner, Filled(form.values()), _moved(elements, do))
    try:
        raw = _raw(number, form, elements)
        key = f"form-{form.text('key') or secrets.token_hex(8)}"
        planned = once(at.shop, key, raw, who.author, lambda shop: use.plan_study(shop, raw, who.author).id)
    except InputError as error:
        return _plan_page(request, owner, Filled(form.values(), error.problems), elements, status=422)
    return go(f"/studies/{planned}")


def _rows(form: Posted) -> Rows:
    names, works, counts = form.texts("element-name"), form.texts("element-work"), form.texts("element-frequency")
    return [
        {"name": name, "work": work, "frequency": count}
        for name, work, count in zip(names, works, counts, strict=False)
    ]


def _moved(rows: Rows, do: str) -> Rows:
    """The rows after a press on add, up-2, down-2 or remove-2; an unknown one changes nothing."""
    what, _, place = do.partition("-")
    found = list(rows)
    i = int(place) if place.isdigit() else -1
    if what == "add" and len(found) < MOST_ELEMENTS:
        found.append({"name": "", "work": "run", "frequency": "1"})
    elif what == "remove" and 0 <= i < len(found):
        del found[i]
    elif what == "up" and 0 < i < len(found):
        found[i - 1], found[i] = found[i], found[i - 1]
    elif what == "down" and 0 <= i < len(found) - 1:
        found[i + 1], found[i] = found[i], found[i + 1]
    return found


MOST_ELEMENTS: Final = 60


def _raw(number_: int, form: Posted, elements: Rows) -> dict[str, Any]:
    """The form as a study. Raises InputError."""
    raw: dict[str, Any] = {
        "improvement": number_,
        "measure": form.text("measure"),
        "moment": form.text("moment"),
        "people_asked_on": form.text("people_asked_on") or None,
        "timing": form.text("timing") or "snapback",
        "planned": form.text("planned") or None,
        "allowance": _share(form.text("allowance")),
        "allowance_basis": form.text("allowance_basis") or "work_time",
        "note": form.text("note"),
        "elements": [
            {"name": row["name"], "work": row["work"] or "run", "frequency": row["frequency"] or 1.0}
            for row in elements
            if row["name"]
        ],
    }
    names = [row["name"].casefold() for row in elements if row["name"]]
    if twice := next((name for name in names if names.count(name) > 1), ""):
        raise InputError.of(
            "elements", twice, said("'{twice}' stands there twice; give each element its own name", twice=twice)
        )
    return raw


def _share(text: str) -> float:
    if not text:
        return 0.15
    try:
        return float(text.rstrip("% ").replace(",", ".")) / (100 if text.endswith("%") else 1)
    except ValueError:
        raise InputError.of(
            "allowance", text, said("'{text}' should be a share such as 15 % or 0.15", text=text)
        ) from None
