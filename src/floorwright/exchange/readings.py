"""Readings on their way into a study, held by column so that a million of them need little memory."""

from __future__ import annotations

import zlib
from array import array
from collections.abc import Collection, Iterator, Mapping, Sequence
from hashlib import blake2b
from itertools import repeat
from typing import Any, Final

import numpy as np

from floorwright.shop.records import MeasureKind, Observation

_DEFAULTS: Final[Mapping[str, Any]] = {
    "cycle": 1,
    "element": "",
    "exposure": None,
    "work": "run",
    "part": "",
    "lot_size": None,
    "shift": "",
    "operator": "",
    "driver": "",
    "driver_amount": None,
    "rating": None,
    "foreign": False,
    "note": "",
    "detail": None,
    "replaces": "",
    "reason": "",
}
FIELDS: Final = ("taken_at", "value", *_DEFAULTS)


class Readings:
    """Columns of readings that have been checked against what `Observation` allows.

    Only the columns that the file gives are held; the others have one value for all rows.
    """

    def __init__(self, kind: MeasureKind) -> None:
        self.kind = kind
        self.row = array("l")
        self.columns: dict[str, Any] = {"taken_at": [], "value": array("d")}
        self.given_keys: list[str] | None = None
        self._base = array("Q")
        self._ordinal: dict[int, int] = {}

    def __len__(self) -> int:
        return len(self.row)

    def add(self, rows: Sequence[int], fields: Mapping[str, Sequence[Any]]) -> None:
        """Append rows. A field that was not given before has its default in the rows before, and the reverse."""
        before = len(self)
        self.row.extend(rows)
        for name, values in fields.items():
            if name == "key":
                self.given_keys = [] if self.given_keys is None else self.given_keys
                self.given_keys.extend(values)
                continue
            if name not in self.columns:
                column: Any = array("l") if name == "cycle" else []
                column.extend([_DEFAULTS[name]] * before)
                self.columns[name] = column
            self.columns[name].extend(values)
        for name, column in self.columns.items():
            if name not in fields:
                column.extend([_DEFAULTS[name]] * len(rows))

    def of(self, name: str) -> Sequence[Any]:
        """A column; where the file gives none, its one value repeated."""
        if name in self.columns:
            found: Sequence[Any] = self.columns[name]
            return found
        return [_DEFAULTS[name]] * len(self)

    def drop(self, places: Collection[int]) -> None:
        """Take rows out."""
        if not places:
            return
        kept = [place for place in range(len(self)) if place not in places]
        for name, values in self.columns.items():
            picked = [values[place] for place in kept]
            self.columns[name] = array(values.typecode, picked) if isinstance(values, array) else picked
        self.row = array("l", [self.row[place] for place in kept])
        self._base = array("Q", [self._base[place] for place in kept])
        self._ordinal = {new: self._ordinal[old] for new, old in enumerate(kept) if old in self._ordinal}
        if self.given_keys is not None:
            self.given_keys = [self.given_keys[place] for place in kept]

    def work_out_keys(self, *, with_cycle: bool) -> list[list[int]]:
        """Give every reading its key from what it is, so that the same file sent twice is stored once.

        Args:
            with_cycle: whether the number of the cycle tells readings apart.

        Returns:
            Groups of places of readings that are the same in time, cycle, element and operator.
        """
        kind = self.kind.value
        cycles = self.of("cycle") if with_cycle else repeat(0)
        parts = zip(self.of("taken_at"), cycles, self.of("element"), self.of("operator"), strict=False)
        digest = b"".join(
            [
                blake2b(f"{kind}|{at}|{cycle}|{element}|{operator}".encode(), digest_size=8).digest()
                for at, cycle, element, operator in parts
            ]
        )
        bases = np.frombuffer(digest, dtype=np.uint64)
        self._base = array("Q", digest)
        order = np.argsort(bases, kind="stable")
        sorted_ = bases[order]
        again = np.flatnonzero(sorted_[1:] == sorted_[:-1])
        groups: dict[int, list[int]] = {}
        for place in again.tolist():
            group = groups.setdefault(int(sorted_[place]), [int(order[place])])
            self._ordinal[int(order[place + 1])] = len(group)
            group.append(int(order[place + 1]))
        return list(groups.values())

    def base(self, place: int) -> str:
        """The part of a key that says which reading it is, whatever was read."""
        ordinal = self._ordinal.get(place, 0)
        return f"{self._base[place]:016x}.{ordinal}" if ordinal else f"{self._base[place]:016x}"

    def content(self, place: int) -> tuple[float, float | None]:
        """What was read: value and exposure."""
        exposure = self.columns["exposure"][place] if "exposure" in self.columns else None
        return self.columns["value"][place], exposure

    def key(self, place: int) -> str:
        """The key of a reading: given by the file, or worked out."""
        if self.given_keys is not None and self.given_keys[place]:
            return self.given_keys[place]
        value, exposure = self.content(place)
        return f"{self.base(place)}-{zlib.crc32(f'{value!r}|{exposure!r}'.encode()):08x}"

    def observations(self) -> Iterator[Observation]:
        """The readings as records, made one after the other.

        Every value was checked when its column was read, so the records are filled without checking again:
        what `Observation.model_construct` does, without its search for aliases and defaults (seven times faster).
        """
        varying = [name for name in FIELDS if name in self.columns]
        template = {name: _DEFAULTS.get(name) for name in Observation.model_fields}
        fields_set = set(template)
        new, put = Observation.__new__, object.__setattr__
        for place, values in enumerate(zip(*(self.columns[name] for name in varying), strict=True)):
            fields = template.copy()
            fields.update(zip(varying, values, strict=True))
            fields["key"] = self.key(place)
            fields["detail"] = fields["detail"] or {}
            observation = new(Observation)
            put(observation, "__dict__", fields)
            put(observation, "__pydantic_fields_set__", fields_set)
            put(observation, "__pydantic_extra__", None)
            put(observation, "__pydantic_private__", None)
            yield observation
