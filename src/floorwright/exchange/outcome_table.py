"""One calculation as it was run, as a table: what was put in, results, checks, and the working with its sources."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any, Final

from floorwright.basis.outcome import Outcome, Span
from floorwright.basis.quantity import Quantity, UnitSystem
from floorwright.basis.sources import source
from floorwright.basis.working import show_value
from floorwright.exchange.tables import Table, tidy

HEADINGS: Final = (
    "part", "of", "name", "symbol", "value", "unit", "low", "high", "limit", "verdict", "formula",
    "with the numbers put in", "says", "source",
)  # fmt: skip
_NAMES: Final = {
    "sd": "spread (sd)",
    "p05": "5 of 100 are below",
    "p50": "half are below",
    "p95": "95 of 100 are below",
    "npv": "worth today (NPV)",
    "p_value": "p value",
}
_UNITS: Final = ("m", "s", "kg", "n")


def outcome_table(given: Mapping[str, Any], outcome: Outcome, system: UnitSystem, currency: str = "") -> Table:
    """The whole of one calculation, a row for each thing it says; numbers with every digit, in the units asked for.

    Args:
        given: what was put in, as it was typed.
        outcome: what came out.
        system: units of results and checks; the working stays in the units it was worked out in.
        currency: put for "money" in units; "" leaves the word.
    """
    return list(HEADINGS), (_row(each, currency) for each in _lines(given, outcome, system))


def _row(line: Mapping[str, Any], currency: str) -> list[Any]:
    unit = str(line.get("unit", ""))
    if currency and unit.split(" ")[0] == "money":
        unit = currency + unit.removeprefix("money")
    return [unit if name == "unit" else line.get(name, "") for name in HEADINGS]


def _lines(given: Mapping[str, Any], outcome: Outcome, system: UnitSystem) -> Iterator[dict[str, Any]]:
    for name, value in _put_in(given, ""):
        yield {"part": "put in", "name": name, "value": value}
    for group, name, value in flat(outcome.results):
        yield from _result(words_of(group), words_of(name), value, system)
    for check in outcome.checks:
        demand, unit = _number(check.demand, system)
        yield {
            "part": "check", "of": check.case, "name": check.name, "value": demand, "unit": unit,
            "limit": _number(check.capacity, system)[0], "verdict": check.verdict, "says": check.sentence,
            "source": check.source,
        }  # fmt: skip
    yield from ({"part": "read this first", "says": each} for each in outcome.warnings)
    yield from _working(outcome)
    yield from ({"part": "source", "name": each, "says": source(each).text()} for each in outcome.sources)


def _put_in(given: Mapping[str, Any], start: str) -> Iterator[tuple[str, Any]]:
    for name, value in given.items():
        if isinstance(value, Mapping):
            yield from _put_in(value, f"{start}{words_of(name)}, ")
        else:
            yield f"{start}{words_of(name)}", value


def _working(outcome: Outcome) -> Iterator[dict[str, Any]]:
    working = outcome.working
    for given in working.given:
        yield {
            "part": "given", "name": given.meaning, "symbol": given.symbol, "value": _whole(given.value),
            "unit": given.unit,
        }  # fmt: skip
    yield from ({"part": "taken for granted", "says": each} for each in working.assumptions)
    for step in working.steps:
        yield {
            "part": "step", "name": step.meaning, "symbol": step.symbol, "value": _whole(step.value),
            "unit": step.unit, "formula": step.formula,
            "with the numbers put in": working.put_in(step) if step.formula else "", "says": step.note,
            "source": step.source,
        }  # fmt: skip


def _whole(value: Any) -> Any:
    return show_value(value) if isinstance(value, tuple) else _plain(value)


def _result(group: str, name: str, value: Any, system: UnitSystem) -> Iterator[dict[str, Any]]:
    line = {"part": "result", "of": group, "name": name}
    if isinstance(value, (list, tuple)):
        if not value:
            yield line | {"value": "none"}
        for place, each in enumerate(value, 1):
            if isinstance(each, Mapping):
                under = f"{group}, {name} {place}" if group else f"{name} {place}"
                for inner, key, part in flat(each):
                    yield from _result(under, words_of(f"{inner}, {key}" if inner else key), part, system)
            else:
                yield from _result(group, f"{name} {place}", each, system)
    elif isinstance(value, Span):
        yield line | _span(value, system)
    elif isinstance(value, str) and value.endswith("."):
        yield line | {"says": value}
    else:
        number, unit = _number(value, system)
        yield line | {"value": number, "unit": unit}


def _span(span: Span, system: UnitSystem) -> dict[str, Any]:
    dimension = span.dimension

    def end(value: float | None) -> Any:
        if value is None:
            return "no limit"
        return _plain(dimension.to_shown(value, system) if dimension else value)

    unit = dimension.shown_unit(system) if dimension else ""
    return {"low": end(span.low_si), "high": end(span.high_si), "unit": unit}


def _number(value: Any, system: UnitSystem) -> tuple[Any, str]:
    """A value and its unit; words as people read them."""
    if value is None:
        return "not known", ""
    if isinstance(value, Quantity):
        dimension = value.dimension
        return _plain(dimension.to_shown(value.value_si, system)), dimension.shown_unit(system)
    return (value.replace("_", " ") if isinstance(value, str) else _plain(value)), ""


def _plain(value: Any) -> Any:
    if isinstance(value, float):
        return tidy(value) if math.isfinite(value) else "not known"
    return value


def flat(results: Mapping[str, Any], group: str = "") -> Iterator[tuple[str, str, Any]]:
    """Results in their order, each with the names of what it belongs to and its own."""
    for name, value in results.items():
        if isinstance(value, Mapping):
            yield from flat(value, f"{group}, {name}" if group else name)
        else:
            yield group, name, value


def words_of(name: str) -> str:
    """The name of a result in words, with the unit that it carries: "distance_m" is "distance (m)"."""
    if name in _NAMES:
        return _NAMES[name]
    start, _, end = name.rpartition("_")
    if start and end in _UNITS:
        return f"{start.replace('_', ' ')} ({end.upper() if end == 'n' else end})"
    return name.replace("_", " ")
