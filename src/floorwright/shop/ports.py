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

from floorwright.shop.admission import Account, Admitted, Attempts, Device, Offer, Role, Session, Token
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

    def versions(self, kind: Kind) -> dict[int, int]:
        """The number of every record of a kind with its current version, by number."""

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

    def changed_at(self, kind: Kind) -> dict[int, dt.datetime]:
        """When each record of a kind was changed last, by number."""

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

    def page(self, study: int, *, after: int, limit: int) -> list[tuple[int, Observation]]:
        """Readings in order of entry, with replaced ones: at most `limit` of those behind the place `after`.

        Each comes with its place in that order; 0 stands before the first.
        """

    def with_keys(self, study: int, keys: Sequence[str]) -> list[Observation]:
        """Those readings of a study that have one of these keys, replaced ones too."""

    def count(self, study: int) -> int:
        """Number of readings, corrected ones not counted."""

    def last(self) -> int:
        """The place of the reading that came in last, in whatever study; 0 where there is none."""

    def places(self, *, after: int = 0) -> dict[int, int]:
        """The place of the last reading of every study that has one behind the place `after`."""

    def counts(self, *, after: int = 0) -> dict[int, int]:
        """As `count` for every study, of the readings that came in behind the place `after`."""

    def keys(self, study: int) -> set[str]:
        """All keys that the study holds."""


