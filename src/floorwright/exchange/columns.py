"""Which column means what: headings as people write them, units in the heading, and an explicit mapping."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from floorwright.basis.quantity import ANGLE, AREA, DENSITY_ON_FLOOR, FORCE, LENGTH, MASS, TIME, Dimension
from floorwright.exchange.cells import Cell, letter
from floorwright.exchange.table import Table
from floorwright.exchange.vocabulary import BY_KIND, COMMON, DIMENSIONS, RUNNING_WATCH
from floorwright.shop.records import MeasureKind, Study

HEADING_ROWS: Final = 40

_CLOCK_UNITS: Final = {
    "h:mm": "h:mm",
    "hh:mm": "h:mm",
    "h:m": "h:mm",
    "m:ss": "m:ss",
    "mm:ss": "m:ss",
    "min:sec": "m:ss",
    "min:s": "m:ss",
    "h:mm:ss": "h:mm",
    "hh:mm:ss": "h:mm",
}
_PARENS: Final = re.compile(r"^(.*?)\s*[(\[]\s*([^()\[\]]*?)\s*[)\]]\s*$", re.DOTALL)
_PLACE: Final = re.compile(r"#([1-9]\d{0,3})")
_UNIT_WORDS: Final = {
    "sec": "s",
    "secs": "s",
    "seconds": "s",
    "minutes": "min",
    "mins": "min",
    "hours": "h",
    "hrs": "h",
    "metres": "m",
    "meters": "m",
    "feet": "ft",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column and what it is taken for.

    Attributes:
        index: from 0.
        heading: as written.
        meaning: a name of `COMMON` or `BY_KIND`; "element_time" for a column that holds one element's times;
            "" when it is left unread.
        unit: of bare numbers in it, from the heading or the mapping; "" when there is none.
        element: for "element_time", which one.
    """

    index: int
    heading: str
    meaning: str = ""
    unit: str = ""
    element: str = ""

    @property
    def label(self) -> str:
        """How messages name the column: its heading, or its letter where it has none."""
        return f'column "{self.heading}"' if self.heading else f"column {letter(self.index)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """The heading row and the columns; what could not be settled stands in `problems`.

    Attributes:
        heading_row: its row number; 0 when none was found.
        first_row: the first row of data.
        columns: every column that has a heading or is mapped.
        problems: sentences about columns, as (column label, message).
        notes: how columns were taken.
    """

    heading_row: int
    first_row: int
    columns: tuple[Column, ...]
    problems: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()

    def of(self, meaning: str) -> Column | None:
        """The column with this meaning."""
        return next((column for column in self.columns if column.meaning == meaning), None)

    @property
    def element_times(self) -> tuple[Column, ...]:
        """The columns that hold one element's times each."""
        return tuple(column for column in self.columns if column.meaning == "element_time")

    @property
    def exported(self) -> bool:
        """Whether it is a file that an export of observations wrote."""
        return all(self.of(name) for name in ("key", "taken_at", "value", "detail", "replaces"))

    @property
    def ignored(self) -> tuple[Column, ...]:
        """Columns with a heading that are left unread."""
        return tuple(column for column in self.columns if not column.meaning)


def normal(heading: object) -> str:
    """A heading without case, punctuation and spare blanks."""
    text = re.sub(r"[_\-./#:*]+", " ", str(heading)).casefold()
    return " ".join(text.split())


def split_unit(heading: str) -> tuple[str, str]:
    """A heading as (name, unit): "Time (min)" gives ("Time", "min"); a trailing word may be the unit too."""
    text = " ".join(heading.split())
    if (match := _PARENS.match(text)) and match.group(2):
        return match.group(1), match.group(2)
    return text, ""


def vocabulary(study: Study) -> dict[str, str]:
    """Normal heading -> meaning, for one study."""
    words: dict[str, str] = {}
    for meaning, names in COMMON.items():
        for name in names.split("|"):
            words[name] = meaning
    kind = dict(BY_KIND[study.kind])
    if study.kind is MeasureKind.TIMES and study.timing == "continuous":
        kind["value"] = RUNNING_WATCH
    for meaning, names in kind.items():
        for name in names.split("|"):
            words[name] = meaning
    words.setdefault(normal(study.measure), "value")
    for meaning in (*COMMON, *kind):
        words[normal(meaning)] = meaning
    return words


