"""The SQLite engine of a shop: durable, patient with other writers, and its failures said in plain words."""

from __future__ import annotations

import json
import sqlite3
from pathlib import Path
from typing import Any, Final, cast

import sqlalchemy as sa
from sqlalchemy import event
from sqlalchemy.engine.interfaces import ExceptionContext
from sqlalchemy.pool import QueuePool

from floorwright.basis.errors import BusyError, NotFoundError, StoreError

DATABASE: Final = "shop.sqlite3"
BUSY_S: Final = 10.0
WRITING: Final = "writing"
"""Execution option of a connection: its next transaction will write."""
HURRIED: Final = "hurried"
"""Execution option of a connection: a transaction that is going to write waits for no other program."""

_PRAGMAS: Final = (
    "synchronous = FULL",
    # On macOS a plain fsync may stop in the drive's cache; elsewhere these two change nothing.
    "fullfsync = ON",
    "checkpoint_fullfsync = ON",
    "foreign_keys = ON",
    "cache_size = -65536",  # KiB; with the usual 2 MB a big import in no order of keys takes twice as long
    "journal_size_limit = 67108864",  # bytes that the log keeps on disk after a big import
)


def sqlite_engine(path: Path, *, create: bool = False) -> sa.Engine:
    """An engine on the database file. Without `create` a file that is missing is an error, not a new database."""
    uri = f"{path.absolute().as_uri()}?mode={'rwc' if create else 'rw'}"

    def connect() -> sqlite3.Connection:
        # isolation_level None: the driver begins nothing by itself, so that BEGIN is ours (see `_begin`).
        return sqlite3.connect(uri, uri=True, timeout=BUSY_S, isolation_level=None, check_same_thread=False)

    engine = sa.create_engine(
        "sqlite://",
        creator=connect,
        poolclass=QueuePool,
        max_overflow=-1,
        hide_parameters=True,  # what people typed stays out of every traceback
        json_serializer=_to_json,
        json_deserializer=_from_json,
    )
    event.listen(engine, "connect", _prepare)
    event.listen(engine, "begin", _begin)
    event.listen(engine, "handle_error", _say(path))
    return engine


def use_log(engine: sa.Engine, path: Path) -> None:
    """Switch a database to write-ahead logging, in which readers and a writer do not wait for each other.

    The database remembers it; a shop that comes out of a backup has to be told once. Raises StoreError.
    """
    with engine.connect() as connection:
        try:
            cast("sqlite3.Connection", connection.connection.driver_connection).execute("PRAGMA journal_mode = WAL")
        except sqlite3.Error as error:
            raise StoreError(sentence(path, error) or f"{path}: it cannot be used ({error}).") from error


def _to_json(value: Any) -> str:
    return json.dumps(value, allow_nan=False, separators=(",", ":"))


def _from_json(text: str) -> Any:
    # Nearly every reading has an empty `detail`.
    return {} if text == "{}" else json.loads(text)


def _prepare(connection: sqlite3.Connection, _record: object) -> None:
    for pragma in _PRAGMAS:
        connection.execute(f"PRAGMA {pragma}")


def _begin(connection: sa.Connection) -> None:
    # A transaction that starts by reading cannot wait for its turn when it comes to write; one that is
    # going to write therefore asks for the write lock at once, and there SQLite does wait.
    options = connection.get_execution_options()
    writing = options.get(WRITING, False)
    hurried = writing and options.get(HURRIED, False)
    if hurried:
        connection.exec_driver_sql("PRAGMA busy_timeout = 0")
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")
    if hurried:  # otherwise the connection is given up, see `_say`
        connection.exec_driver_sql(f"PRAGMA busy_timeout = {1000 * BUSY_S:.0f}")


_SENTENCES: Final = {
    sqlite3.SQLITE_BUSY: "another program has been writing to the shop for a while; try again when it is done",
    sqlite3.SQLITE_LOCKED: "another program has been writing to the shop for a while; try again when it is done",
    sqlite3.SQLITE_READONLY: "it cannot be written; give yourself the right to write there, or copy it elsewhere",
    sqlite3.SQLITE_PERM: "it cannot be read; give yourself the right to read and write there",
    sqlite3.SQLITE_CANTOPEN: "it cannot be opened; see whether the folder is still there and you may write in it",
    sqlite3.SQLITE_FULL: "the disk is full; make room and try again, nothing was half-stored",
    sqlite3.SQLITE_IOERR: "the disk could not be read or written; check the disk, then restore the last backup",
    sqlite3.SQLITE_CORRUPT: "it is damaged; restore the last backup into a new folder",
    sqlite3.SQLITE_NOTADB: "it is not a shop's database; restore the last backup into a new folder",
}


def sentence(path: Path, error: sqlite3.Error) -> str | None:
    """What went wrong with a database file, in one sentence; None when it is the program's own mistake."""
    code = getattr(error, "sqlite_errorcode", None)
    said = _SENTENCES.get(code & 0xFF) if isinstance(code, int) else None
    return f"{path}: {said}." if said else None


def _is_busy(error: BaseException) -> bool:
    code = getattr(error, "sqlite_errorcode", 0)
    return code & 0xFF in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)


def _say(path: Path) -> Any:
    def speak(context: ExceptionContext) -> None:
        original = context.original_exception
        if isinstance(original, OverflowError):
            # The driver cannot even ask for a number this large, so there is nothing under it.
            raise NotFoundError("there is no record with a number this large") from None
        said = sentence(path, original) if isinstance(original, sqlite3.Error) else None
        if said:
            # SQLite may have rolled back by itself. The connection is given up, so that nothing that follows
            # in the same block can be taken for a part of the transaction that is gone.
            context.is_disconnect = True
            context.invalidate_pool_on_disconnect = False
            raise (BusyError if _is_busy(original) else StoreError)(said) from original

    return speak
