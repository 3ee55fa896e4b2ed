"""Small things that somebody wants to find again, behind `ports.Keepsakes`."""

from __future__ import annotations

import datetime as dt
from typing import Any, cast

import sqlalchemy as sa

from floorwright.store import once
from floorwright.store.session import Session
from floorwright.store.tables import keepsake as table


class SqlKeepsakes:
    """Keepsakes in the table `keepsake`."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def get(self, owner: str, kind: str, name: str) -> dict[str, Any] | None:
        """What is kept under a name; None when nothing is."""
        query = sa.select(table.c.body).where(_at(owner, kind, name))
        return cast("dict[str, Any] | None", self._session.read().execute(query).scalar())

    def all(self, owner: str, kind: str) -> list[tuple[str, dict[str, Any]]]:
        """Everything of a kind with its name, by name."""
        here = (table.c.owner == owner) & (table.c.kind == kind)
        query = sa.select(table.c.name, table.c.body).where(here).order_by(table.c.name)
        return [(row.name, row.body) for row in self._session.read().execute(query)]

    def put(self, owner: str, kind: str, name: str, body: dict[str, Any], at: dt.datetime) -> None:
        """Keep something under a name, in place of what was kept there."""
        key = {"owner": owner, "kind": kind, "name": name}
        once.put(self._session.write(), table, key, body=once.plain("body", body), at=at)

    def remove(self, owner: str, kind: str, name: str) -> None:
        """Remove what is kept under a name; nothing happens when nothing is."""
        self._session.write().execute(table.delete().where(_at(owner, kind, name)))


def _at(owner: str, kind: str, name: str) -> sa.ColumnElement[bool]:
    return (table.c.owner == owner) & (table.c.kind == kind) & (table.c.name == name)
