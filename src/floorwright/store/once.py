"""A row that goes in only when its key is free."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any, Final, cast

import sqlalchemy as sa
from sqlalchemy.dialects import postgresql, sqlite

from floorwright.basis.errors import InputError
from floorwright.basis.sentence import said

INSERT: Final[dict[str, Callable[..., Any]]] = {"sqlite": sqlite.insert, "postgresql": postgresql.insert}
"""The insert of each database that knows what to do about a key that is taken."""


def insert_once(connection: sa.Connection, table: sa.Table, **values: Any) -> int | None:
    """Insert a row. Returns its number (0 for a table without one), or None when its key is taken."""
    statement = INSERT[connection.dialect.name](table).values(**values).on_conflict_do_nothing()
    numbered = "id" in table.c
    result = connection.execute(statement.returning(table.c.id) if numbered else statement)
    if numbered:
        return cast("int | None", result.scalar())
    return 0 if result.rowcount == 1 else None


def put(connection: sa.Connection, table: sa.Table, key: dict[str, Any], **values: Any) -> None:
    """Insert a row, or set its values where its key is there."""
    insert = INSERT[connection.dialect.name](table).values(**key, **values)
    connection.execute(insert.on_conflict_do_update(index_elements=list(key), set_=values))


def plain(field: str, body: dict[str, Any]) -> dict[str, Any]:
    """A copy that holds JSON values and nothing else, as it will be read back. Raises InputError."""
    try:
        return cast("dict[str, Any]", json.loads(json.dumps(body, allow_nan=False)))
    except (TypeError, ValueError) as error:
        raise InputError.of(field, None, said("cannot be kept as JSON ({error})", error=str(error))) from error
