"""The results of a calculation as lines and tables for people."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from floorwright.basis.outcome import Outcome, Span
from floorwright.basis.quantity import Quantity, UnitSystem, plain_number
from floorwright.exchange.outcome_table import flat, words_of

LONGEST: Final = 200  # rows of a table; the API gives them all


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Results that are alike, one a row."""

    name: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    left_out: int = 0


Lines = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Results:
    """What a calculation found.

    Attributes:
        groups: name and value of single results, by what they belong to; "" for the calculation as a whole.
        tables: results that come in rows.
        sentences: what it says in words.
        checks: verdict and sentence of each comparison with a limit.
    """

    groups: tuple[tuple[str, Lines], ...]
    tables: tuple[Table, ...]
    sentences: tuple[str, ...]
    checks: Lines


def results_of(outcome: Outcome, system: UnitSystem) -> Results:
    """The results in the units of the shop."""
    groups: dict[str, list[tuple[str, str]]] = {"": []}
    tables: list[Table] = []
    sentences: list[str] = []
    for group, name, value in flat(outcome.results):
        if _is_rows(value):
            tables.append(_table(name, value, system))
        elif isinstance(value, str) and value.endswith("."):
            sentences.append(value)
        else:
            groups.setdefault(words_of(group), []).append((words_of(name), shown(value, system)))
    return Results(
        groups=tuple((name, tuple(lines)) for name, lines in groups.items() if lines),
        tables=tuple(tables),
        sentences=tuple(sentences),
        checks=tuple((each.verdict, each.sentence) for each in outcome.checks),
    )


def _is_rows(value: Any) -> bool:
    return isinstance(value, (list, tuple)) and bool(value) and isinstance(value[0], Mapping)


def _table(name: str, rows: Sequence[Mapping[str, Any]], system: UnitSystem) -> Table:
    headings = tuple(dict.fromkeys(key for row in rows for key in row))
    return Table(
        name=words_of(name),
        headings=tuple(words_of(each) for each in headings),
        rows=tuple(tuple(shown(row.get(each), system) for each in headings) for row in rows[:LONGEST]),
        left_out=max(0, len(rows) - LONGEST),
    )


def shown(value: Any, system: UnitSystem) -> str:
    """A value for people: with its unit, four digits, "to" between the ends of an interval."""
    if value is None:
        return "not known"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Quantity):
        unit = value.dimension.shown_unit(system)
        return f"{_number(value.dimension.to_shown(value.value_si, system))} {unit}".strip()
    if isinstance(value, Span):
        return _span(value, system)
    if isinstance(value, float):
        return _number(value)
    if isinstance(value, int):
        return f"{value:,}"
    if isinstance(value, Mapping):
        return ", ".join(f"{words_of(key)} {shown(each, system)}" for key, each in value.items())
    if isinstance(value, (list, tuple)):
        more = f" and {len(value) - LONGEST:,} more" if len(value) > LONGEST else ""
        return (", ".join(shown(each, system) for each in value[:LONGEST]) or "none") + more
    return str(value).replace("_", " ")


def _span(span: Span, system: UnitSystem) -> str:
    def end(value: float | None) -> str:
        if value is None:
            return "no limit"
        return _number(span.dimension.to_shown(value, system) if span.dimension else value)

    unit = span.dimension.shown_unit(system) if span.dimension else ""
    return f"{end(span.low_si)} to {end(span.high_si)} {unit}".strip()


def _number(value: float) -> str:
    if value and abs(value) < 1e-4:
        return f"{value:.2e}"
    text = plain_number(value, 4)
    return text.rstrip("0").rstrip(".") if "." in text else text
