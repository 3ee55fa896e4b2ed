"""Versioned documents behind `ports.Records`."""

from __future__ import annotations

import datetime as dt
from typing import Any, cast

import sqlalchemy as sa

from floorwright.basis.errors import ConflictError, NotFoundError
from floorwright.basis.sentence import said
from floorwright.shop.ports import Author, HistoryEntry, Kind, Stored
from floorwright.store.history import changes
from floorwright.store.once import plain as plain_body
from floorwright.store.session import Session, changed_meanwhile
from floorwright.store.tables import record, record_version


class SqlRecords:
    """Records in the tables `record` (as they stand now) and `record_version` (as they ever stood)."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def get(self, kind: Kind, id_: int) -> Stored:
        """The current version. Raises NotFoundError."""
        query = sa.select(record.c.version, record.c.body).where(record.c.kind == kind, record.c.id == id_)
        row = self._session.read().execute(query).one_or_none()
        if row is None:
            raise _not_found(kind, id_)
        self._session.saw(kind, id_, row.version)
        return Stored(kind=kind, id=id_, version=row.version, body=row.body)

    def all(self, kind: Kind) -> list[Stored]:
        """The current version of every record of a kind, by number."""
        query = sa.select(record).where(record.c.kind == kind).order_by(record.c.id)
        rows = self._session.read().execute(query)
        return [Stored(kind=kind, id=row.id, version=row.version, body=row.body) for row in rows]

    def versions(self, kind: Kind) -> dict[int, int]:
        """The number of every record of a kind with its current version, by number."""
        query = sa.select(record.c.id, record.c.version).where(record.c.kind == kind).order_by(record.c.id)
        return {row.id: row.version for row in self._session.read().execute(query)}

    def add(self, kind: Kind, body: dict[str, Any], *, author: Author, at: dt.datetime, reason: str = "") -> Stored:
        """Store a new record as version 1 under the next free number."""
        plain = plain_body("body", body)
        connection = self._session.write()
        last = connection.execute(sa.select(sa.func.max(record.c.id)).where(record.c.kind == kind)).scalar()
        stored = Stored(kind=kind, id=(last or 0) + 1, version=1, body=plain)
        connection.execute(record.insert().values(kind=kind, id=stored.id, version=1, body=plain))
        self._keep_version(stored, author, at, reason, replaces=0)
        return stored

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
        """Store the next version. Raises ConflictError when the current version is not the expected one.

        Raises NotFoundError for a record that is not there, and for `replaces` a version that is not there.
        """
        plain = plain_body("body", body)
        if not 0 <= replaces <= expected_version:
            raise NotFoundError(
                said(
                    "{kind} {id} has no version {replaces} that a correction could replace.",
                    kind=said(kind),
                    id=id_,
                    replaces=replaces,
                )
            )
        stored = Stored(kind=kind, id=id_, version=expected_version + 1, body=plain)
        here = (record.c.kind == kind) & (record.c.id == id_)
        update = record.update().where(here, record.c.version == expected_version)
        connection = self._session.write()
        if connection.execute(update.values(version=stored.version, body=plain)).rowcount != 1:
            if connection.execute(sa.select(record.c.id).where(here)).first() is None:
                raise _not_found(kind, id_)
            raise ConflictError(changed_meanwhile(kind, id_))
        self._keep_version(stored, author, at, reason, replaces)
        return stored

    def history(self, kind: Kind, id_: int) -> list[HistoryEntry]:
        """Every version, oldest first. Raises NotFoundError.

        The first version has no changes: before it there was nothing to change.
        """
        at = record_version.c
        query = sa.select(record_version).where(at.kind == kind, at.id == id_).order_by(at.version)
        rows = self._session.read().execute(query).all()
        if not rows:
            raise _not_found(kind, id_)
        return [
            HistoryEntry(
                kind=kind,
                id=id_,
                version=row.version,
                at=row.at,
                who=row.who,
                role=row.role,
                reason=row.reason,
                replaces=row.replaces,
                changes=changes(before.body, row.body),
            )
            for before, row in zip([rows[0], *rows], rows, strict=False)
        ]

    def changed_at(self, kind: Kind) -> dict[int, dt.datetime]:
        """When each record of a kind was changed last, by number."""
        at, now = record_version.c, record.c
        current = (at.kind == now.kind) & (at.id == now.id) & (at.version == now.version)
        query = sa.select(now.id, at.at).join_from(record, record_version, current).where(now.kind == kind)
        return {row.id: row.at for row in self._session.read().execute(query.order_by(now.id))}

    def version(self, kind: Kind, id_: int, version: int) -> dict[str, Any]:
        """The body as it stood at a version. Raises NotFoundError."""
        at = record_version.c
        query = sa.select(at.body).where(at.kind == kind, at.id == id_, at.version == version)
        row = self._session.read().execute(query).one_or_none()
        if row is None:
            raise NotFoundError(
                said("The shop has no version {version} of {kind} {id}.", version=version, kind=said(kind), id=id_)
            )
        return cast("dict[str, Any]", row.body)

    def _keep_version(self, stored: Stored, author: Author, at: dt.datetime, reason: str, replaces: int) -> None:
        self._session.write().execute(
            record_version.insert().values(
                kind=stored.kind,
                id=stored.id,
                version=stored.version,
                body=stored.body,
                who=author.who,
                role=author.role,
                at=at,
                reason=reason,
                replaces=replaces,
            )
        )


def _not_found(kind: Kind, id_: int) -> NotFoundError:
    return NotFoundError(said("The shop has no {kind} {id}.", kind=said(kind), id=id_))
