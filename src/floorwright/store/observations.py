"""Readings of studies behind `ports.Observations`: appended in bulk, never changed."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import islice
from operator import attrgetter
from typing import Any, Final

import sqlalchemy as sa

from floorwright.basis.errors import ConflictError, InputError, NotFoundError
from floorwright.basis.sentence import said
from floorwright.shop.records import Observation
from floorwright.store.once import INSERT
from floorwright.store.session import Session
from floorwright.store.tables import CORRECTION, FIELDS, observation, record

CHUNK: Final = 10_000
"""Rows that are held and sent together; below the number of parameters that either database takes at once."""

_COLUMNS: Final = ("study", *FIELDS)
_TAKEN_AT: Final = _COLUMNS.index("taken_at")
_DETAIL: Final = _COLUMNS.index("detail")
_values: Final = attrgetter(*FIELDS)


class SqlObservations:
    """Readings in the table `observation`."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def append(self, study: int, rows: Iterable[Observation]) -> int:
        """Store rows; a row whose key the study already holds is the same reading sent again and is skipped.

        Returns the number of rows that were new. Raises ConflictError when a key comes again with other
        content or a reading is corrected a second time, NotFoundError when there is no such study or a
        correction names a reading that the study does not hold. After an error none of the rows is stored.
        """
        connection = self._session.write()
        found = sa.select(record.c.id).where(record.c.kind == "study", record.c.id == study)
        if connection.execute(found).first() is None:
            raise NotFoundError(said("The shop has no study {study}.", study=study))
        source = iter(rows)
        new = 0
        with connection.begin_nested():
            while chunk := list(islice(source, CHUNK)):
                new += _append_chunk(connection, study, chunk)
        return new

    def of(self, study: int, *, with_replaced: bool = False) -> list[Observation]:
        """The readings in the order in which they were taken (time, then cycle, then order of entry).

        A reading that was corrected is left out unless asked for.
        """
        at = observation.c
        query = _select().where(at.study == study).order_by(at.taken_at, at.cycle, at.id)
        if not with_replaced:
            replaced = sa.select(at.replaces).where(at.study == study, CORRECTION)
            query = query.where(at.key.not_in(replaced))
        return _read(self._session.read().execute(query))

    def stream(self, study: int) -> Iterator[Observation]:
        """As `of` with replaced ones, in order of entry, for export, without holding all in memory."""
        at = observation.c
        # Page by page and not through an open cursor, so that the block may write between two pages.
        query = _select(at.id).where(at.study == study).order_by(at.id).limit(CHUNK)
        last = 0
        while page := self._session.read().execute(query.where(at.id > last)).all():
            last = page[-1].id
            yield from _read(page)

    def page(self, study: int, *, after: int, limit: int) -> list[tuple[int, Observation]]:
        """Readings in order of entry, with replaced ones: at most `limit` of those behind the place `after`.

        Each comes with its place in that order; 0 stands before the first.
        """
        at = observation.c
        query = _select(at.id).where(at.study == study, at.id > after).order_by(at.id).limit(limit)
        rows = self._session.read().execute(query).all()
        return list(zip([row.id for row in rows], _read(rows), strict=True))

    def last(self) -> int:
        """The place of the reading that came in last, in whatever study; 0 where there is none."""
        return self._session.read().execute(sa.select(sa.func.max(observation.c.id))).scalar() or 0

    def places(self, *, after: int = 0) -> dict[int, int]:
        """The place of the last reading of every study that has one behind the place `after`."""
        return _by_study(self._session.read(), sa.func.max(observation.c.id), _behind(after))

    def counts(self, *, after: int = 0) -> dict[int, int]:
        """As `count` for every study, of the readings that came in behind the place `after`."""
        # Two queries that an index answers each; one over the rows themselves takes ten times as long.
        connection, number = self._session.read(), sa.func.count()
        found = _by_study(connection, number, _behind(after))
        for study, corrections in _by_study(connection, number, _behind(after), CORRECTION).items():
            found[study] -= corrections
        return found

    def with_keys(self, study: int, keys: Sequence[str]) -> list[Observation]:
        """Those readings of a study that have one of these keys, replaced ones too."""
        return _with_keys(self._session.read(), study, keys)

    def count(self, study: int) -> int:
        """Number of readings, corrected ones not counted."""
        # Each correction replaces exactly one reading of its study, so the two kinds need no matching.
        at = observation.c
        current = sa.func.count() - sa.func.count(sa.func.nullif(at.replaces, ""))
        query = sa.select(current).select_from(observation).where(at.study == study)
        return int(self._session.read().execute(query).scalar_one())

    def keys(self, study: int) -> set[str]:
        """All keys that the study holds."""
        query = sa.select(observation.c.key).where(observation.c.study == study)
        return set(self._session.read().execute(query).scalars())


def _with_keys(connection: sa.Connection, study: int, keys: Sequence[str]) -> list[Observation]:
    found = []
    for start in range(0, len(keys), CHUNK):
        chunk = keys[start : start + CHUNK]
        query = _select().where(observation.c.study == study, observation.c.key.in_(chunk))
        found += _read(connection.execute(query).all())
    return found


