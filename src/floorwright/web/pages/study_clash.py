"""Two people noted different days on a study: both side by side, pick one, send it again."""

from __future__ import annotations

from typing import Final

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.basis.errors import InputError
from floorwright.basis.sentence import said
from floorwright.shop.clash import Clash
from floorwright.shop.filed import load
from floorwright.shop.records import Study
from floorwright.shop.studies import change_study
from floorwright.web.desk import desk
from floorwright.web.forms import Form
from floorwright.web.guard.visitors import Recorder
from floorwright.web.pages.improvement_clash import picked, shown
from floorwright.web.render import go, page, settings_of

router = APIRouter()
DAYS: Final = ("people_asked_on", "shown_to_people_on")


def study_clash_page(request: Request, study_id: int, clash: Clash, seen: int) -> Response:
    """Both days, and who changed the study since the version that was seen."""
    at = desk(request)
    settings = settings_of(at)
    with at.shop.work() as work:
        now = load(work, Study, study_id)
        later = [each for each in work.records.history("study", study_id) if each.version > seen]
    context = {
        "address": f"/studies/{study_id}",
        "title": f"{study_id} · {now.record.measure}",
        "version": clash.version,
        "part": "",
        "later": later,
        "rest": "{}",
        "clashes": [shown(each, settings) for each in clash.clashes],
    }
    return page(request, "clash.html", context, status=409)


@router.post("/studies/{study_id:int}/clash")
def settle(request: Request, study_id: int, who: Recorder, form: Form) -> Response:
    """Store the day that was picked, in sight of both; who changed it again meanwhile is shown once more."""
    seen, fields = form.number("version"), picked(form)
    if unknown := next((name for name in fields if name not in DAYS), ""):
        raise InputError.of("field", unknown, said("'{field}' is no day of a study", field=unknown))
    if fields:
        try:
            change_study(
                desk(request).shop, study_id, fields, who.author, reason="chosen between two versions",
                expected_version=seen,
            )  # fmt: skip
        except Clash as clash:
            return study_clash_page(request, study_id, clash, seen)
    return go(f"/studies/{study_id}")
