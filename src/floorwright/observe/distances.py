"""The table of distances between places: three ways to write it, one way to read it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, core_schema

from floorwright.basis.quantity import DISTANCE, parse

_SHOWN: Final = 5  # problems named in one sentence
_SHAPE: Final = (
    'an object such as {"saw": {"brake": "40 ft"}}, a list such as [["saw", "brake", "40 ft"]], or a square table '
    '{"names": [...], "rows": [[...]]}'
)


class DistanceTable(Mapping[tuple[str, str], float]):
    """Distances in metres by (from, to). One direction stands for both unless the other one is given too."""

    def __init__(self, given: Mapping[tuple[str, str], float]) -> None:
        back = {(b, a): d for (a, b), d in given.items() if (b, a) not in given}
        self._metres = {**given, **back}
        self.places: tuple[str, ...] = tuple(dict.fromkeys(place for pair in given for place in pair))

    def __getitem__(self, pair: tuple[str, str]) -> float:
        if pair not in self._metres and pair[0] == pair[1] and pair[0] in self.places:
            return 0.0
        return self._metres[pair]

    def __iter__(self) -> Iterator[tuple[str, str]]:
        return iter(self._metres)

    def __len__(self) -> int:
        return len(self._metres)

    def __contains__(self, pair: object) -> bool:
        try:
            self[pair]  # type: ignore[index]  # asked with whatever a caller has
        except (KeyError, TypeError, IndexError):
            return False
        return True


def read_distances(raw: object) -> DistanceTable:
    """Read a distance table in any of its three forms.

    Raises:
        ValueError: with one sentence that names the pairs that are wrong.
    """
    if isinstance(raw, DistanceTable):
        return raw
    if isinstance(raw, Mapping):
        entries = _of_square(raw) if "names" in raw and "rows" in raw else _of_object(raw)
    elif isinstance(raw, Sequence) and not isinstance(raw, str):
        entries = _of_list(raw)
    else:
        raise ValueError(f"should be {_SHAPE}")
    return _checked(entries)


@dataclass(frozen=True, slots=True)
class _Entry:
    start: str
    end: str
    value: object


def _of_object(raw: Mapping[Any, Any]) -> list[_Entry]:
    found = []
    for start, row in raw.items():
        if not isinstance(row, Mapping):
            raise ValueError(f"'{start}' should hold an object of distances; write {_SHAPE}")
        found += [_Entry(str(start), str(end), value) for end, value in row.items()]
    return found


def _of_list(raw: Sequence[Any]) -> list[_Entry]:
    found = []
    for i, row in enumerate(raw):
        good = isinstance(row, Sequence) and not isinstance(row, str) and len(row) == 3
        if not good or not all(isinstance(place, str) for place in row[:2]):
            raise ValueError(f"entry {i + 1} should be [from, to, distance], such as ['saw', 'brake', '40 ft']")
        found.append(_Entry(row[0], row[1], row[2]))
    return found


def _of_square(raw: Mapping[Any, Any]) -> list[_Entry]:
    names, rows = raw["names"], raw["rows"]
    if not isinstance(names, list) or not isinstance(rows, list) or len(rows) != len(names):
        raise ValueError("the square table needs as many rows as names")
    if len(set(map(str, names))) != len(names):
        raise ValueError("two names in the square table are the same; give each place its own")
    found = []
    for start, row in zip(names, rows, strict=True):
        if not isinstance(row, list) or len(row) != len(names):
            raise ValueError(
                f"the row of '{start}' needs {len(names)} distances, one for each name (null: not known)"
            )
        found += [_Entry(str(start), str(end), d) for end, d in zip(names, row, strict=True) if d is not None]
    return found


def _checked(entries: Sequence[_Entry]) -> DistanceTable:
    found: dict[tuple[str, str], float] = {}
    wrong: list[str] = []
    for entry in entries:
        pair = (entry.start, entry.end)
        try:
            metres = parse(entry.value, DISTANCE)
        except ValueError as error:
            wrong.append(f"{entry.start} to {entry.end}: {error}")
            continue
        if metres < 0:
            wrong.append(f"{entry.start} to {entry.end}: is {metres:g} m; it should be 0 m or more")
        elif entry.start == entry.end and metres != 0:
            wrong.append(f"{entry.start} to {entry.end}: is {metres:g} m; a place is 0 m from itself")
        elif found.get(pair, metres) != metres:
            wrong.append(f"{entry.start} to {entry.end}: is given twice, as {found[pair]:g} m and {metres:g} m")
        found[pair] = metres
    if wrong:
        more = f"; and {len(wrong) - _SHOWN} more" if len(wrong) > _SHOWN else ""
        raise ValueError("; ".join(wrong[:_SHOWN]) + more)
    if not found:
        raise ValueError(f"is empty; write {_SHAPE}")
    return DistanceTable(found)


class DistancesField:
    """Marks a field as a distance table: `Annotated[DistanceTable, DistancesField()]`."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(read_distances)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        distance: dict[str, Any] = {"anyOf": [{"type": "number", "minimum": 0}, {"type": "string", "minLength": 1}]}
        return {
            "anyOf": [
                {
                    "title": "object of objects",
                    "type": "object",
                    "additionalProperties": {"type": "object", "additionalProperties": distance},
                },
                {
                    "title": "list of [from, to, distance]",
                    "type": "array",
                    "minItems": 1,
                    "items": {"type": "array", "minItems": 3, "maxItems": 3},
                },
                {
                    "title": "square table with names; null where a distance is not known",
                    "type": "object",
                    "required": ["names", "rows"],
                    "properties": {
                        "names": {"type": "array", "items": {"type": "string"}},
                        "rows": {
                            "type": "array",
                            "items": {"type": "array", "items": {"anyOf": [*distance["anyOf"], {"type": "null"}]}},
                        },
                    },
                },
            ],
            "x-dimension": DISTANCE.name,
            "x-si-unit": DISTANCE.si,
        }