def _behind(after: int) -> sa.ColumnElement[bool]:
    # Said of every row, it would keep the database from the index that answers for all of them.
    return observation.c.id > after if after else sa.true()


def _by_study(
    connection: sa.Connection, what: sa.ColumnElement[int], *where: sa.ColumnElement[bool]
) -> dict[int, int]:
    query = sa.select(observation.c.study, what).where(*where).group_by(observation.c.study)
    return {row.study: row[1] for row in connection.execute(query)}


def _append_chunk(connection: sa.Connection, study: int, chunk: Sequence[Observation]) -> int:
    corrections = [row for row in chunk if row.replaces]
    if corrections:
        _check_corrections(connection, study, chunk, corrections)
    statement = _insert_statement(connection.dialect)
    result = connection.exec_driver_sql(statement, _encode(connection.dialect, study, chunk))
    if result.rowcount != len(chunk):
        _check_repeated(connection, study, chunk)
    return result.rowcount


def _insert_statement(dialect: sa.Dialect) -> str:
    # Put together once for each database: for a single reading it takes as long as the insert itself.
    if dialect.name not in _INSERTS:
        insert = INSERT[dialect.name](observation).values({name: sa.bindparam(name) for name in _COLUMNS})
        statement = insert.on_conflict_do_nothing(index_elements=["study", "key"])
        _INSERTS[dialect.name] = str(statement.compile(dialect=dialect))
    return _INSERTS[dialect.name]


_INSERTS: Final[dict[str, str]] = {}


def _encode(dialect: sa.Dialect, study: int, chunk: Sequence[Observation]) -> list[tuple[Any, ...]]:
    # Straight to the driver's values: SQLAlchemy's own way through a dict a row takes three times as long.
    moment = _time_encoder(dialect)
    encoded = []
    for row in chunk:
        values = [study, *_values(row)]
        values[_TAKEN_AT] = moment(values[_TAKEN_AT])
        values[_DETAIL] = _detail(row) if values[_DETAIL] else "{}"
        encoded.append(tuple(values))
    return encoded


def _time_encoder(dialect: sa.Dialect) -> Callable[[dt.datetime], Any]:
    processor = observation.c.taken_at.type.dialect_impl(dialect).bind_processor(dialect)
    return processor or (lambda moment: moment)


def _detail(row: Observation) -> str:
    try:
        return json.dumps(row.detail, allow_nan=False, separators=(",", ":"))
    except (TypeError, ValueError) as error:
        raise InputError.of(
            "detail",
            row.key,
            said("of reading {key} cannot be kept as JSON ({error})", key=row.key, error=str(error)),
        ) from error


def _check_corrections(
    connection: sa.Connection, study: int, chunk: Sequence[Observation], corrections: Sequence[Observation]
) -> None:
    """Raise unless every correction names a reading entered before it that nobody else corrects."""
    at = observation.c
    named = [row.replaces for row in corrections]
    held = set(connection.execute(sa.select(at.key).where(at.study == study, at.key.in_(named))).scalars())
    query = sa.select(at.replaces, at.key).where(at.study == study, at.replaces.in_(named))
    corrected = {row.replaces: row.key for row in connection.execute(query)}
    for row in chunk:
        if row.replaces:
            if row.replaces not in held:
                raise NotFoundError(
                    said(
                        "Reading {key} corrects reading {replaces}, which study {study} does not hold.",
                        key=row.key,
                        replaces=row.replaces,
                        study=study,
                    )
                )
            first = corrected.setdefault(row.replaces, row.key)
            if first != row.key:
                raise ConflictError(
                    said(
                        "Reading {replaces} was already corrected by {first}; correct {first} instead.",
                        replaces=row.replaces,
                        first=first,
                    )
                )
        held.add(row.key)


def _check_repeated(connection: sa.Connection, study: int, chunk: Sequence[Observation]) -> None:
    """Raise when a key of the chunk is held with other content."""
    held = {row.key: row for row in _with_keys(connection, study, [row.key for row in chunk])}
    for row in chunk:
        if row == held[row.key]:
            continue
        # What is left may differ only in how Python holds it, such as a tuple in `detail` that came back a list.
        mine, stored = row.model_dump(mode="json"), held[row.key].model_dump(mode="json")
        field = next((name for name in FIELDS if mine[name] != stored[name]), None)
        if field:
            raise ConflictError(
                said(
                    "Reading {key} is already in study {study} with {field} {stored}, and now comes with "
                    "{mine}; give it another key, or store it as a correction.",
                    key=row.key,
                    study=study,
                    field=said(field),
                    stored=repr(stored[field]),
                    mine=repr(mine[field]),
                )
            )


def _select(*more: sa.ColumnElement[Any]) -> sa.Select[Any]:
    return sa.select(*(observation.c[name] for name in FIELDS), *more)


def _read(rows: Iterable[sa.Row[Any]]) -> list[Observation]:
    # Rows were checked on the way in; checking them again would double the time of reading.
    construct = Observation.model_construct
    return [construct(**dict(zip(FIELDS, row, strict=False))) for row in rows]