class Access(Protocol):
    """Devices, accounts, tokens, sessions and pairing codes. Every `digest` is the SHA-256 of a secret, in hex."""

    def add_offer(self, offer: Offer) -> None:
        """Keep a pairing code. Raises ConflictError when there is one of this digest."""

    def offer(self, digest: str) -> Offer | None:
        """The pairing code of a digest, whatever became of it."""

    def use_offer(self, digest: str, at: dt.datetime) -> bool:
        """Mark a code as used; False when it was used before or is not there. Of two at once, one gets True."""

    def count_wrong_code(self, at: dt.datetime) -> None:
        """Count a wrong try against every code that is open at this time."""

    def add_device(self, name: str, role: Role, *, by: str, at: dt.datetime) -> Device:
        """Keep a device under the next free number."""

    def device(self, id_: int) -> Device:
        """A device. Raises NotFoundError."""

    def devices(self) -> list[Device]:
        """All devices by number, revoked ones too."""

    def rename_device(self, id_: int, name: str) -> Device:
        """Give a device another name. Raises NotFoundError."""

    def revoke_device(self, id_: int, at: dt.datetime) -> Device:
        """Shut a device out for good; the first time counts. Raises NotFoundError."""

    def add_account(self, name: str, role: Role, password: str, *, by: str, at: dt.datetime) -> Account:
        """Keep an account with the hash of its password. Raises ConflictError when the name is taken.

        Names that differ only in case, or in how Unicode writes them, are the same name.
        """

    def account(self, id_: int) -> Account:
        """An account. Raises NotFoundError."""

    def account_named(self, name: str) -> Account | None:
        """The account of a name, however it is written; not one that is disabled."""

    def accounts(self) -> list[Account]:
        """All accounts by number, disabled ones too."""

    def password(self, id_: int) -> str:
        """The hash of an account's password. Raises NotFoundError."""

    def set_password(self, id_: int, password: str) -> None:
        """Keep the hash of a new password. Raises NotFoundError."""

    def disable_account(self, id_: int, at: dt.datetime) -> Account:
        """Shut an account for good; the first time counts, and its name is free again. Raises NotFoundError."""

    def attempts(self, name: str) -> Attempts:
        """The failed sign-ins under a name, whether it has an account or not."""

    def keep_attempts(self, name: str, attempts: Attempts, at: dt.datetime) -> None:
        """Keep the failed sign-ins under a name, in place of what was kept."""

    def forget_attempts(self, before: dt.datetime) -> None:
        """Remove what was kept before a time."""

    def add_token(
        self, name: str, role: Role, digest: str, *, by: str, at: dt.datetime, expires_at: dt.datetime
    ) -> Token:
        """Keep a token under the next free number."""

    def token(self, id_: int) -> Token:
        """A token. Raises NotFoundError."""

    def token_of(self, digest: str) -> Token | None:
        """The token of a digest, whatever became of it."""

    def tokens(self) -> list[Token]:
        """All tokens by number, revoked and expired ones too."""

    def touch_token(self, id_: int, at: dt.datetime) -> None:
        """Note that a token was used. Raises NotFoundError."""

    def revoke_token(self, id_: int, at: dt.datetime) -> Token:
        """Shut a token out for good; the first time counts. Raises NotFoundError."""

    def add_session(self, session: Session) -> None:
        """Keep a session. Raises ConflictError when there is one of this digest."""

    def session(self, digest: str) -> Session | None:
        """The session of a digest."""

    def sessions(self) -> list[Session]:
        """All sessions, oldest first."""

    def touch_session(self, digest: str, at: dt.datetime) -> None:
        """Note that a session was used; nothing happens when it has ended meanwhile."""

    def end_session(self, digest: str) -> None:
        """Remove a session; nothing happens when there is none."""

    def end_sessions(self, kind: Admitted, owner: int) -> int:
        """Remove all sessions of a device or an account. Returns how many."""

    def tidy(self, at: dt.datetime) -> None:
        """Remove sessions and pairing codes that have expired at this time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Receipt:
    """What was answered to something that came in under a key, so that the same thing sent again changes nothing.

    `digest` is the SHA-256 of what came, `result` the answer as plain JSON values.
    """

    key: str
    digest: str
    at: dt.datetime
    who: str
    result: dict[str, Any]


class Received(Protocol):
    """Receipts of what devices have sent, for good."""

    def find(self, key: str) -> Receipt | None:
        """The receipt of a key."""

    def keep(self, receipt: Receipt) -> None:
        """Keep a receipt. Raises ConflictError when the key has one, also from another transaction meanwhile."""


class Keepsakes(Protocol):
    """Small things that somebody wants to find again, as plain JSON values: saved views, the columns of an import.

    `owner` is "shop" or the key of a visitor. They have no history; the last one put counts.
    """

    def get(self, owner: str, kind: str, name: str) -> dict[str, Any] | None:
        """What is kept under a name; None when nothing is."""

    def all(self, owner: str, kind: str) -> list[tuple[str, dict[str, Any]]]:
        """Everything of a kind with its name, by name."""

    def put(self, owner: str, kind: str, name: str, body: dict[str, Any], at: dt.datetime) -> None:
        """Keep something under a name, in place of what was kept there."""

    def remove(self, owner: str, kind: str, name: str) -> None:
        """Remove what is kept under a name; nothing happens when nothing is."""


class UnitOfWork(Protocol):
    """One transaction: everything or nothing. Leaving the block without `commit` rolls back."""

    @property
    def records(self) -> Records:
        """The shop's records."""

    @property
    def observations(self) -> Observations:
        """The shop's readings."""

    @property
    def access(self) -> Access:
        """Who may come in."""

    @property
    def received(self) -> Received:
        """What devices have sent."""

    @property
    def keepsakes(self) -> Keepsakes:
        """What somebody wants to find again."""

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

    def read(self, hash_: str, width: int | None = None) -> bytes:
        """The stored JPEG; with `width` a smaller copy at least so many pixels wide. Raises NotFoundError.

        A copy is gone as soon as its photo is.
        """

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

    @property
    def identity(self) -> str:
        """The name that the shop was given when it was made; a restored backup keeps it."""

    def work(self, *, patient: bool = True) -> UnitOfWork:
        """Begin a transaction; one that is not `patient` waits for nobody who writes, but raises BusyError."""

    def close(self) -> None:
        """Let go of files and connections."""
