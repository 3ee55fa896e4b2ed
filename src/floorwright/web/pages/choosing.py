"""What to do first: worth, effort and chance of what is open, and how sure the order is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.outcome import Outcome
from floorwright.prove.order import Placed
from floorwright.shop import choosing as use
from floorwright.shop.choosing import Chosen
from floorwright.shop.records import Settings
from floorwright.shop.story import Story
from floorwright.shop.words import money_text
from floorwright.web.desk import desk
from floorwright.web.forms import Filled, Form
from floorwright.web.guard.visitors import Lead, Viewer
from floorwright.web.render import go, page, settings_of
from floorwright.web.workings import of_outcome

router = APIRouter()


def _open(request: Request) -> list[Story]:
    return use.open_ones(desk(request).teller.told(patience=3.0).stories)


@router.get("/charts/choosing")
def choosing(request: Request, _: Viewer) -> Response:
    """The form, with what was asked the last time, and the answer to it."""
    told = _open(request)
    return _page(request, told, use.standing(told) | use.kept(desk(request).shop))


@router.post("/charts/choosing")
def ask(request: Request, form: Form, _: Lead) -> Response:
    """Keep what was typed beside what the records say, for everybody who looks next, and answer."""
    told = _open(request)
    standing = use.standing(told)
    values = {name: text for name, text in form.values().items() if len(text) <= 40 and name != "do"}
    if form.text("do") == "reset":
        values = {}
    else:
        try:
            use.asked_of(told, standing | values)
        except InputError as error:
            return _page(request, told, standing | values, error.problems, status=422)
        values = {name: text for name, text in values.items() if text != standing.get(name, "")}
    use.keep(desk(request).shop, values)
    return go("/charts/choosing")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """An improvement in its place."""

    number: int
    title: str
    expected: str
    an_hour: str
    chosen: bool
    ahead: str
    reached: str


def _rows(placed: tuple[Placed, ...], told: list[Story], chosen: list[str], settings: Settings) -> list[Row]:
    titles = {each.filed.id: each.record.title for each in told}
    currency = settings.currency
    return [
        Row(
            number=int(each.name),
            title=titles[int(each.name)],
            expected=money_text(each.expected, currency),
            an_hour=money_text(each.an_hour, currency),
            chosen=each.name in chosen,
            ahead="" if each.ahead is None else _cases(each.ahead),
            reached=_cases(each.reached),
        )
        for each in placed
    ]


def _cases(share: float) -> str:
    return f"{round(100 * share)} of 100"


def _page(
    request: Request,
    told: list[Story],
    values: dict[str, str],
    problems: tuple[Problem, ...] = (),
    status: int = 200,
) -> Response:
    settings = settings_of(desk(request))
    found: Chosen | None = None
    if not problems:
        try:
            found = use.chosen(told, values)
        except InputError as error:
            problems = error.problems
    outcome = None if found is None else found.outcome
    rows: list[Row] = []
    if found is not None and outcome is not None:
        rows = _rows(found.placed, told, outcome.results["chosen"], settings)
    context: dict[str, Any] = {
        "told": told,
        "filled": Filled(values, problems),
        "rows": rows,
        "sum": None if outcome is None else _sum(outcome, settings),
        "without": () if found is None else found.asked.without,
        "working_shown": None if outcome is None else of_outcome("What is worth most together", outcome, settings),
        "warnings": () if outcome is None else outcome.warnings,
    }
    return page(request, "choosing.html", context, status=status)


def _sum(outcome: Outcome, settings: Settings) -> dict[str, str]:
    results = outcome.results
    return {
        "value": money_text(results["value"], settings.currency),
        "cost": money_text(results["cost"], settings.currency),
        "hours": f"{results['hours']:,.0f}",
        "left": money_text(results["money_left"], settings.currency),
        "best": "proved to be the best" if results["optimal"] else "good, but not proved to be the best",
    }
