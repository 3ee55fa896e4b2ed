"""The fields of an improvement as a person fills them in, part by part of its page."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final, Literal

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.sentence import said
from floorwright.shop.records import Settings, Use, Waste
from floorwright.shop.showing import exact_text
from floorwright.web.forms import Posted
from floorwright.web.words import N_

Kind = Literal["line", "text", "date", "number", "choice"]
Options = Callable[[Settings], Sequence[tuple[str, str]]]
SIGNALS: Final = ("DANGER", "WARNING", "CAUTION", "NOTICE")
SPARE_ROWS: Final = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A field of the record in a form.

    Attributes:
        name: its path in the record; "cost.material" is the field of a field.
        label: what stands above it.
        kind: how it is filled in.
        hint: what helps to fill it in.
        options: of a choice, from the settings.
        empty: what an empty field means.
    """

    name: str
    label: str
    kind: Kind = "line"
    hint: str = ""
    options: Options | None = None
    empty: Any = ""

    def shown(self, body: Mapping[str, Any]) -> str:
        """What stands in the field for a record."""
        found: Any = body
        for part in self.name.split("."):
            found = found.get(part) if isinstance(found, Mapping) else None
        return as_typed(found)


def as_typed(value: Any) -> str:
    """A plain value as a person would type it."""
    if value is None:
        return ""
    return exact_text(value) if isinstance(value, float) else str(value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """A list in the record, one row an item; a row whose `main` field is emptied goes.

    Attributes:
        name: the list.
        label: what one row is.
        columns: fields of a row.
        main: the field that a row cannot do without.
    """

    name: str
    label: str
    columns: tuple[Field, ...]
    main: str

    def cell(self, index: int, column: str) -> str:
        """The name of a field of a row in the form."""
        return f"{self.name}-{index}-{column}"

    def shown(self, body: Mapping[str, Any]) -> list[dict[str, str]]:
        """The rows of a record as text, and an empty one to add to them."""
        held = [{each.name: each.shown(row) for each in self.columns} for row in body.get(self.name) or ()]
        return held + [{each.name: "" for each in self.columns}] * SPARE_ROWS


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """The fields that are filled in together.

    Attributes:
        name: of the group, and of its part of the page.
        fields: in order.
        rows: a list that belongs to it.
        whole: the field of the record that goes when all of these are emptied; "" where each stands alone.
    """

    name: str
    fields: tuple[Field, ...] = ()
    rows: Rows | None = None
    whole: str = ""
    held: tuple[str, ...] = field(default=())

    def values(self, body: Mapping[str, Any]) -> dict[str, str]:
        """What stands in the form for a record."""
        found = {each.name: each.shown(body) for each in self.fields}
        if self.rows is not None:
            for index, row in enumerate(self.rows.shown(body)):
                found |= {self.rows.cell(index, name): text for name, text in row.items()}
        return found

    def changes(self, form: Posted, base: Mapping[str, Any]) -> dict[str, Any]:
        """The fields that a person changed, from what stood in the form when they saw it."""
        before = self.values(base)
        typed = {each.name: plain_lines(form.text(each.name)) for each in self.fields}
        if self.whole and base.get(self.whole) is not None and not any(typed.values()):
            return {self.whole: None}
        found: dict[str, Any] = {
            each.name: typed[each.name] or each.empty
            for each in self.fields
            if typed[each.name] != plain_lines(before[each.name])
        }
        if self.rows is not None:
            found |= _row_changes(self.rows, form, before)
        return found


def _row_changes(rows: Rows, form: Posted, before: Mapping[str, str]) -> dict[str, Any]:
    typed: list[dict[str, str]] = []
    index = 0
    changed = False
    while form.data.get(rows.cell(index, rows.main)) is not None:
        row = {each.name: plain_lines(form.text(rows.cell(index, each.name))) for each in rows.columns}
        changed |= any(before.get(rows.cell(index, name), "") != text for name, text in row.items())
        typed.append(row)
        index += 1
    kept = [row for row in typed if row[rows.main]]
    return {rows.name: kept} if changed or len(kept) < len(typed) - SPARE_ROWS else {}


def plain_lines(text: str) -> str:
    """Text of a form with the line ends that records have."""
    return text.replace("\r\n", "\n").replace("\r", "\n").strip()


def beside(error: InputError, group: Group) -> tuple[Problem, ...]:
    """Problems under the names that the form has for them: `cautions[0].text` is `cautions-0-text`."""
    if group.rows is None:
        return error.problems
    rows = group.rows
    found = []
    for each in error.problems:
        inside = each.field.removeprefix(f"{rows.name}[")
        index, mark, column = inside.partition("].")
        name = rows.cell(int(index), column) if inside != each.field and mark and index.isdigit() else each.field
        found.append(Problem(name, each.value, each.message))
    return tuple(found)


def _wastes(_: Settings) -> list[tuple[str, str]]:
    return [(each.value, each.value) for each in Waste]


def _areas(settings: Settings) -> list[tuple[str, str]]:
    return [(each, each) for each in settings.areas]


def _uses(_: Settings) -> list[tuple[str, str]]:
    return [("", N_("nobody has said yet")), *((each.value, each.value) for each in Use)]


def _rates(settings: Settings) -> list[tuple[str, str]]:
    rates = [
        (
            each.name,
            said(
                "{name}: {amount} ({basis})",
                name=each.name,
                amount=f"{settings.currency}{each.per_hour:.2f}",
                basis=said(each.basis.value),
            ),
        )
        for each in settings.rates
    ]
    return [("", N_("the first one of the shop")), *rates]


def _signals(_: Settings) -> list[tuple[str, str]]:
    return [(each, each) for each in SIGNALS]


def _charts(_: Settings) -> list[tuple[str, str]]:
    return [
        ("xmr", N_("single values (XmR)")),
        ("p", N_("share with a fault (p)")),
        ("c", N_("events, same exposure (c)")),
        ("u", N_("events over exposure (u)")),
    ]


def _leave(name: str, label: str) -> Group:
    return Group(
        name=name,
        whole=name,
        fields=(
            Field(name=f"{name}.by", label=label),
            Field(name=f"{name}.role", label=N_("In which role"), hint=N_("Such as shop lead or safety lead.")),
            Field(name=f"{name}.on", label=N_("On"), kind="date", empty=None),
        ),
    )


_MONEY_HINT: Final = N_("An amount such as 84.50.")
GROUPS: Final = {
    each.name: each
    for each in (
        Group(
            name="seen",
            fields=(
                Field(name="title", label=N_("Title"), hint=N_("What was seen, in one short line.")),
                Field(name="seen", label=N_("What was seen"), kind="text"),
                Field(name="waste", label=N_("Kind of waste"), kind="choice", options=_wastes),
                Field(name="area", label=N_("Area"), kind="choice", options=_areas),
                Field(name="place", label=N_("Where in the area")),
                Field(name="noticed_by", label=N_("Who saw it")),
                Field(name="noticed_on", label=N_("When"), kind="date"),
            ),
        ),
        Group(
            name="question",
            fields=(
                Field(
                    name="question",
                    label=N_("The question"),
                    kind="text",
                    hint=N_("One sentence that a number can answer."),
                ),
            ),
        ),
        Group(
            name="change",
            fields=(Field(name="countermeasure", label=N_("The change"), kind="text"),),
        ),
        Group(
            name="cautions",
            rows=Rows(
                name="cautions",
                label=N_("Caution"),
                main="text",
                columns=(
                    Field(name="signal", label=N_("Signal word"), kind="choice", options=_signals),
                    Field(name="text", label=N_("What can hurt someone, and what to do")),
                ),
            ),
        ),
        Group(
            name="cost",
            whole="cost",
            fields=(
                Field(name="cost.building_hours", label=N_("Hours of building"), kind="number", empty=0),
                Field(name="cost.downtime_hours", label=N_("Hours of standing still"), kind="number", empty=0),
                Field(name="cost.material", label=N_("Material"), kind="number", hint=_MONEY_HINT, empty=0),
                Field(
                    name="cost.upkeep_per_year",
                    label=N_("Upkeep a year"),
                    kind="number",
                    hint=_MONEY_HINT,
                    empty=0,
                ),
                Field(name="cost.life_years", label=N_("Years it will last"), kind="number", empty=5.0),
                Field(name="cost.note", label=N_("What the cost is made of"), kind="text"),
            ),
        ),
        Group(
            name="trial",
            fields=(
                Field(
                    name="trial_started_on",
                    label=N_("First day with the change in place"),
                    kind="date",
                    empty=None,
                ),
            ),
        ),
        Group(
            name="notes",
            rows=Rows(
                name="trial_notes",
                label=N_("Note"),
                main="text",
                columns=(
                    Field(name="on", label=N_("On"), kind="date"),
                    Field(name="who", label=N_("Who")),
                    Field(name="text", label=N_("What was seen"), kind="text"),
                ),
            ),
        ),
        Group(
            name="worth",
            fields=(
                Field(
                    name="use_of_time",
                    label=N_("What happens with the time"),
                    kind="choice",
                    options=_uses,
                    empty=None,
                    hint=N_("Saved time is money only when fewer hours are paid, more is made, or overtime falls."),
                ),
                Field(
                    name="events_per_year",
                    label=N_("How often a year it is done"),
                    kind="number",
                    empty=None,
                    hint=N_("Such as 4600 frames a year."),
                ),
                Field(name="labour_rate", label=N_("Labour rate"), kind="choice", options=_rates, empty=None),
                Field(
                    name="work_element",
                    label=N_("The piece of work"),
                    hint=N_("Two improvements that touch the same minutes name the same one; they count once."),
                ),
            ),
        ),
        _leave("approval", N_("Approved for use by")),
        _leave("safety_approval", N_("Signed off for safety by")),
        Group(
            name="standard",
            fields=(
                Field(
                    name="standard_work",
                    label=N_("Standard work"),
                    kind="text",
                    hint=N_("The best known way now, step by step, a line each."),
                ),
            ),
        ),
        Group(
            name="watch",
            whole="watch",
            fields=(
                Field(name="watch.what", label=N_("What is watched")),
                Field(name="watch.every_days", label=N_("Every so many days"), kind="number", empty=7),
                Field(name="watch.chart", label=N_("Control chart"), kind="choice", options=_charts, empty="xmr"),
                Field(name="watch.who", label=N_("Who looks")),
            ),
        ),
        Group(
            name="elsewhere",
            fields=(
                Field(name="elsewhere", label=N_("Where else it could be used"), kind="text"),
                Field(name="ask", label=N_("Who to ask")),
            ),
        ),
    )
}
