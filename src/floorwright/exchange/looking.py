"""A file as somebody looks at it before it is read in: its columns, what stands in them, what it would become."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from typing import Final

from floorwright.basis.errors import InputError, Problem
from floorwright.exchange.cells import Cell, letter, shown
from floorwright.exchange.choices import Choices, Progress
from floorwright.exchange.columns import Column, Layout, normal, read_layout
from floorwright.exchange.plan import ImportPlan, plan_import
from floorwright.exchange.sniff import kind_of
from floorwright.exchange.table import Table, read_table
from floorwright.exchange.vocabulary import BY_KIND, COMMON
from floorwright.exchange.workbook import filled_sheets
from floorwright.shop.records import Settings, Study, operator_code

SAMPLES: Final = 3
MOST_NAMES: Final = 40
MARKED_ROWS: Final = 10
IGNORE: Final = "ignore"


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """What somebody says of a column: one of `meanings`, and a unit of bare numbers; "" leaves it as it is."""

    meaning: str = ""
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenColumn:
    """A column of the file.

    Attributes:
        index: from 0.
        letter: as a spreadsheet shows it.
        heading: as written.
        samples: the first cells below it that hold anything.
        meaning: what it is taken for, as `meanings` names it; "ignore" where it is left unread.
        unit: of bare numbers in it; "" where there is none.
    """

    index: int
    letter: str
    heading: str
    samples: tuple[str, ...]
    meaning: str
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """A file that was looked at.

    Attributes:
        problems: why it cannot be read at all; then there is no plan.
        sheets: of a workbook, those with anything on them.
        sheet: the one that was read.
        columns: every column with a heading or a meaning.
        mark: tells files with the same headings for the same kind of study.
        marks: what the mark would be with each of the first rows as the headings, the likeliest first; so what was
            settled for them is found again.
        heading_row: the row of the headings; 0 for none.
        names: what stands for operators and is no code.
        plan: what reading it in would do.
    """

    problems: tuple[Problem, ...] = ()
    sheets: tuple[str, ...] = ()
    sheet: str = ""
    columns: tuple[SeenColumn, ...] = ()
    mark: str = ""
    marks: tuple[str, ...] = ()
    heading_row: int = 0
    names: tuple[str, ...] = ()
    plan: ImportPlan | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """What somebody settled about a file.

    Attributes:
        sheet: of a workbook; "" where there is only one.
        mark: of the headings that `columns` belongs to; they count for no other.
        columns: by index.
        choices: the rest.
    """

    sheet: str = ""
    mark: str = ""
    columns: Mapping[int, Chosen] = field(default_factory=dict)
    choices: Choices = field(default_factory=Choices)


def look(
    path: Path,
    name: str,
    study: Study,
    settings: Settings,
    *,
    wishes: Wishes,
    known_keys: Collection[str] = frozenset(),
    progress: Progress | None = None,
) -> Looked:
    """Look at a file. Nothing is stored; what is wrong stands in the answer."""
    sheets: tuple[str, ...] = ()
    try:
        sheets = _sheets(path, name)
        sheet = wishes.sheet if wishes.sheet in sheets else sheets[0] if len(sheets) == 1 else None
        if len(sheets) > 1 and sheet is None:
            return Looked(sheets=sheets)
        table = read_table(path, name, sheet=sheet)
        found = read_layout(table, study)
        own = read_layout(table, study, heading_row=wishes.choices.heading_row)
        mark = headings_mark(table, own, study)
        chosen = wishes.columns if wishes.mark in ("", mark) else {}
        plan = plan_import(
            table,
            study,
            settings,
            mapping=mapping_of(own, chosen),
            known_keys=known_keys,
            choices=wishes.choices,
            progress=progress,
        )
        return Looked(
            sheets=sheets,
            sheet=table.sheet,
            columns=tuple(_columns(table, own, plan.layout)),
            mark=mark,
            marks=tuple(dict.fromkeys([headings_mark(table, found, study), *_marks(table, study)])),
            heading_row=own.heading_row,
            names=tuple(islice(_names(table, plan.layout), MOST_NAMES)),
            plan=plan,
        )
    except InputError as error:
        return Looked(problems=error.problems, sheets=sheets)


def _sheets(path: Path, name: str) -> tuple[str, ...]:
    with path.open("rb") as file:
        if kind_of(file.read(8192), name) == "text":
            return ()
        file.seek(0)
        return filled_sheets(file.read(), name)


def headings_mark(table: Table, layout: Layout, study: Study) -> str:
    """The same for files with the same headings in the same order and the same kind of study."""
    return _mark(table.head(layout.heading_row)[-1] if layout.heading_row else (), study)


def _marks(table: Table, study: Study) -> Iterator[str]:
    for row in table.head(MARKED_ROWS):
        if any(cell != "" for cell in row):
            yield _mark(row, study)


def _mark(row: Sequence[Cell], study: Study) -> str:
    headings = [normal(shown(cell)) for cell in row]
    while headings and not headings[-1]:
        headings.pop()
    text = json.dumps([study.kind.value, study.timing, headings], ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def meaning_of(column: Column) -> str:
    """The meaning of a column in one word: "value", "element: fetch", "ignore"."""
    if column.meaning == "element_time":
        return f"element: {column.element}"
    return column.meaning or IGNORE


def mapping_of(own: Layout, chosen: Mapping[int, Chosen]) -> dict[str, str]:
    """What somebody says of columns where it is not what their headings say already."""
    by_index = {column.index: column for column in own.columns}
    mapping = {}
    for index, wish in chosen.items():
        column = by_index.get(index)
        said = IGNORE if column is None else meaning_of(column)
        meaning = wish.meaning or said
        unit = wish.unit.strip()
        if meaning == said and (not unit or (column is not None and unit == column.unit)):
            continue
        mapping[f"#{index + 1}"] = f"{meaning} ({unit})" if unit and meaning != IGNORE else meaning
    return mapping


def _columns(table: Table, own: Layout, settled: Layout) -> Iterator[SeenColumn]:
    below = table.head(settled.first_row + 60)[settled.first_row - 1 :]
    found = {column.index: column for column in (*own.columns, *settled.columns)}
    width = max((len(row) for row in below), default=0)
    for index in range(max([width, *(each + 1 for each in found)])):
        column = found.get(index, Column(index=index, heading=""))
        samples = _samples(below, index)
        if column.heading or column.meaning or samples:
            yield SeenColumn(
                index=index,
                letter=letter(index),
                heading=column.heading,
                samples=samples,
                meaning=meaning_of(column),
                unit=column.unit,
            )


def _samples(rows: Sequence[Sequence[Cell]], index: int) -> tuple[str, ...]:
    cells = (shown(row[index]) for row in rows if index < len(row))
    return tuple(islice((cell for cell in cells if cell), SAMPLES))


def _names(table: Table, layout: Layout) -> Iterator[str]:
    """What stands in the column of operators and is no code, each once: it is shown, and never stored."""
    column = layout.of("operator")
    if column is None:
        return
    seen: set[str] = set()
    for _, rows in table.chunks(layout.first_row):
        for row in rows:
            text = shown(row[column.index]) if column.index < len(row) else ""
            if text and text not in seen:
                seen.add(text)
                try:
                    operator_code(text)
                except ValueError:
                    yield text


def meanings(study: Study) -> tuple[tuple[str, str], ...]:
    """What a column can mean in a study: the meaning, and what to call it."""
    found = [(IGNORE, "leave it unread")]
    found += [(name, _named(name, study)) for name in BY_KIND[study.kind] if name != "exposure"]
    found += [(f"element: {element.name}", f"times of {element.name}") for element in study.elements]
    own = {"exposure"} if "exposure" not in BY_KIND[study.kind] else set()
    found += [(name, _named(name, study)) for name in COMMON if name not in own]
    return tuple(found)


def _named(name: str, study: Study) -> str:
    if name == "value":
        return _VALUES.get(study.kind.value, study.measure)
    return _CALLED.get(name, name.replace("_", " "))


_VALUES: Final = {
    "times": "the time",
    "counts": "how many were counted",
    "shares": "in how many it was seen",
    "distance": "the distance",
    "lift": "the lifting index",
    "space": "the area",
    "density": "pieces by area",
    "force": "the force",
    "weight": "the weight",
}
_CALLED: Final = {
    "key": "key of the reading",
    "taken_at": "day and time",
    "date": "day",
    "clock": "time of day",
    "cycle": "number of the cycle",
    "element": "name of the element",
    "exposure": "out of how many",
    "work": "set-up or run",
    "part": "part or job",
    "operator": "operator code",
    "driver": "what the time depends on",
    "driver_amount": "how much of it",
    "rating": "pace rating",
    "foreign": "does not belong (foreign)",
    "detail": "detail of an export",
    "replaces": "key of the reading it corrects",
    "reason": "why it was corrected",
    "route": "the route, station by station",
}
