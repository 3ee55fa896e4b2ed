"""What a gain is worth: try other assumptions, see the range move, keep them if they are right."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.basis.errors import InputError, Problem
from floorwright.draw.money import WorthRange, worth_range
from floorwright.draw.picture import Picture
from floorwright.draw.tornado import Bar, tornado
from floorwright.exchange.result_tables import worth_table
from floorwright.prove.sensitivity import Swing
from floorwright.shop.clash import Clash
from floorwright.shop.improvements import change_improvement
from floorwright.shop.records import Settings, Use
from floorwright.shop.showing import exact_text, number_text
from floorwright.shop.story import Story
from floorwright.shop.trying import GIVE_OR_TAKE, Tried, tried
from floorwright.shop.typed import number
from floorwright.shop.words import hours_text, money_text, payback_text, rate_text
from floorwright.web.desk import desk
from floorwright.web.forms import Filled, Form
from floorwright.web.guard.visitors import Lead, Viewer
from floorwright.web.pages.exporting import Ending, table_as_file
from floorwright.web.pages.improvement_clash import clash_page
from floorwright.web.render import go, is_part, page
from floorwright.web.workings import of_outcome

router = APIRouter()
_NARROW: Final = 346.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Slider:
    """An assumption that is a number: its field, what to call it, its hint, and how far its slider goes."""

    name: str
    field: str
    label: str
    hint: str
    most: float
    step: float
    factor: float = 1.0


_SLIDERS: Final = (
    Slider(
        name="events",
        field="events_per_year",
        label="Times a year",
        hint="how often the work is done",
        most=1000,
        step=10,
    ),
    Slider(
        name="share",
        field="share_used",
        label="Share of the time that is used (%)",
        hint="the rest stays idle time",
        most=100,
        step=5,
        factor=0.01,
    ),
    Slider(name="building", field="cost.building_hours", label="Building (h)", hint="", most=40, step=1),
    Slider(name="downtime", field="cost.downtime_hours", label="Standing still (h)", hint="", most=16, step=0.5),
    Slider(name="material", field="cost.material", label="Material", hint="in money", most=1000, step=10),
    Slider(name="upkeep", field="cost.upkeep_per_year", label="Upkeep a year", hint="in money", most=500, step=5),
    Slider(name="life", field="cost.life_years", label="Life (years)", hint="", most=15, step=0.5),
)
_INTEREST: Final = Slider(
    name="interest",
    field="interest",
    label="Interest a year (%)",
    hint="of the shop: tried here only, kept under Settings",
    most=30,
    step=0.5,
    factor=0.01,
)


def _values(told: Story) -> dict[str, str]:
    """The assumptions as they stand, as the form shows them."""
    record, rate = told.record, told.settings.rate(told.record.labour_rate)
    held = record.model_dump(mode="json")

    def at(path: str) -> Any:
        place: Any = held
        for part in path.split("."):
            place = None if place is None else place.get(part)
        return place

    found = {
        each.name: ""
        if at(each.field) is None
        else exact_text(float(at(each.field)) / each.factor).replace(",", "")
        for each in _SLIDERS
    }
    return found | {
        "interest": exact_text(told.settings.interest * 100),
        "use": record.use_of_time.value if record.use_of_time else "",
        "rate": "" if rate is None else rate.name,
        "either_way": exact_text(100 * GIVE_OR_TAKE),
    }


def _fields(values: Mapping[str, str]) -> tuple[dict[str, Any], float | None, float]:
    """Fields of the improvement, interest, and how far to try either way. Raises InputError."""
    problems: list[Problem] = []

    def read(name: str, factor: float, most: float) -> float | None:
        text = values.get(name, "").replace(",", "").removesuffix("%").strip()
        if not text:
            return None
        try:
            value = number(text, name)
            if not 0 <= value * factor <= most:
                raise InputError.of(name, text, f"'{text}' should lie between 0 and {most / factor:,g}")
        except InputError as error:
            problems.extend(error.problems)
            return None
        return round(value * factor, 10)

    fields: dict[str, Any] = {}
    for each in _SLIDERS:
        value = read(each.name, each.factor, 1.0 if each.name == "share" else 1e9)
        if value is not None or each.name == "events":
            fields[each.field] = value or (None if each.name == "events" else value)
    interest, either_way = read("interest", 0.01, 1.0), read("either_way", 0.01, 0.9)
    fields["use_of_time"] = values.get("use") or None
    fields["labour_rate"] = values.get("rate") or None
    if problems:
        raise InputError(problems)
    for name in ("cost.material", "cost.upkeep_per_year"):
        if name in fields:
            fields[name] = f"{fields[name]:.2f}"
    return fields, interest, GIVE_OR_TAKE if either_way is None else either_way


_BY_FIELD: Final = {each.field: each.name for each in _SLIDERS} | {
    "use_of_time": "use",
    "labour_rate": "rate",
    "interest": "interest",
}


def _beside(error: InputError) -> tuple[Problem, ...]:
    """Problems of the record, beside the fields of this form."""
    return tuple(
        Problem(_BY_FIELD.get(each.field, each.field), each.value, each.message) for each in error.problems
    )


@router.get("/improvements/{number_:int}/worth")
def worth(request: Request, number_: int, _: Viewer) -> Response:
    """The worth under the assumptions of the form; as they stand where nothing is asked for."""
    told = desk(request).teller.story(number_)
    asked = {name: text for name, text in request.query_params.items() if len(text) <= 60}
    return _page(request, told, _values(told) | asked)


@router.get("/improvements/{number_:int}/worth.{ending}")
def export(request: Request, number_: int, ending: Ending, _: Viewer) -> Response:
    """The worth under these assumptions as a file, with what each of them does to it."""
    told = desk(request).teller.story(number_)
    asked = {name: text for name, text in request.query_params.items() if len(text) <= 60}
    fields, interest, either_way = _fields(_values(told) | asked)
    found = tried(told, fields, interest=interest, give_or_take=either_way)
    return table_as_file(f"worth-{number_}", ending, worth_table(found))


def _page(
    request: Request, told: Story, values: dict[str, str], problems: tuple[Problem, ...] = (), status: int = 200
) -> Response:
    found: Tried | None = None
    if not problems:
        try:
            fields, interest, either_way = _fields(values)
            found = tried(told, fields, interest=interest, give_or_take=either_way)
        except InputError as error:
            problems, status = _beside(error), 422
    held = _values(told)
    context = {
        "told": told,
        "filled": Filled(values, problems),
        "tried": found,
        "shown": None if found is None else _shown(found),
        "changed": any(values.get(name) != held[name] for name in held if name not in ("interest", "either_way")),
        "sliders": [(each, _most(each, values.get(each.name, ""))) for each in (*_SLIDERS, _INTEREST)],
        "uses": [("", "nobody has said")] + [(each.value, each.value) for each in Use],
        "rates": [
            (each.name, f"{each.name}, {money_text(float(each.per_hour), told.settings.currency)} an hour")
            for each in told.settings.rates
        ],
        "names": list(held),
        "query": urlencode({name: values.get(name, "") for name in held if values.get(name, "") != held[name]}),
    }
    return page(request, "worth.html", context, block="shown" if is_part(request) else "", status=status)


def _most(slider: Slider, text: str) -> float:
    """How far a slider goes: twice what stands there, at least as far as usual."""
    try:
        value = float(text)
    except ValueError:
        value = 0.0
    fixed = slider.name in ("share", "interest")
    return slider.most if fixed or value * 2 <= slider.most else value * 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """The worth in words and pictures."""

    standing: str
    headline: str
    inside: str
    hours: str
    payback: str
    one_off: str
    rate: str
    chart: Picture | None
    tornado: Picture | None
    narrow: Picture | None
    working: Any
    warnings: tuple[str, ...]


_STANDING: Final = {
    "banked": "Banked: the gain is proven, and the hours are turned into money.",
    "freed": "Freed: the gain is proven, but nothing is done with the time yet, so no money is claimed.",
    "hoped": "Hoped for: the gain is not proven yet. What stands here is not counted on.",
    "none": "No gain of time is claimed.",
}


def _shown(found: Tried) -> Shown:
    money, settings = found.money, found.settings
    currency = settings.currency
    headline = inside = ""
    chart = None
    if money.outcome is not None:
        annual = money.outcome.results["annual"]
        headline = f"{money_text(annual['mean'], currency)} a year"
        inside = (
            f"{money_text(annual['p05'], currency)} to {money_text(annual['p95'], currency)}, nine times in ten"
        )
        one = WorthRange(label="Worth a year", p05=annual["p05"], mean=annual["mean"], p95=annual["p95"])
        chart = worth_range([one], currency=currency)
    bars = [_bar(each, settings) for each in found.swings]
    middle = found.worth or 0.0
    return Shown(
        standing=_STANDING[money.standing],
        headline=headline or "No money claimed",
        inside=inside or f"{money.reason[:1].upper()}{money.reason[1:]}.",
        hours=hours_text(money.hours_per_year),
        payback=payback_text(money),
        one_off="" if money.one_off is None else money_text(float(money.one_off), currency),
        rate=rate_text(money.rate, settings),
        chart=chart,
        tornado=tornado(bars, middle=middle, currency=currency) if bars else None,
        narrow=tornado(bars, middle=middle, currency=currency, width=_NARROW) if bars else None,
        working=None if money.outcome is None else of_outcome("What it is worth", money.outcome, settings),
        warnings=() if money.outcome is None else money.outcome.warnings,
    )


def _bar(swing: Swing, settings: Settings) -> Bar:
    label, text = _TOLD[swing.name]
    low, high = (text(end, settings.currency) for end in (swing.low, swing.high))
    return Bar(label=label, low=low, high=high, worth_low=swing.worth_low, worth_high=swing.worth_high)


Text = Callable[[float, str], str]
_TOLD: Final[dict[str, tuple[str, Text]]] = {
    "saved_s": ("saved each time", lambda x, _: f"{number_text(x)} s"),
    "events_per_year": ("times a year", lambda x, _: f"{x:,.0f}"),
    "share_used": ("share of the time used", lambda x, _: f"{x:.0%}"),
    "labour_rate": ("labour rate", lambda x, currency: f"{currency}{x:,.2f}"),
    "cost": ("cost of the change", money_text),
    "upkeep": ("upkeep a year", money_text),
    "life_years": ("life", lambda x, _: f"{x:.1f} years"),
    "interest": ("interest", lambda x, _: f"{100 * x:.1f} %"),
}


@router.post("/improvements/{number_:int}/worth")
def keep(request: Request, number_: int, form: Form, who: Lead) -> Response:
    """Keep the assumptions with the improvement; interest and how far they are tried belong to this page alone."""
    at = desk(request)
    told = at.teller.story(number_)
    values = _values(told) | form.values()
    try:
        fields, _, _ = _fields(values)
        tried(told, fields)
        change_improvement(
            at.shop,
            number_,
            fields,
            who.author,
            reason=form.text("reason"),
            expected_version=form.number("version"),
        )
    except Clash as clash:
        return clash_page(request, number_, clash, fields, form.number("version"), "worth")
    except InputError as error:
        return _page(request, told, values, _beside(error), status=422)
    return go(f"/improvements/{number_}/worth")
