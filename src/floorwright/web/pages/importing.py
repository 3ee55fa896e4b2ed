"""Reading a file into a study: drop it, see what it will become, settle what is open, read it in or leave it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any, Final

from fastapi import APIRouter, FastAPI, Request
from starlette.responses import Response

from floorwright import bootstrap
from floorwright.basis.errors import ConflictError, FloorwrightError, InputError, NotFoundError, Problem
from floorwright.exchange import incoming
from floorwright.exchange.import_table import reading_table
from floorwright.exchange.incoming import Incoming
from floorwright.exchange.looking import Looked, Wishes, meanings
from floorwright.shop.filed import Filed
from floorwright.shop.ports import Author
from floorwright.shop.records import MeasureKind, Study
from floorwright.shop.studies import study as study_of
from floorwright.web.desk import Desk, desk
from floorwright.web.forms import Filled, Form
from floorwright.web.guard.visitors import Recorder
from floorwright.web.import_form import KIND, OWNER, STORING, to_remember, wishes_of, with_remembered
from floorwright.web.jobs import Job, Progress
from floorwright.web.pages.exporting import Ending, table_as_file
from floorwright.web.render import go, is_part, page


@asynccontextmanager
async def _tidy(app: FastAPI) -> AsyncIterator[None]:
    """At the start, throw away files that nobody has come back for."""
    shop = app.state.desk.shop
    incoming.sweep(shop.folder, shop.clock.now())
    yield


router = APIRouter(lifespan=_tidy)
SHOWN: Final = 200
LOOK_WAIT_S: Final = 1.2
LIVE_WAIT_S: Final = 10.0  # while somebody settles things, the form stays until the answer is there
STORE_WAIT_S: Final = 4.0
LOOKING: Final = "looking"


@router.get("/studies/{study_id:int}/import")
def drop(request: Request, study_id: int, _: Recorder) -> Response:
    """Where a file is dropped."""
    return _drop_page(request, study_id)


def _drop_page(request: Request, study_id: int, problems: tuple[Problem, ...] = (), status: int = 200) -> Response:
    at = desk(request)
    incoming.sweep(at.shop.folder, at.shop.clock.now())
    context = {
        "study": study_of(at.shop, study_id),
        "problems": [each.message for each in problems],
        "most_mb": incoming.MOST_BYTES >> 20,
    }
    return page(request, "import.html", context, status=status)


@router.post("/studies/{study_id:int}/import")
def dropped(request: Request, study_id: int, form: Form, _: Recorder) -> Response:
    """Keep the file that was dropped, and look at it."""
    at = desk(request)
    study_of(at.shop, study_id)
    file = form.file("file")
    try:
        if file is None:
            raise InputError.of("file", None, "Choose a file first: CSV or XLSX.")
        kept = incoming.keep(at.shop.folder, file.file, file.filename or "", study_id, at.shop.clock.now())
    except InputError as error:
        return _drop_page(request, study_id, error.problems, status=422)
    return go(f"/studies/{study_id}/import/{kept.id}")


@router.get("/studies/{study_id:int}/import/{file_id}")
def waiting(request: Request, study_id: int, file_id: str, _: Recorder) -> Response:
    """A file that waits: what it will become, or how far the reading is."""
    at = desk(request)
    study = study_of(at.shop, study_id)
    job = at.jobs.find(file_id)
    if job is not None and job.kind == STORING:
        return _storing(request, study, file_id, job)
    file = incoming.find(at.shop.folder, file_id, study_id, at.shop.clock.now())
    return _look(request, study, file)


@router.get("/studies/{study_id:int}/import/{file_id}/reading.{ending}")
def export(request: Request, study_id: int, file_id: str, ending: Ending, _: Recorder) -> Response:
    """How a file is read, as a file: columns, what is to settle, rows passed over, the first readings, notes."""
    at = desk(request)
    study = study_of(at.shop, study_id)
    file = incoming.find(at.shop.folder, file_id, study_id, at.shop.clock.now())
    job = _looking(at, study, file)
    if job.kind == STORING or not job.wait(LIVE_WAIT_S):
        raise ConflictError("The file is still being read; ask for it again when its page shows what it becomes.")
    if job.error is not None:
        raise job.error
    looked, _remembered = job.result
    return table_as_file(f"reading-{study_id}", ending, reading_table(looked))


@router.post("/studies/{study_id:int}/import/{file_id}")
def settle(request: Request, study_id: int, file_id: str, form: Form, who: Recorder) -> Response:
    """Look again with what was settled, read it in, leave it, or stop what is under way."""
    at = desk(request)
    study = study_of(at.shop, study_id)
    do = form.text("do")
    job = at.jobs.find(file_id)
    if (
        do not in ("leave", "stop")
        and job is not None
        and job.kind == STORING
        and (job.running or job.error is None)
    ):
        return _storing(request, study, file_id, job)  # sent twice, or after somebody else had sent it off
    if do in ("leave", "stop"):
        at.jobs.stop(file_id)
    if do == "leave":
        incoming.find(at.shop.folder, file_id, study_id, at.shop.clock.now())
        incoming.remove(at.shop.folder, file_id)
        return go(f"/studies/{study_id}")
    if do == "stop":
        return go(f"/studies/{study_id}/import/{file_id}")
    file = incoming.find(at.shop.folder, file_id, study_id, at.shop.clock.now())
    if do == "forget":
        _forget(at, form.text("mark"))
        incoming.settle(file, {})
        return go(f"/studies/{study_id}/import/{file_id}")
    file = incoming.settle(file, {name: value for name, value in form.values().items() if name != "do"})
    if do in ("commit", "rest"):
        return _store(request, study, file, who.author, leave_out=do == "rest")
    return _look(request, study, file)


def _forget(at: Desk, mark: str) -> None:
    with at.shop.work() as work:
        work.keepsakes.remove(OWNER, KIND, mark)
        work.commit()


def _look(request: Request, study: Filed[Study], file: Incoming, problems: tuple[Problem, ...] = ()) -> Response:
    at = desk(request)
    try:
        job = _looking(at, study, file)
    except InputError as error:
        filled = Filled(file.fields or {}, error.problems)
        latest = at.jobs.find(file.id)
        looked = latest.result if latest is not None and latest.kind == LOOKING else None
        before = looked[0] if looked is not None else None
        return _page(request, study, file, before, filled, status=422)
    if job.kind == STORING:  # somebody sent it off while this form was on its way
        return _storing(request, study, file.id, job)
    live = is_part(request) and request.method == "POST"
    if not job.wait(LIVE_WAIT_S if live else LOOK_WAIT_S):
        return _progress(request, study, file.name, job, file.id)
    if job.cancelled:
        return _page(request, study, file, None, Filled(file.fields or {}), stopped=True)
    if job.error is not None:
        raise job.error
    looked, remembered = job.result
    status = 422 if looked.problems or problems else 200
    filled = Filled(_shown(file, looked), problems)
    return _page(request, study, file, looked, filled, remembered=remembered, status=status)


def _looking(at: Desk, study: Filed[Study], file: Incoming) -> Job:
    """The job that looks at a file, or that reads it in already; the same settled alike is looked at once."""
    wishes = wishes_of(file.fields or {})
    with at.shop.work() as work:
        count = work.observations.count(study.id)
        settings = work.records.get("settings", 1).version
    state = [file.fields, study.version, count, settings, at.shop.clock.now().date().isoformat()]
    key = hashlib.sha256(json.dumps(state, sort_keys=True).encode()).hexdigest()
    return at.jobs.start(file.id, LOOKING, key, lambda progress: _looked(at, study, file, wishes, progress))


def _looked(
    at: Desk, study: Filed[Study], file: Incoming, wishes: Wishes, progress: Progress
) -> tuple[Looked, bool]:
    """What the file will become, and whether what was remembered of its headings was used."""
    found = _seen(at, study, file, wishes, progress)
    untouched = file.fields is None or set(file.fields) <= {"sheet", "mark"}
    if not untouched:
        return found, False
    with at.shop.work() as work:
        held = (work.keepsakes.get(OWNER, KIND, mark) for mark in found.marks)
        kept = next((each for each in held if each is not None), None)
    if kept is None:
        return found, False
    return _seen(at, study, file, with_remembered(wishes, kept), progress), True


def _seen(at: Desk, study: Filed[Study], file: Incoming, wishes: Wishes, progress: Progress) -> Looked:
    """What reading the file in would do. Raises NotFoundError when it is taken away meanwhile."""
    try:
        return bootstrap.look_at_incoming(at.shop, study, file, wishes, progress)
    except FileNotFoundError:
        raise NotFoundError(incoming.GONE) from None


def _shown(file: Incoming, looked: Looked) -> dict[str, str]:
    """What stands in the form: what was typed, and the rest as the file was read."""
    values = {"heading_row": str(looked.heading_row)} | dict(file.fields or {})
    return values | {"sheet": looked.sheet or values.get("sheet", ""), "mark": looked.mark}


def _store(request: Request, study: Filed[Study], file: Incoming, author: Author, *, leave_out: bool) -> Response:
    at = desk(request)
    try:
        wishes = wishes_of(file.fields or {})
    except InputError:
        return _look(request, study, file)

    def work(progress: Progress) -> int:
        looked = _seen(at, study, file, wishes, progress)
        if looked.plan is None:
            raise InputError(looked.problems or [Problem("sheet", None, "say which sheet is meant")])
        new = bootstrap.store_plan(
            at.shop, study, looked.plan, author, leave_out_problems=leave_out, progress=progress
        )
        with at.shop.work() as unit:
            kept = to_remember(file.fields or {}, looked)
            unit.keepsakes.put(OWNER, KIND, looked.mark, kept, at.shop.clock.now())
            unit.commit()
        incoming.remove(at.shop.folder, file.id)
        return new

    key = hashlib.sha256(json.dumps([file.fields, leave_out], sort_keys=True).encode()).hexdigest()
    job = at.jobs.start(file.id, STORING, key, work, firm=True)
    job.wait(STORE_WAIT_S)
    if job.running:
        return go(f"/studies/{study.id}/import/{file.id}")
    return _storing(request, study, file.id, job)


def _storing(request: Request, study: Filed[Study], file_id: str, job: Job) -> Response:
    """How far the reading in is, what came of it, or the file again with what stood against it."""
    at = desk(request)
    if job.running:
        return _progress(request, study, "", job, file_id)
    if job.error is None:
        if is_part(request):
            return page(request, "import_stored.html", {"stored": job.result, "study": study}, block="region")
        return go(f"/studies/{study.id}?read={job.result}#readings")
    at.jobs.forget(file_id, job)
    file = incoming.find(at.shop.folder, file_id, study.id, at.shop.clock.now())
    if job.cancelled:
        return _look(request, study, file)
    if isinstance(job.error, InputError):
        # What is wrong with rows stands in the table of problems; only the rest has no place of its own there.
        other = tuple(each for each in job.error.problems if each.field in ("people_asked_on", "sheet"))
        return _look(request, study, file, other)
    if isinstance(job.error, FloorwrightError):
        return _look(request, study, file, (Problem("", None, str(job.error)),))
    raise job.error


def _progress(request: Request, study: Filed[Study], name: str, job: Job, file_id: str) -> Response:
    context = {"study": study, "name": name, "job": job, "file_id": file_id}
    return page(request, "import_progress.html", context, block="region" if is_part(request) else "")


def _page(
    request: Request,
    study: Filed[Study],
    file: Incoming,
    looked: Looked | None,
    filled: Filled,
    *,
    remembered: bool = False,
    stopped: bool = False,
    status: int = 200,
) -> Response:
    plan = looked.plan if looked is not None else None
    context: dict[str, Any] = {
        "study": study,
        "file": file,
        "looked": looked,
        "plan": plan,
        "filled": filled,
        "shown_fields": ["day", "exposure", "heading_row"]
        + [f"code-{i}" for i in range(len(looked.names) if looked is not None else 0)],
        "remembered": remembered,
        "sheet_pairs": [] if looked is None else [(each, each) for each in looked.sheets],
        "stopped": stopped,
        "meanings": meanings(study.record),
        "problems": [] if plan is None else [_cell(each, plan.file) for each in plan.problems[:SHOWN]],
        "rest": 0 if plan is None else max(0, plan.problem_count - SHOWN),
        "before": [] if plan is None else [each for each in study.record.imports if each.sha256 == plan.sha256],
        "passed": [] if plan is None else [each for each in plan.left_out if not each.problem],
        "counts": study.record.kind in (MeasureKind.COUNTS, MeasureKind.SHARES),
        "times": study.record.kind is MeasureKind.TIMES,
    }
    return page(request, "import_file.html", context, block="region" if is_part(request) else "", status=status)


def _cell(problem: Problem, file: str) -> dict[str, str]:
    """A problem as a row of the table: where, what stands in the cell, what is wrong."""
    where = problem.field.removeprefix(f"{file}, ")
    return {
        "where": where[:1].upper() + where[1:],
        "cell": "" if problem.value is None else str(problem.value),
        "what": problem.message,
    }
