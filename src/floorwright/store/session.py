"""One transaction on the database: it reads until it has to write, and knows what it has read."""

from __future__ import annotations

import sqlalchemy as sa

from floorwright.basis.errors import ConflictError
from floorwright.basis.sentence import said
from floorwright.shop.ports import Kind
from floorwright.store.engine import HURRIED, WRITING
from floorwright.store.tables import record
from floorwright.store.turn import PATIENCE_S, Turns


class Session:
    """A connection with a transaction that begins at its first use.

    Reading works on a snapshot and waits for nobody. The first write ends the snapshot and takes the write
    lock; a record that was read before (`saw`) and has been changed by somebody else since is a conflict.
    A session that is not `patient` waits for nobody who writes just then either.
    """

    def __init__(self, engine: sa.Engine, turns: Turns, *, patient: bool = True) -> None:
        self._engine = engine
        self._turns = turns
        self._patient = patient
        self._connection: sa.Connection | None = None
        self._writing = False
        self._seen: dict[tuple[Kind, int], int] = {}

    def open(self) -> None:
        """Take a connection."""
        self._connection = self._engine.connect()

    def close(self) -> None:
        """Roll back what was not committed and give the connection back."""
        try:
            if self._connection is not None:
                self._connection.close()
        finally:
            self._connection = None
            self._end_writing()
            self._seen.clear()

    def commit(self) -> None:
        """Make the transaction durable; the next use begins another."""
        self._open.commit()
        self._end_writing()
        self._seen.clear()

    def read(self) -> sa.Connection:
        """The connection, in a transaction."""
        connection = self._open
        if not connection.in_transaction():
            connection.execution_options(**{WRITING: False})
            connection.begin()
        return connection

    def write(self) -> sa.Connection:
        """The connection, in a transaction that holds the write lock. Raises ConflictError, StoreError."""
        connection = self._open
        if not self._writing:
            connection.rollback()
            self._turns.take(patience_s=PATIENCE_S if self._patient else 0)
            self._writing = True
            try:
                connection.execution_options(**{WRITING: True, HURRIED: not self._patient})
                connection.begin()
                self._check_seen(connection)
            except BaseException:
                self._end_writing()
                raise
        return connection

    def saw(self, kind: Kind, id_: int, version: int) -> None:
        """Remember the version of a record that was read before the write lock was held."""
        if not self._writing:
            self._seen.setdefault((kind, id_), version)

    def _end_writing(self) -> None:
        if self._writing:
            self._writing = False
            self._turns.give_up()

    @property
    def _open(self) -> sa.Connection:
        if self._connection is None:
            raise RuntimeError("a unit of work is used inside its with block")
        return self._connection

    def _check_seen(self, connection: sa.Connection) -> None:
        for (kind, id_), version in self._seen.items():
            query = sa.select(record.c.version).where(record.c.kind == kind, record.c.id == id_)
            if connection.execute(query).scalar() != version:
                connection.rollback()
                raise ConflictError(changed_meanwhile(kind, id_))


def changed_meanwhile(kind: Kind, id_: int) -> str:
    """The sentence for a record that somebody else changed."""
    return said(
        "{kind} {id} was changed by somebody else meanwhile; read it again and repeat your change.",
        kind=said(kind),
        id=id_,
    )
