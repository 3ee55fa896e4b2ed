"""Work something out: every calculation of the catalogue with a form of its own; nothing is stored."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright import catalogue
from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import FloorwrightError, InputError, NotFoundError, Problem
from floorwright.exchange.outcome_table import outcome_table
from floorwright.web import workings
from floorwright.web.calculation_form import Field, fields_of, input_of
from floorwright.web.calculation_shown import results_of
from floorwright.web.desk import desk
from floorwright.web.forms import Filled, Form, Posted
from floorwright.web.guard.visitors import Viewer
from floorwright.web.in_turn import in_turn
from floorwright.web.pages.exporting import Ending, table_as_file
from floorwright.web.render import page, settings_of

router = APIRouter()


@router.get("/calculations")
def calculations(request: Request, _: Viewer) -> Response:
    """Every calculation and the question that it answers."""
    return page(request, "calculations.html", {"calculations": tuple(catalogue.all_calculations())})


@router.get("/calculations/{name}")
def calculation(request: Request, _: Viewer, name: str) -> Response:
    """The form of one calculation, filled in with its example."""
    found = _named(name)
    return page(request, "calculation.html", _context(found, fields_of(found), Filled()))


@router.post("/calculations/{name}")
async def work_out(request: Request, _: Viewer, form: Form, name: str) -> Response:
    """The form again, with the result and its working above it."""
    return await in_turn(request, _worked_out, form, name)


@router.post("/calculations/{name}/results.{ending}")
async def export(request: Request, _: Viewer, form: Form, name: str, ending: Ending) -> Response:
    """The same run as a file: what was put in, results, checks and working."""
    return await in_turn(request, _as_file, form, name, ending)


def _worked_out(request: Request, form: Posted, name: str) -> Response:
    found, typed = _named(name), form.values()
    fields = fields_of(found)
    settings = settings_of(desk(request))
    try:
        outcome = found(input_of(fields, typed))
    except FloorwrightError as error:
        problems = error.problems if isinstance(error, InputError) else (Problem("", None, str(error)),)
        return page(request, "calculation.html", _context(found, fields, Filled(typed, problems)), status=422)
    context = _context(found, fields, Filled(typed)) | {
        "results": results_of(outcome, settings.units),
        "working": workings.of_outcome(found.title, outcome, settings),
    }
    return page(request, "calculation.html", context)


def _as_file(request: Request, form: Posted, name: str, ending: Ending) -> Response:
    found = _named(name)
    settings = settings_of(desk(request))
    given = input_of(fields_of(found), form.values())
    table = outcome_table(given, found(given), settings.units, settings.currency)
    return table_as_file(found.name, ending, table)


def _named(name: str) -> Calculation[Any]:
    if name not in catalogue.names():
        raise NotFoundError("There is no such calculation; look for it in the list.")
    return catalogue.calculation(name)


def _context(found: Calculation[Any], fields: tuple[Field, ...], filled: Filled) -> dict[str, Any]:
    return {
        "calculation": found,
        "fields": fields,
        "filled": filled,
        "fresh": not filled.values,
        "elsewhere": filled.elsewhere(each.name for each in fields),
        "results": None,
        "working": None,
    }