def _known_unit(unit: str) -> str | None:
    """A unit as the units of any dimension know it."""
    if unit.casefold() in _CLOCK_UNITS:
        return _CLOCK_UNITS[unit.casefold()]
    for dimension in (TIME, LENGTH, MASS, FORCE, AREA, ANGLE, DENSITY_ON_FLOOR):
        for form in (unit, unit.casefold()):
            if form in dimension.units:
                return form
    return unit if unit in ("%", "1", "percent") else None


def recognise(heading: str, words: Mapping[str, str], elements: Mapping[str, str]) -> tuple[str, str, str] | None:
    """(meaning, unit, element) of a heading, or None when it is not known."""
    name, unit = split_unit(heading)
    for text in (heading, name):
        plain = normal(text)
        if plain in elements and plain not in words:
            return "element_time", unit if text is name else "", elements[plain]
        if plain in words:
            return (
                words[plain],
                unit or _UNIT_WORDS.get(plain, plain if plain in ("s", "min", "m", "ft") else ""),
                "",
            )
    plain = normal(name)
    head, _, tail = plain.rpartition(" ")
    if head and _known_unit(tail):
        if head in words:
            return words[head], tail, ""
        if head in elements:
            return "element_time", tail, elements[head]
    return None


def read_layout(
    table: Table, study: Study, mapping: Mapping[str, str] | None = None, *, heading_row: int | None = None
) -> Layout:
    """Find the heading row and say what each column means.

    Args:
        table: the file.
        study: its kind and its elements decide which headings are known.
        mapping: heading, column letter or place ("#3" is the third column) -> meaning ("value", "value (min)",
            "element: fetch", "ignore"); it goes before what the headings say.
        heading_row: the row of the headings, 0 for none; found from the words in it unless told.
    """
    words = vocabulary(study)
    elements = {normal(element.name): element.name for element in study.elements}
    given = dict(mapping or {})
    head = table.head(HEADING_ROWS)
    row_number = _heading_row(head, words, elements, given)
    if heading_row is not None:
        row_number = min(max(heading_row, 0), len(head))
    headings = list(head[row_number - 1]) if row_number else []
    units_row = head[row_number] if row_number and _is_units_row(head, row_number) else ()
    columns = _columns(headings, units_row, words, elements)
    columns, namesakes = _settle_namesakes(columns, study, elements, given)
    columns, problems = _apply_mapping(columns, given, words, elements)
    columns = _settle_op(columns, head[row_number:])
    columns, more, notes = _settle_doubles(columns)
    columns = _settle_roles(columns, study)
    notes += namesakes + _beside_elements(columns, study)
    problems += more + _unit_problems(columns, study)
    if row_number == 0 and not any(column.meaning for column in columns):
        problems.insert(0, ("the heading row", _no_heading(study)))
    return Layout(
        heading_row=row_number,
        first_row=row_number + (2 if units_row else 1),
        columns=tuple(columns),
        problems=tuple(problems),
        notes=tuple(notes),
    )


def _no_heading(study: Study) -> str:
    names = list(BY_KIND[study.kind])
    return (
        "was not found in the first rows; put a row of headings above the readings, such as "
        f"date, cycle, operator, {names[0] if study.kind is not MeasureKind.TIMES else 'element, time (s)'}"
    )


def _heading_row(
    head: Sequence[Sequence[Cell]], words: Mapping[str, str], elements: Mapping[str, str], given: Mapping[str, str]
) -> int:
    """The row with most known headings; 0 when no row has one."""
    wanted = {normal(name) for name in given if not _PLACE.fullmatch(name)}
    best, best_score = 0, 0
    for number, row in enumerate(head, 1):
        texts = [cell for cell in row if isinstance(cell, str) and cell.strip()]
        score = sum(2 * (normal(t) in wanted) + (recognise(t, words, elements) is not None) for t in texts)
        if score > best_score:
            best, best_score = number, score
    return best


def _is_units_row(head: Sequence[Sequence[Cell]], row_number: int) -> bool:
    """Whether the row below the headings holds nothing but units."""
    if row_number >= len(head):
        return False
    cells = [cell for cell in head[row_number] if cell != ""]
    return bool(cells) and all(
        isinstance(cell, str) and _known_unit(cell.strip().strip("()[]").strip()) is not None for cell in cells
    )


