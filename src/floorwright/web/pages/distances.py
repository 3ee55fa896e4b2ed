"""The distance table: how far it is from station to station, typed in either unit."""

from __future__ import annotations

from typing import Any, Final
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.quantity import DISTANCE, write
from floorwright.shop.clash import Clash
from floorwright.shop.records import Settings
from floorwright.shop.settings import change_settings, settings
from floorwright.web.desk import desk
from floorwright.web.forms import Form, Posted
from floorwright.web.guard.visitors import Lead
from floorwright.web.pages.settings_fields import in_words, rows, typed
from floorwright.web.render import go, page

router = APIRouter()
Leg = tuple[str, str, float]
MANY_ROWS: Final = 60  # more are shown station by station, unless all are asked for
MOST_ROWS: Final = 600  # that one form can hold
EVERY: Final = "*"
_SPARE_ROWS: Final = 1
_LONGEST_M: Final = 5000.0


@router.get("/settings/distances")
def distances(request: Request, _: Lead, of: str = "") -> Response:
    """The distances of the shop, or those from and to one station."""
    return _shown(request, of)


@router.post("/settings/distances")
def change(request: Request, visitor: Lead, form: Form) -> Response:
    """Save the rows that were shown; the others stay."""
    shop = desk(request).shop
    now = settings(shop)
    of = form.text("of")
    try:
        new_rows = _read(form, now.record)
        kept = [each for each in now.record.distances_m if not _is_shown(each, of)]
        new = change_settings(
            shop, {"distances_m": [*kept, *new_rows]}, visitor.author, expected_version=form.number("version")
        )
    except InputError as error:
        return _shown(request, of, form=form, problems=error.problems, status=422)
    except Clash as clash:
        return _shown(request, of, form=form, clash=clash, status=409)
    saved = new.version if new.version != now.version else 0
    return go(f"/settings/distances?{urlencode({'version': saved, 'of': of})}")


def _is_shown(leg: Leg, of: str) -> bool:
    return of == EVERY or of in leg[:2]


def _read(form: Posted, now: Settings) -> list[Leg]:
    """The rows as they were typed. Raises InputError with every row that is wrong."""
    before = {leg[:2]: leg[2] for leg in now.distances_m}
    found: dict[tuple[str, str], float] = {}
    problems: list[Problem] = []
    for number, (start, end, text) in enumerate(rows(form, "from", "to", "distance"), 1):
        try:
            metres = _metres(start, end, text, before, now)
        except ValueError as error:
            problems.append(Problem(f"row {number}", text, str(error)))
            continue
        if (start, end) in found:
            problems.append(Problem(f"row {number}", text, f"{start} to {end} stands twice; keep one of them"))
        found[start, end] = metres
    if problems:
        raise InputError(problems)
    return [(start, end, metres) for (start, end), metres in found.items()]


def _metres(start: str, end: str, text: str, before: dict[tuple[str, str], float], now: Settings) -> float:
    for name, value in (("from", start), ("to", end), ("distance", text)):
        if not value:
            raise ValueError(f"{name} is missing")
    held = before.get((start, end))
    if held is not None and text == write(held, DISTANCE, now.units):
        return held  # as it was, without the rounding of what is shown
    metres = typed(text, DISTANCE, now.units)
    if not 0 <= metres <= _LONGEST_M:
        raise ValueError(f"'{text}' should be between 0 and {write(_LONGEST_M, DISTANCE, now.units)}")
    return metres


def _shown(
    request: Request,
    of: str,
    *,
    form: Posted | None = None,
    problems: tuple[Problem, ...] = (),
    clash: Clash | None = None,
    status: int = 200,
) -> Response:
    now = settings(desk(request).shop)
    units = now.record.units
    stations = _stations(now.record)
    if not of:
        of = stations[0] if len(now.record.distances_m) > MANY_ROWS else EVERY
    legs = [each for each in now.record.distances_m if _is_shown(each, of)]
    if form is not None:
        shown: list[tuple[str, ...]] = rows(form, "from", "to", "distance")
    else:
        shown = [(start, end, write(metres, DISTANCE, units)) for start, end, metres in legs]
    version = request.query_params.get("version", "")
    context: dict[str, Any] = {
        "version": clash.version if clash else form.number("version") if form and problems else now.version,
        "of": of,
        "stations": stations,
        "every": EVERY,
        "choose": len(now.record.distances_m) > MANY_ROWS // 4,
        "rows": [*shown, *([("", "", "")] * _SPARE_ROWS)],
        "total": len(now.record.distances_m),
        "too_many": form is None and len(legs) > MOST_ROWS,
        "unit": DISTANCE.shown_unit(units),
        "sentences": [_told(each) for each in problems],
        "theirs": in_words("distances_m", clash.clashes[0].theirs, units) if clash else "",
        "saved": form is None and version != "",
        "saved_version": int(version) if version.isascii() and version.isdigit() and len(version) < 10 else 0,
    }
    return page(request, "distances.html", context, status=status)


def _stations(now: Settings) -> list[str]:
    """Every station that has a name, those with distances first in the order of the table."""
    return list(dict.fromkeys([*(name for leg in now.distances_m for name in leg[:2]), *now.stations]))


def _told(problem: Problem) -> str:
    return f"{problem.field.capitalize()}: {problem.message}."
