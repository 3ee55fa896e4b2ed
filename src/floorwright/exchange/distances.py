"""The shop's distance table and its list of stations, out of a file."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import islice
from typing import Any, Final

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.quantity import DISTANCE
from floorwright.exchange.cells import Cell, shown
from floorwright.exchange.columns import Column, normal, split_unit, unit_of
from floorwright.exchange.readers import Bad, Read, quantity_reader, text_reader, tidy
from floorwright.exchange.survey import NumberSurvey
from floorwright.exchange.table import Row, Table

Distances = tuple[tuple[str, str, float], ...]

MOST_ROWS: Final = 20_000
_FROM: Final = frozenset({"from", "start", "origin", "a", "from station"})
_TO: Final = frozenset({"to", "end", "destination", "b", "to station"})
_DISTANCE: Final = frozenset({"distance", "length", "metres", "meters", "feet", "m", "ft", "walk", "d"})
_STATION: Final = frozenset({"station", "stations", "name", "place", "work station", "workstation"})
_LONGEST_M: Final = 5000.0


def read_distances(table: Table, *, unit: str = "") -> Distances:
    """The distances of a from-to table: a square with station names on top and at the left, or a list.

    Args:
        table: the file. A list has the headings from, to and distance; a square has its stations in the first
            row and column, with the unit in the corner, such as "from-to (ft)".
        unit: of bare numbers whose heading has none ("ft", "m").

    Returns:
        (from, to, metres), in the order of the file; blank cells and a station to itself are left out.

    Raises:
        InputError: with every cell that is wrong.
    """
    rows = [(number, row) for number, row in enumerate(islice(table.rows(), MOST_ROWS), 1) if _filled(row)]
    if not rows:
        raise InputError.of(table.name, None, "has no distances; write columns from, to and distance")
    for place, (_, row) in enumerate(rows[:40]):
        found = _list_columns(row)
        if found is not None:
            return _from_list(table, rows[place:], found, unit)
    return _from_square(table, rows, unit)


def read_stations(table: Table) -> tuple[str, ...]:
    """The station names of a list, or of a distance table; each once, in the order of the file.

    Raises:
        InputError: when there is none, or one is too long.
    """
    rows = [(number, row) for number, row in enumerate(islice(table.rows(), MOST_ROWS), 1) if _filled(row)]
    for place, (_, row) in enumerate(rows[:40]):
        names = [normal(cell) for cell in row if isinstance(cell, str)]
        if any(name in _STATION for name in names):
            index = next(i for i, cell in enumerate(row) if isinstance(cell, str) and normal(cell) in _STATION)
            return _names(table, [(number, row[index]) for number, row in rows[place + 1 :] if index < len(row)])
    if all(sum(tidy(cell) != "" for cell in row) == 1 for _, row in rows):
        return _names(table, [(number, next(cell for cell in row if tidy(cell))) for number, row in rows])
    found: dict[str, None] = {}
    for start, end, _ in read_distances(table, unit="m"):
        found |= {start: None, end: None}
    return tuple(found)


def _filled(row: Row) -> bool:
    return any(tidy(cell) != "" for cell in row)


def _names(table: Table, cells: Sequence[tuple[int, Cell]]) -> tuple[str, ...]:
    read = text_reader(200, "station")
    found: dict[str, str] = {}
    problems = []
    for number, cell in cells:
        name = read(cell)
        if isinstance(name, Bad):
            problems.append(Problem(f"row {number}", shown(cell), name.message))
        elif name:
            found.setdefault(name.casefold(), " ".join(name.split()))
    if problems:
        raise InputError(problems)
    if not found:
        raise InputError.of(table.name, None, "has no stations; write one a row under the heading 'station'")
    return tuple(found.values())


def _list_columns(row: Row) -> tuple[int, int, Column] | None:
    """(from, to, distance) columns of a heading row; None when it is none."""
    from_, to, distance = None, None, None
    for index, cell in enumerate(row):
        name, _ = split_unit(cell) if isinstance(cell, str) else ("", "")
        plain = normal(name)
        if plain in _FROM and from_ is None:
            from_ = index
        elif plain in _TO and to is None:
            to = index
        elif distance is None and (column := _distance_column(index, str(cell))):
            distance = column
    if from_ is None or to is None or distance is None:
        return None
    return from_, to, distance


def _distance_column(index: int, heading: str) -> Column | None:
    name, unit = split_unit(heading)
    plain = normal(name)
    head, _, tail = plain.rpartition(" ")
    if plain in _DISTANCE:
        return Column(index=index, heading=heading, unit=unit or (plain if unit_of(plain, DISTANCE) else ""))
    if head in _DISTANCE and unit_of(tail, DISTANCE):
        return Column(index=index, heading=heading, unit=tail)
    return None


def _from_list(
    table: Table, rows: Sequence[tuple[int, Row]], columns: tuple[int, int, Column], unit: str
) -> Distances:
    from_, to, distance = columns
    cells = [_cell(row, distance.index) for _, row in rows[1:]]
    read = _reader(table, distance, cells, rows[1][0] if len(rows) > 1 else 1, unit)
    book = _Book(table)
    for (number, row), cell in zip(rows[1:], cells, strict=True):
        start, end = _station(_cell(row, from_)), _station(_cell(row, to))
        if not start or not end:
            book.problem(f"row {number}", None, "names no two stations; write both, from and to")
        else:
            book.add(start, end, read(cell), f"row {number}, {distance.label}", cell)
    return book.done()


def _from_square(table: Table, rows: Sequence[tuple[int, Row]], unit: str) -> Distances:
    number, top = _top_of_square(table, rows)
    corner_index = next(index for index, cell in enumerate(top) if tidy(cell) != "")
    below = [row for row_number, row in rows if row_number > number]
    left = min(corner_index, next((i for i, c in enumerate(below[0]) if tidy(c) != ""), 0)) if below else 0
    corner = tidy(_cell(top, left))
    corner_unit = split_unit(corner)[1] or (corner if unit_of(corner, DISTANCE) else "")
    ends = {i: _station(cell) for i, cell in enumerate(top) if i > left and tidy(cell) != ""}
    body = [(row_number, row) for row_number, row in rows if row_number > number]
    readers: dict[int, Read] = {}
    for index, end in ends.items():
        column = Column(index=index, heading=end, unit=corner_unit)
        readers[index] = _reader(table, column, [_cell(row, index) for _, row in body], number + 1, unit)
    book = _Book(table)
    for row_number, row in body:
        start = _station(_cell(row, left))
        for index, end in ends.items() if start else ():
            cell = _cell(row, index)
            if tidy(cell) not in ("", "-", "–", "—", "x", "X") and start.casefold() != end.casefold():
                book.add(start, end, readers[index](cell), f'row {row_number}, column "{end}"', cell)
    return book.done()


def _top_of_square(table: Table, rows: Sequence[tuple[int, Row]]) -> tuple[int, Row]:
    """The row that names the stations across the top: its names come again down the side."""
    for place, (number, row) in enumerate(rows[:40]):
        names = {_station(cell).casefold() for cell in row if isinstance(cell, str) and tidy(cell)}
        side = {
            _station(cell).casefold()
            for _, other in rows[place + 1 :]
            for cell in other[:3]
            if isinstance(cell, str)
        }
        if len(names & side) >= 2:
            return number, row
    raise InputError.of(
        table.name,
        None,
        "is no distance table; write columns from, to and distance (ft), or a square with the stations "
        "across the top and down the side",
    )


def _cell(row: Row, index: int) -> Cell:
    return row[index] if index < len(row) else ""


def _station(cell: Cell) -> str:
    return " ".join(tidy(cell).split())


def _reader(table: Table, column: Column, cells: Sequence[Cell], first: int, unit: str) -> Read:
    """Reads distances of one column, in the unit of its heading or the one given."""
    survey = NumberSurvey(column, times=False, clock="")
    survey.look(first, cells)
    style = survey.style()
    if style.problem:
        raise InputError.of(f"{table.name}, {column.label}", None, style.problem)
    named = unit_of(column.unit or unit, DISTANCE) if column.unit or unit else ""
    if named is None:
        raise InputError.of(
            f"{table.name}, {column.label}",
            column.unit,
            f"'{column.unit or unit}' is not a unit of distance; write ft or m",
        )
    return quantity_reader(column, DISTANCE, style, unit=named, thousands=survey.thousands)


class _Book:
    """Collects distances and what is wrong with them."""

    def __init__(self, table: Table) -> None:
        self._table = table
        self._found: dict[tuple[str, str], tuple[str, str, float, str]] = {}
        self._names: dict[str, str] = {}
        self._problems: list[Problem] = []

    def problem(self, place: str, value: Any, message: str) -> None:
        """Something wrong at a place."""
        self._problems.append(Problem(place, value, message))

    def add(self, start: str, end: str, metres: Any, place: str, cell: Cell) -> None:
        """One distance; the same pair again has to say the same."""
        start, end = (self._names.setdefault(re.sub(r"\s+", " ", name).casefold(), name) for name in (start, end))
        if isinstance(metres, Bad):
            self.problem(place, shown(cell), metres.message)
        elif metres < 0:
            self.problem(place, shown(cell), f"is {metres:g} m; a distance cannot be negative")
        elif metres > _LONGEST_M:
            self.problem(place, shown(cell), f"is {metres:,.0f} m, longer than any shop; check the unit")
        elif len(start) > 200 or len(end) > 200:
            self.problem(place, None, "has a station name of more than 200 characters")
        elif start != end:
            key = (start.casefold(), end.casefold())
            old = self._found.setdefault(key, (start, end, metres, place))
            if abs(old[2] - metres) > 0.005:
                self.problem(place, shown(cell), f"gives another distance from '{start}' to '{end}' than {old[3]}")

    def done(self) -> Distances:
        """All of them. Raises InputError when any was wrong, or there is none."""
        if self._problems:
            raise InputError(self._problems)
        if not self._found:
            raise InputError.of(self._table.name, None, "has no distances; write columns from, to and distance")
        return tuple((start, end, metres) for start, end, metres, _ in self._found.values())
