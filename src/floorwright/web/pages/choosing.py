"""What to do first: worth, effort and chance of what is open, and how sure the order is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright import catalogue
from floorwright.basis.errors import InputError, Problem
from floorwright.basis.outcome import Outcome
from floorwright.prove.order import Option, Placed, Range, order
from floorwright.shop.records import Phase, Settings
from floorwright.shop.showing import exact_text
from floorwright.shop.story import Story
from floorwright.shop.typed import number
from floorwright.shop.words import money_text
from floorwright.web.desk import desk
from floorwright.web.forms import Filled, Form
from floorwright.web.guard.visitors import Lead, Viewer
from floorwright.web.render import go, page, settings_of
from floorwright.web.workings import of_outcome

router = APIRouter()
OWNER: Final = "shop"
KIND: Final = "choosing"
NAME: Final = "asked"
MOST: Final = 60
_RANGE: Final = ("low", "likely", "high")
# Where nobody has said it: a proof is as good as sure, what is likely mostly works, the rest is even. No source.
_CHANCE: Final = {"proven": 95, "likely": 75, "not shown": 25, "worse": 10}


def _open(request: Request) -> list[Story]:
    """What can be chosen: neither in use nor dropped; the first sixty."""
    told = desk(request).teller.told(patience=3.0).stories
    return [each for each in told if each.phase not in (Phase.ACT, Phase.DROPPED)][:MOST]


def _standing(told: list[Story]) -> dict[str, str]:
    """Worth, effort, cost and chance as the records have them."""
    found = {"budget": "1500", "hours": "40"}
    for each in told:
        i, record = each.filed.id, each.record
        if each.money.outcome is not None:
            annual = each.money.outcome.results["annual"]
            for name, key in zip(_RANGE, ("p05", "mean", "p95"), strict=True):
                found[f"worth-{name}-{i}"] = f"{annual[key]:.0f}"
        if record.cost is not None:
            hours = record.cost.building_hours + record.cost.downtime_hours
            for name, factor in zip(_RANGE, (0.8, 1.0, 1.5), strict=True):
                found[f"hours-{name}-{i}"] = exact_text(round(hours * factor, 2)).replace(",", "")
            found[f"cost-{i}"] = f"{record.cost.material:.0f}"
        word = each.proofs[0].verdict if each.proofs else None
        found[f"chance-{i}"] = str(_CHANCE.get(word or "", 50))
    return found


@router.get("/charts/choosing")
def choosing(request: Request, _: Viewer) -> Response:
    """The form, with what was asked the last time, and the answer to it."""
    told = _open(request)
    at = desk(request)
    with at.shop.work() as work:
        kept = work.keepsakes.get(OWNER, KIND, NAME) or {}
    return _page(request, told, _standing(told) | {name: str(text) for name, text in kept.items()})


@router.post("/charts/choosing")
def ask(request: Request, form: Form, _: Lead) -> Response:
    """Keep what was typed beside what the records say, for everybody who looks next, and answer."""
    told = _open(request)
    standing = _standing(told)
    values = {name: text for name, text in form.values().items() if len(text) <= 40 and name != "do"}
    at = desk(request)
    if form.text("do") == "reset":
        values = {}
    else:
        try:
            _asked(told, standing | values)
        except InputError as error:
            return _page(request, told, standing | values, error.problems, status=422)
        values = {name: text for name, text in values.items() if text != standing.get(name, "")}
    with at.shop.work() as work:
        work.keepsakes.put(OWNER, KIND, NAME, dict(values), at.shop.clock.now())
        work.commit()
    return go("/charts/choosing")


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is asked: options by number, money and hours; `without` lacks a worth."""

    options: dict[int, Option]
    budget: float
    hours: float | None
    without: tuple[Story, ...]


def _asked(told: list[Story], values: Mapping[str, str]) -> Asked:
    """The form as options. Raises InputError with every field that is wrong."""
    problems: list[Problem] = []

    def read(name: str, most: float = 1e9) -> float | None:
        text = values.get(name, "").replace(",", "").strip()
        if not text:
            return None
        try:
            value = number(text, name)
            if not (-most if name.startswith("worth") else 0) <= value <= most:
                raise InputError.of(name, text, f"'{text}' should lie between 0 and {most:,g}")
        except InputError as error:
            problems.extend(error.problems)
            return None
        return value

    def spread(what: str, i: int) -> Range | None:
        ends = [read(f"{what}-{name}-{i}") for name in _RANGE]
        likely = ends[1]
        if likely is None:
            return None
        low, high = (likely if end is None else end for end in (ends[0], ends[2]))
        if not low <= likely <= high:
            said = f"should rise from low to likely to high, not {low:g}, {likely:g}, {high:g}"
            problems.append(Problem(f"{what}-likely-{i}", likely, said))
            return None
        return Range(low=low, likely=likely, high=high)

    options, without = {}, []
    for each in told:
        i = each.filed.id
        worth, hours = spread("worth", i), spread("hours", i) or Range(low=0, likely=0, high=0)
        chance, cost = read(f"chance-{i}", 100), read(f"cost-{i}")
        if worth is None:
            without.append(each)
        else:
            share = 0.5 if chance is None else chance / 100
            options[i] = Option(name=str(i), worth=worth, chance=share, cost=cost or 0.0, hours=hours)
    budget, limit = read("budget"), read("hours")
    if problems:
        raise InputError(problems)
    return Asked(options=options, budget=budget or 0.0, hours=limit, without=tuple(without))


def _chosen(asked: Asked) -> Outcome:
    """What is worth most together, by the means."""
    raw = {
        "improvements": [
            {"name": each.name, "value": each.worth.mean * each.chance, "cost": each.cost, "hours": each.hours.mean}
            for each in asked.options.values()
        ],
        "budget": asked.budget,
        "hours": asked.hours,
    }
    return catalogue.calculation("choose")({name: value for name, value in raw.items() if value is not None})


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
    rows: list[Row] = []
    outcome: Outcome | None = None
    without: tuple[Story, ...] = ()
    if not problems:
        try:
            asked = _asked(told, values)
            without = asked.without
            if asked.options:
                outcome = _chosen(asked)
                placed = order(tuple(asked.options.values()), budget=asked.budget, hours=asked.hours)
                rows = _rows(placed, told, outcome.results["chosen"], settings)
        except InputError as error:
            problems = error.problems
    context: dict[str, Any] = {
        "told": told,
        "filled": Filled(values, problems),
        "rows": rows,
        "sum": None if outcome is None else _sum(outcome, settings),
        "without": without,
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
