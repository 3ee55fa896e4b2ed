"""Receipts behind `ports.Received`."""

from __future__ import annotations

import sqlalchemy as sa

from floorwright.basis.errors import ConflictError
from floorwright.basis.sentence import said
from floorwright.shop.ports import Receipt
from floorwright.store.once import insert_once, plain
from floorwright.store.session import Session
from floorwright.store.tables import receipt as table


class SqlReceived:
    """Receipts in the table `receipt`."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def find(self, key: str) -> Receipt | None:
        """The receipt of a key."""
        row = self._session.read().execute(sa.select(table).where(table.c.key == key)).one_or_none()
        if row is None:
            return None
        return Receipt(key=row.key, digest=row.digest, at=row.at, who=row.who, result=row.result)

    def keep(self, receipt: Receipt) -> None:
        """Keep a receipt. Raises ConflictError when the key has one, also from another transaction meanwhile."""
        kept = insert_once(
            self._session.write(),
            table,
            key=receipt.key,
            digest=receipt.digest,
            at=receipt.at,
            who=receipt.who,
            result=plain("result", receipt.result),
        )
        if kept is None:
            raise ConflictError(said("What came under the key {key} was received before.", key=receipt.key))
