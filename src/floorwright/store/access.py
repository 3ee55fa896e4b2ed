"""Devices, accounts, tokens, sessions and pairing codes behind `ports.Access`."""

from __future__ import annotations

import datetime as dt
import hashlib
import unicodedata
from dataclasses import asdict, fields
from typing import Any, TypeVar

import sqlalchemy as sa

from floorwright.basis.errors import ConflictError, NotFoundError
from floorwright.basis.sentence import said
from floorwright.shop.admission import Account, Admitted, Attempts, Device, Offer, Role, Session, Token
from floorwright.store import tables
from floorwright.store.once import insert_once, put
from floorwright.store.session import Session as Transaction

E = TypeVar("E", Device, Account, Token, Session, Offer)


class SqlAccess:
    """Who may come in, in the tables `device`, `account`, `attempt`, `token`, `session` and `offer`.

    Whatever must not be decided twice is one statement that holds its own condition.
    """

    def __init__(self, transaction: Transaction) -> None:
        self._transaction = transaction

    def add_offer(self, offer: Offer) -> None:
        """Keep a pairing code. Raises ConflictError when there is one of this digest."""
        self._add(tables.offer, "pairing code", **asdict(offer))

    def offer(self, digest: str) -> Offer | None:
        """The pairing code of a digest, whatever became of it."""
        return self._find(Offer, tables.offer, tables.offer.c.digest == digest)

    def use_offer(self, digest: str, at: dt.datetime) -> bool:
        """Mark a code as used; False when it was used before or is not there. Of two at once, one gets True."""
        here = (tables.offer.c.digest == digest) & tables.offer.c.used_at.is_(None)
        return self._write(tables.offer.update().where(here).values(used_at=at)) == 1

    def count_wrong_code(self, at: dt.datetime) -> None:
        """Count a wrong try against every code that is open at this time."""
        table = tables.offer
        is_open = table.c.used_at.is_(None) & (table.c.expires_at > at)
        self._write(table.update().where(is_open).values(wrong_tries=table.c.wrong_tries + 1))

    def add_device(self, name: str, role: Role, *, by: str, at: dt.datetime) -> Device:
        """Keep a device under the next free number."""
        return self.device(self._add(tables.device, "device", name=name, role=role, made_at=at, made_by=by))

    def device(self, id_: int) -> Device:
        """A device. Raises NotFoundError."""
        return self._one(Device, tables.device, id_)

    def devices(self) -> list[Device]:
        """All devices by number, revoked ones too."""
        return self._all(Device, tables.device, tables.device.c.id)

    def rename_device(self, id_: int, name: str) -> Device:
        """Give a device another name. Raises NotFoundError."""
        self._set(tables.device, id_, name=name)
        return self.device(id_)

    def revoke_device(self, id_: int, at: dt.datetime) -> Device:
        """Shut a device out for good; the first time counts. Raises NotFoundError."""
        self._set_once(tables.device, id_, "revoked_at", at)
        return self.device(id_)

    def add_account(self, name: str, role: Role, password: str, *, by: str, at: dt.datetime) -> Account:
        """Keep an account with the hash of its password. Raises ConflictError when the name is taken.

        Names that differ only in case, or in how Unicode writes them, are the same name.
        """
        held = {"name": name, "name_key": _key(name), "role": role, "password": password}
        return self.account(self._add(tables.account, "account name", **held, made_at=at, made_by=by))

    def account(self, id_: int) -> Account:
        """An account. Raises NotFoundError."""
        return self._one(Account, tables.account, id_)

    def account_named(self, name: str) -> Account | None:
        """The account of a name, however it is written; not one that is disabled."""
        return self._find(Account, tables.account, tables.account.c.name_key == _key(name))

    def accounts(self) -> list[Account]:
        """All accounts by number, disabled ones too."""
        return self._all(Account, tables.account, tables.account.c.id)

    def password(self, id_: int) -> str:
        """The hash of an account's password. Raises NotFoundError."""
        query = sa.select(tables.account.c.password).where(tables.account.c.id == id_)
        found = self._transaction.read().execute(query).scalar()
        if found is None:
            raise _not_found(tables.account, id_)
        return str(found)

    def set_password(self, id_: int, password: str) -> None:
        """Keep the hash of a new password. Raises NotFoundError."""
        self._set(tables.account, id_, password=password)

    def disable_account(self, id_: int, at: dt.datetime) -> Account:
        """Shut an account for good; the first time counts, and its name is free again. Raises NotFoundError."""
        self._set_once(tables.account, id_, "disabled_at", at)
        self._set(tables.account, id_, name_key=None)
        return self.account(id_)

    def attempts(self, name: str) -> Attempts:
        """The failed sign-ins under a name, whether it has an account or not."""
        query = sa.select(tables.attempt).where(tables.attempt.c.name_digest == _digest(name))
        row = self._transaction.read().execute(query).one_or_none()
        return Attempts() if row is None else Attempts(failures=row.failures, locked_until=row.locked_until)

    def keep_attempts(self, name: str, attempts: Attempts, at: dt.datetime) -> None:
        """Keep the failed sign-ins under a name, in place of what was kept."""
        key = {"name_digest": _digest(name)}
        put(self._transaction.write(), tables.attempt, key, **asdict(attempts), at=at)

    def forget_attempts(self, before: dt.datetime) -> None:
        """Remove what was kept before a time."""
        self._write(tables.attempt.delete().where(tables.attempt.c.at < before))

    def add_token(
        self, name: str, role: Role, digest: str, *, by: str, at: dt.datetime, expires_at: dt.datetime
    ) -> Token:
        """Keep a token under the next free number."""
        held = {"name": name, "role": role, "digest": digest, "expires_at": expires_at}
        return self.token(self._add(tables.token, "token", **held, made_at=at, made_by=by))

    def token(self, id_: int) -> Token:
        """A token. Raises NotFoundError."""
        return self._one(Token, tables.token, id_)

    def token_of(self, digest: str) -> Token | None:
        """The token of a digest, whatever became of it."""
        return self._find(Token, tables.token, tables.token.c.digest == digest)

    def tokens(self) -> list[Token]:
        """All tokens by number, revoked and expired ones too."""
        return self._all(Token, tables.token, tables.token.c.id)

    def touch_token(self, id_: int, at: dt.datetime) -> None:
        """Note that a token was used. Raises NotFoundError."""
        self._set(tables.token, id_, seen_at=at)

    def revoke_token(self, id_: int, at: dt.datetime) -> Token:
        """Shut a token out for good; the first time counts. Raises NotFoundError."""
        self._set_once(tables.token, id_, "revoked_at", at)
        return self.token(id_)

    def add_session(self, session: Session) -> None:
        """Keep a session. Raises ConflictError when there is one of this digest."""
        self._add(tables.session, "session", **asdict(session))

    def session(self, digest: str) -> Session | None:
        """The session of a digest."""
        return self._find(Session, tables.session, tables.session.c.digest == digest)

    def sessions(self) -> list[Session]:
        """All sessions, oldest first."""
        return self._all(Session, tables.session, tables.session.c.made_at)

    def touch_session(self, digest: str, at: dt.datetime) -> None:
        """Note that a session was used; nothing happens when it has ended meanwhile."""
        self._write(tables.session.update().where(tables.session.c.digest == digest).values(seen_at=at))

    def end_session(self, digest: str) -> None:
        """Remove a session; nothing happens when there is none."""
        self._write(tables.session.delete().where(tables.session.c.digest == digest))

    def end_sessions(self, kind: Admitted, owner: int) -> int:
        """Remove all sessions of a device or an account. Returns how many."""
        here = (tables.session.c.kind == kind) & (tables.session.c.owner == owner)
        return self._write(tables.session.delete().where(here))

    def tidy(self, at: dt.datetime) -> None:
        """Remove sessions and pairing codes that have expired at this time."""
        for table in (tables.session, tables.offer):
            self._write(table.delete().where(table.c.expires_at <= at))

    def _write(self, statement: sa.Update | sa.Delete) -> int:
        return self._transaction.write().execute(statement).rowcount

    def _add(self, table: sa.Table, what: str, **values: Any) -> int:
        if "role" in values:
            values["role"] = str(values["role"])  # a driver may know the plain type only
        added = insert_once(self._transaction.write(), table, **values)
        if added is None:
            raise ConflictError(said("The shop has this {what} already; take another.", what=said(what)))
        return added

    def _set(self, table: sa.Table, id_: int, **values: Any) -> None:
        if self._write(table.update().where(table.c.id == id_).values(**values)) != 1:
            raise _not_found(table, id_)

    def _set_once(self, table: sa.Table, id_: int, column: str, at: dt.datetime) -> None:
        self._set(table, id_, **{column: sa.func.coalesce(table.c[column], at)})

    def _one(self, entry: type[E], table: sa.Table, id_: int) -> E:
        found = self._find(entry, table, table.c.id == id_)
        if found is None:
            raise _not_found(table, id_)
        return found

    def _find(self, entry: type[E], table: sa.Table, here: sa.ColumnElement[bool]) -> E | None:
        row = self._transaction.read().execute(_select(entry, table).where(here)).one_or_none()
        return None if row is None else _entry(entry, row)

    def _all(self, entry: type[E], table: sa.Table, order: sa.Column[Any]) -> list[E]:
        rows = self._transaction.read().execute(_select(entry, table).order_by(order))
        return [_entry(entry, row) for row in rows]


def _select(entry: type[E], table: sa.Table) -> sa.Select[Any]:
    return sa.select(*(table.c[field.name] for field in fields(entry)))


def _entry(entry: type[E], row: sa.Row[Any]) -> E:
    values = dict(row._mapping)  # noqa: SLF001  the public name of a row's fields
    return entry(**(values | {"role": Role(values["role"])} if "role" in values else values))


def _not_found(table: sa.Table, id_: int) -> NotFoundError:
    return NotFoundError(said("The shop has no {kind} {id}.", kind=said(table.name), id=id_))


def _key(name: str) -> str:
    folded = unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", name).casefold())
    # Half a character, which a form or JSON may hold, is nobody's name, but no mistake of the program either.
    return folded.encode("utf-8", "backslashreplace").decode("utf-8")


def _digest(name: str) -> str:
    return hashlib.sha256(_key(name).encode("utf-8")).hexdigest()