def _columns(
    headings: Sequence[Cell], units: Sequence[Cell], words: Mapping[str, str], elements: Mapping[str, str]
) -> list[Column]:
    columns = []
    for index, heading in enumerate(headings):
        text = " ".join(str(heading).replace("\ufeff", "").split()) if heading != "" else ""
        below = str(units[index]).strip().strip("()[]").strip() if index < len(units) and units[index] != "" else ""
        found = recognise(text, words, elements) if text else None
        meaning, unit, element = found or ("", "", "")
        if text or below:
            columns.append(Column(index=index, heading=text, meaning=meaning, unit=unit or below, element=element))
    return columns


def _apply_mapping(
    columns: list[Column], given: Mapping[str, str], words: Mapping[str, str], elements: Mapping[str, str]
) -> tuple[list[Column], list[tuple[str, str]]]:
    by_index = {column.index: column for column in columns}
    problems: list[tuple[str, str]] = []
    known = {*COMMON, *(name for table in BY_KIND.values() for name in table), "element_time", "ignore"}
    for name, target in given.items():
        found = _find(name, columns)
        if found is None:
            problems.append((f'column "{name}"', _no_such_column(columns)))
            continue
        text, unit = split_unit(target)
        meaning, _, element = (part.strip() for part in text.partition(":"))
        meaning = meaning.casefold().replace(" ", "_")
        if meaning == "element" and element:
            meaning, element = "element_time", elements.get(normal(element), element)
        meaning = meaning if meaning in known else words.get(normal(meaning), meaning)
        if meaning not in known:
            problems.append((f'column "{name}"', f"'{target}' is not one of {', '.join(sorted(known))}"))
            continue
        old = by_index.get(found, Column(index=found, heading=""))
        by_index[found] = Column(
            index=found,
            heading=old.heading,
            meaning="" if meaning == "ignore" else meaning,
            unit=unit or old.unit or split_unit(old.heading)[1],
            element=element,
        )
        for other in list(by_index.values()):  # what the user said goes before what a heading says
            if (
                other.index != found
                and other.meaning == meaning != "element_time"
                and not _mapped(other, given, columns)
            ):
                by_index[other.index] = Column(index=other.index, heading=other.heading)
    return [by_index[index] for index in sorted(by_index)], problems


def _mapped(column: Column, given: Mapping[str, str], columns: Sequence[Column]) -> bool:
    return any(_find(name, columns) == column.index for name in given)


def _find(name: str, columns: Sequence[Column]) -> int | None:
    if place := _PLACE.fullmatch(name):
        return int(place[1]) - 1
    for column in columns:
        if column.heading and normal(column.heading) == normal(name):
            return column.index
    if re.fullmatch(r"[A-Za-z]{1,2}", name.strip()):
        index = 0
        for character in name.strip().upper():
            index = index * 26 + ord(character) - 64
        return index - 1
    return None


def _no_such_column(columns: Sequence[Column]) -> str:
    names = ", ".join(column.heading for column in columns if column.heading)
    return f"is not in the file; its headings are {names}" if names else "is not in the file"


def _settle_op(columns: list[Column], rows: Sequence[Sequence[Cell]]) -> list[Column]:
    """A heading "op" is the operator where its cells are codes, and the operation where they are words."""
    taken = {column.meaning for column in columns}
    result = []
    for column in columns:
        if not column.meaning and normal(column.heading) in ("op", "ops"):
            cells = [str(row[column.index]) for row in rows if column.index < len(row) and row[column.index] != ""]
            codes = cells and all(re.fullmatch(r"[A-Za-z]{1,4}-?\d{1,5}", cell.strip()) for cell in cells)
            words = cells and not any(re.search(r"\d", cell) for cell in cells)
            if codes and "operator" not in taken:
                column = Column(index=column.index, heading=column.heading, meaning="operator")
            elif words and "element" not in taken:
                column = Column(index=column.index, heading=column.heading, meaning="element")
        result.append(column)
    return result


