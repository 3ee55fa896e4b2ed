"""Every list of the shop as a file: CSV or XLSX."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Final, Literal

from fastapi import APIRouter, Query, Request
from starlette.background import BackgroundTask
from starlette.responses import FileResponse, Response

from floorwright.basis.errors import InputError, NotFoundError
from floorwright.exchange.lists import LISTS, OF_THE_SHOP, Asked, Source, exported
from floorwright.exchange.tables import Table
from floorwright.exchange.writing import export_observations, write_table
from floorwright.hold.run_rules import RuleName
from floorwright.shop.admission import Role
from floorwright.shop.studies import study as study_of
from floorwright.web.desk import desk
from floorwright.web.guard.visitors import Lead, Viewer
from floorwright.web.render import page

router = APIRouter()
Ending = Literal["csv", "xlsx"]
Number = Annotated[int | None, Query(ge=1)]
_TYPES: Final[dict[str, str]] = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}


@router.get("/export")
def lists(request: Request, who: Viewer) -> Response:
    """All lists of the shop, each in both formats."""
    seen = [(name, LISTS[name]) for name in OF_THE_SHOP if who.may(Role.LEAD) or not LISTS[name].lead]
    return page(request, "export.html", {"lists": seen})


@router.get("/export/observations.{ending}")
def observations(request: Request, ending: Ending, _: Viewer, study: Annotated[int, Query(ge=1)]) -> Response:
    """The readings of one study with everything that was noted; they come back unchanged by an import."""
    at = desk(request)
    filed = study_of(at.shop, study)

    def write(path: Path) -> None:
        with at.shop.work() as work:
            export_observations(filed.record, work.observations.stream(study), path)

    return as_file(f"study-{study}.{ending}", ending, write)


@router.get("/export/{what}.{ending}")
def export(
    request: Request,
    what: str,
    ending: Ending,
    _: Viewer,
    improvement: Number = None,
    study: Number = None,
    measure: Annotated[str, Query(max_length=200)] = "",
    kind: Annotated[str, Query(max_length=20)] = "",
    baseline: Number = None,
    rules: Annotated[tuple[RuleName, ...], Query()] = (),
) -> Response:
    """One list as a file; those that only a lead sees have an address of their own."""
    if what in LISTS and LISTS[what].lead:
        raise NotFoundError(f"The list '{what}' is at /settings/export.")
    asked = Asked(improvement=improvement, study=study, measure=measure, kind=kind, baseline=baseline, rules=rules)
    return _listed(request, what, ending, asked)


@router.get("/settings/export/{what}.{ending}")
def export_for_lead(request: Request, what: str, ending: Ending, _: Lead) -> Response:
    """One list of those that only a lead sees."""
    if what not in LISTS or not LISTS[what].lead:
        known = ", ".join(name for name, each in LISTS.items() if each.lead)
        raise NotFoundError(f"There is no list '{what[:40]}' here; there are {known}.")
    return _listed(request, what, ending, Asked())


def _listed(request: Request, what: str, ending: Ending, asked: Asked) -> Response:
    at = desk(request)
    table = exported(Source(shop=at.shop, told=at.teller.stories), what, asked)
    number = asked.improvement or asked.study
    return table_as_file(f"{what}-{number}" if number else what, ending, table)


def table_as_file(name: str, ending: Ending, table: Table) -> Response:
    """A table as a file of this name."""
    headings, rows = table
    return as_file(f"{name}.{ending}", ending, lambda path: write_table(path, headings, rows, sheet=name))


def as_file(name: str, ending: Ending, write: Callable[[Path], object]) -> Response:
    """Write a file in a folder of its own, send it, and throw it away."""
    folder = tempfile.TemporaryDirectory(prefix="floorwright-export-")
    try:
        path = Path(folder.name) / name
        write(path)
    except InputError as error:
        folder.cleanup()
        # The path of the server's own file says nothing to a person at a browser.
        raise InputError.of("file", name, error.problems[0].message) from None
    except BaseException:
        folder.cleanup()
        raise
    return FileResponse(path, media_type=_TYPES[ending], filename=name, background=BackgroundTask(folder.cleanup))
