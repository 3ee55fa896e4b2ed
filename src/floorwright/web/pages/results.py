"""What the readings show: verdict, gain with its intervals, charts, and the rule behind the word."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.web.desk import desk
from floorwright.web.guard.visitors import Viewer
from floorwright.web.render import page
from floorwright.web.results_view import results_of

router = APIRouter()


@router.get("/improvements/{number}/results")
def results(request: Request, number: int, _: Viewer) -> Response:
    """Every measure of an improvement, before against after."""
    told = desk(request).teller.story(number)
    return page(request, "results.html", {"told": told, "results": results_of(told)})
