"""What the use cases need from outside: a store of records and observations, a photo store, a clock.

One contract suite (tests/contract) runs against every implementation.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Any, Literal, Protocol, Self

from floorwright.shop.records import Observation

Kind = Literal["settings", "improvement", "study"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stored:
    """A record as stored: its kind, number, version (from 1) and body as plain JSON values."""

    kind: Kind
    id: int
    version: int
    body: dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One field that a version changed: its path, what stood there before and what stands there now."""

    path: str
    before: Any
    after: Any


@dataclass(frozen=True, slots=True, kw_only=True)
class HistoryEntry:
    """One version of a record: who made it, in which role, when, why, and what it changed.

    `replaces` is the version that this one corrects, 0 when it only adds.
    """

    kind: Kind
    id: int
    version: int
    at: dt.datetime
    who: str
    role: str
    reason: str
    replaces: int
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Author:
    """Who makes a change, and in which role."""

    who: str
    role: str = ""


class Records(Protocol):
    """Versioned documents with history."""

    def get(self, kind: Kind, id_: int) -> Stored:
        """The current version. Raises NotFoundError."""

    def all(self, kind: Kind) -> list[Stored]:
        """The current version of every record of a kind, by number."""

    def add(self, kind: Kind, body: dict[str, Any], *, author: Author, at: dt.datetime, reason: str = "") -> Stored:
        """Store a new record as version 1 under the next free number."""

    def change(
        self,
        kind: Kind,
        id_: int,
        body: dict[str, Any],
        *,
        expected_version: int,
        author: Author,
        at: dt.datetime,
        reason: str = "",
        replaces: int = 0,
    ) -> Stored:
        """Store the next version. Raises ConflictError when the current version is not the expected one."""

    def history(self, kind: Kind, id_: int) -> list[HistoryEntry]:
        """Every version, oldest first. Raises NotFoundError."""

    def version(self, kind: Kind, id_: int, version: int) -> dict[str, Any]:
        """The body as it stood at a version. Raises NotFoundError."""


class Observations(Protocol):
    """Readings of studies: appended, never changed."""

    def append(self, study: int, rows: Iterable[Observation]) -> int:
        """Store rows; a row whose key the study already holds is the same reading sent again and is skipped.

        Returns the number of rows that were new. Raises ConflictError when a key comes again with other
        content or a reading is corrected a second time, NotFoundError when there is no such study or a
        correction names a reading that the study does not hold. After an error none of the rows is stored.
        """

    def of(self, study: int, *, with_replaced: bool = False) -> list[Observation]:
        """The readings in the order in which they were taken (time, then cycle, then order of entry).

        A reading that was corrected is left out unless asked for.
        """

    def stream(self, study: int) -> Iterator[Observation]:
        """As `of` with replaced ones, in order of entry, for export, without holding all in memory."""

    def count(self, study: int) -> int:
        """Number of readings, corrected ones not counted."""

    def keys(self, study: int) -> set[str]:
        """All keys that the study holds."""


class UnitOfWork(Protocol):
    """One transaction: everything or nothing. Leaving the block without `commit` rolls back."""

    @property
    def records(self) -> Records:
        """The shop's records."""

    @property
    def observations(self) -> Observations:
        """The shop's readings."""

    def __enter__(self) -> Self: ...

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None: ...

    def commit(self) -> None:
        """Make everything since the block began durable."""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in a photo as fractions of its width and height, from the top left corner."""

    left: float
    top: float
    right: float
    bottom: float


class Photos(Protocol):
    """Photos by content hash: re-encoded, turned upright, stripped of place and camera data."""

    def add(self, data: bytes, name: str = "") -> str:
        """Store a photo and return its hash. Raises InputError when it is no usable picture."""

    def read(self, hash_: str) -> bytes:
        """The stored JPEG. Raises NotFoundError."""

    def mask(self, hash_: str, boxes: Sequence[Box]) -> str:
        """Black out rectangles for good: store the masked photo, remove the unmasked one, return the new hash."""

    def remove(self, hash_: str) -> None:
        """Remove a photo for good. Raises NotFoundError."""

    def hashes(self) -> set[str]:
        """All photos held."""


class Clock(Protocol):
    """Where the time comes from."""

    def now(self) -> dt.datetime:
        """Local time, without zone, to the second."""


class Shop(Protocol):
    """An open shop: transactions, photos, clock, and where it lies."""

    @property
    def photos(self) -> Photos:
        """The shop's photos."""

    @property
    def clock(self) -> Clock:
        """Where the shop's time comes from."""

    @property
    def folder(self) -> Path:
        """Where the shop lies."""

    def work(self) -> UnitOfWork:
        """Begin a transaction."""

    def close(self) -> None:
        """Let go of files and connections."""