def _settle_namesakes(
    columns: list[Column], study: Study, elements: Mapping[str, str], given: Mapping[str, str]
) -> tuple[list[Column], list[str]]:
    """A column named like measure and element alike holds that element, unless a column names the elements."""
    name = normal(study.measure)
    named = any(column.meaning == "element" for column in columns) or "element" in map(normal, given.values())
    if name not in elements or named:
        return columns, []
    result, notes = [], []
    for column in columns:
        if column.meaning == "value" and name in (normal(column.heading), normal(split_unit(column.heading)[0])):
            column = replace(column, meaning="element_time", element=elements[name])
            notes.append(f'"{column.heading}" is read as the times of the element {elements[name]}.')
        result.append(column)
    return result, notes


def _beside_elements(columns: list[Column], study: Study) -> list[str]:
    """What is said where one column an element is read: other times that are not, elements that have no column."""
    timed = {column.element for column in columns if column.meaning == "element_time"}
    if not timed:
        return []
    notes = [
        f'"{column.heading}" is left unread beside the columns of the elements.'
        for column in columns
        if column.meaning in ("value", "element")
    ]
    lacking = [element.name for element in study.elements if element.name not in timed]
    if lacking:
        notes.append(f"No column holds the times of {', '.join(lacking)}.")
    return notes


def _settle_doubles(columns: list[Column]) -> tuple[list[Column], list[tuple[str, str]], list[str]]:
    """Two columns with one meaning: the one whose heading is the plainer word is used, the other reported."""
    problems: list[tuple[str, str]] = []
    notes: list[str] = []
    order = {
        name: place
        for table in (COMMON, *BY_KIND.values())
        for names in table.values()
        for place, name in enumerate(names.split("|"))
    }
    chosen: dict[tuple[str, str], Column] = {}
    dropped: set[int] = set()
    for column in columns:
        if not column.meaning:
            continue
        key = (column.meaning, column.element)
        first = chosen.setdefault(key, column)
        if first is column:
            continue
        if normal(first.heading) == normal(column.heading):
            problems.append(
                (column.label, "stands twice in the heading row; rename one of them or say which is meant")
            )
            continue
        keep, drop = sorted((first, column), key=lambda c: order.get(normal(split_unit(c.heading)[0]), 99))
        chosen[key] = keep
        dropped.add(drop.index)
        notes.append(
            f'"{keep.heading}" is read as {column.meaning.replace("_", " ")}; "{drop.heading}" is left unread.'
        )
    return (
        [Column(index=c.index, heading=c.heading) if c.index in dropped else c for c in columns],
        problems,
        notes,
    )


def _settle_roles(columns: list[Column], study: Study) -> list[Column]:
    """A lone start is the time of day, and a "time" beside another column of seconds is too."""
    meanings = {column.meaning for column in columns}
    if study.kind is not MeasureKind.TIMES:
        return columns
    lone_start = "start" in meanings and "stop" not in meanings and meanings & {"value", "element_time"}
    if lone_start and study.timing == "snapback" and not meanings & {"clock", "taken_at"}:
        return [
            Column(index=c.index, heading=c.heading, meaning="clock") if c.meaning == "start" else c
            for c in columns
        ]
    return columns


def _unit_problems(columns: Sequence[Column], study: Study) -> list[tuple[str, str]]:
    """A unit in a heading that does not measure what the column holds."""
    problems = []
    dimensions = DIMENSIONS[study.kind]
    for column in columns:
        if not column.unit or not column.meaning:
            continue
        dimension = TIME if column.meaning == "element_time" else dimensions.get(column.meaning)
        if dimension is None or unit_of(column.unit, dimension) is not None:
            continue
        known = ", ".join(list(dimension.units)[:6])
        problems.append(
            (column.label, f"'{column.unit}' is not a unit of {dimension.name}; write one of {known} ...")
        )
    return problems


def unit_of(unit: str, dimension: Dimension) -> str | None:
    """A unit from a heading as the dimension knows it; clock forms such as "mm:ss" for times."""
    if dimension is TIME and unit.casefold() in _CLOCK_UNITS:
        return _CLOCK_UNITS[unit.casefold()]
    for form in (unit, unit.rstrip("."), unit.casefold(), unit.casefold().rstrip(".")):
        if form and form in dimension.units:
            return form
    return None
