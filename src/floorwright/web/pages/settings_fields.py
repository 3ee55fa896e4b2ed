"""The groups of the settings page: how each shows what the shop keeps, and reads what was typed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.quantity import DISTANCE, SPEED, Dimension, UnitSystem, parse, write
from floorwright.shop.records import RateBasis, Settings
from floorwright.web.forms import Posted

Values = dict[str, str]
Fields = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Group:
    """One form of the page.

    Attributes:
        name: in its address.
        title: its heading.
        fields: of the settings, which it changes.
        read: what was typed, as plain values of these fields. Raises InputError.
    """

    name: str
    title: str
    fields: tuple[str, ...]
    read: Callable[[Posted, Settings], Fields]


def typed(text: str, dimension: Dimension, units: UnitSystem) -> float:
    """A quantity as people type it; without a unit it is in the one that the page shows. Raises ValueError."""
    plain = text.replace(",", "").strip()
    return parse(f"{plain} {dimension.shown_unit(units)}" if _is_bare(plain) else text, dimension)


def _is_bare(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def percent_text(fraction: float) -> str:
    """0.95 -> "95 %"."""
    return f"{round(fraction * 100, 6):g} %"


def _percent(name: str, text: str, least: float, most: float) -> float:
    try:
        found = float(text.removesuffix("%").strip())
    except ValueError:
        found = -1.0
    if not least <= found <= most:
        raise InputError.of(name, text, f"is '{text}'; it should be a percentage from {least:g} to {most:g} %")
    return found / 100


def lines(text: str) -> list[str]:
    """One a line, without blanks, each once."""
    return list(dict.fromkeys(line.strip() for line in text.splitlines() if line.strip()))


def rows(form: Posted, *names: str) -> list[tuple[str, ...]]:
    """The rows of a table of boxes; those in which nothing was typed are left out."""
    columns = [form.texts(name) for name in names]
    if len({len(column) for column in columns}) > 1:
        raise InputError.of(names[0], None, "came without some of its columns; reload the page and send it again")
    return [row for row in zip(*columns, strict=True) if any(row)]


def gathered(parts: Iterable[Callable[[], Fields]]) -> Fields:
    """Several fields, with all that is wrong in any of them at once. Raises InputError."""
    found: Fields = {}
    problems: list[Problem] = []
    for part in parts:
        try:
            found |= part()
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    return found


def _shop(form: Posted, _: Settings) -> Fields:
    people = form.text("people")
    return {"name": form.text("name"), "people": people or None, "currency": form.text("currency")}


def _units(form: Posted, _: Settings) -> Fields:
    return {"units": form.text("units"), "paper": form.text("paper")}


def _counting(form: Posted, now: Settings) -> Fields:
    def speed() -> Fields:
        text = form.text("walking_speed_m_s")
        if text == shown(now)["walking_speed_m_s"]:
            return {"walking_speed_m_s": now.walking_speed_m_s}  # as it was, without the rounding of what is shown
        try:
            return {"walking_speed_m_s": typed(text, SPEED, now.units)}
        except ValueError as error:
            raise InputError.of("walking_speed_m_s", text, str(error)) from None

    return gathered(
        [
            lambda: {"confidence": _percent("confidence", form.text("confidence"), 80, 99.9)},
            lambda: {"interest": _percent("interest", form.text("interest"), 0, 100)},
            speed,
        ]
    )


def _areas(form: Posted, _: Settings) -> Fields:
    return {"areas": lines(form.text("areas"))}


def _stations(form: Posted, _: Settings) -> Fields:
    return {"stations": lines(form.text("stations"))}


def rate_rows(form: Posted) -> list[tuple[str, ...]]:
    """The rows of labour rates; one in which only what it holds is chosen was not filled in."""
    found = rows(form, "rate_name", "rate_basis", "rate_per_hour", "rate_note")
    return [row for row in found if row[0] or row[2] or row[3]]


def _rates(form: Posted, _: Settings) -> Fields:
    return {
        "rates": [
            {"name": name, "basis": basis, "per_hour": money.lstrip("$€£ "), "note": note}
            for name, basis, money, note in rate_rows(form)
        ]
    }


def _shifts(form: Posted, _: Settings) -> Fields:
    found = rows(form, "shift_name", "shift_starts", "shift_ends")
    return {"shifts": [{"name": name, "starts": starts, "ends": ends} for name, starts, ends in found]}


GROUPS: Final[Mapping[str, Group]] = {
    each.name: each
    for each in (
        Group("shop", "Shop", ("name", "people", "currency"), _shop),
        Group("units", "Units and paper", ("units", "paper"), _units),
        Group("counting", "How it counts", ("confidence", "interest", "walking_speed_m_s"), _counting),
        Group("rates", "Labour rates", ("rates",), _rates),
        Group("areas", "Areas", ("areas",), _areas),
        Group("stations", "Stations", ("stations",), _stations),
        Group("shifts", "Shifts", ("shifts",), _shifts),
    )
}
GROUP_OF: Final[Mapping[str, str]] = {field: each.name for each in GROUPS.values() for field in each.fields} | {
    "distances_m": "distances"
}
BASES: Final = (
    (RateBasis.BURDENED.value, "wage and burden"),
    (RateBasis.WAGE.value, "wage alone"),
    (RateBasis.BILLING.value, "billed to customers"),
)


def shown(now: Settings) -> Values:
    """The single values as the page shows them."""
    return {
        "name": now.name,
        "people": "" if now.people is None else str(now.people),
        "currency": now.currency,
        "units": now.units,
        "paper": now.paper,
        "confidence": percent_text(now.confidence),
        "interest": percent_text(now.interest),
        "walking_speed_m_s": write(now.walking_speed_m_s, SPEED, now.units),
        "areas": "\n".join(now.areas),
        "stations": "\n".join(now.stations),
    }


def in_words(field: str, value: Any, units: UnitSystem) -> str:
    """The value of a field, plain as a record keeps it, as people say it: for the history and for clashes."""
    if value in (None, "", [], ()):
        return "nothing"
    match field:
        case "confidence" | "interest":
            return percent_text(float(value))
        case "walking_speed_m_s":
            return write(float(value), SPEED, units)
        case "units":
            return "inches and pounds" if value == "us" else "metric"
        case "rates":
            return "; ".join(f"{each['name']} {each['per_hour']} ({each['basis']})" for each in value)
        case "shifts":
            return "; ".join(f"{each['name']} {each['starts'][:5]} to {each['ends'][:5]}" for each in value)
        case "distances_m":
            return "; ".join(f"{a} to {b} {write(float(m), DISTANCE, units)}" for a, b, m in value)
        case "areas" | "stations":
            return ", ".join(value)
    return str(value)


def shift_times(time: dt.time) -> str:
    """A time of day as a box for it wants it."""
    return f"{time:%H:%M}"
