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
from floorwright.exchange.tables import LISTS, exported
from floorwright.exchange.writing import export_observations, write_table
from floorwright.shop.studies import study as study_of
from floorwright.web.desk import desk
from floorwright.web.guard.visitors import Viewer
from floorwright.web.render import page

router = APIRouter()
Ending = Literal["csv", "xlsx"]
_TYPES: Final[dict[str, str]] = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}
# What a list holds, in the words of the page; one without a sentence of its own stands there by its name.
_SAID: Final = {
    "improvements": "every improvement with what each of its measures shows and what it is worth",
    "studies": "every study with its readings, and when people were asked",
    "readings": "every reading of every study",
    "ledger": "each step of each piece of work, in whose name it stands",
    "months": "hours and money that came in, month by month",
    "due": "what needs someone, and when",
    "gains": "what stands in the name of each improvement on each piece of work",
    "history": "every change: who, when, why",
    "distances": "the distance table of the shop",
}


@router.get("/export")
def lists(request: Request, _: Viewer) -> Response:
    """All lists, each in both formats."""
    return page(request, "export.html", {"lists": [(name, _SAID.get(name, "")) for name in LISTS]})


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
def export(request: Request, what: str, ending: Ending, _: Viewer) -> Response:
    """One list as a file."""
    if what not in LISTS:
        known = ", ".join(LISTS)
        raise NotFoundError(f"There is no list '{what[:40]}' to export; there are {known}.")
    headings, rows = exported(desk(request).shop, what)
    return as_file(f"{what}.{ending}", ending, lambda path: write_table(path, headings, rows, sheet=what))


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
